"""What may be said of a job before anybody has priced it: a range with its class, never one figure.

The accuracy bands are those of AACE recommended practice 18R-97 (process industries; as reproduced
in secondary pages). A range runs from 1 in 10 to 9 in 10 of what may be found, and is never
narrower than the least the class allows for. Parts that nobody looked at and that the catalogue
states no chance for (hoses, glass, edges: they are counted on the machine) are in none of the
outcomes; of what putting them all right would cost nothing is in the low end, half in the likely
figure and all in the high end (judged). Which stage of a rebuild stands for which class is this
project's own mapping: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.disposition import UNSEEN
from estimator.domain.exposure.contingency import Contingency
from estimator.domain.exposure.cost_when_worn import chosen_remedy
from estimator.domain.findings import Finding
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.money import Money, money_half_up
from estimator.domain.priced_work import PricedWork, held, priced_work
from estimator.domain.pricing import price_lines
from estimator.domain.reasons import Figure, Reasons
from estimator.domain.scope import build_scope, called_parts
from estimator.domain.totals import sum_work
from estimator.domain.wording import worded

BY_DISTRIBUTION, BY_BAND = "distribution", "band"
LOW_SHARE, HALF, HIGH_SHARE = 0.1, 0.5, 0.9
ON_PAPER = ("oil",)  # kinds of finding that can be had without going to the machine
UNSEEN_CLASS, DESK_CLASS, INSPECTED_CLASS = 5, 4, 3
INSPECTED_SHARE = Decimal("0.5")
SHOWN_DIGITS = 3


@dataclass(frozen=True, slots=True)
class Band:
    """Accuracy band of an estimate class: shares below and above the likely figure.

    A class states a span for each end, since jobs differ: the least is what any estimate of the
    class must allow for, the most what the vaguest of them must.
    """

    estimate_class: int
    low_least: Decimal
    low_most: Decimal
    high_least: Decimal
    high_most: Decimal
    stage: str


def _band(number: int, low: tuple[int, int], high: tuple[int, int], stage: str) -> Band:
    least, most = Decimal(low[0]) / 100, Decimal(low[1]) / 100
    return Band(number, least, most, Decimal(high[0]) / 100, Decimal(high[1]) / 100, stage)


BANDS: Mapping[int, Band] = {
    5: _band(5, (20, 50), (30, 100), worded("enquiry: class and hours")),
    4: _band(4, (15, 30), (20, 50), worded("desk review: photographs, oil history")),
    3: _band(3, (10, 20), (10, 30), worded("inspection on the machine")),
    2: _band(2, (5, 15), (5, 20), worded("partial strip, prices of the main components")),
    1: _band(1, (3, 10), (3, 15), worded("full strip report, quotations in hand")),
}
"""AACE 18R-97."""


@dataclass(frozen=True, slots=True)
class EnquiryRange:
    """The price before tax as it may be told at this stage: low to high, and where it may settle.

    `low` and `high` are rounded outward and `likely` half-up to three figures. `band_low` and
    `band_high` are the least shares the class allows for. `low_rests_on` and `high_rests_on` say
    which rule made each end: "distribution" (1 and 9 in 10 of what may be found) or "band".
    """

    low: Money
    likely: Money
    high: Money
    estimate_class: int
    band_low: Decimal
    band_high: Decimal
    low_rests_on: str
    high_rests_on: str
    basis: str
    open_parts: int
    without_chance: Money  # parts nobody looked at and the catalogue states no chance for
    reasons: Reasons


def enquiry_range(job: Job, cat: ClassCatalogue) -> EnquiryRange:
    """The range for a machine of the job's class, hours, duty, history and life wanted at its
    level, as if nobody had looked at it: every part that wears keeps its chance.

    What was typed, added or taken out by hand and what was found has no say. Always of class 5.
    Raises NoRate and ValueError where the job cannot be reckoned with.
    """
    bare = replace(job, findings=(), added=(), removed=(), changed=(), own=(), kept=())
    return _range(priced_work(bare, cat), UNSEEN_CLASS)


def range_so_far(work: PricedWork, kept: Contingency | None = None) -> EnquiryRange:
    """The range of a job with what is known of it so far, of the class it has reached.

    `kept` is the second stage of `work` where it is known already.
    """
    return _range(work, estimate_class_of(work.job, work.cat), kept)


def estimate_class_of(job: Job, cat: ClassCatalogue) -> int:
    """The estimate class that what was looked at carries (common practice, no source):

    * 5 where nobody has looked at anything: no finding, or only "not seen" and "not tested";
    * 3 where somebody was at the machine: findings other than oil samples speak of at least half
      of the component groups the class has work on at the job's level;
    * 4 between: a desk review, oil history, a look at a few things.

    Never better: classes 2 and 1 need a strip, of which an inspection knows nothing.
    """
    looks = [finding for finding in job.findings if _kind(finding, cat) not in UNSEEN]
    if not looks:
        return UNSEEN_CLASS
    at_machine = [finding for finding in looks if _kind(finding, cat) not in ON_PAPER]
    seen = {group for finding in at_machine for group in _groups(finding, cat)}
    rows = (*cat.operations.values(), *cat.parts.values())
    worked_on = {cat.group_of(row.component) for row in rows if job.takes(row)}
    inspected = len(seen & worked_on) >= INSPECTED_SHARE * len(worked_on)
    return INSPECTED_CLASS if inspected else DESK_CLASS


def _kind(finding: Finding, cat: ClassCatalogue) -> str:
    measure = cat.measures.get(finding.measure)
    return finding.kind or (measure.kind if measure else "visual")


def _groups(finding: Finding, cat: ClassCatalogue) -> set[str]:
    measure = cat.measures.get(finding.measure)
    component = finding.component or (measure.component if measure else "")
    of_parts = {cat.parts[part].component for part in finding.part if part in cat.parts}
    return {cat.group_of(one) for one in {component, *of_parts} if one in cat.components}


def _range(work: PricedWork, estimate_class: int, kept: Contingency | None = None) -> EnquiryRange:
    kept = kept or held(work)
    band, base = BANDS[estimate_class], work.sums.base
    unknown = _without_chance(work)
    exact = {
        name: base.amount + unknown.amount * counted + Decimal(repr(kept.percentiles[share]))
        for name, share, counted in (
            ("low", LOW_SHARE, 0),
            ("likely", HALF, Decimal("0.5")),
            ("high", HIGH_SHARE, 1),
        )
    }
    likely = exact["likely"]
    floor, ceiling = likely * (1 - band.low_least), likely * (1 + band.high_least)
    low, high = min(exact["low"], floor), max(exact["high"], ceiling)
    step = _step(likely)
    currency = base.currency
    found = EnquiryRange(
        low=_outward(low, step, currency, up=False),
        likely=money_half_up(likely, currency, step),
        high=_outward(high, step, currency, up=True),
        estimate_class=estimate_class,
        band_low=band.low_least,
        band_high=band.high_least,
        low_rests_on=BY_DISTRIBUTION if exact["low"] < floor else BY_BAND,
        high_rests_on=BY_DISTRIBUTION if exact["high"] > ceiling else BY_BAND,
        basis=worded("class {reached} of 5: {stage}", reached=estimate_class, stage=band.stage),
        open_parts=len(work.exposed),
        without_chance=unknown,
        reasons=Reasons(work.reasons.figures),
    )
    _note(found, band, exact, step)
    return found


def _without_chance(work: PricedWork) -> Money:
    """What it would add to the base to put right every part that nobody looked at and that has no
    chance of its own."""
    job, cat, scope = work.job, work.cat, work.scope
    worn = {part: (_way(part, cat), worded("nobody looked")) for part in scope.not_looked_at}
    firm = {**work.firm_by_chance, **worn}
    called = called_parts(scope.judgements, cat)
    whole = build_scope(job, cat, scope.judgements, called, firm)
    aside = Reasons()
    return sum_work(job, cat, price_lines(job, cat, whole, aside), aside).base - work.sums.base


def _way(part: str, cat: ClassCatalogue) -> str:
    """The way a part is usually put right: its usual remedy's, else its own row's, else the one
    that the rows following it belong to."""
    if remedy := chosen_remedy(part, cat, {}):
        return remedy.way
    row = cat.parts[part]
    if row.called_by == "condition":
        return row.ways[0] if row.ways and "replace" not in row.ways else "replace"
    followers = (*cat.operations.values(), *cat.parts.values(), *cat.outwork.values())
    ways = [way for one in followers if part in one.follows for way in one.ways]
    return ways[0] if ways else "recondition"


def _step(amount: Decimal) -> Decimal:
    """The unit of the third figure of a sum; one currency unit at least."""
    return Decimal(10) ** max(amount.adjusted() - SHOWN_DIGITS + 1, 0)


def _outward(amount: Decimal, step: Decimal, currency: str, *, up: bool) -> Money:
    whole = amount // step
    if up and whole * step < amount:
        whole += 1
    return money_half_up(whole * step, currency)


def _note(found: EnquiryRange, band: Band, exact: Mapping[str, Decimal], step: Decimal) -> None:
    currency = found.low.currency
    numbers = (
        (worded("1 in 10"), _whole(exact["low"], currency)),
        (worded("5 in 10"), _whole(exact["likely"], currency)),
        (worded("9 in 10"), _whole(exact["high"], currency)),
        (
            worded("estimate class"),
            worded("{reached} of 5, {stage}", reached=found.estimate_class, stage=band.stage),
        ),
        (worded("band of the class, below"), _shares(band.low_least, band.low_most)),
        (worded("band of the class, above"), _shares(band.high_least, band.high_most)),
        (worded("parts still open"), worded("{value}", value=found.open_parts)),
        (worded("all parts without a stated chance"), worded("{sum}", sum=found.without_chance)),
    )
    ends = (
        (
            "low",
            found.low,
            worded("the lower of 1 in 10 and likely x (1 - band)"),
            found.low_rests_on,
        ),
        (
            "likely",
            found.likely,
            worded(
                "base + 5 in 10 of what may be found + half of the parts without a stated chance"
            ),
            BY_DISTRIBUTION,
        ),
        (
            "high",
            found.high,
            worded("the higher of 9 in 10 and likely x (1 + band)"),
            found.high_rests_on,
        ),
    )
    for name, amount, formula, rests_on in ends:
        found.reasons.note(
            Figure(
                name=f"enquiry/{name}",
                title=worded("Range before tax, {end}", end=fixed(name)),
                value=amount,
                formula=worded(
                    "{formula}, to {step:f} {currency}",
                    formula=formula,
                    step=step,
                    currency=currency,
                ),
                inputs=("base",) if name == "likely" else ("enquiry/likely", "base"),
                numbers=numbers,
                rule=worded("the {rests_on} rules", rests_on=fixed(rests_on)),
                source=worded(
                    "AACE 18R-97, from memory; mapping to stages: common practice, no source"
                ),
            )
        )


def _whole(amount: Decimal, currency: str) -> str:
    return worded("{amount:,.0f} {currency}", amount=amount, currency=currency)


def _shares(low: Decimal, high: Decimal) -> str:
    return worded("{low:.0%} to {high:.0%}", low=low, high=high)
