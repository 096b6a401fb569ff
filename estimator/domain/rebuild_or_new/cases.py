"""The figures of both ways at their low, likely and high end, from a priced job and its inputs."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from estimator.domain.money import money_half_up
from estimator.domain.new_machine import WORKS_ON, NewMachine, input_of
from estimator.domain.priced_job import PricedJob
from estimator.domain.rebuild_or_new.reckoning import Case

LOW, LIKELY, HIGH = "low", "likely", "high"
ENDS = (LOW, LIKELY, HIGH)
FIXED_PRICE = "fixed price"
Three = tuple[Decimal, Decimal, Decimal]
_SINGLE = (
    "trade_in", "hire_week", "lost_day", "days_a_week", "life_rebuilt", "life_new",
    "hours_a_year", "interest", "financed_share", "finance_rate", "finance_months",
)  # fmt: skip
_RANGED = (
    "rebuild_price", "new_price", "residual_rebuilt", "residual_new", "weeks_rebuild", "weeks_new",
)  # fmt: skip


def ready_days(priced: PricedJob) -> tuple[date, date, date]:
    """The days on which the rebuild is ready: nothing more found, likely, planned by."""
    days = priced.finish.days
    return (
        priced.programme.finish_day,
        days[0.5],
        max(days[float(priced.job.terms.confidence)], days[0.5]),
    )


def prices_of(priced: PricedJob) -> Three:
    """What the rebuild may come to: contingency unspent, as likely drawn, spent. A fixed price is
    one and the same."""
    price = priced.price
    net, base = price.net.amount, price.base.amount
    if priced.job.terms.commercial_form == FIXED_PRICE:
        return net, net, net
    drawn = money_half_up(
        Decimal(repr(float(priced.contingency.mean))),
        price.net.currency,
        priced.job.terms.quoting_unit,
    ).amount
    return base, base + min(max(drawn, Decimal(0)), price.contingency.amount), net


def cases_of(priced: PricedJob, inputs: NewMachine) -> dict[str, Case]:
    """The three sets of figures: at the low end everything is as good as it may be for its own
    side, at the high end as bad."""
    job = priced.job
    prices = prices_of(priced)
    weeks = tuple(weeks_between(job.date, day) for day in ready_days(priced))
    bay = tuple(weeks_between(job.start, day) for day in ready_days(priced))
    works_on = inputs.meanwhile == WORKS_ON
    found = {}
    for at, end in enumerate(ENDS):
        worst = ENDS[2 - at]
        found[end] = Case(
            rebuild_price=prices[at],
            new_price=figure_of(inputs, "new_price", end),
            price_now=figure_of(inputs, "new_price", LIKELY),
            weeks_rebuild=bay[at] if works_on else weeks[at],
            weeks_new=Decimal(0) if works_on else figure_of(inputs, "lead_weeks", end),
            residual_rebuilt=figure_of(inputs, "residual_rebuilt", worst),
            residual_new=figure_of(inputs, "residual_new", worst),
            **{name: figure_of(inputs, name, LIKELY) for name in _SINGLE},
            **_running(inputs),
        )
    return found


def figure_of(inputs: NewMachine, name: str, end: str) -> Decimal:
    """An end of an input; nothing where it is not given."""
    value = input_of(inputs, name)
    return Decimal(0) if value is None else Decimal(getattr(value, end))


def _running(inputs: NewMachine) -> dict[str, Decimal]:
    """Fuel and upkeep, each only where both sides have it: else neither does."""
    fuel, upkeep = ("fuel_rebuilt", "fuel_new", "fuel_price"), ("upkeep_rebuilt", "upkeep_new")
    found: dict[str, Decimal] = {}
    for names in (fuel, upkeep):
        whole = all(input_of(inputs, name) is not None for name in names)
        found |= {name: figure_of(inputs, name, LIKELY) if whole else Decimal(0) for name in names}
    return found


def weeks_between(first: date, last: date) -> Decimal:
    """Weeks from one day to another, not below nothing."""
    return max(Decimal((last - first).days), Decimal(0)) / 7


def ranges_of(cases: Mapping[str, Case]) -> dict[str, tuple[Decimal, Decimal]]:
    """Ends of the figures that have some, lower first, by their name in a case."""
    found = {}
    for name in _RANGED:
        ends = sorted(getattr(cases[end], name) for end in (LOW, HIGH))
        found[name] = (ends[0], ends[1])
    return found
