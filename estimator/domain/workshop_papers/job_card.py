"""The job card of a trade: its operations step by step, what holds them, what to read and to heed.

No price stands on it. What nobody has ordered or released is named, so that it is not begun.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import Caution
from estimator.domain.catalogue.work_rows import Measure, Operation
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.states import DONE, PART_APPROVED, RELEASED, WITHDRAWN
from estimator.domain.disposition import READINGS
from estimator.domain.in_language import in_language
from estimator.domain.language import ENGLISH
from estimator.domain.priced_work import PricedWork
from estimator.domain.programme.programme import Programme, Step, build_programme
from estimator.domain.scope_line import LABOUR, PROVISIONAL, ScopeLine
from estimator.domain.workshop_papers.head import (
    PaperHead,
    cautions_named,
    cautions_of,
    component_name,
    head_of,
)
from estimator.domain.workshop_papers.parts_list import here_on

PAPER = "job card: "
NOT_ORDERED, STRIP_ORDERED, ORDERED = "not ordered", "strip ordered", "ordered"
_NOTHING = Decimal(0)


class NoSuchTrade(KeyError):
    """The scope has no work for that trade."""


@dataclass(frozen=True, slots=True)
class CardOperation:
    """An operation. `after` are those of the scope it waits for, as (code, name, other trade or
    ""); `ordered` whether it may begin at all."""

    id: str
    name: str
    component: str
    hours: Decimal
    low: Decimal
    high: Decimal
    crew: int
    provisional: bool
    reason: str
    after: tuple[tuple[str, str, str], ...]
    hazards: tuple[str, ...]
    ordered: bool


@dataclass(frozen=True, slots=True)
class CardStep:
    """A step of the programme with this trade's operations in it. It waits for the steps `after`,
    and for `parts` as (name, day they are here)."""

    id: str
    name: str
    bay: str
    start: date | None
    finish: date | None
    after: tuple[str, ...]
    parts: tuple[tuple[str, date], ...]
    operations: tuple[CardOperation, ...]
    hours: Decimal


@dataclass(frozen=True, slots=True)
class CardReading:
    """A reading to take; `found` is the inspection's."""

    id: str
    component: str
    what: str
    unit: str
    new: Decimal | None
    rebuild: Decimal | None
    service: Decimal | None
    found: Decimal | None


@dataclass(frozen=True, slots=True)
class CardVariation:
    """A variation that is not released: its work may not begin."""

    name: str
    title: str
    location: str
    state: str


@dataclass(frozen=True, slots=True)
class ReleasedWork:
    """Work of a released variation for this trade."""

    variation: str
    title: str
    what: str
    hours: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCard:
    """The card of one trade; `cautions` are all of its operations and of its released work."""

    head: PaperHead
    trade: str
    name: str
    ordered: str
    steps: tuple[CardStep, ...]
    hours: Decimal
    low: Decimal
    high: Decimal
    released: tuple[ReleasedWork, ...]
    released_hours: Decimal
    not_released: tuple[CardVariation, ...]
    readings: tuple[CardReading, ...]
    masses: tuple[tuple[str, Decimal], ...]  # (what is lifted, kg)
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class Authority:
    """What of a job may begin: `ordered`, the lines of a strip where no more is ordered, and the
    contract, where there is one."""

    ordered: str = NOT_ORDERED
    strip_lines: frozenset[str] = frozenset()
    contract: Contract | None = None

    def covers(self, line: str) -> bool:
        """Whether a line of the scope is ordered."""
        return self.ordered == ORDERED or line in self.strip_lines


def trades_of(work: PricedWork) -> tuple[tuple[str, str], ...]:
    """(code, name) of every trade with work in the scope, in the order of the catalogue."""
    used = {one.line.row.trade for one in work.lines if isinstance(one.line.row, Operation)}
    return tuple((row.id, row.name) for row in work.cat.trades.values() if row.id in used)


def build_job_card(
    work: PricedWork,
    trade: str,
    day: date,
    authority: Authority | None = None,
    language: str = ENGLISH,
) -> JobCard:
    """The card of a trade. Raises NoSuchTrade, NetworkCycle, BeyondCalendar."""
    said, known = in_language(work, language), authority or Authority()
    cat = said.cat
    programme = build_programme(said.job, cat, said.scope)
    lines = [one.line for one in said.lines if _trade(one.line) == trade]
    if not lines:
        raise NoSuchTrade(trade)
    released, waiting = _variations(known.contract, trade)
    return JobCard(
        head=head_of(said.job, cat, day, PAPER, language),
        trade=trade,
        name=cat.trades[trade].name,
        ordered=known.ordered,
        steps=_steps(lines, said, programme, known),
        hours=_sum(line.quantity for line in lines),
        low=_sum(line.low for line in lines),
        high=_sum(line.high for line in lines),
        released=released,
        released_hours=_sum(one.hours for one in released),
        not_released=waiting,
        readings=_readings(said, trade),
        masses=tuple((one.piece, one.mass_kg) for one in cat.masses),
        cautions=_cautions(lines, cat, known.contract),
    )


def _trade(line: ScopeLine) -> str:
    return line.row.trade if line.kind == LABOUR and isinstance(line.row, Operation) else ""


def _sum(values: Iterable[Decimal]) -> Decimal:
    return sum(values, _NOTHING)


def _steps(
    lines: list[ScopeLine], work: PricedWork, programme: Programme, authority: Authority
) -> tuple[CardStep, ...]:
    by_step: dict[str, list[ScopeLine]] = {}
    for line in lines:
        by_step.setdefault(line.row.activity, []).append(line)
    order = [*sorted(programme.steps, key=lambda code: programme.steps[code].timing.start)]
    in_order = sorted(by_step, key=lambda one: order.index(one) if one in order else len(order))
    return tuple(
        _step(programme.steps.get(code), by_step[code], work, programme, authority)
        for code in in_order
    )


def _step(
    step: Step | None,
    lines: list[ScopeLine],
    work: PricedWork,
    programme: Programme,
    authority: Authority,
) -> CardStep:
    operations = tuple(_operation(line, work, authority) for line in lines)
    hours = _sum(one.hours for one in operations)
    if step is None:
        return CardStep("", "", "", None, None, (), (), operations, hours)
    parts = work.cat.parts
    return CardStep(
        id=step.id,
        name=step.name,
        bay=step.bay,
        start=step.start_day,
        finish=step.finish_day,
        after=tuple(programme.steps[one].name for one in step.after if one in programme.steps),
        parts=tuple(
            (parts[one].name, here_on(programme.time, parts[one].lead_weeks))
            for one in step.waits_for if one in parts
        ),
        operations=operations,
        hours=hours,
    )  # fmt: skip


def _operation(line: ScopeLine, work: PricedWork, authority: Authority) -> CardOperation:
    row, cat = line.row, work.cat
    assert isinstance(row, Operation)
    there = {one.id: one.line.row for one in work.lines if isinstance(one.line.row, Operation)}
    before = [there[code] for code in row.after if code in there]
    return CardOperation(
        id=line.id,
        name=row.name,
        component=component_name(cat, row.component),
        hours=line.quantity,
        low=line.low,
        high=line.high,
        crew=row.crew,
        provisional=line.certainty == PROVISIONAL,
        reason=line.why if line.certainty == PROVISIONAL else "",
        after=tuple(
            (one.id, one.name, cat.trades[one.trade].name if one.trade != row.trade else "")
            for one in before
        ),
        hazards=tuple(one.hazard for one in cautions_named(cat, row.cautions)),
        ordered=authority.covers(line.id),
    )  # fmt: skip


def _variations(
    contract: Contract | None, trade: str
) -> tuple[tuple[ReleasedWork, ...], tuple[CardVariation, ...]]:
    """This trade's work of what is released, and every variation whose work may not begin."""
    released: list[ReleasedWork] = []
    waiting = []
    for case in contract.cases.values() if contract is not None else ():
        one = case.variation
        if case.state == RELEASED:
            released += _released(case, trade)
        elif case.state not in (DONE, WITHDRAWN):
            waiting.append(CardVariation(one.name, one.title, one.location, case.state))
    return tuple(released), tuple(waiting)


def _released(case: Case, trade: str) -> list[ReleasedWork]:
    one = case.variation
    partly = any(step.state == PART_APPROVED for step in case.steps)
    return [
        ReleasedWork(one.name, one.title, line.what, line.quantity)
        for place, line in enumerate(one.lines)
        if line.kind == LABOUR and line.trade == trade
        and (not partly or place in case.agreed_lines)
    ]  # fmt: skip


def _cautions(
    lines: list[ScopeLine], cat: ClassCatalogue, contract: Contract | None
) -> tuple[Caution, ...]:
    """Those of the operations, and of what puts right the parts of released variations."""
    codes = {one.id for one in cautions_of(cat, lines)}
    for case in contract.cases.values() if contract is not None else ():
        if case.state == RELEASED:
            parts = set(case.variation.parts)
            rows = [one for one in cat.operations.values() if parts & set(one.follows)]
            codes |= {code for one in rows for code in one.cautions}
    return cautions_named(cat, codes)


def _readings(work: PricedWork, trade: str) -> tuple[CardReading, ...]:
    """Measures with limits that this trade is to take: of the parts its operations put right; of
    the rest of a component, whoever has most hours on it."""
    cat = work.cat
    mine, others = _claimed(work, trade)
    hours: dict[str, dict[str, Decimal]] = {}
    for one in work.lines:
        if who := _trade(one.line):
            on = hours.setdefault(one.line.row.component, {})
            on[who] = on.get(who, _NOTHING) + one.line.quantity
    most = {code: max(on, key=lambda who: on[who]) for code, on in hours.items()}
    judged = work.scope.judgements.values()
    found = {one.finding.measure: one.measured for one in judged if one.measured is not None}
    return tuple(
        CardReading(
            one.id, component_name(cat, one.component), one.name, one.unit, one.new,
            one.rebuild_limit, one.service_limit, found.get(one.id),
        )
        for one in cat.measures.values()
        if one.new is not None and one.kind in READINGS
        and _falls_to(one, trade, mine, others, most)
    )  # fmt: skip


def _claimed(work: PricedWork, trade: str) -> tuple[set[str], set[str]]:
    """Parts that this trade's operations put right, and those of other trades."""
    mine, others = set[str](), set[str]()
    for one in work.lines:
        if who := _trade(one.line):
            (mine if who == trade else others).update(one.line.row.follows)
    return mine, others


def _falls_to(
    one: Measure,
    trade: str,
    mine: Collection[str],
    others: Collection[str],
    most: dict[str, str],
) -> bool:
    if one.part and one.part in mine:
        return True
    return not (one.part and one.part in others) and most.get(one.component) == trade
