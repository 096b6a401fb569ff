"""The parts list of a scope: what is ordered, from whom, when it is here, what goes back.

For the store it shows what parts cost the workshop; the customer's form holds no cost at all.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from math import ceil

from estimator.domain.catalogue.work_rows import PartsGroup
from estimator.domain.in_language import in_language
from estimator.domain.language import ENGLISH
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.priced_work import PricedWork
from estimator.domain.pricing import PricedLine, exchange_rate
from estimator.domain.programme.programme import Programme, build_programme
from estimator.domain.programme.working_time import WorkingTime
from estimator.domain.scope_line import PARTS, PROVISIONAL
from estimator.domain.workshop_papers.head import PaperHead, component_name, head_of

PAPER = "parts list: "
RETURN_DAYS = 30
"""Days from delivery in which an old unit goes back: the shortest of the published policies of
component rebuilders (30, 45, 60 or 90 days). The supplier's own term counts."""


@dataclass(frozen=True, slots=True)
class ExchangeBack:
    """The charge held on old units, and the day by which they go back."""

    charge_each: Money
    charge: Money
    back_by: date


@dataclass(frozen=True, slots=True)
class PartRow:
    """A parts line. `cost_each` and `cost` are the workshop's own, None on a customer's form;
    `needed` is the first day of the step that uses it."""

    id: str
    name: str
    component: str
    certainty: str
    quantity: Decimal
    low: Decimal
    high: Decimal
    unit: str
    lead_weeks: Decimal
    here: date
    needed: date | None
    cost_each: Money | None
    cost: Money | None
    exchange: ExchangeBack | None

    @property
    def late(self) -> bool:
        """Whether it comes only after the step that uses it would begin."""
        return self.needed is not None and self.here > self.needed


@dataclass(frozen=True, slots=True)
class PartsSection:
    """Parts of one supplier, or of one component group; `cost` None on a customer's form."""

    id: str
    name: str
    rows: tuple[PartRow, ...]
    cost: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsList:
    """The list. `cost` is that of every row together; `charges` those held on exchange units."""

    head: PaperHead
    for_customer: bool
    ordered: date
    sections: tuple[PartsSection, ...]
    rows: int
    provisional: int
    cost: Money | None
    charges: Money
    return_days: int


def build_parts_list(
    work: PricedWork, day: date, language: str = ENGLISH, *, for_customer: bool
) -> PartsList:
    """The parts list of a job's scope. Raises NetworkCycle, BeyondCalendar, NoRate."""
    said = in_language(work, language)
    programme = build_programme(said.job, said.cat, said.scope)
    currency = said.job.terms.currency
    sections: dict[str, list[PartRow]] = {}
    for one in said.lines:
        if one.line.kind != PARTS or not isinstance(one.line.row, PartsGroup):
            continue
        row = _row(one, said, programme, for_customer=for_customer)
        key = one.line.group if for_customer else one.line.row.supplier
        sections.setdefault(key, []).append(row)
    rows = [row for found in sections.values() for row in found]
    head = head_of(said.job, said.cat, day, PAPER, language)
    return PartsList(
        head=head if for_customer else replace(head, customer=None),
        for_customer=for_customer,
        ordered=said.job.start,
        sections=tuple(
            _section(key, sections[key], said, for_customer) for key in _ordered(sections, said)
        ),
        rows=len(rows),
        provisional=sum(row.certainty == PROVISIONAL for row in rows),
        cost=None if for_customer else _cost(rows, currency),
        charges=money_sum((row.exchange.charge for row in rows if row.exchange), currency),
        return_days=RETURN_DAYS,
    )  # fmt: skip


def line_cost(one: PricedLine, currency: str) -> Money:
    """What a line costs the workshop, half-up to the minor unit."""
    return money_half_up(one.cost, currency)


def here_on(time: WorkingTime, lead_weeks: Decimal) -> date:
    """The first working day on which a part ordered at the start can be used."""
    come = time.start + timedelta(days=ceil(lead_weeks * 7))
    while not time.is_open(come):
        come += timedelta(days=1)
    return come


def _ordered(sections: dict[str, list[PartRow]], work: PricedWork) -> list[str]:
    """Suppliers or groups in the order of the catalogue; parts that name none come last."""
    known = [*work.cat.suppliers, *work.cat.groups]
    return sorted(sections, key=lambda one: known.index(one) if one in known else len(known))


def _section(key: str, rows: list[PartRow], work: PricedWork, for_customer: bool) -> PartsSection:
    named = work.cat.suppliers.get(key)
    if for_customer:
        return PartsSection(key, work.cat.groups[key].name, tuple(rows), None)
    name = named.supplies if named is not None else ""
    return PartsSection(key, name, tuple(rows), _cost(rows, work.job.terms.currency))


def _cost(rows: Iterable[PartRow], currency: str) -> Money:
    return money_sum((row.cost for row in rows if row.cost is not None), currency)


def _row(one: PricedLine, work: PricedWork, programme: Programme, *, for_customer: bool) -> PartRow:
    line, row, job = one.line, one.line.row, work.job
    assert isinstance(row, PartsGroup)
    here = here_on(programme.time, row.lead_weeks)
    step = programme.steps.get(row.activity)
    currency = job.terms.currency
    exchange = None
    if row.exchange_charge:
        rate = exchange_rate(job, work.cat.settings.currency)
        each = money_half_up(row.exchange_charge * rate, currency)
        whole = money_half_up(each.amount * line.quantity, currency)
        exchange = ExchangeBack(each, whole, here + timedelta(days=RETURN_DAYS))
    each_cost = money_half_up(row.unit_cost * exchange_rate(job, row.currency), currency)
    return PartRow(
        id=line.id,
        name=row.name,
        component=component_name(work.cat, row.component),
        certainty=line.certainty,
        quantity=line.quantity,
        low=line.low,
        high=line.high,
        unit=line.unit,
        lead_weeks=row.lead_weeks,
        here=here,
        needed=step.start_day if step is not None else None,
        cost_each=None if for_customer else each_cost,
        cost=None if for_customer else line_cost(one, currency),
        exchange=exchange,
    )
