"""What waits on whom and since when, over all jobs, with the cost of waiting."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta, tzinfo
from functools import lru_cache
from typing import Any, NamedTuple

from estimator.domain.contract.states import OPEN, RELEASED
from estimator.domain.money import Money, money_sum
from estimator.domain.people import Person
from estimator.domain.record import EXPIRED, ISSUED, PROPOSED, JobSummary
from estimator.services.open_record import Record
from estimator.storage import contract_record
from estimator.storage.job_list import Wanted, summaries

RELEASE, VARIATION, ANSWER = "release", "variation", "answer"
WAITS_ON = ("service manager", "estimator", "customer", "foreman")
YOU, MANAGER, THE_ESTIMATOR, THE_CUSTOMER = "you", *WAITS_ON[:3]
HEADS = (YOU, *WAITS_ON)
MOST = 2000  # quotes in one state
SATURDAY = 5
_SINCE, _BEGINS = map(contract_record.WAITING.index, ("since", "waiting_from"))


class WaitingRow(NamedTuple):
    """One thing that waits. A tuple, since thousands are made each time one looks.

    `amount` is None where it has no price yet; then `low` and `high` hold its range. `days` are
    working days since; `cost` what the bay has cost meanwhile, `per_day` what it goes on costing.
    A quote's `answer_by` is the last day of its price.
    """

    job: str
    customer: str
    kind: str
    number: str
    revision: int
    title: str
    waits_on: str
    ask: str
    state: str
    end: str
    since: datetime
    days: int
    amount: Money | None
    low: Money | None
    high: Money | None
    answer_by: date | None
    overdue: bool
    cost: Money
    per_day: Money | None
    costs_from: date | None
    stops: str  # activity that cannot go on
    safety: bool
    class_id: str = ""  # of a quote's machine
    costs_now: bool = False  # waiting has begun to cost: the bay stands

    @property
    def id(self) -> str:
        """What tells it from every other thing that waits."""
        return f"{self.job}/{self.kind}/{self.number}"


@dataclass(frozen=True, slots=True)
class DeskView:
    """Everything that waits, the longest wait first, and what it costs: each job once, by its
    dearest wait, by currency. In the jobs of `stopped` the bay stands."""

    rows: tuple[WaitingRow, ...]
    per_day: tuple[Money, ...]
    so_far: tuple[Money, ...]
    stopped: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class DeskGroup:
    """What waits on one of HEADS."""

    key: str
    rows: tuple[WaitingRow, ...]


@dataclass(frozen=True, slots=True)
class OnYou:
    """What waits on one person: how many things, the oldest's working days, how many cost."""

    count: int
    oldest_days: int
    costing: int
    overdue: int


def show_desk(record: Record, now: datetime, closed: Iterable[date] = ()) -> DeskView:
    """What waits on whom; `closed` are days on which the workshop does not work. Days are those of
    the zone that `now` is told in."""
    today, zone = now.date(), now.tzinfo
    with record.reading() as session:
        # What is released is being done: nobody waits.
        waiting = contract_record.waiting_cells(session, leaving_out=RELEASED)
        quotes = [
            job
            for state in (PROPOSED, ISSUED, EXPIRED)
            for job in summaries(session, Wanted(today=today, state=state, limit=MOST))
        ]
    since = [_day(cells[_SINCE], zone) for cells in waiting]
    asked = [_day(job.since, zone) for job in quotes]
    begins = [cells[_BEGINS] for cells in waiting if cells[_BEGINS]]
    counted = _working_days([*since, *asked, *begins], today, closed)
    rows = [
        _row(cells, counted[day], counted, today) for cells, day in zip(waiting, since, strict=True)
    ]
    rows += [_quote_row(job, counted[day]) for job, day in zip(quotes, asked, strict=True)]
    rows.sort(key=lambda one: (one.since, one.job, one.number))
    costing: dict[str, list[tuple[WaitingRow, int]]] = {}
    for row in rows:
        if row.costs_now and row.costs_from is not None:
            costing.setdefault(row.job, []).append((row, counted[row.costs_from]))
    return DeskView(tuple(rows), *_costs(costing), tuple(costing))


def _day(moment: datetime, zone: tzinfo | None) -> date:
    return moment.astimezone(zone).date() if zone is not None else moment.date()


def _row(cells: list[Any], days: int, counted: Mapping[date, int], today: date) -> WaitingRow:
    """From cells in the order of WAITING."""
    (_job_id, number, revision, state, since, waits_on, ask, title, end, currency, amount, low,
     high, answer_by, begins, per_day, activity, safety, job, customer) = cells  # fmt: skip
    open_ = state in OPEN
    if not open_ or begins is None:  # once answered, waiting for the answer costs no more
        per_day = None
    return WaitingRow(
        job, customer, VARIATION, number, revision, title, waits_on, ask, state, end, since, days,
        None if amount is None else _sum(amount, currency),
        None if low is None else _sum(low, currency),
        None if high is None else _sum(high, currency),
        answer_by, open_ and answer_by is not None and answer_by < today,
        _sum(per_day * counted[begins] if per_day else 0, currency),
        None if per_day is None else _sum(per_day, currency),
        None if per_day is None else begins, activity, safety,
        costs_now=bool(per_day) and begins <= today,
    )  # fmt: skip


@lru_cache(maxsize=4096)
def _sum(minor: int, currency: str) -> Money:
    """Money is checked as it is made; thousands of rows share a few sums."""
    return Money(minor, currency)


def _quote_row(job: JobSummary, days: int) -> WaitingRow:
    """A quote that waits to be released, or one that is out and waits for its answer."""
    value = job.value if job.state == PROPOSED else job.net
    nothing = Money(0, value.currency if value is not None else "GBP")
    return WaitingRow(
        job.number, job.customer, RELEASE if job.state == PROPOSED else ANSWER, job.revision, 0, "",
        job.waits_for, "", job.state, "", job.since, days, value, None, None,
        None if job.state == PROPOSED else job.valid_until, job.state == EXPIRED, nothing, None,
        None, "", False, class_id=job.class_id,
    )  # fmt: skip


def _working_days(begins: Iterable[date], today: date, closed: Iterable[date]) -> dict[date, int]:
    """Working days from each day to today, today not counted; none from a day to come. One walk
    back from today, however many days are asked for."""
    wanted, shut = set(begins), frozenset(closed)
    counted = {day: 0 for day in wanted if day >= today}
    day, count, first = today, 0, min(wanted, default=today)
    while day > first:
        day -= timedelta(days=1)
        count += day.weekday() < SATURDAY and day not in shut
        if day in wanted:
            counted[day] = count
    return counted


def _costs(
    costing: Mapping[str, list[tuple[WaitingRow, int]]],
) -> tuple[tuple[Money, ...], tuple[Money, ...]]:
    """(a day, so far) by currency. Each job counts once, since it stands in one bay: on each day
    by the dearest of its waits that had begun by then."""
    a_day: dict[str, list[Money]] = {}
    so_far: dict[str, list[Money]] = {}
    for waits in costing.values():
        currency = waits[0][0].cost.currency
        dearest, cost = _cost_of_job(waits)
        a_day.setdefault(currency, []).append(Money(dearest, currency))
        so_far.setdefault(currency, []).append(Money(cost, currency))
    return (
        tuple(money_sum(sums, currency) for currency, sums in a_day.items()),
        tuple(money_sum(sums, currency) for currency, sums in so_far.items()),
    )


def _cost_of_job(waits: list[tuple[WaitingRow, int]]) -> tuple[int, int]:
    """(a day, so far) of one job's waits, each with the working days since it began."""
    spans = sorted(
        ((row.per_day.minor, days) for row, days in waits if row.per_day),
        key=lambda one: one[1],
        reverse=True,
    )
    # From the wait that began first, on to today: the dearest so far counts until the next begins.
    dearest = cost = 0
    for (minor, days), (_next, later) in zip(spans, [*spans[1:], (0, 0)], strict=True):
        dearest = max(dearest, minor)
        cost += (days - later) * dearest
    return dearest, cost


# Seen from one person


def head_of(row: WaitingRow, person: Person) -> str:
    """Under which of HEADS a row stands, seen from `person`: whoever is asked by name, else those
    of the role."""
    if row.waits_on == THE_CUSTOMER:
        return THE_CUSTOMER
    name = row.ask.split(", ")[0]
    if name:
        return YOU if name == person.name else row.waits_on
    return YOU if row.waits_on == person.role else row.waits_on


def desk_groups(rows: Iterable[WaitingRow], person: Person) -> tuple[DeskGroup, ...]:
    """What waits under the heads that have something, in their order."""
    groups: dict[str, list[WaitingRow]] = {head: [] for head in HEADS}
    for row in rows:
        groups[head_of(row, person)].append(row)
    return tuple(DeskGroup(key, tuple(found)) for key, found in groups.items() if found)


def waits_on_you(rows: Iterable[WaitingRow], person: Person) -> OnYou:
    """How much waits on one person."""
    mine = [row for row in rows if head_of(row, person) == YOU]
    return OnYou(
        len(mine),
        max((row.days for row in mine), default=0),
        sum(row.costs_now for row in mine),
        sum(row.overdue for row in mine),
    )


__all__ = [
    "ANSWER", "HEADS", "MANAGER", "RELEASE", "THE_CUSTOMER", "THE_ESTIMATOR",
    "VARIATION", "WAITS_ON", "YOU", "DeskGroup", "DeskView", "OnYou", "WaitingRow", "desk_groups",
    "head_of", "show_desk", "waits_on_you",
]  # fmt: skip
