"""Past work: what teardowns showed of components, and jobs that are over. The exposure learns from
the first, the second show whether quotes held."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, fields
from decimal import Decimal

from estimator.domain.catalogue.column import column
from estimator.domain.findings import DISPOSITIONS
from estimator.domain.money import Money, minor_digits
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded, worded_count

LIFE_UNKNOWN = "not known"
LIFE_BASES = ("since new", "since overhaul", "since renewal", LIFE_UNKNOWN)
LONGEST_LIFE = "1000000"  # machine hours
LARGEST_SUM = "1000000000000"  # in major units: far above any rebuild, below what a column holds
PERCENTILES = ("p10", "p50", "p80", "p90")
DISTRIBUTION = (*PERCENTILES, "mean")  # columns of a closed job that stand all together or not


@dataclass(frozen=True, slots=True, kw_only=True)
class TeardownOutcome:
    """What a teardown showed of one component of a machine."""

    pool: str = column("pool of like parts, as in own_cases.csv of the catalogue")
    machine_class: str = column("class of the machine, or its kind in words")
    component: str = column("component, like C01A, or part, like P-CRK")
    hours: Decimal = column("hours the part had run", above="0", high=LONGEST_LIFE)
    duty: Decimal = column("duty factor", above="0", high="5", default=Decimal(1))
    life_basis: str = column("from when the hours count", choices=LIFE_BASES, default=LIFE_UNKNOWN)
    disposition: str = column("what was done", choices=DISPOSITIONS)
    worn: bool = column("yes worn, no sound")
    cost: Decimal | None = column(
        "what putting it right cost", low="0", high=LARGEST_SUM, default=None
    )
    currency: str = column("currency of the cost (ISO 4217)", refers="currency", default="")
    days: Decimal | None = column("working days it took", low="0", high="2000", default=None)
    found_on: datetime.date = column("day it was seen")
    place: Place = Place()


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosedJob:
    """A job that is over: what was quoted, and what it came to less what the customer asked for
    besides. All sums before tax.

    `p10` to `mean` are the distribution of the final sum as it was stated when it was quoted; None,
    all of them, where the contingency was a flat percentage.
    """

    number: str = column("number of the job")
    machine_class: str = column("class of the machine, or its kind in words")
    hours: Decimal = column("machine hours at the rebuild", low="0", high=LONGEST_LIFE)
    currency: str = column("currency of the sums (ISO 4217)", refers="currency")
    quoted_base: Decimal = column("firm and provisional work quoted", low="0", high=LARGEST_SUM)
    quoted_contingency: Decimal = column("contingency quoted", low="0", high=LARGEST_SUM)
    final_less_requests: Decimal = column(
        "final sum less the customer's own requests", low="0", high=LARGEST_SUM
    )
    closed_on: datetime.date = column("day it was invoiced in full")
    p10: Decimal | None = column(
        "final sum quoted at 1 in 10, base included", low="0", high=LARGEST_SUM, default=None
    )
    p50: Decimal | None = column(
        "final sum quoted at 5 in 10", low="0", high=LARGEST_SUM, default=None
    )
    p80: Decimal | None = column(
        "final sum quoted at 8 in 10", low="0", high=LARGEST_SUM, default=None
    )
    p90: Decimal | None = column(
        "final sum quoted at 9 in 10", low="0", high=LARGEST_SUM, default=None
    )
    mean: Decimal | None = column(
        "mean of the final sum as quoted", low="0", high=LARGEST_SUM, default=None
    )
    place: Place = Place()

    @property
    def has_distribution(self) -> bool:
        """Whether it was quoted with the distribution of its final sum, not a flat percentage."""
        return all(getattr(self, name) is not None for name in DISTRIBUTION)


def outcome_problems(outcome: TeardownOutcome, today: datetime.date) -> list[Problem]:
    """What a single cell does not show: a cost without its currency, a day to come."""
    problems = []
    if outcome.cost is not None and not outcome.currency:
        problems.append(
            _problem(outcome, "currency", worded("is blank beside a cost."), worded("Fill it in."))
        )
    elif outcome.cost is not None:
        problems += _minor_problems(outcome, "cost", outcome.cost, outcome.currency)
    return problems + _day_problems(outcome, "found_on", outcome.found_on, today)


def closed_job_problems(closed: ClosedJob, today: datetime.date) -> list[Problem]:
    """What a single cell does not show: sums finer than their currency, a day to come, half a
    distribution or one that falls."""
    problems = []
    for name in ("quoted_base", "quoted_contingency", "final_less_requests", *DISTRIBUTION):
        amount = getattr(closed, name)
        if amount is not None:
            problems += _minor_problems(closed, name, amount, closed.currency)
    problems += _distribution_problems(closed)
    return problems + _day_problems(closed, "closed_on", closed.closed_on, today)


def _distribution_problems(closed: ClosedJob) -> list[Problem]:
    given = {name: getattr(closed, name) for name in DISTRIBUTION}
    lacking = [name for name, amount in given.items() if amount is None]
    if len(lacking) == len(DISTRIBUTION):
        return []
    if lacking:
        known = [name for name in given if name not in lacking]
        message = worded_count(
            "is blank, where {names} is given.",
            "is blank, where {names} are given.",
            len(known),
            names=", ".join(known),
        )
        remedy = worded("Fill in p10, p50, p80, p90 and mean, or leave all five blank.")
        return [_problem(closed, name, message, remedy) for name in lacking]
    problems = []
    for lower, name in zip(PERCENTILES, PERCENTILES[1:], strict=False):
        if given[name] < given[lower]:
            message = worded(
                "holds {amount}, less than {lower} ({least}).",
                amount=given[name],
                lower=lower,
                least=given[lower],
            )
            problems.append(
                _problem(closed, name, message, worded("Let them rise from p10 to p90."))
            )
    if not problems and given["mean"] < given["p10"]:
        message = worded(
            "holds {amount}, less than {lower} ({least}).",
            amount=given["mean"],
            lower="p10",
            least=given["p10"],
        )
        problems.append(
            _problem(closed, "mean", message, worded("Write final sums, base included."))
        )
    if not closed.quoted_base:
        message = worded("is nothing; what was quoted is judged as a share of it.")
        problems.append(_problem(closed, "quoted_base", message, worded("Fill in the base.")))
    return problems


def exact_money(amount: Decimal, currency: str) -> Money:
    """A sum that is whole in minor units already. Raises ValueError where it is not."""
    minor = amount.scaleb(minor_digits(currency))
    if minor != minor.to_integral_value():
        raise ValueError(f"{amount} {currency} is finer than its smallest coin")
    return Money(int(minor), currency)


def _problem(row: TeardownOutcome | ClosedJob, name: str, message: str, remedy: str) -> Problem:
    return Problem("past-work", Place(row.place.file, row.place.row, name), message, remedy)


def _minor_problems(
    row: TeardownOutcome | ClosedJob, name: str, amount: Decimal, currency: str
) -> list[Problem]:
    try:
        exact_money(amount, currency)
    except ValueError:
        digits = minor_digits(currency)
        message = worded(
            "holds {amount}; {currency} has {digits} decimals.",
            amount=amount,
            currency=currency,
            digits=digits,
        )
        return [_problem(row, name, message, worded("Round it as it was paid."))]
    return []


def _day_problems(
    row: TeardownOutcome | ClosedJob, name: str, day: datetime.date, today: datetime.date
) -> list[Problem]:
    if day <= today:
        return []
    return [
        _problem(
            row, name, worded("holds {day}, a day to come.", day=day), worded("Check the year.")
        )
    ]


def same_outcome(outcome: TeardownOutcome) -> tuple[object, ...]:
    """What tells an outcome from another: entered twice, it would count twice."""
    return (
        outcome.pool, outcome.machine_class, outcome.component, outcome.hours, outcome.found_on,
    )  # fmt: skip


COLUMNS_OF_OUTCOME = tuple(one.name for one in fields(TeardownOutcome) if one.name != "place")
COLUMNS_OF_CLOSED_JOB = tuple(one.name for one in fields(ClosedJob) if one.name != "place")
