"""The sheets of component groups and of lines: groups are sums of lines where these are told."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.documents.files import file_labels as labels
from estimator.documents.files.quote_rows import (
    FULL,
    KINDS,
    FileLine,
    FileQuote,
    certainty_name,
    file_lines,
    groups,
    kind_name,
)
from estimator.documents.files.workbook import (
    FIRST_ROW,
    MONEY,
    NUMBER,
    TEXT,
    WRAPPED,
    Cell,
    Column,
    Live,
    Sheet,
    at,
    sheet_name,
    span,
)
from estimator.documents.grammar import labels as words
from estimator.domain.money import Money
from estimator.domain.scope import FIRM, LABOUR, PROVISIONAL
from estimator.domain.totals import GroupSum

# Columns of the sheet of lines.
_CODE, _KIND, _SURE, _HOURS, _AMOUNT = 0, 4, 5, 6, 9
# Columns of the sheet of groups.
_G_HOURS, _G_KINDS, _G_AMOUNT, _G_FIRM, _G_PROVISIONAL, _G_HELD = 2, 3, 6, 7, 8, 9
_PLACES = {
    **{kind: _G_KINDS + place for place, kind in enumerate(KINDS)},
    FIRM: _G_FIRM, PROVISIONAL: _G_PROVISIONAL, "contingency": _G_HELD,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class GroupSheet:
    """Where the totals of the sheet of groups stand; `lines_name` is "" where no lines are told."""

    name: str
    total_row: int
    lines_name: str

    def total(self, key: str) -> str:
        """The total of a kind, of firm, of provisional, or of the contingency, as formulas name
        it."""
        return at(_PLACES[key], self.total_row, self.name)


def write_groups(sheet: Sheet, source: FileQuote, reference: str) -> GroupSheet:
    """Every group with its hours and sums, and their totals."""
    columns, rows = _group_columns(source), groups(source)
    sheet.begin(labels.SHEET_HEADINGS["groups"], reference, columns, labels.PAGE, wide=True)
    count = len(file_lines(source)) if source.detail == FULL else 0
    lines = sheet_name(labels.LINES) if source.detail == FULL else ""
    for row, group in enumerate(rows, start=FIRST_ROW):
        cells = _group_cells(group, row, lines, count)
        sheet.row(row, cells[: len(columns)], columns)
    total = FIRST_ROW + len(rows)
    sheet.row(total, _group_totals(source, total)[: len(columns)], columns, strong=True)
    return GroupSheet(sheet.name, total, lines)


def _group_columns(source: FileQuote) -> list[Column]:
    heads = (labels.LABOUR_COLUMN, labels.PARTS_COLUMN, labels.OUTWORK_COLUMN, labels.AMOUNT)
    apart = (labels.FIRM_COLUMN, labels.PROVISIONAL_COLUMN, labels.CONTINGENCY_COLUMN)
    shown = heads if source.fixed else (*heads, *apart)
    return [
        Column(labels.CODE, TEXT, 8),
        Column(labels.GROUP, WRAPPED, 38),
        Column(labels.HOURS, NUMBER, 11),
        *(Column(head.format(currency=source.currency), MONEY, 15) for head in shown),
    ]


def _group_cells(group: GroupSum, row: int, lines: str, count: int) -> list[Cell]:
    """One row: live from the lines where they are told, typed where they are not."""

    def live(value: Money | Decimal, column: int, *where: tuple[int, str]) -> Cell:
        if not lines:
            return value
        last = FIRST_ROW + max(count, 1) - 1
        asked = [f"{span(_CODE, FIRST_ROW, last, lines)},{at(0, row)}"]
        asked += [f'{span(place, FIRST_ROW, last, lines)},"{text}"' for place, text in where]
        return Live(f"SUMIFS({span(column, FIRST_ROW, last, lines)},{','.join(asked)})", value)

    kinds = [live(group.by_kind[kind], _AMOUNT, (_KIND, kind_name(kind))) for kind in KINDS]
    whole = f"SUM({at(_G_KINDS, row)}:{at(_G_AMOUNT - 1, row)})"
    sure = (
        (FIRM, group.firm),
        (PROVISIONAL, group.provisional),
    )
    return [
        group.group,
        group.name,
        live(group.hours, _HOURS),
        *kinds,
        Live(whole, group.lines),
        *(live(amount, _AMOUNT, (_SURE, certainty_name(key))) for key, amount in sure),
        group.contingency,
    ]


def _group_totals(source: FileQuote, total: int) -> list[Cell]:
    price = source.price
    sums: list[Money | Decimal] = [
        price.hours, *(price.by_kind[kind] for kind in KINDS),
        price.firm_lines + price.provisional_lines,
        price.firm_lines, price.provisional_lines, price.contingency,
    ]  # fmt: skip
    return [
        None,
        labels.PRICED_WORK,
        *(_total(_G_HOURS + place, total, value) for place, value in enumerate(sums)),
    ]


def _total(column: int, total: int, value: Money | Decimal) -> Live:
    """The sum of a column above its total; of nothing where there are no rows."""
    if total == FIRST_ROW:
        return Live("0", value)
    return Live(f"SUM({at(column, FIRST_ROW)}:{at(column, total - 1)})", value)


def write_lines(sheet: Sheet, source: FileQuote, reference: str) -> None:
    """Every line of work and parts, with its amount and how sure it is."""
    amount = labels.AMOUNT.format(currency=source.currency)
    columns = [
        Column(labels.CODE, TEXT, 8), Column(labels.GROUP, WRAPPED, 26),
        Column(labels.REFERENCE, TEXT, 11), Column(labels.LINE, WRAPPED, 52),
        Column(labels.KIND, TEXT, 10), Column("" if source.fixed else labels.HOW_SURE, TEXT, 12),
        Column(labels.HOURS, NUMBER, 10), Column(labels.QUANTITY, NUMBER, 10),
        Column(labels.UNIT, TEXT, 8), Column(amount, MONEY, 15),
    ]  # fmt: skip
    sheet.begin(labels.SHEET_HEADINGS["lines"], reference, columns, labels.PAGE, wide=True)
    lines = file_lines(source)
    for row, line in enumerate(lines, start=FIRST_ROW):
        sheet.row(row, _line_cells(line), columns)
    total = FIRST_ROW + len(lines)
    price = source.price
    work = price.firm_lines + price.provisional_lines
    cells: list[Cell] = [None, labels.PRICED_WORK, None, None, None, None,
                         _total(_HOURS, total, price.hours), None, None,
                         _total(_AMOUNT, total, work)]  # fmt: skip
    sheet.row(total, cells, columns, strong=True)
    if lines:
        sheet.filtered(total - 1, columns)


def _line_cells(line: FileLine) -> list[Cell]:
    labour = line.kind == LABOUR
    unit = str(words.UNITS.get(line.unit, line.unit))
    return [
        line.group, line.group_name, line.reference, line.name, kind_name(line.kind),
        certainty_name(line.certainty) or None,
        line.quantity if labour else None, None if labour else line.quantity,
        None if labour else unit, line.amount,
    ]  # fmt: skip
