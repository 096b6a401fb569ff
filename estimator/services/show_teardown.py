"""The Teardown page: the machine as it opens, one component at the bench, and what an answer moves.

Frozen rows; no sum is made in the window. A component stands in the list where the quote holds
something of it that only opening it shows: a part that may be worn, one priced as worn by its
chance, or a line still to be measured.
"""

from __future__ import annotations

from dataclasses import dataclass

from estimator.domain.contract.contract import Contract
from estimator.domain.contract.events import Received
from estimator.domain.contract.remaining import Remaining
from estimator.domain.contract.states import ISSUED, OPEN
from estimator.domain.job_path import DONE, IN_HAND, NEEDS_YOU, NOT_BEGUN, WAITS
from estimator.domain.priced_work import PricedWork
from estimator.domain.pricing import PricedLine
from estimator.domain.scope_line import PROVISIONAL
from estimator.services.write_contract import Here


@dataclass(frozen=True, slots=True)
class OpeningRow:
    """A component in the list: how it stands, its parts and lines, the variations on it."""

    id: str
    name: str
    group: str
    mark: str  # not_begun, in_hand, done, waits, needs_you
    parts: int
    opened: int
    lines: int
    measured: int
    variations: tuple[str, ...]

    @property
    def closed(self) -> int:
        """Parts of it that nobody has opened."""
        return self.parts - self.opened


@dataclass(frozen=True, slots=True)
class TeardownView:
    """The machine as it opens. `next` is the component whose opening would settle most of what is
    still uncertain; None where nothing is closed."""

    received: str | None  # what was noted when the machine came in; None before
    rows: tuple[OpeningRow, ...]
    parts: int
    closed: int
    next: OpeningRow | None


def show_teardown(here: Here, rest: Remaining | None) -> TeardownView:
    """The list of components. `rest`, what is still open, is None until it is worked out."""
    contract, work = here.contract, here.work
    rows = tuple(
        _row(code, here)
        for code in sorted(work.cat.components)
        if parts_of(code, work) or lines_of(code, work)
    )
    received = next((one.note for one in contract.events if isinstance(one, Received)), None)
    parts = [part.part for part in work.exposed]
    return TeardownView(
        received if contract.received else None,
        rows,
        len(parts),
        sum(part not in contract.resolved for part in parts),
        _next(rows, rest),
    )


def _row(code: str, here: Here) -> OpeningRow:
    contract, work = here.contract, here.work
    parts, lines = parts_of(code, work), lines_of(code, work)
    opened = sum(part in contract.resolved for part in parts)
    measured = sum(_is_measured(line.id, contract) for line in lines)
    cases = [case for case in contract.cases.values() if case.variation.component == code]
    return OpeningRow(
        code,
        work.cat.components[code].name,
        work.cat.components[code].group,
        _mark(
            [case.state for case in cases if case.state in OPEN],
            opened == len(parts) and measured == len(lines),
            bool(opened or measured) or code in contract.components,
        ),
        len(parts),
        opened,
        len(lines),
        measured,
        tuple(case.variation.number for case in cases if case.state in OPEN),
    )


def _mark(states: list[str], done: bool, begun: bool) -> str:
    """Needs you while a finding has no price or is not sent, waits while it is to be answered."""
    if any(state != ISSUED for state in states):
        return NEEDS_YOU
    if states:
        return WAITS
    if done:
        return DONE
    return IN_HAND if begun else NOT_BEGUN


def parts_of(code: str, work: PricedWork) -> list[str]:
    """Parts that only opening shows: those in the contingency and those firm by their chance."""
    parts = [part.part for part in work.exposed if part.component == code]
    return parts + [
        part for part in work.firm_by_chance if work.cat.parts[part].component == code
    ]  # fmt: skip


def lines_of(code: str, work: PricedWork) -> list[PricedLine]:
    """A component's lines that are still to be measured when quoted."""
    return [
        line
        for line in work.lines
        if line.line.component == code and line.line.certainty == PROVISIONAL
    ]


def _is_measured(line: str, contract: Contract) -> bool:
    return line in contract.measured or line in contract.as_priced


def _next(rows: tuple[OpeningRow, ...], rest: Remaining | None) -> OpeningRow | None:
    """The component that puts most spread into what is still open: each closed part found worn or
    not, p (1 - p) m^2, m its mean cost."""
    if rest is None or not rest.closed:
        return None
    chances = chances_now(rest)
    spread: dict[str, float] = {}
    for part in rest.closed:
        chance = chances[part.part]
        variance = chance * (1 - chance) * part.cost.mean**2
        spread[part.component] = spread.get(part.component, 0.0) + variance
    best = max(spread, key=spread.__getitem__)
    return next((row for row in rows if row.id == best), None)


def chances_now(rest: Remaining) -> dict[str, float]:
    """Chance of each closed part to be worn, given everything opened by now."""
    model = rest.known.model
    closed = {part.part for part in rest.closed}
    return {item.part: model.chance(item) for item in model.items if item.part in closed}
