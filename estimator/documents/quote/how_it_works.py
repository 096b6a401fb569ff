"""How the price works and what may move, beside the dates."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import TableStyle

from estimator.documents.grammar import labels
from estimator.documents.grammar.columns import Columns
from estimator.documents.grammar.fonts import REGULAR
from estimator.documents.grammar.look import GAP, WIDTH
from estimator.documents.grammar.paper import Paper
from estimator.documents.grammar.text import Grid
from estimator.documents.grammar.wording import apart
from estimator.documents.quote.sheet import Sheet

_LABEL_WIDTH = 62.0
_HALF = (WIDTH - GAP) / 2


def how_it_works(sheet: Sheet) -> list[Any]:
    """What may move, beside the dates."""
    return [Columns([_moves(sheet), _dates(sheet)], before=12)]


def pairs(
    sheet: Paper,
    rows: list[tuple[str, list[str]]],
    label: float = _LABEL_WIDTH,
    name: str = "body",
    whole: float = _HALF,
) -> Grid:
    """Labels with their values; the value of a row wraps beside its label."""
    cells = [
        [sheet.text(title, "label"), sheet.text(", ".join(part for part in value if part), name)]
        for title, value in rows
    ]
    return _pair_table(cells, label, whole)


def _pair_table(cells: list[list[Any]], label: float, whole: float) -> Grid:
    table = Grid(cells, [label, whole - label], style=TableStyle([
        ("FONTNAME", (0, 0), (-1, -1), REGULAR),
        ("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 0),
        ("TOPPADDING", (0, 0), (-1, -1), 0), ("BOTTOMPADDING", (0, 0), (-1, -1), 0.6),
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ]))  # fmt: skip
    table.hAlign = "LEFT"
    return table


def _moves(sheet: Sheet) -> list[Any]:
    form = sheet.form
    rows = [
        (labels.PRICE if sheet.fixed else labels.FIRM, f"{form}: firm"),
        (labels.PROVISIONAL, f"{form}: provisional"),
        (labels.CONTINGENCY, f"{form}: contingency"),
        (labels.REQUESTS, "moves: requests"),
        (labels.EXCHANGE_UNITS, "moves: exchange units"),
        (labels.TAX, "moves: tax"),
    ]
    shown = [(title, [text]) for title, section in rows if (text := sheet.clause(section))]
    return [
        sheet.heading(labels.HOW_PRICE_WORKS, "moves"),
        sheet.lead(labels.LEAD.format(title=labels.FORM), sheet.clause(f"{form}: name"), after=1.5),
        pairs(sheet, shown, 72),
    ]


def _dates(sheet: Sheet) -> list[Any]:
    quote, job, words = sheet.quote, sheet.priced.job, sheet.words
    rows = [
        (labels.MACHINE_IN, [words.day(job.start)]),
        (labels.OPENED, [labels.LIKELY_BY.format(day=words.day(quote.teardown.report_day))]),
        (labels.ANSWERED, [labels.ANSWER_DAYS.format(days=job.terms.answer_days)]),
        (labels.READY_BY, [words.day(quote.ready_covered)]),
        (labels.READY_LIKELY, [words.day(quote.ready_likely)]),
        (labels.READY_EARLIEST,
         [labels.IF_NOTHING_MORE.format(day=words.day(quote.ready_nothing_worn))]),
    ]  # fmt: skip
    leads = [
        labels.WEEKS.format(name=one.name, weeks=words.quantity(one.weeks))
        for one in quote.long_leads
    ]
    found = [sheet.heading(labels.DATES, "dates"), pairs(sheet, rows, 96, "strong"),
             sheet.text(sheet.clause("dates: order"), "strong", before=2)]  # fmt: skip
    if leads:
        said = apart(leads).rstrip(".")  # a unit may be cut short with a point of its own
        text = f"{said}. {sheet.clause('long leads')}"
        lead = labels.LEAD.format(title=labels.LONG_LEADS)
        found.append(sheet.lead(lead, text, "second", before=2))
    notes = " ".join((sheet.clause("dates: answer"), sheet.clause("dates: ready")))
    return [*found, sheet.text(notes, "second", before=2)]
