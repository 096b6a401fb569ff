"""The sheets of what may move, what is paid when, and the dates."""

from __future__ import annotations

from decimal import Decimal

from estimator.documents.files import file_labels as labels
from estimator.documents.files.quote_rows import FileQuote, provisional_lines
from estimator.documents.files.workbook import (
    DAY,
    FIRST_ROW,
    MONEY,
    NUMBER,
    SHARE,
    TEXT,
    WRAPPED,
    Cell,
    Column,
    Live,
    Sheet,
    at,
)
from estimator.documents.grammar import labels as words
from estimator.documents.quote.payment import stage_payments
from estimator.domain.milestones import milestones


def write_provisional(sheet: Sheet, source: FileQuote, reference: str) -> None:
    """Every provisional line with low, likely and high, and why it may move. Only the likely sums
    are added: what is low everywhere at once is no likely sum."""
    low, likely, high = (one.format(currency=source.currency)
                         for one in (labels.LOW, labels.LIKELY, labels.HIGH))  # fmt: skip
    columns = [
        Column(labels.REFERENCE, TEXT, 11), Column(labels.GROUP, WRAPPED, 26),
        Column(labels.LINE, WRAPPED, 46), Column(labels.QUANTITY, NUMBER, 10),
        Column(labels.UNIT, TEXT, 8), Column(low, MONEY, 13), Column(likely, MONEY, 13),
        Column(high, MONEY, 13), Column(labels.WHY, WRAPPED, 46),
    ]  # fmt: skip
    sheet.begin(labels.SHEET_HEADINGS["provisional"], reference, columns, labels.PAGE, wide=True)
    lines = provisional_lines(source)
    for row, line in enumerate(lines, start=FIRST_ROW):
        unit = str(words.UNITS.get(line.unit, line.unit))
        cells: list[Cell] = [line.reference, line.group_name, line.name, line.quantity, unit,
                             line.amount_low, line.amount, line.amount_high, line.why]  # fmt: skip
        sheet.row(row, cells, columns)
    total = FIRST_ROW + len(lines)
    added = Live(f"SUM({at(6, FIRST_ROW)}:{at(6, total - 1)})", source.price.provisional_lines)
    sheet.row(total, [None, labels.PROVISIONAL, None, None, None, None, added, None, None],
              columns, strong=True)  # fmt: skip


def write_stages(sheet: Sheet, source: FileQuote, reference: str) -> None:
    """What is paid when, adding up to the price."""
    heads = (labels.NET, labels.TAX_SUM, labels.TO_PAY)
    columns = [
        Column(labels.STAGE, WRAPPED, 42), Column(labels.SHARE, SHARE, 9),
        *(Column(head.format(currency=source.currency), MONEY, 17) for head in heads),
    ]  # fmt: skip
    sheet.begin(labels.SHEET_HEADINGS["stages"], reference, columns, labels.PAGE)
    totals = source.price.totals
    payments = stage_payments(source.job, totals)
    for row, one in enumerate(payments, start=FIRST_ROW):
        both = Live(f"{at(2, row)}+{at(3, row)}", one.gross)
        name = one.when[:1].upper() + one.when[1:] or labels.BALANCE
        sheet.row(row, [name, one.share, one.net, one.tax, both], columns)
    total = FIRST_ROW + len(payments)
    sums = ((1, Decimal(1)), (2, totals.net), (3, totals.tax), (4, totals.gross))
    cells: list[Cell] = [labels.STAGE_SUM]
    for place, value in sums:
        above = f"{at(place, FIRST_ROW)}:{at(place, total - 1)}"
        cells.append(Live(f"SUM({above})", value))
    sheet.row(total, cells, columns, strong=True)


def write_dates(sheet: Sheet, source: FileQuote, reference: str) -> None:
    """The milestones, as days that a spreadsheet can reckon with."""
    columns = [Column(labels.ITEM, WRAPPED, 34), Column(labels.DAY, DAY, 13),
               Column(labels.WHAT_IT_MEANS, WRAPPED, 62)]  # fmt: skip
    sheet.begin(labels.SHEET_HEADINGS["dates"], reference, columns, labels.PAGE)
    for row, one in enumerate(milestones(source.quote), start=FIRST_ROW):
        meaning = labels.DATE_WORDS[one.key].format(days=source.job.terms.answer_days)
        sheet.row(row, [labels.DATES[one.key], one.day, meaning], columns)
