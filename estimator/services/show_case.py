"""One opened variation: evidence, ways, who may agree and why, cost of waiting, time in each state.
Frozen rows."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

from estimator.domain.contract.acceptance import CUSTOMER, Authority
from estimator.domain.contract.authority import may_agree
from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.states import WAITING_ON
from estimator.domain.contract.variation import (
    CONTINGENCY,
    CONTRACT_SUM,
    REMEASURED,
    Variation,
)
from estimator.domain.money import Money
from estimator.domain.record import Photograph
from estimator.services.open_record import Record
from estimator.services.write_contract import Here, awaited
from estimator.services.write_edit import kept_job
from estimator.storage import photograph_record

LEAVE = "leave"  # key of the way that is no way: it is not done
LETTERS = "ABCDEFGH"
SATURDAY = 5


@dataclass(frozen=True, slots=True)
class WayRow:
    """One way of dealing with it; `key` is its letter, LEAVE for not doing it. `amount` is None
    where it has no price of its own yet."""

    key: str
    way: str
    what: str
    amount: Money | None
    days: Decimal
    warranty: str
    note: str
    chosen: bool
    cautioned: bool


@dataclass(frozen=True, slots=True)
class GroundRow:
    """One ground for or against: its code, and the sums it compares where it compares any."""

    holds: bool
    code: str  # limit-each, limit-total, order, left, side, own, no-authority
    amount: Money | None = None
    limit: Money | None = None


@dataclass(frozen=True, slots=True)
class ApproverRow:
    """Somebody with authority on this job, and whether it reaches so far."""

    name: str
    side: str
    capacity: str
    limit_each: Money | None
    limit_total: Money | None
    agreed: Money  # by them on this job so far
    may: bool
    asked: bool  # whether the answer waits on them


@dataclass(frozen=True, slots=True)
class StateRow:
    """A state it was in: since when, how long, through whom, in which words."""

    state: str
    at: datetime
    hours: float
    who: str
    capacity: str
    channel: str
    words: str
    reason: str
    now: bool


@dataclass(frozen=True, slots=True)
class Waiting:
    """What waiting for the answer costs."""

    per_day: Money | None
    begins: date | None
    days: int  # working days so far that cost
    cost: Money
    answer_by: date | None
    overdue: bool
    on: str  # role or side
    ask: str  # by name


@dataclass(frozen=True, slots=True)
class EarlierRow:
    """A revision that was superseded."""

    name: str
    title: str
    priced_by: str
    amount: Money | None
    low: Money | None
    high: Money | None


@dataclass(frozen=True, slots=True)
class CaseView:
    """One opened variation."""

    case: Case
    component: str
    group: str
    activity: str
    ways: tuple[WayRow, ...]
    approvers: tuple[ApproverRow, ...]
    waiting: Waiting
    states: tuple[StateRow, ...]
    earlier: tuple[EarlierRow, ...]

    @property
    def variation(self) -> Variation:
        """Its newest revision."""
        return self.case.variation


def show_case(here: Here, number: str, moment: datetime) -> CaseView:
    """One variation of a contract. Raises CannotFollow where there is none of that number."""
    contract, cat = here.contract, here.work.cat
    case = contract.case(number)
    variation = case.variation
    component = cat.components.get(variation.component)
    group = cat.groups.get(component.group) if component is not None else None
    activity = cat.activities.get(variation.activity)
    return CaseView(
        case,
        component.name if component is not None else "",
        group.name if group is not None else "",
        activity.name if activity is not None else variation.activity,
        tuple(ways_of(case, contract)),
        tuple(_approvers(case, contract)),
        _waiting(case, here, moment.date()),
        tuple(_states(case, moment)),
        tuple(_earlier(one, contract.currency) for one in case.earlier),
    )


# Ways


def ways_of(case: Case, contract: Contract) -> Iterator[WayRow]:
    """The ways offered, the priced one with its lines' own sum; last, not doing it."""
    variation = case.variation
    letters = iter(LETTERS)
    priced = _sum_of(variation, contract.currency) if variation.is_priced else None
    if not variation.ways:
        yield WayRow(
            next(letters), variation.chosen, variation.title, priced, variation.days, "", "", True,
            False,
        )  # fmt: skip
    one_only = len(variation.ways) == 1
    for letter, way in zip(letters, variation.ways, strict=False):
        chosen = one_only or way.way == variation.chosen
        yield WayRow(
            letter, way.way, way.what, priced if chosen and priced is not None else way.amount,
            variation.days if chosen and variation.is_priced else way.days, way.warranty, way.note,
            chosen, False,
        )  # fmt: skip
    if not variation.cannot_be_declined and variation.end in (CONTINGENCY, CONTRACT_SUM):
        yield WayRow(
            LEAVE, LEAVE, "", contract.nothing, Decimal(0), "", variation.consequence, False,
            variation.safety,
        )  # fmt: skip


def _sum_of(variation: Variation, currency: str) -> Money:
    if variation.end == REMEASURED:
        return variation.remeasured_by(currency)
    return variation.amount(currency)


# Who may


def grounds_of(contract: Contract, case: Case, name: str, amount: Money | None = None) -> tuple[
    GroundRow, ...
]:  # fmt: skip
    """Whether somebody may agree (to `amount` of it), ground by ground, with what is compared."""
    wanted = case.variation.amount(contract.currency) if amount is None else amount
    authority = contract.authorities.get(name)
    verdict = may_agree(contract, case, name, amount)
    return tuple(
        GroundRow(one.holds, one.code, *_compared(contract, case, authority, one.code, wanted))
        for one in verdict.grounds
    )


def _compared(
    contract: Contract, case: Case, authority: Authority | None, code: str, amount: Money
) -> tuple[Money | None, Money | None]:
    if authority is None:
        return None, None
    if code == "limit-each":
        return amount, authority.limit_each
    if code == "limit-total":
        return contract.agreed_so_far(authority.name) + amount, authority.limit_total
    if code == "left":
        return amount, contract.left
    if code == "order":
        variation = case.variation
        on_sum = contract.nothing
        if variation.end == CONTINGENCY:
            on_sum = contract.rule.fund(amount, contract.totals).on_contract_sum
        elif variation.end == CONTRACT_SUM:
            on_sum = amount
        return contract.current_sum + on_sum, contract.order_limit
    return None, None


def _approvers(case: Case, contract: Contract) -> Iterator[ApproverRow]:
    _role, ask = awaited(contract, case)
    for authority in contract.authorities.values():
        may = case.variation.is_priced and may_agree(contract, case, authority.name).may
        yield ApproverRow(
            authority.name, authority.side, authority.capacity, authority.limit_each,
            authority.limit_total, contract.agreed_so_far(authority.name), may,
            bool(ask) and ask.split(", ")[0] == authority.name,
        )  # fmt: skip


def customers_approvers(contract: Contract) -> tuple[Authority, ...]:
    """Who answers for the customer."""
    return tuple(one for one in contract.authorities.values() if one.side == CUSTOMER)


# Waiting, time, what was before


def _waiting(case: Case, here: Here, today: date) -> Waiting:
    variation, contract = case.variation, here.contract
    until = today
    if not case.is_open:
        until = next((s.at.date() for s in case.steps if s.state == case.state), today)
    closed = {one.date for one in here.work.cat.closures}
    begins = variation.waiting_from
    days = working_days(begins, until, closed) if begins and variation.waiting_per_day else 0
    role, ask = awaited(contract, case) if case.state in WAITING_ON else ("", "")
    by = variation.answer_by
    return Waiting(
        variation.waiting_per_day, begins, days, variation.waiting_cost(days, contract.currency),
        by, case.is_open and by is not None and by < today, role, ask,
    )  # fmt: skip


def working_days(begins: date, until: date, closed: Iterable[date]) -> int:
    """Working days from one day to another, the last not counted; none where it is over before."""
    shut = frozenset(closed)
    days = (begins + timedelta(days=one) for one in range((until - begins).days))
    return sum(day.weekday() < SATURDAY and day not in shut for day in days)


def _states(case: Case, moment: datetime) -> Iterator[StateRow]:
    ends = [*(step.at for step in case.steps[1:]), moment]
    for place, (step, end) in enumerate(zip(case.steps, ends, strict=True), start=1):
        hours = max((end - step.at).total_seconds() / 3600, 0.0)
        yield StateRow(
            step.state, step.at, hours, step.who, step.capacity, step.channel, step.words,
            step.reason, place == len(case.steps),
        )  # fmt: skip


def _earlier(variation: Variation, currency: str) -> EarlierRow:
    range_ = variation.range
    return EarlierRow(
        variation.name, variation.title, variation.priced_by,
        _sum_of(variation, currency) if variation.is_priced else None,
        range_.low if range_ else None, range_.high if range_ else None,
    )  # fmt: skip


def photographs_named(record: Record, number: str, names: Iterable[str]) -> list[Photograph]:
    """Photographs of a job by their names, in that order, with thumbnails; names that are not
    kept are left out. Raises NotFound."""
    with record.reading() as session:
        kept = kept_job(session, number)
        found = {one.name: one for one in photograph_record.photographs(session, kept.id)}
    return [found[name] for name in names if name in found]
