"""Inputs that nobody gave: from the catalogue's machine class and the job, or starting values."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.job import Job
from estimator.domain.money import money_half_up
from estimator.domain.new_machine import (
    JOB,
    STARTING_VALUE,
    Input,
    NewMachine,
    single,
)
from estimator.domain.pricing import exchange_rate
from estimator.domain.wording import worded

_COMMON = worded("common practice, no source")
_EP = worded("EP 1110-1-8 (2003), figure 2-1, a scraper")
_CASES = worded("public rebuilds at 11,000 to 12,000 h")
LIFE_NEW, HOURS_A_YEAR, INTEREST = Decimal(12_000), Decimal(1_540), Decimal("0.06")
RESIDUAL_NEW = (Decimal("0.15"), Decimal("0.20"), Decimal("0.25"))
RESIDUAL_REBUILT = (Decimal("0.05"), Decimal("0.10"), Decimal("0.15"))
DAYS_A_WEEK = Decimal(5)


def starting_values(job: Job, cat: ClassCatalogue) -> NewMachine:
    """What the comparison takes where nothing is given; what it can do without is None.

    Raises NoRate where the job has no rate for the currency of the class's new price.
    """
    row = cat.machine_class
    rate = exchange_rate(job, row.currency)
    low, likely, high = (
        money_half_up(price * rate, job.terms.currency, job.terms.quoting_unit).amount
        for price in (row.new_price_low, row.new_price_likely, row.new_price_high)
    )
    return NewMachine(
        currency=job.terms.currency,
        new_price=Input(
            low, likely, high, row.origin, _catalogue(cat), row.price_date
        ),
        lead_weeks=single(row.new_lead_weeks, row.origin, _catalogue(cat)),
        life_new=single(LIFE_NEW, STARTING_VALUE, _CASES),
        life_rebuilt=single(job.machine.life_wanted, JOB, worded("life wanted, of the quote")),
        hours_a_year=single(HOURS_A_YEAR, STARTING_VALUE, _EP),
        interest=single(INTEREST, STARTING_VALUE, _COMMON),
        residual_new=Input(*RESIDUAL_NEW, STARTING_VALUE, _EP),
        residual_rebuilt=Input(*RESIDUAL_REBUILT, STARTING_VALUE, _COMMON),
        days_a_week=single(DAYS_A_WEEK, STARTING_VALUE, _COMMON),
    )  # fmt: skip


def _catalogue(cat: ClassCatalogue) -> str:
    return worded("catalogue, {type}", type=cat.machine_class.type)


def completed(given: NewMachine | None, job: Job, cat: ClassCatalogue) -> NewMachine:
    """What was given, with starting values for what the comparison cannot do without.

    Raises NoRate as `starting_values`.
    """
    usual = starting_values(job, cat)
    if given is None:
        return usual
    missing = {
        name: value
        for name in ("new_price", "lead_weeks", "life_new", "life_rebuilt", "hours_a_year",
                     "interest", "residual_new", "residual_rebuilt", "days_a_week")
        if getattr(given, name) is None and (value := getattr(usual, name)) is not None
    }  # fmt: skip
    return replace(given, **missing)
