"""What an opening moves: what is still exposed, the chances of what is still closed, ranges without
a price, the contingency and the finish, before it and after it. Frozen rows."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.contract.ledger import NO_MARK, SHORT
from estimator.domain.contract.variation import Range
from estimator.domain.money import Money
from estimator.services.show_contract_head import ContractHead
from estimator.services.show_teardown import chances_now
from estimator.services.work_out_contract import ContractNow

MOST_MOVED = 4
LEAST_MOVE = 0.005  # half a point: less is not shown


@dataclass(frozen=True, slots=True)
class ChanceMove:
    """A closed part whose chance moved. `same_oil`: it shares a circuit with what was opened; else
    the machine's life and care alone moved it."""

    part: str
    name: str
    was: float
    now: float
    same_oil: bool


@dataclass(frozen=True, slots=True)
class RangeRow:
    """A finding without a price."""

    number: str
    title: str
    range: Range


@dataclass(frozen=True, slots=True)
class Moves:
    """What was and what is. `left_if_agreed` is what of the contingency is left if everything
    priced is agreed to. `unpriced` forbids "enough" while it names a finding; `short_by` is nothing
    unless the mark is short. `scale` ends the scale that both exposures share, in minor units."""

    exposed_was: Money
    exposed: Money
    scale: int
    chances: tuple[ChanceMove, ...]
    own_openings: int
    ranges: tuple[RangeRow, ...]
    left: Money
    left_if_agreed: Money
    unpriced: tuple[str, ...]
    covered: bool
    short_by: Money
    confidence: Decimal
    half_was: datetime.date
    half: datetime.date
    covered_was: datetime.date
    covered_day: datetime.date

    @property
    def grew(self) -> bool:
        """Whether more is exposed than was."""
        return self.exposed > self.exposed_was

    @property
    def is_change(self) -> bool:
        """Whether anything moved at all."""
        days = (self.half_was, self.covered_was) != (self.half, self.covered_day)
        return days or self.exposed != self.exposed_was or bool(self.chances)


Both = tuple[ContractNow, ContractHead]


def show_moves(before: Both, after: Both) -> Moves:
    """From one state of a contract to a later one, or to one that is tried out."""
    (was, head_was), (now, head) = before, after
    row = now.row
    events = now.here.contract.events
    return Moves(
        exposed_was=head_was.exposed,
        exposed=head.exposed,
        scale=max(head_was.exposed.minor, head.exposed.minor, 1),
        chances=chance_moves(was, now),
        own_openings=sum(type(event).__name__ == "Opened" for event in events),
        ranges=tuple(_ranges(now)),
        left=row.left,
        left_if_agreed=row.left - row.pending_contingency,
        unpriced=head.unpriced,
        covered=row.mark not in (NO_MARK, SHORT),
        short_by=row.short_by if row.mark == SHORT else now.here.contract.nothing,
        confidence=head.confidence,
        half_was=head_was.finish_half,
        half=head.finish_half,
        covered_was=head_was.finish_covered,
        covered_day=head.finish_covered,
    )


def chance_moves(was: ContractNow, now: ContractNow) -> tuple[ChanceMove, ...]:
    """The closed parts whose chances moved most, the largest move first."""
    before, after = chances_now(was.rest), chances_now(now.rest)
    cat = now.here.work.cat
    opened = set(now.here.contract.resolved) - set(was.here.contract.resolved)
    oils = {cat.circuit_of(part) for part in opened if part in cat.parts} - {""}
    moved = [
        ChanceMove(part, cat.parts[part].name, before[part], chance, cat.circuit_of(part) in oils)
        for part, chance in after.items()
        if part in before and abs(chance - before[part]) >= LEAST_MOVE
    ]
    moved.sort(key=lambda one: (-abs(one.now - one.was), one.part))
    return tuple(moved[:MOST_MOVED])


def _ranges(now: ContractNow) -> Iterable[RangeRow]:
    for case in now.rest.unpriced:
        range_ = case.variation.range
        if range_ is not None:
            yield RangeRow(case.variation.name, case.variation.title, range_)
