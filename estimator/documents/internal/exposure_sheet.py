"""The internal sheet of a job's exposure as a PDF: what may be found worn, and what is held for it.

Every page says that it is not for the customer: it states chances, and what the work costs us.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from estimator.documents.grammar import labels
from estimator.documents.grammar.charts import CostCurve, Mark, SumBar
from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.look import GAP, WIDTH
from estimator.documents.grammar.page import About, Pages, lay_out
from estimator.documents.grammar.paper import InternalPaper
from estimator.documents.grammar.spoken import in_language_of_locale, tag
from estimator.documents.grammar.wording import Words, apart, one_in, within
from estimator.documents.internal.exposure_tables import forms, not_seen, open_first
from estimator.domain.adoption import STARTING_VALUE
from estimator.domain.exposure_sheet import ExposureSheet, SheetRow
from estimator.domain.money import Money, round_half_up

_HALF = (WIDTH - GAP) / 2
_BAR = 70.0
_NAMED = 12  # rows on starting values that are named; the rest are counted
_SQUARES = (Decimal("0.5"), Decimal("0.9"), Decimal("0.95"))
_SHOWN_DIGITS = 12  # of the catalogue's fingerprint


@in_language_of_locale
def exposure_pdf(sheet: ExposureSheet, locale: str = "en_GB") -> bytes:
    """The internal sheet, numbers and dates written as `locale` has them.

    The same sheet and locale give the same bytes. Raises ValueError for a locale whose formats are
    not known.
    """
    terms = sheet.priced.job.terms
    words = Words.of(locale, terms.currency, terms.quoting_unit)
    paper = InternalPaper(sheet, words)

    def story(_: Pages) -> list[Any]:
        return [
            *_opening(paper),
            Rule(strong=True),
            _three_figures(paper),
            *_curve(paper),
            Columns([[*_held_at(paper), *_starting_values(paper)], _by_group(paper)], before=8),
            *not_seen(paper),
            *open_first(paper),
            *forms(paper),
        ]

    return lay_out(story, _about(sheet, locale), Pages({}))


def _about(sheet: ExposureSheet, locale: str) -> About:
    job, catalogue = sheet.priced.job, sheet.priced.cat.catalogue
    reference = labels.SHEET_REFERENCE.format(internal=labels.INTERNAL, title=job.title)
    foot = labels.SHEET_FOOT.format(
        version=catalogue.version, edition=catalogue.fingerprint[:_SHOWN_DIGITS]
    )
    return About(
        sender=job.workshop.name,
        reference=reference,
        foot=f"{labels.INTERNAL}   \u00b7   {foot}",
        title=f"{labels.SHEET_TITLE.format(title=job.title)} \u00b7 {labels.INTERNAL}",
        subject=job.machine.serial,
        language=tag(),
        day=job.date,
        locale=locale,
    )


def _opening(paper: InternalPaper) -> list[Any]:
    job, words = paper.job, paper.words
    row = paper.sheet.priced.cat.machine_class
    machine = labels.SHEET_MACHINE.format(
        machine=row.type[:1].upper() + row.type[1:],
        mass=words.quantity(round_half_up(row.operating_mass_kg / 1000, Decimal(1))),
        serial=job.machine.serial,
        hours=words.quantity(job.machine.hours),
        duty=words.quantity(job.machine.duty),
    )
    if job.machine.hours_doubt:
        doubt = words.share(job.machine.hours_doubt)
        meter = labels.SHEET_HOURS_DOUBT.format(meter=job.machine.meter, share=doubt)
        machine = f"{machine} ({meter})"
    facts = [
        (labels.CUSTOMER, job.customer.name),
        (labels.LEVEL, labels.LEVELS.get(job.level, job.level)),
        (labels.INSPECTED, words.day(job.inspected)),
        (labels.DATED, words.day(job.date)),
        (labels.WRITTEN, job.estimator),
    ]
    return [
        *paper.section(labels.SHEET_TITLE.format(title=job.title), "sheet", name="title"),
        paper.text(machine, "second"),
        paper.text("  \u00b7  ".join(f"{name}: {text}" for name, text in facts), "second", after=4),
    ]


def _three_figures(paper: InternalPaper) -> Columns:
    priced, words = paper.sheet.priced, paper.words
    price, own = priced.price, paper.sheet.own
    share = one_in(own.confidence)
    held = labels.HELD_WORDS.format(
        amount=words.money(own.amount), base=words.money(price.base), share=share,
        bound=labels.BOUNDS[own.bound],
    )  # fmt: skip
    days = priced.finish.days
    others = [
        labels.FINISH_ONE.format(share=one_in(Decimal(str(one))), day=words.day(days[one]))
        for one in (0.5, 0.8) if one in days and one != float(own.confidence)
    ]  # fmt: skip
    finish = labels.FINISH_OTHERS.format(
        shares=apart(others), earliest=words.day(priced.programme.finish_day)
    )
    return Columns([
        [paper.text(labels.NET_PRICE, "head"), paper.figure(words.money(price.net)),
         paper.text(labels.GROSS_LINE.format(amount=words.money(price.totals.gross, exact=True)),
                    "second")],
        [paper.text(labels.CONTINGENCY_HELD, "head"), paper.figure(words.money(own.amount)),
         paper.text(held, "second")],
        [paper.text(labels.FINISH_AT.format(share=share), "head"),
         paper.figure(words.day(days[float(own.confidence)])), paper.text(finish, "second")],
    ], [1, 1.15, 1.15])  # fmt: skip


def _curve(paper: InternalPaper) -> list[Any]:
    sheet, words = paper.sheet, paper.words
    head = [
        *paper.section(labels.CURVE, "curve", before=8, need=240),
        paper.text(labels.CURVE_WORDS.format(currency=words.symbol), "note", after=3),
    ]
    if len(sheet.points) < 2:  # noqa: PLR2004 - a step, no curve
        return [*head[:-1], paper.text(labels.NO_CURVE, "body")]
    own, base = sheet.own, sheet.priced.price.base

    def label(text: str, sum_: Money, **more: str) -> str:
        return text.format(sum=words.money(sum_), **more)

    share = one_in(own.confidence)
    curve = CostCurve(
        sheet.points,
        Mark(float(own.reached.amount), float(own.confidence),
             label(labels.CURVE_HELD, own.reached, share=share)),
        (float(base.amount), label(labels.CURVE_BASE, base)),
        (float(sheet.mean_total.amount), label(labels.CURVE_MEAN, sheet.mean_total)),
        [Mark(float(one.reached.amount), float(one.confidence), one_in(one.confidence))
         for one in sheet.held if one.confidence in _SQUARES and one is not own],
        lambda cost, digits: words.number(Decimal(repr(float(cost))), digits),
    )  # fmt: skip
    return [*head, curve]


def _held_at(paper: InternalPaper) -> list[Any]:
    """What would be held at each confidence, the job's own set apart."""
    words, sheet = paper.words, paper.sheet
    head = (labels.HELD_CONFIDENCE, labels.HELD_SUM.format(currency=words.symbol),
            labels.HELD_TOTAL.format(currency=words.symbol), labels.HELD_BOUND)  # fmt: skip
    rows = [paper.cells(head, "head")]
    for one in sheet.held:
        look = "cell strong" if one is sheet.own else "cell"
        texts = (words.share(one.confidence, 1), words.sum(one.amount), words.sum(one.total),
                 labels.BOUND_NAMES[one.bound])  # fmt: skip
        rows.append(paper.cells(texts, look))
    return [
        paper.heading(labels.HELD_AT, "held at"),
        paper.table(rows, [_HALF - 156, 50, 54, 52], pad=1),
    ]


def _by_group(paper: InternalPaper) -> list[Any]:
    words, groups = paper.words, paper.sheet.groups
    sums = [group.amount.minor for group in groups] or [0]
    rows = [paper.cells((labels.GROUP, "", words.symbol), "head")]
    for group in groups:
        name, amount = paper.cells((group.name, words.sum(group.amount)))
        rows.append([name, SumBar(group.amount.minor, min(sums), max(sums)), amount])
    total = words.sum(paper.sheet.priced.contingency.amount)
    rows.append(paper.cells((labels.CONTINGENCY, "", total), "cell strong"))
    table = paper.table(rows, [_HALF - 44 - _BAR, _BAR, 44], total=1, pad=1)
    table.setStyle([("VALIGN", (1, 1), (1, -2), "MIDDLE")])
    return [
        paper.heading(labels.WHAT_MAKES_IT, "makes up"),
        table,
        paper.text(labels.WHAT_MAKES_IT_WORDS, "note", before=3),
    ]


def _starting_values(paper: InternalPaper) -> list[Any]:
    """What nobody has judged yet, the largest sums named."""
    sheet, words = paper.sheet, paper.words
    heading = paper.heading(labels.ON_STARTING, "starting", before=8)
    rows = sheet.on_starting_values
    if not rows:
        return [heading, paper.text(labels.NONE_ON_STARTING, "second")]
    whole = [row for row in sheet.rows if row.rests_on]
    amount = sum((row.amount for row in rows[1:]), rows[0].amount)
    said = labels.ON_STARTING_SUM.format(
        count=len(rows), whole=len(whole), amount=words.money(amount), names=_named(rows)
    )
    costs = sum(part.cost_rests_on == STARTING_VALUE for part in sheet.priced.exposed)
    if costs:
        said += " " + labels.ON_STARTING_COSTS.format(count=costs, whole=len(sheet.priced.exposed))
    return [heading, paper.text(said, "second")]


def _named(rows: tuple[SheetRow, ...]) -> str:
    names = ", ".join(within(row.name) for row in rows[:_NAMED])
    if len(rows) <= _NAMED:
        return names
    return labels.AND_OTHERS.format(names=names, count=len(rows) - _NAMED)
