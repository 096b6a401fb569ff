"""A job as it begins: machine, customer and the workshop's usual terms; nobody has looked yet."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal

from estimator.domain.catalogue.rows import JOB_LEVELS
from estimator.domain.job import ExchangeRate, Job, Machine, Party, Terms
from estimator.domain.problem import Place, Problem
from estimator.domain.record import FIRST_REVISION
from estimator.domain.wording import worded

MOST_HOURS, MOST_LIFE = 200_000, 100_000  # on the meter; wanted after the rebuild
LEAST_DUTY, MOST_DUTY = Decimal("0.2"), Decimal(5)
SATURDAY = 5


@dataclass(frozen=True, slots=True)
class JobDefaults:
    """What the workshop puts into every new job, until somebody says otherwise."""

    party: Party  # the workshop as printed
    terms: Terms
    exchange_rates: Mapping[str, ExchangeRate]
    releaser: str
    duty: Decimal
    life_wanted: Decimal
    start_days: int  # from the enquiry until a machine can come in


def new_machine(
    class_id: str,
    serial: str,
    hours: Decimal,
    defaults: JobDefaults,
    duty: Decimal | None = None,
    life_wanted: Decimal | None = None,
) -> Machine:
    """A machine as an enquiry names it: duty and life wanted are the usual ones if None."""
    return Machine(
        class_id=class_id,
        serial=serial.strip(),
        hours=hours,
        duty=defaults.duty if duty is None else duty,
        life_wanted=defaults.life_wanted if life_wanted is None else life_wanted,
    )


def new_job(
    number: str,
    machine: Machine,
    customer: Party,
    estimator: str,
    today: date,
    defaults: JobDefaults,
    *,
    level: str = "full",
    note: str = "",
) -> Job:
    """A sound job without findings, of revision A, on the workshop's usual terms.

    A machine whose serial number is not known yet gets one that says so and is the job's own. The
    machine comes in after the usual time, on a weekday; it counts as inspected on the day of the
    enquiry, until somebody types another; it learns from what teardowns showed up to that day.
    Raises ValueError with every fault of `new_job_faults`.
    """
    if not machine.serial:
        machine = replace(machine, serial=f"not known ({number.strip()})")
    job = Job(
        number=number.strip(),
        revision=FIRST_REVISION,
        date=today,
        start=_weekday(today + timedelta(days=defaults.start_days)),
        inspected=today,
        level=level,
        machine=machine,
        workshop=defaults.party,
        customer=customer,
        estimator=estimator,
        releaser=defaults.releaser,
        terms=defaults.terms,
        exchange_rates=dict(defaults.exchange_rates),
        findings=(),
        note=note,
        learnt_until=today,
    )
    if faults := list(new_job_faults(job)):
        raise ValueError(" ".join(str(fault) for fault in faults))
    return job


def new_job_faults(job: Job) -> Iterator[Problem]:
    """What an enquiry lacks or cannot be, by field; whether the catalogue has its class is asked
    of `estimator.domain.job_check.check_class`."""
    texts = (
        ("number", job.number),
        ("[customer] name", job.customer.name),
        ("[workshop] name", job.workshop.name),
        ("estimator", job.estimator),
        ("releaser", job.releaser),
        ("[machine] serial", job.machine.serial),
    )
    for field, text in texts:
        if not text.strip():
            yield Problem(
                "missing-entry", Place("", None, field), worded("is blank."), worded("Fill it in.")
            )
    if job.level not in JOB_LEVELS:
        yield Problem(
            "bad-entry",
            Place("", None, "level"),
            worded("is {value!r}.", value=job.level[:40]),
            worded("Use one of: {known}.", known=", ".join(JOB_LEVELS)),
        )
    nothing = Decimal(0)
    numbers = (
        ("hours", job.machine.hours, nothing, Decimal(MOST_HOURS)),
        ("duty", job.machine.duty, LEAST_DUTY, MOST_DUTY),
        ("life_wanted", job.machine.life_wanted, nothing, Decimal(MOST_LIFE)),
    )
    for field, value, low, high in numbers:
        within = value.is_finite() and low <= value <= high and value > 0
        if not within:
            yield Problem(
                "bad-entry",
                Place("", None, f"[machine] {field}"),
                worded(
                    "is {value}; it lies between {low} and {high}.", value=value, low=low, high=high
                ),
                worded("Check the digits."),
            )


def _weekday(day: date) -> date:
    """The day, or the Monday after where it falls on a weekend."""
    return day + timedelta(days=7 - day.weekday()) if day.weekday() >= SATURDAY else day
