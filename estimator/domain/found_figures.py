"""How much work is expected to be found while working, as figures that can be asked why."""

from __future__ import annotations

from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.charge_rate import note_rate
from estimator.domain.exposure.found_work import Found
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.money import money_half_up
from estimator.domain.reasons import Figure, Reasons, exact, measured, source_of
from estimator.domain.wording import worded


def note_found(found: Found, cat: ClassCatalogue, job: Job, reasons: Reasons) -> str:
    """How much work of one kind is expected to be found while working; returns the figure's
    name."""
    row, cost = found.row, found.cost
    each, over = cost.each, cost.overdispersion
    goes_by = worded("{count} per job", count=row.count)
    if row.per != "job":
        goes_by = worded(
            "{count} per 1,000 h, {hours:,.0f} h since its last overhaul",
            count=row.count,
            hours=found.hours_run,
        )
    spread = worded("Poisson")
    if over:
        spread = worded("negative binomial, overdispersion {over:g}", over=over)
    difficulty = cat.difficulty[row.difficulty]
    numbers: list[tuple[str, str]] = [
        (
            worded("expected count"),
            worded("{count:.4f} ({goes_by})", count=cost.expected, goes_by=goes_by),
        ),
        (
            worded("spread of the count"),
            worded(
                "{spread}, variance {variance:.4f}",
                spread=spread,
                variance=cost.count_variance,
            ),
        ),
        (
            worded("man-hours of one"),
            worded(
                "{low} / {likely} / {high} h",
                low=row.hours_low,
                likely=row.hours,
                high=row.hours_high,
            ),
        ),
        (
            worded("difficulty"),
            worded("{factor} ({when})", factor=difficulty.factor, when=difficulty.when),
        ),
        (worded("parts of one, cost"), measured(row.parts_cost, row.currency)),
        (
            worded("one"),
            worded(
                "{low:,.2f} / {likely:,.2f} / {high:,.2f}",
                low=each.low,
                likely=each.likely,
                high=each.high,
            ),
        ),
        (worded("added days of one"), worded("{value:g}", value=found.added_days)),
        (worded("workshop cost, mean"), exact(found.workshop_cost.mean)),
    ]
    if row.markup:
        markup = cat.markups[row.markup]
        numbers.insert(
            5,
            (
                worded("markup"),
                worded("{share:%} on cost ({name})", share=markup.share, name=markup.name),
            ),
        )
    reasons.note(
        Figure(
            name=found.key,
            title=worded("Work found while working: {name}", name=row.name),
            value=money_half_up(Decimal(repr(cost.mean)), job.terms.currency),
            formula=worded(
                "expected count x mean of one; one = man-hours x difficulty x rate + parts"
            ),
            inputs=(note_rate(cat.trades[row.trade], reasons),),
            numbers=tuple(numbers),
            rule=worded("counted as found, charged only where it is found"),
            source=source_of(row.place, row.source),
            origin=fixed(row.origin),
        )
    )
    return found.key
