"""A workbook in the making: typed cells, live sums with their values beside them, print set up.

A formula is written with the value it comes to, which a reader that reckons nothing shows. Text is
always text: what a spreadsheet would take for a formula or a link is neither.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from io import BytesIO
from typing import Any

from estimator.documents.files.file_text import cell_text, one_line
from estimator.domain.money import Money, minor_digits

A4, LETTER = "A4", "Letter"
PAPERS = {A4: 9, LETTER: 1}  # as SpreadsheetML numbers them
TEXT, WRAPPED, MONEY, NUMBER, SHARE, DAY = "text", "wrapped", "money", "number", "share", "day"
HEAD_ROW = 3  # rows are counted from 0: title, reference, an empty one, the heads
FIRST_ROW = HEAD_ROW + 1
_LONGEST_HEADER = 110
_INK, _PALE = "#16212B", "#E9EDF0"

Value = str | Money | Decimal | date | None


@dataclass(frozen=True, slots=True)
class Live:
    """A formula and what it comes to."""

    formula: str
    value: Money | Decimal


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its head, what stands in it, how wide it is in digits."""

    head: str
    kind: str
    width: float


Cell = Value | Live


def letter(column: int) -> str:
    """Name of a column counted from 0: A, B ... Z, AA."""
    name, number = "", column + 1
    while number:
        number, rest = divmod(number - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def at(column: int, row: int, sheet: str = "") -> str:
    """A cell as formulas name it, both counted from 0."""
    place = f"{letter(column)}{row + 1}"
    return f"{quoted(sheet)}!{place}" if sheet else place


def span(column: int, first: int, last: int, sheet: str = "") -> str:
    """Cells of a column as formulas name them, fixed in place."""
    name = letter(column)
    place = f"${name}${first + 1}:${name}${last + 1}"
    return f"{quoted(sheet)}!{place}" if sheet else place


def quoted(sheet: str) -> str:
    """A sheet's name inside a formula."""
    return "'" + sheet.replace("'", "''") + "'"


def sheet_name(text: str) -> str:
    """A name that every program takes for a sheet."""
    plain = "".join(" " if one in "[]:*?/\\" else one for one in one_line(text))
    return plain[:31].strip(" '") or "Sheet"


class Book:
    """A workbook in memory; `data` closes it. One page set-up for all its sheets."""

    def __init__(self, title: str, author: str, currency: str, made: datetime, paper: str) -> None:
        from xlsxwriter import Workbook

        self._bytes = BytesIO()
        self._book = Workbook(self._bytes, {"in_memory": True})
        self._title, self._author = one_line(title), one_line(author)
        self._paper = PAPERS[paper]
        self._digits = minor_digits(currency)
        self._formats: dict[tuple[str, bool], Any] = {}
        self._book.set_properties({
            "title": self._title, "author": self._author,
            "created": made.astimezone(UTC).replace(tzinfo=None),
        })  # fmt: skip
        self._book.set_calc_mode("auto")

    def data(self) -> bytes:
        """The workbook as a file."""
        self._book.close()
        return self._bytes.getvalue()

    def sheet(self, name: str) -> Sheet:
        """A further sheet, after those there are."""
        return Sheet(self, self._book.add_worksheet(sheet_name(name)), sheet_name(name))

    def look(self, kind: str, strong: bool = False) -> Any:
        """The format of a cell."""
        if (kind, strong) not in self._formats:
            self._formats[kind, strong] = self._book.add_format(self._properties(kind, strong))
        return self._formats[kind, strong]

    def _properties(self, kind: str, strong: bool) -> dict[str, Any]:
        digits = "." + "0" * self._digits if self._digits else ""
        own: dict[str, dict[str, Any]] = {
            MONEY: {"num_format": f"#,##0{digits};-#,##0{digits}"},
            NUMBER: {"num_format": "#,##0.00"},
            SHARE: {"num_format": "0.0%"},
            DAY: {"num_format": "yyyy-mm-dd", "align": "left"},
            WRAPPED: {"text_wrap": True},
            "head": {"bold": True, "bg_color": _PALE, "bottom": 1, "text_wrap": True},
            "title": {"bold": True, "font_size": 14, "font_color": _INK},
        }
        found = {"valign": "top"} | own.get(kind, {})
        return found | ({"bold": True, "top": 1} if strong else {})

    def set_up(self, sheet: Any, wide: bool) -> None:
        """How a sheet prints: on this paper, as wide as a page, heads on every page."""
        sheet.set_paper(self._paper)
        if wide:
            sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.repeat_rows(0, HEAD_ROW)
        sheet.set_margins(left=0.6, right=0.6, top=0.8, bottom=0.8)

    def margins(self, sheet: Any, page: str) -> None:
        """What stands above and below every printed page; `page` names its number."""
        author, title = (_in_header(one) for one in (self._author, self._title))
        sheet.set_header(f"&L{author}&R{title}")
        sheet.set_footer(f"&R{_in_header(page)}".replace("{page}", "&P").replace("{total}", "&N"))


class Sheet:
    """One sheet, filled from its top."""

    def __init__(self, book: Book, sheet: Any, name: str) -> None:
        self.name = name
        self._book, self._sheet = book, sheet

    def begin(self, heading: str, reference: str, columns: Sequence[Column], page: str, *,
              wide: bool = False) -> None:  # fmt: skip
        """Heading, reference and heads, which stay in sight and on every page."""
        self._text(0, 0, heading, "title")
        self._text(1, 0, reference, TEXT)
        for place, column in enumerate(columns):
            self._sheet.set_column(place, place, column.width)
            self._text(HEAD_ROW, place, column.head, "head")
        self._sheet.freeze_panes(FIRST_ROW, 0)
        self._book.set_up(self._sheet, wide)
        self._book.margins(self._sheet, page)

    def row(self, row: int, cells: Sequence[Cell], columns: Sequence[Column], *,
            strong: bool = False) -> None:  # fmt: skip
        """One row, each cell typed as its value is."""
        for place, (value, column) in enumerate(zip(cells, columns, strict=True)):
            self.put(row, place, value, column.kind, strong)

    def put(self, row: int, place: int, value: Cell, kind: str, strong: bool = False) -> None:
        """One cell."""
        look = self._book.look(kind, strong)
        if value is None:
            if strong:
                self._sheet.write_blank(row, place, None, look)
        elif isinstance(value, Live):
            self._sheet.write_formula(row, place, f"={value.formula}", look, _float(value.value))
        elif isinstance(value, str):
            self._text(row, place, value, kind, strong)
        elif isinstance(value, date):
            plain = datetime(value.year, value.month, value.day)
            self._sheet.write_datetime(row, place, plain, look)
        else:
            self._sheet.write_number(row, place, _float(value), look)

    def filtered(self, last_row: int, columns: Sequence[Column]) -> None:
        """Let the reader filter the rows between the heads and `last_row`."""
        self._sheet.autofilter(HEAD_ROW, 0, last_row, len(columns) - 1)

    def _text(self, row: int, place: int, text: str, kind: str, strong: bool = False) -> None:
        self._sheet.write_string(row, place, cell_text(text), self._book.look(kind, strong))


def _float(value: Money | Decimal) -> float:
    return float(value.amount if isinstance(value, Money) else value)


def _in_header(text: str) -> str:
    """Text of a header, in which & begins a code."""
    return text[:_LONGEST_HEADER].replace("&", "&&")
