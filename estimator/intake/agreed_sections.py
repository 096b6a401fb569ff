"""Sections that a job's file and the workshop's own share: a party, the terms, exchange rates."""

from __future__ import annotations

from decimal import Decimal

from estimator.domain.job import ExchangeRate, Party, Stage, Terms
from estimator.intake.sections import Section

FORMS = ("base and named contingency", "fixed price", "not to exceed")


def party_of(part: Section) -> Party:
    """A workshop or customer."""
    party = Party(part.text("name"), part.texts("address"), part.text("contact", ""))
    part.close()
    return party


def terms_of(part: Section) -> Terms:
    """What is agreed beside the scope, with its stage payments."""
    stages = tuple(
        Stage(one.number("share", above=0, high=1), one.text("when"))
        for one in part.sections("stage")
    )
    terms = Terms(
        currency=part.currency("currency"),
        quoting_unit=part.number("quoting_unit", Decimal(1), above=0, high=1000),
        discount_share=part.number("discount_share", Decimal(0), low=0, high=Decimal("0.9")),
        confidence=part.number("confidence", low=Decimal("0.5"), high=Decimal("0.99")),
        tax_category=part.text("tax_category"),
        commercial_form=part.text("commercial_form", choices=FORMS),
        valid_days=part.whole("valid_days", low=1, high=365),
        stages=stages,
        answer_days=part.whole("answer_days", 5, low=1, high=60),
        storage_free_days=part.whole("storage_free_days", 14, high=365),
        storage_per_day=part.number("storage_per_day", Decimal(0), low=0),
        removed_parts_days=part.whole("removed_parts_days", 30, high=365),
        teardown_longest_days=part.whole("teardown_longest_days", 15, low=1, high=250),
    )
    if sum((stage.share for stage in stages), Decimal(0)) > 1:
        part.fault("stage", "stages-over", "add up to more than the whole price.", "Lower one.")
    part.close()
    return terms


def _rate(part: Section) -> ExchangeRate:
    rate = ExchangeRate(
        part.currency("currency"),
        part.number("rate", above=0),
        part.day("date"),
        part.text("source"),
    )
    part.close()
    return rate


def rates_of(top: Section) -> dict[str, ExchangeRate]:
    """Exchange rates by currency; one that stands twice is a fault."""
    rates: dict[str, ExchangeRate] = {}
    for part in top.sections("exchange_rate"):
        rate = _rate(part)
        if rate.currency in rates:
            part.fault("currency", "rate-twice", f"{rate.currency} stands twice.", "Keep one rate.")
        rates[rate.currency] = rate
    return rates
