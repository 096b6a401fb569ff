"""How much work is expected to be found while working, as figures that can be asked why."""

from __future__ import annotations

from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.charge_rate import note_rate
from estimator.domain.exposure.found_work import Found
from estimator.domain.job import Job
from estimator.domain.money import money_half_up
from estimator.domain.reasons import Figure, Reasons


def note_found(found: Found, cat: ClassCatalogue, job: Job, reasons: Reasons) -> str:
    """How much work of one kind is expected to be found while working; returns the figure's
    name."""
    row, cost = found.row, found.cost
    each, over = cost.each, cost.overdispersion
    goes_by = f"{row.count} per job"
    if row.per != "job":
        goes_by = f"{row.count} per 1,000 h, {found.hours_run:,.0f} h since its last overhaul"
    spread = f"negative binomial, overdispersion {over:g}" if over else "Poisson"
    difficulty = cat.difficulty[row.difficulty]
    numbers = [
        ("expected count", f"{cost.expected:.4f} ({goes_by})"),
        ("spread of the count", f"{spread}, variance {cost.count_variance:.4f}"),
        ("man-hours of one", f"{row.hours_low} / {row.hours} / {row.hours_high} h"),
        ("difficulty", f"{difficulty.factor} ({difficulty.when})"),
        ("parts of one, cost", f"{row.parts_cost} {row.currency}"),
        ("one", f"{each.low:,.2f} / {each.likely:,.2f} / {each.high:,.2f}"),
        ("added days of one", f"{found.added_days:g}"),
        ("workshop cost, mean", f"{found.workshop_cost.mean:,.2f}"),
    ]
    if row.markup:
        markup = cat.markups[row.markup]
        numbers.insert(5, ("markup", f"{markup.share:%} on cost ({markup.name})"))
    reasons.note(
        Figure(
            name=found.key,
            title=f"Work found while working: {row.name}",
            value=money_half_up(Decimal(repr(cost.mean)), job.terms.currency),
            formula="expected count x mean of one; one = man-hours x difficulty x rate + parts",
            inputs=(note_rate(cat.trades[row.trade], reasons),),
            numbers=tuple(numbers),
            rule="counted as found, charged only where it is found",
            source=f"{row.place}" + (f"; {row.source}" if row.source else ""),
            origin=row.origin,
        )
    )
    return found.key
