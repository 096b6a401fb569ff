"""One component as it lies on the bench: cautions of its work, what to measure, its parts and its
provisional lines. Frozen rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from estimator.domain.catalogue.rows import Caution
from estimator.domain.contract.contract import Contract
from estimator.domain.contract.events import Opened
from estimator.domain.contract.remaining import Remaining
from estimator.domain.contract.remeasure import difficulty_of
from estimator.domain.contract.variation import Remeasured
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.findings import Finding
from estimator.domain.money import Money, money_half_up
from estimator.domain.priced_work import PricedWork
from estimator.domain.pricing import PricedLine
from estimator.domain.scope_line import LABOUR
from estimator.domain.wear import Limits
from estimator.services.show_teardown import chances_now, lines_of
from estimator.services.write_contract import Here

SETTLED_FIRM = "firm"  # a part priced as worn by its chance alone


@dataclass(frozen=True, slots=True)
class CautionRow:
    """A caution of a component's work, and who ticked it when; "" while nobody has."""

    id: str
    hazard: str
    text: str
    defers_to: str
    ticked_by: str
    ticked_at: datetime | None


@dataclass(frozen=True, slots=True)
class PartRow:
    """A part of the component that may be worn. `state` is worn, sound, firm (priced as worn by its
    chance) or "" while it is closed; `chance` and the range are of a closed one."""

    id: str
    name: str
    state: str
    chance: float
    low: Money
    likely: Money
    high: Money
    ways: tuple[str, ...]
    variation: str
    day: Decimal


@dataclass(frozen=True, slots=True)
class MeasureRow:
    """Something to measure: limits in `unit`, the part a reading settles, and the newest reading of
    the teardown, if any."""

    id: str
    name: str
    kind: str
    unit: str
    limits: Limits | None
    settles: str
    reading: Finding | None
    by: str


@dataclass(frozen=True, slots=True)
class LineRow:
    """A provisional line: quantity as quoted (hours before difficulty) with its range, and as
    measured since."""

    id: str
    name: str
    unit: str
    quantity: Decimal
    low: Decimal
    high: Decimal
    amount: Money
    measured: Remeasured | None
    as_priced: bool


@dataclass(frozen=True, slots=True)
class Bench:
    """One component as it lies on the bench."""

    component: str
    name: str
    operations: tuple[tuple[str, str, Decimal], ...]  # code, name, hours
    cautions: tuple[CautionRow, ...]
    measures: tuple[MeasureRow, ...]
    parts: tuple[PartRow, ...]
    lines: tuple[LineRow, ...]


def show_bench(here: Here, rest: Remaining | None, component: str) -> Bench:
    """One component: cautions of its operations, what to measure, its parts and its lines. Raises
    KeyError where the machine has no such component."""
    contract, work = here.contract, here.work
    operations = tuple(
        (line.id, line.line.row.name, line.line.quantity)
        for line in work.lines
        if line.line.component == component and line.line.kind == LABOUR
    )
    return Bench(
        component,
        work.cat.components[component].name,
        operations,
        _cautions(component, here),
        _measures(component, here),
        tuple(_part_rows(component, here, rest)),
        tuple(_line_row(line, contract, work) for line in lines_of(component, work)),
    )


def _cautions(component: str, here: Here) -> tuple[CautionRow, ...]:
    work = here.work
    codes = {
        code
        for line in work.lines
        if line.line.component == component and line.line.kind == LABOUR
        for code in getattr(line.line.row, "cautions", ())
    }
    ticked: dict[str, tuple[str, datetime]] = {}
    for event in here.contract.events:
        if isinstance(event, Opened) and event.component == component:
            ticked |= dict.fromkeys(event.cautions_ticked, (event.who, event.at))
    return tuple(_caution(work.cat.cautions[code], ticked) for code in sorted(codes))


def _caution(row: Caution, ticked: Mapping[str, tuple[str, datetime]]) -> CautionRow:
    who, at = ticked.get(row.id, ("", None))
    return CautionRow(row.id, row.hazard, row.caution, row.defers_to, who, at)


def _measures(component: str, here: Here) -> tuple[MeasureRow, ...]:
    newest: dict[str, tuple[Finding, str]] = {}
    for event in here.contract.events:
        if isinstance(event, Opened):
            newest |= {one.measure: (one, event.who) for one in event.readings if one.measure}
    rows = []
    for row in here.work.cat.measures.values():
        if row.component != component:
            continue
        limits = None
        if row.new is not None and row.rebuild_limit is not None and row.service_limit is not None:
            limits = Limits(row.new, row.rebuild_limit, row.service_limit)
        reading, who = newest.get(row.id, (None, ""))
        rows.append(
            MeasureRow(row.id, row.name, row.kind, row.unit, limits, row.part, reading, who)
        )
    return tuple(rows)


def _part_rows(component: str, here: Here, rest: Remaining | None) -> list[PartRow]:
    contract, work = here.contract, here.work
    exposed = {part.part: part for part in work.exposed if part.component == component}
    chances = chances_now(rest) if rest is not None else {}
    raised = {
        part: case.variation.number
        for case in contract.cases.values()
        for part in case.variation.parts
    }
    rows = [
        _part_row(part, here, chances.get(part.part), raised.get(part.part, ""))
        for part in exposed.values()
    ]
    nothing = contract.nothing
    for part in work.firm_by_chance:
        if work.cat.parts[part].component == component:
            state = contract.resolved.get(part, SETTLED_FIRM)
            chance = work.known.chances[part].after
            rows.append(
                PartRow(
                    part, work.cat.parts[part].name, state, chance, nothing, nothing, nothing,
                    (), raised.get(part, ""), Decimal(0),
                )
            )  # fmt: skip
    return rows


def _part_row(part: ExposedPart, here: Here, chance: float | None, variation: str) -> PartRow:
    terms = here.work.job.terms

    def money(value: float) -> Money:
        return money_half_up(Decimal(repr(value)), terms.currency, terms.quoting_unit)

    return PartRow(
        part.part,
        part.name,
        here.contract.resolved.get(part.part, ""),
        part.chance.after if chance is None else chance,
        money(part.cost.low),
        money(part.cost.likely),
        money(part.cost.high),
        tuple(one.way for one in part.ways),
        variation,
        Decimal(f"{part.added_days:g}"),
    )


def _line_row(line: PricedLine, contract: Contract, work: PricedWork) -> LineRow:
    difficulty = difficulty_of(line, work)
    return LineRow(
        line.id,
        line.line.row.name,
        line.line.unit,
        line.line.quantity / difficulty,
        line.line.low / difficulty,
        line.line.high / difficulty,
        line.amount,
        contract.measured.get(line.id),
        line.id in contract.as_priced,
    )
