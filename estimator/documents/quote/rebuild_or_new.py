"""Rebuild or buy new, on one page for the customer: both ways side by side, what each hour costs,
what moves the answer, and whose figure everything is."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from babel.numbers import get_currency_name

from estimator.documents.grammar import labels as shared
from estimator.documents.grammar.certainty_bar import (
    CONTINGENCY_PART,
    FIRM_PART,
    PROVISIONAL_PART,
)
from estimator.documents.grammar.columns import Columns, Rule
from estimator.documents.grammar.look import GAP, WIDTH
from estimator.documents.grammar.page import About, Pages, lay_out_counted
from estimator.documents.grammar.spoken import in_language_of_locale, tag, written_in
from estimator.documents.grammar.told import told
from estimator.documents.grammar.wording import Words, english_note
from estimator.documents.quote import rebuild_or_new_labels as labels
from estimator.documents.quote.rebuild_or_new_basis import basis
from estimator.documents.quote.rebuild_or_new_charts import Range, RangeChart, RatioBar, SwingBar
from estimator.documents.quote.rebuild_or_new_paper import ComparisonPaper
from estimator.documents.quote.rebuild_or_new_rows import rows, table_notes
from estimator.documents.quote.rebuild_or_new_words import what_follows
from estimator.domain.money import money_half_up, round_half_up
from estimator.domain.rebuild_or_new.cases import FIXED_PRICE
from estimator.domain.rebuild_or_new.compared import Comparison, Way
from estimator.domain.rebuild_or_new.noting import titled
from estimator.domain.rebuild_or_new.sensitivity import EITHER_WAY

_HALF = (WIDTH - GAP) / 2
_FIRST = 150.0  # the first column of the table
_MOVES = (5, 4, 3, 3, 3)  # figures named of those that move it, the tighter the fewer
_TIGHTEST = 4
_ONE = Decimal(1)
_NO_HEADING = 2


@in_language_of_locale
def rebuild_or_new_pdf(found: Comparison, locale: str = "en_GB", paper: str = "") -> bytes:
    """The page of a comparison, numbers and dates written as `locale` has them, on A4 or Letter
    where `paper` names one.

    The same comparison and locale give the same bytes. It is one page: where there is much to
    say it is set tighter. Raises ValueError for a locale whose formats are not known.
    """
    terms = found.priced.job.terms
    words = Words.of(locale, terms.currency, terms.quoting_unit)
    data = b""
    for tight in range(_TIGHTEST + 1):
        data, count = _laid_out(ComparisonPaper(found, words, tight), paper)
        if count == 1:
            break
    return data


def _laid_out(paper: ComparisonPaper, sheet: str) -> tuple[bytes, int]:
    """The document and the number of its pages."""
    about = replace(_about(paper), paper=sheet)
    return lay_out_counted(lambda _: _story(paper), about, Pages({}))


def _story(paper: ComparisonPaper) -> list[Any]:
    return [
        *_opening(paper),
        Rule(strong=True, before=2, after=3),
        *what_follows(paper),
        *_ratio(paper),
        *_side_by_side(paper),
        Columns([_chart(paper), _moves(paper)], before=5),
        *basis(paper),
    ]


def _about(paper: ComparisonPaper) -> About:
    found, words = paper.found, paper.words
    job = found.priced.job
    reference = labels.REFERENCE.format(title=job.title, day=words.day(job.date))
    currency = get_currency_name(job.terms.currency, count=2, locale=written_in())
    address = ", ".join(job.workshop.address)
    prices = shared.PRICES_IN.format(currency=currency)
    title = labels.TITLE.format(machine=found.priced.cat.machine_class.type)
    return About(
        sender=job.workshop.name,
        reference=reference,
        foot="   \u00b7   ".join(filter(None, (address, prices))),
        title=f"{reference} \u00b7 {title}",
        subject=job.machine.serial,
        language=tag(),
        day=job.date,
        locale=str(words.locale),
        note=_note(paper),
    )


def _note(paper: ComparisonPaper) -> str:
    """Said once: that a translation is not confirmed, that text is left in English."""
    caution = paper.found.caution
    said = []
    if any(one.unconfirmed for one in caution):
        said.append(shared.UNCONFIRMED.format(mark=shared.UNCONFIRMED_MARK))
    said.append(english_note(paper.words, any(one.in_english for one in caution)))
    return " ".join(filter(None, said))


def _opening(paper: ComparisonPaper) -> list[Any]:
    found, words = paper.found, paper.words
    job, row = found.priced.job, found.priced.cat.machine_class
    machine = labels.MACHINE_LINE.format(
        mass=words.quantity(round_half_up(row.operating_mass_kg / 1000, _ONE)),
        serial=job.machine.serial,
        hours=words.quantity(job.machine.hours),
        day=words.day(job.inspected),
    )
    facts = (
        (labels.FOR, job.customer.name), (labels.QUOTE, job.title),
        (labels.DATED, words.day(job.date)),
    )  # fmt: skip
    said = "  \u00b7  ".join(f"{name}: {text}" for name, text in facts)
    title = labels.TITLE.format(machine=row.type)
    return [
        *paper.section(title, "rebuild or new", name="title"),
        paper.text(machine, "second"),
        paper.text(said, "second"),
    ]


def _ratio(paper: ComparisonPaper) -> list[Any]:
    found, words = paper.found, paper.words
    price, whole = found.priced.price, float(found.new.price[1].amount)
    parts = [
        (FIRM_PART, price.firm), (PROVISIONAL_PART, price.provisional_lines),
        (CONTINGENCY_PART, price.contingency),
    ]  # fmt: skip
    is_fixed = found.priced.job.terms.commercial_form == FIXED_PRICE
    if is_fixed:  # one price, of which no part is set apart
        parts = [(FIRM_PART, price.net)]
    names = {FIRM_PART: labels.FIRM, PROVISIONAL_PART: labels.PROVISIONAL,
             CONTINGENCY_PART: labels.CONTINGENCY}  # fmt: skip
    low, high = (words.share(one) for one in found.usual)
    usual = labels.RATIO_USUAL.format(low=low, high=high)
    shares = [(kind, float(amount.amount) / whole) for kind, amount in parts]
    share = labels.RATIO_WORDS.format(
        share=words.share(found.share, 1), price=words.money(found.new.price[1])
    )
    told_apart = () if is_fixed else parts
    key = ", ".join(f"{names[kind]} {words.money(one)}" for kind, one in told_apart if one)
    bar = RatioBar(shares, (float(found.usual[0]), float(found.usual[1])), usual)
    bar.spaceBefore = 2
    return [
        *paper.section(labels.RATIO, "ratio", name="part", before=6),
        paper.lead(shared.LEAD.format(title=share), f"{key}.", "second")
        if key
        else paper.text(share, "second"),
        bar,
    ]


def _side_by_side(paper: ComparisonPaper) -> list[Any]:
    width = (WIDTH - _FIRST) / 2
    head = paper.cells(("", labels.REBUILD, labels.NEW), "head")
    body = [paper.cells(one.cells, "cell strong" if one.strong else "cell") for one in rows(paper)]
    titled_by = paper.section(labels.SIDE_BY_SIDE, "side by side", name="part", before=5)
    return [
        *(titled_by if paper.tight < _NO_HEADING else ()),
        paper.table(
            [head, *body], [_FIRST, width, width], pad=0.7 if paper.tight else 1.2, before=3
        ),
        *(paper.text(one, "note", before=2) for one in table_notes(paper)),
    ]


def _chart(paper: ComparisonPaper) -> list[Any]:
    found, words = paper.found, paper.words
    chart = RangeChart([_range(paper, labels.REBUILD, found.rebuilt),
                        _range(paper, labels.NEW, found.new)])  # fmt: skip
    is_fixed = found.priced.job.terms.commercial_form == FIXED_PRICE
    held = bool(found.priced.price.contingency) and not is_fixed
    return [
        paper.part_heading(labels.CHART, "cost per hour"),
        paper.text(labels.CHART_UNIT.format(currency=words.symbol), "note"),
        chart,
        paper.text(labels.CHART_WORDS if held else labels.CHART_WORDS_FIXED, "note", before=2),
    ]


def _range(paper: ComparisonPaper, name: str, way: Way) -> Range:
    low, likely, high = way.per_hour
    return Range(
        name, float(low.amount), float(likely.amount), float(high.amount),
        paper.hour(low), paper.hour(likely), paper.hour(high),
    )  # fmt: skip


def _moves(paper: ComparisonPaper) -> list[Any]:
    found = paper.found
    shown = found.moves[: _MOVES[paper.tight]]
    most = max((one.swing for one in shown), default=_ONE)
    body = []
    for one in shown:
        amount = money_half_up(one.swing, found.inputs.currency)
        name = told(titled(one.name), paper.words) + ("\u00a0*" if one.turns else "")
        text, figure = paper.cells((name, paper.hour(amount)), "fine")
        body.append([text, SwingBar(float(one.swing / most)), figure])
    table = paper.table(body, [_HALF - 98, 50, 48], head=0, pad=0.8)
    table.setStyle([("VALIGN", (1, 0), (1, -1), "MIDDLE")])
    said = labels.MOVES_WORDS.format(share=paper.words.share(EITHER_WAY))
    if any(one.turns for one in shown):
        said = f"{said} {labels.MOVES_TURNS}"
    return [
        paper.part_heading(labels.MOVES, "moves"), table, paper.text(said, "note", before=2),
    ]  # fmt: skip
