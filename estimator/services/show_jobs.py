"""The Jobs list as a screen shows it: grouped, with what each job is worth and waits for."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.domain.money import Money, money_sum
from estimator.domain.people import ESTIMATOR, FOREMAN, SERVICE_MANAGER, Person
from estimator.domain.record import (
    ACCEPTED,
    CLOSED,
    CUSTOMER_WAITS,
    DRAFT,
    EXPIRED,
    FOREMAN_WAITS,
    HANDED_OVER,
    ISSUED,
    NOBODY_WAITS,
    PROPOSED,
    RELEASE_WAITS,
    STOPPED,
    UNDER_CONTRACT,
    JobSummary,
)
from estimator.services.list_jobs import count_jobs, list_jobs
from estimator.services.open_record import Record

WHO_WAITS, STAGE, FINISH, CUSTOMER = "who waits", "stage", "finish", "customer"
GROUPINGS = (WHO_WAITS, STAGE, FINISH, CUSTOMER)
YOU, MANAGER, THE_CUSTOMER, OTHERS = "you", "service manager", "customer", "others"
THE_FOREMAN, NOBODY = "foreman", "nobody"
WAITED_ON = (YOU, MANAGER, THE_CUSTOMER, THE_FOREMAN, OTHERS, NOBODY)  # heads in their order
BEFORE_ACCEPTANCE = (
    "enquiry", "inspection", "scope", "price", "exposure", "programme", "quote",
)  # fmt: skip
AREAS = (*BEFORE_ACCEPTANCE, "teardown", "variations")
STEPS_DONE = {HANDED_OVER: 10, CLOSED: 12}  # the hand-over's place of twelve; past the last
SOON_DAYS = 7
MOST_OUT = 5_000  # quotes out with customers at one time, to be summed


@dataclass(frozen=True, slots=True)
class ListedJob:
    """One job of the list. `waits_on` is one of WAITED_ON; OTHERS is the estimator.

    `due` says whether its next date is past ("past"), within a week ("soon") or neither ("").
    """

    summary: JobSummary
    machine: str  # the class in words, with hours
    area: int  # place on the job path, from 0
    waits_on: str
    since_days: int
    due: str
    full: int  # minor units that fill the certainty bar; one scale down the list

    @property
    def step(self) -> int:
        """How far along the whole job path it is; its last area where nothing is left to do."""
        return STEPS_DONE.get(self.summary.state, self.area)

    @property
    def number(self) -> str:
        """The job's number."""
        return self.summary.number


@dataclass(frozen=True, slots=True)
class JobGroup:
    """Jobs under one head."""

    key: str
    jobs: tuple[ListedJob, ...]


@dataclass(frozen=True, slots=True)
class Waiting:
    """What the list comes to, in counts and sums by currency."""

    on_you: int
    on_manager: int
    with_customer: int
    expired: int
    expire_soon: int
    quotes_out: tuple[Money, ...]
    being_priced: tuple[Money, ...]


def listed(
    summaries: Sequence[JobSummary],
    class_names: dict[str, str],
    person: Person,
    today: datetime.date,
) -> tuple[ListedJob, ...]:
    """Each job with what the list shows beside its summary."""
    full = max((_bar_length(one) for one in summaries), default=1)
    return tuple(
        ListedJob(
            summary=one,
            machine=f"{class_names.get(one.class_id, one.class_id)}, {Decimal(one.hours):,f} h",
            area=_area(one),
            waits_on=waits_on(one, person),
            since_days=max((today - one.waits_since.date()).days, 0),
            due=_due(one, today),
            full=max(full, 1),
        )
        for one in summaries
    )


def waits_on(job: JobSummary, person: Person) -> str:
    """Who must act next, seen from `person`."""
    if job.waits_for == RELEASE_WAITS:
        return YOU if person.role == SERVICE_MANAGER else MANAGER
    if job.waits_for == CUSTOMER_WAITS:
        return THE_CUSTOMER
    if job.waits_for == FOREMAN_WAITS:
        return YOU if person.role == FOREMAN else THE_FOREMAN
    if job.waits_for == NOBODY_WAITS:
        return NOBODY
    return YOU if person.role in (ESTIMATOR, SERVICE_MANAGER) else OTHERS


def grouped(jobs: Iterable[ListedJob], by: str) -> tuple[JobGroup, ...]:
    """The jobs under heads, heads in their own order. `by` is one of GROUPINGS."""
    groups: dict[str, list[ListedJob]] = {}
    for job in jobs:
        groups.setdefault(_head(job, by), []).append(job)
    order = {key: place for place, key in enumerate((*WAITED_ON, *AREAS))}
    keys = sorted(groups, key=lambda key: (order.get(key, len(order)), key.casefold()))
    return tuple(JobGroup(key, tuple(groups[key])) for key in keys)


def _head(job: ListedJob, by: str) -> str:
    if by == STAGE:
        return AREAS[job.area]
    if by == CUSTOMER:
        return job.summary.customer
    if by == FINISH:
        ready = job.summary.ready
        return "" if ready is None else f"{ready:%Y-%m}"
    return job.waits_on


def waiting(jobs: Sequence[ListedJob]) -> Waiting:
    """Counts and sums of the jobs shown."""
    out = [one for one in jobs if one.summary.state == ISSUED]
    priced = [one for one in jobs if one.summary.state in (DRAFT, PROPOSED)]
    return Waiting(
        on_you=sum(one.waits_on == YOU for one in jobs),
        on_manager=sum(one.summary.waits_for == RELEASE_WAITS for one in jobs),
        with_customer=len(out),
        expired=sum(one.summary.state == EXPIRED for one in jobs),
        expire_soon=sum(one.due == "soon" for one in out),
        quotes_out=_sums(one.summary.net for one in out),
        being_priced=_sums(one.summary.value for one in priced),
    )


def waiting_in(record: Record, person: Person, today: datetime.date) -> Waiting:
    """Counts and sums of the whole record. Raises NotOpened, Conflict."""
    counts = {
        state: count_jobs(record, today=today, state=state) for state in (DRAFT, PROPOSED, EXPIRED)
    }
    out = list_jobs(record, today=today, state=ISSUED, limit=MOST_OUT)
    came_to = waiting(listed(out, {}, person, today))
    priced = person.role in (ESTIMATOR, SERVICE_MANAGER)
    on_you = counts[DRAFT] + counts[EXPIRED] if priced else 0
    on_you += counts[PROPOSED] if person.role == SERVICE_MANAGER else 0
    under = [
        job
        for state in (ACCEPTED, STOPPED, HANDED_OVER)
        for job in list_jobs(record, today=today, state=state, limit=MOST_OUT)
    ]
    on_you += sum(waits_on(job, person) == YOU for job in under)
    on_manager = counts[PROPOSED] + sum(job.waits_for == RELEASE_WAITS for job in under)
    return replace(came_to, on_you=on_you, on_manager=on_manager, expired=counts[EXPIRED])


def _sums(sums: Iterable[Money | None]) -> tuple[Money, ...]:
    by_currency: dict[str, list[Money]] = {}
    for one in sums:
        if one is not None:
            by_currency.setdefault(one.currency, []).append(one)
    return tuple(money_sum(some, currency) for currency, some in sorted(by_currency.items()))


def _bar_length(job: JobSummary) -> int:
    standing = job.standing
    if standing is None:
        return 0
    return standing.firm.minor + standing.provisional.minor + standing.contingency.minor


def _area(job: JobSummary) -> int:
    if job.state in UNDER_CONTRACT:
        answered = job.state in (HANDED_OVER, CLOSED)
        waits = job.contract is not None and bool(job.contract.awaited_for)
        return AREAS.index("variations" if answered or waits else "teardown")
    if job.state != DRAFT:
        return AREAS.index("quote")
    if job.standing is not None and job.standing.area in AREAS:
        return AREAS.index(job.standing.area)
    return 0


def _due(job: JobSummary, today: datetime.date) -> str:
    if job.state == EXPIRED:
        return "past"
    if job.state in (STOPPED, HANDED_OVER, CLOSED):
        return ""  # its date is of what was done
    _what, day = job.next_date
    if day < today:
        return "past"
    return "soon" if (day - today).days <= SOON_DAYS else ""
