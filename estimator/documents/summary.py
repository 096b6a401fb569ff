"""What is read first: whose machine, the three figures, how sure they are, what is in and what is
not, the contingency in plain words, payment; then what may move, and the dates."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from reportlab.platypus import TableStyle

from estimator.documents import labels
from estimator.documents.certainty_bar import (
    CONTINGENCY_PART,
    FIRM_PART,
    PROVISIONAL_PART,
    CertaintyBar,
    Swatch,
)
from estimator.documents.columns import Beside, Columns, Rule
from estimator.documents.fonts import REGULAR, marked
from estimator.documents.look import GAP, WIDTH, face_of, style
from estimator.documents.payment import stage_payments
from estimator.documents.sheet import Sheet
from estimator.documents.text import Grid, Text
from estimator.documents.wording import NOTHING
from estimator.domain.money import round_half_up

_LABEL_WIDTH = 62.0


def summary(sheet: Sheet) -> list[Any]:
    """Everything a reader needs who turns no page."""
    return [
        *_opening(sheet),
        Rule(strong=True),
        *_three_figures(sheet),
        Rule(),
        _in_and_out(sheet),
        *_contingency_words(sheet),
        Rule(),
        *_payment(sheet),
    ]


def how_it_works(sheet: Sheet) -> list[Any]:
    """How the price works and what may move, beside the dates."""
    return [Columns([_moves(sheet), _dates(sheet)], before=12)]


def _opening(sheet: Sheet) -> list[Any]:
    quote, job, words = sheet.quote, sheet.priced.job, sheet.words
    row = sheet.priced.cat.machine_class
    tonnes = round_half_up(row.operating_mass_kg / 1000, Decimal(1))
    line = labels.MACHINE_LINE.format(
        mass=words.quantity(tonnes), serial=job.machine.serial,
        hours=words.quantity(job.machine.hours), day=words.day(job.inspected),
    )  # fmt: skip
    left = [(labels.TO, [job.customer.name, *job.customer.address])]
    if job.customer.contact:
        left.append((labels.CONTACT, [job.customer.contact]))
    left.append((labels.FROM, [job.workshop.name, *job.workshop.address]))
    right = [
        (labels.LEVEL, [labels.LEVELS.get(job.level, job.level)]),
        (labels.WRITTEN, [job.estimator]),
        (labels.RELEASED, [job.releaser]),
        (labels.STANDS, [words.day(quote.valid_until)]),
    ]
    return [
        *sheet.section(labels.TITLE.format(machine=row.type), "summary", name="title"),
        sheet.text(line, "second", after=5),
        Columns([[_pairs(sheet, left, 40)], [_pairs(sheet, right)]]),
    ]


def _pairs(
    sheet: Sheet, rows: list[tuple[str, list[str]]], label: float = _LABEL_WIDTH, name: str = "body"
) -> Grid:
    """Labels with their values; the value of a row wraps beside its label."""
    cells = [
        [sheet.text(title, "label"), sheet.text(", ".join(part for part in value if part), name)]
        for title, value in rows
    ]
    return _pair_table(cells, label, (WIDTH - GAP) / 2)


def _pair_table(cells: list[list[Any]], label: float, whole: float) -> Grid:
    table = Grid(cells, [label, whole - label], style=TableStyle([
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 0.6),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]))  # fmt: skip
    table.hAlign = "LEFT"
    return table


def _three_figures(sheet: Sheet) -> list[Any]:
    words, price, quote = sheet.words, sheet.price, sheet.quote
    taxes = [
        labels.TAX_LINE.format(tax=name, base=words.money(base),
                               amount=words.money(tax, exact=True))
        for name, base, tax in sheet.taxes(price.totals)
    ]  # fmt: skip
    first = [
        sheet.text(labels.PRICE, "head"),
        sheet.text(words.money(price.net), "figure"),
        sheet.text(labels.BEFORE_TAX, "second"),
        *(sheet.text(one, "second") for one in taxes),
        sheet.text(labels.GROSS_LINE.format(amount=words.money(price.totals.gross, exact=True)),
                   "cell strong"),
        *(sheet.text(one, "note") for one in sheet.exemptions()),
    ]  # fmt: skip
    held = bool(price.contingency)
    unspent = sheet.clause(f"{sheet.form}: unspent")
    second = [
        sheet.text(labels.CONTINGENCY_HELD, "head"),
        sheet.text(words.money(price.contingency) if held else NOTHING, "figure"),
        sheet.text(f"{labels.INSIDE_PRICE}. {unspent}" if held else labels.NONE_HELD, "second"),
    ]
    third = [
        sheet.text(labels.READY, "head"),
        sheet.text(words.day(quote.ready_covered), "figure"),
        sheet.text((labels.READY_WORDS if held else labels.READY_PLAIN).format(
            likely=words.day(quote.ready_likely), earliest=words.day(quote.ready_nothing_worn)
        ), "second"),
    ]  # fmt: skip
    bar = CertaintyBar([
        (FIRM_PART, price.firm.minor),
        (PROVISIONAL_PART, price.provisional_lines.minor),
        (CONTINGENCY_PART, price.contingency.minor),
    ])  # fmt: skip
    bar.spaceBefore, bar.spaceAfter = 7, 6
    return [Columns([first, second, third], [1, 1, 1.08]), bar, _key(sheet)]


def _key(sheet: Sheet) -> Columns:
    """What each pattern means, with its sum and one line."""
    price, form = sheet.price, sheet.form
    parts = (
        (FIRM_PART, labels.FIRM, price.firm, "sure: firm"),
        (PROVISIONAL_PART, labels.PROVISIONAL, price.provisional_lines,
         f"{form}: sure provisional"),
        (CONTINGENCY_PART, labels.CONTINGENCY, price.contingency, f"{form}: sure contingency"),
    )  # fmt: skip
    columns = []
    for kind, name, amount, section in parts:
        sums = marked(sheet.words.money(amount) if amount else NOTHING, REGULAR, tagged=True)
        title = Text(
            f'{marked(name, face_of(kind))} &nbsp;<font color="#16212B">{sums}</font>', style(kind)
        )
        meaning = sheet.text(sheet.clause(section), "second")
        columns.append([Beside(Swatch(kind), [title], 21), meaning])
    return Columns(columns, [1, 1, 1.08])


def _in_and_out(sheet: Sheet) -> Columns:
    included = [
        sheet.heading(labels.INCLUDED, "included"),
        *(sheet.bullet(text) for text in sheet.clauses("included")),
    ]
    left_out = sheet.quote.left_out
    named = [labels.ALSO_LEFT_OUT.format(names="; ".join(left_out))] if left_out else []
    excluded = [
        sheet.heading(labels.NOT_INCLUDED, "not included"),
        *(sheet.bullet(text, cross=True) for text in (*named, *sheet.clauses("not_included"))),
    ]
    return Columns([included, excluded], rule=True)


def _contingency_words(sheet: Sheet) -> list[Any]:
    """What the contingency is for and what it rests on, without odds."""
    if not sheet.price.contingency:
        return []
    quote, form = sheet.quote, sheet.form
    if quote.own_cases and quote.starting_values:
        rests = "contingency: rests on both"
    elif quote.own_cases:
        rests = "contingency: rests on own past work"
    elif quote.starting_values:
        rests = "contingency: rests on starting values"
    else:
        rests = "contingency: rests on judgement"
    second = ("contingency: enough", rests,
              f"{form}: drawn", f"{form}: unspent", f"{form}: runs out")  # fmt: skip
    first = [sheet.text(sheet.clause("contingency: unseen"), after=3)] if quote.unseen else []
    return [
        Rule(),
        *sheet.section(labels.CONTINGENCY_WORDS, "contingency", need=60),
        *first,
        sheet.text(" ".join(filter(None, map(sheet.clause, second)))),
    ]


def _moves(sheet: Sheet) -> list[Any]:
    form = sheet.form
    rows = [
        (labels.FIRM, f"{form}: firm"),
        (labels.PROVISIONAL, f"{form}: provisional"),
        (labels.CONTINGENCY, f"{form}: contingency"),
        (labels.REQUESTS, "moves: requests"),
        (labels.EXCHANGE_UNITS, "moves: exchange units"),
        (labels.TAX, "moves: tax"),
    ]
    shown = [(title, [text]) for title, section in rows if (text := sheet.clause(section))]
    return [
        sheet.heading(labels.HOW_PRICE_WORKS, "moves"),
        sheet.lead(f"{labels.FORM}:", sheet.clause(f"{form}: name"), after=1.5),
        _pairs(sheet, shown, 72),
    ]


def _dates(sheet: Sheet) -> list[Any]:
    quote, job, words = sheet.quote, sheet.priced.job, sheet.words
    rows = [
        (labels.MACHINE_IN, [words.day(job.start)]),
        (labels.OPENED, [labels.LIKELY_BY.format(day=words.day(quote.teardown.report_day))]),
        (labels.ANSWERED, [labels.ANSWER_DAYS.format(days=job.terms.answer_days)]),
        (labels.READY_BY, [words.day(quote.ready_covered)]),
        (labels.READY_LIKELY, [words.day(quote.ready_likely)]),
        (labels.READY_EARLIEST, [words.day(quote.ready_nothing_worn)]),
    ]
    leads = [
        labels.WEEKS.format(name=one.name, weeks=words.quantity(one.weeks))
        for one in quote.long_leads
    ]
    found = [sheet.heading(labels.DATES, "dates"), _pairs(sheet, rows, 96, "strong")]
    if leads:
        found.append(sheet.lead(f"{labels.LONG_LEADS}:", f"{'; '.join(leads)}. "
                                f"{sheet.clause('long leads')}", "second", before=2))  # fmt: skip
    notes = " ".join((sheet.clause("dates: answer"), sheet.clause("dates: ready")))
    return [*found, sheet.text(notes, "second", before=2)]


def _payment(sheet: Sheet) -> list[Any]:
    """Stages with sums that add up to the price; the last is the balance."""
    words, totals = sheet.words, sheet.price.totals
    payments = stage_payments(sheet.priced.job, totals)
    rows = [sheet.cells((labels.STAGE, labels.SHARE, f"{labels.NET}, {words.symbol}",
                         f"{labels.TAX}, {words.symbol}", f"{labels.TO_PAY}, {words.symbol}"),
                        "head")]  # fmt: skip
    rows += [
        sheet.cells((one.when[:1].upper() + one.when[1:] or labels.BALANCE,
                     words.share(one.share, 1), words.sum(one.net, exact=True),
                     words.sum(one.tax, exact=True), words.sum(one.gross, exact=True)))
        for one in payments
    ]  # fmt: skip
    whole = (words.sum(amount, exact=True) for amount in (totals.net, totals.tax, totals.gross))
    rows.append(sheet.cells((labels.STAGE_SUM, words.share(Decimal(1)), *whole), "cell strong"))
    note = " ".join(filter(None, map(sheet.clause, ("payment: stages", f"{sheet.form}: balance"))))
    sums = [WIDTH * share for share in (0.36, 0.1, 0.18, 0.18, 0.18)]
    return [
        *sheet.section(labels.PAYMENT, "payment"),
        sheet.table(rows, sums, total=1, pad=1),
        sheet.text(note, "second", before=3),
    ]
