"""Teardown only: strip and report as a priced alternative, and what stopping there would mean.

A machine stripped is not a machine as received: some parts are destroyed in stripping, and
putting it back may be impossible. The quote therefore prices the strip, the boxed return and the
reassembly, lists what is destroyed, and states the longest time and the storage (contents after
16 CCR 3353(c), a vehicle-repair rule used as good practice).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from math import ceil

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import BOXED_RETURN, REASSEMBLY, TEARDOWN
from estimator.domain.catalogue.work_rows import Operation, PartsGroup
from estimator.domain.disposition import Judgement
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.pricing import PricedLine, price_lines
from estimator.domain.programme.programme import Programme, build_programme
from estimator.domain.reasons import Figure, Reasons
from estimator.domain.scope import LABOUR, Scope, build_scope, called_parts
from estimator.domain.tax import Taxed, Totals, document_totals
from estimator.domain.totals import total_up
from estimator.domain.wording import worded


@dataclass(frozen=True, slots=True)
class ReturnOffer:
    """One way of handing the machine back after a strip."""

    level: str
    net: Money
    hours: Decimal
    working_days: int
    lines: tuple[PricedLine, ...]


@dataclass(frozen=True, slots=True)
class TeardownOffer:
    """Strip and report, priced, with its date and what follows if the customer stops there."""

    net: Money
    totals: Totals
    hours: Decimal
    report_day: date
    lines: tuple[PricedLine, ...]
    boxed_return: ReturnOffer
    reassembly: ReturnOffer
    destroyed: tuple[str, ...]  # parts lost in stripping, needed again to reassemble
    longest_days: int
    storage_free_days: int
    storage_per_day: Money


def teardown_offer(
    job: Job, cat: ClassCatalogue, judgements: dict[str, Judgement], reasons: Reasons
) -> TeardownOffer:
    """The teardown-only alternative of a job. Figures are noted under "teardown/..."."""
    own = Reasons()
    strip_job = _alone(job, TEARDOWN)
    scope, lines = _priced(strip_job, cat, judgements, own)
    price = total_up(strip_job, cat, lines, Money(0, job.terms.currency), {}, own)
    programme = build_programme(strip_job, cat, scope)
    boxed = _return_offer(job, cat, judgements, BOXED_RETURN, own)
    back = _return_offer(job, cat, judgements, REASSEMBLY, own)
    _note(own, reasons, boxed, back)
    destroyed = tuple(
        one.line.row.name
        for one in back.lines
        if isinstance(one.line.row, PartsGroup) and one.line.unit != "L"
    )
    terms = job.terms
    return TeardownOffer(
        price.net,
        price.totals,
        price.hours,
        programme.finish_day,
        lines,
        boxed,
        back,
        destroyed,
        max(terms.teardown_longest_days, back.working_days),
        terms.storage_free_days,
        money_half_up(terms.storage_per_day, terms.currency),
    )


def strip_programme(job: Job, cat: ClassCatalogue, judgements: dict[str, Judgement]) -> Programme:
    """The programme of strip and report alone. Raises NetworkCycle, BeyondCalendar."""
    strip_job = _alone(job, TEARDOWN)
    scope, _ = _priced(strip_job, cat, judgements, Reasons())
    return build_programme(strip_job, cat, scope)


def days_back(job: Job, cat: ClassCatalogue, judgements: dict[str, Judgement], level: str) -> int:
    """Working days that a way back takes, boxed return or reassembly."""
    return _return_offer(job, cat, judgements, level, Reasons()).working_days


def _alone(job: Job, level: str) -> Job:
    """The job as it would be at that level, with nothing added or taken out by hand."""
    return replace(job, level=level, added=(), removed=(), own=())


def _priced(
    job: Job, cat: ClassCatalogue, judgements: dict[str, Judgement], reasons: Reasons
) -> tuple[Scope, tuple[PricedLine, ...]]:
    scope = build_scope(job, cat, judgements, called_parts(judgements, cat), {})
    return scope, price_lines(job, cat, scope, reasons)


def _return_offer(
    job: Job, cat: ClassCatalogue, judgements: dict[str, Judgement], level: str, reasons: Reasons
) -> ReturnOffer:
    _, lines = _priced(_alone(job, level), cat, judgements, reasons)
    days = Decimal(0)
    for one in lines:
        row = one.line.row
        if isinstance(row, Operation):
            crew = cat.crews[row.crew]
            output = crew.people * crew.factor * cat.settings.productivity
            days += one.line.quantity / output / cat.settings.hours_per_day
    hours = sum((one.line.quantity for one in lines if one.line.kind == LABOUR), Decimal(0))
    net = money_sum((one.amount for one in lines), job.terms.currency)
    return ReturnOffer(level, net, hours, ceil(days), lines)


def _note(own: Reasons, reasons: Reasons, boxed: ReturnOffer, back: ReturnOffer) -> None:
    """Carry the strip's figures over under names of their own, so that they too can be asked."""
    for figure in own.figures.values():
        reasons.note(
            replace(
                figure,
                name=f"teardown/{figure.name}",
                inputs=tuple(f"teardown/{one}" for one in figure.inputs if one in own.figures),
            )
        )
    for offer in (boxed, back):
        name = "boxed_return" if offer is boxed else "reassembly"
        reasons.note(
            Figure(
                name=f"teardown/{name}",
                title=worded("After a strip: {level}", level=fixed(offer.level)),
                value=offer.net,
                formula=worded("sum of its lines"),
                inputs=tuple(f"teardown/line/{one.id}" for one in offer.lines),
                numbers=(
                    (worded("hours"), worded("{hours} h", hours=offer.hours)),
                    (worded("working days"), worded("{value}", value=offer.working_days)),
                ),
            )
        )


def with_tax(amount: Money, job: Job, cat: ClassCatalogue) -> Totals:
    """Totals of one sum in the job's tax category."""
    tax = cat.tax[job.terms.tax_category]
    return document_totals([Taxed(amount, tax.code, tax.rate_percent)], [], [], amount.currency)
