"""A workbook reckoned by someone who knows only spreadsheets: SUM, SUMIFS, ROUND and arithmetic."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_UP, Decimal
from io import BytesIO
from typing import Any

from openpyxl import load_workbook
from openpyxl.utils import range_boundaries

_TOKEN = re.compile(
    r"""\s*(?:(?P<number>\d+(?:\.\d+)?)|(?P<text>"(?:[^"]|"")*")"""
    r"""|(?P<ref>(?:'(?:[^']|'')+'!)?\$?[A-Z]+\$?\d+(?::\$?[A-Z]+\$?\d+)?)"""
    r"""|(?P<name>[A-Z]+)|(?P<sign>[-+*/(),]))"""
)


class Reckoner:
    """Every formula of a workbook worked out from the typed cells alone."""

    def __init__(self, data: bytes) -> None:
        self.typed = load_workbook(BytesIO(data))
        self.shown = load_workbook(BytesIO(data), data_only=True)
        self.formulas = [
            (sheet.title, cell.coordinate)
            for sheet in self.typed
            for row in sheet.iter_rows()
            for cell in row
            if cell.data_type == "f"
        ]

        self.known: dict[tuple[str, str], Any] = {}

    def type_in(self, sheet: str, place: str, value: float) -> None:
        """Change a cell, as a reader might."""
        self.typed[sheet][place].value = value
        self.known.clear()

    def value(self, sheet: str, place: str) -> Any:
        """What a cell comes to."""
        if (sheet, place) not in self.known:
            self.known[sheet, place] = self._value(sheet, place)
        return self.known[sheet, place]

    def _value(self, sheet: str, place: str) -> Any:
        cell = self.typed[sheet][place]
        if cell.data_type == "f":
            return _Formula(self, sheet, cell.value[1:]).result()
        if cell.data_type == "n" and cell.value is not None:
            return Decimal(repr(cell.value))
        return cell.value

    def shown_value(self, sheet: str, place: str) -> Decimal:
        """What a reader sees that reckons nothing."""
        return Decimal(repr(self.shown[sheet][place].value))

    def cells(self, sheet: str, reference: str) -> list[Any]:
        """Values of a range, row by row."""
        left, top, right, bottom = range_boundaries(reference.replace("$", ""))
        table = self.typed[sheet]
        return [
            self.value(sheet, table.cell(row, column).coordinate)
            for row in range(top, bottom + 1)
            for column in range(left, right + 1)
        ]


class _Formula:
    def __init__(self, book: Reckoner, sheet: str, text: str) -> None:
        self.book, self.sheet = book, sheet
        self.tokens, at = [], 0
        while at < len(text):
            found = _TOKEN.match(text, at)
            assert found, (text, at)
            self.tokens.append((found.lastgroup, found[found.lastgroup]))
            at = found.end()
        self.at = 0

    def result(self) -> Any:
        found = self.added()
        assert self.at == len(self.tokens), self.tokens
        return found

    def peek(self) -> tuple[str | None, str]:
        return self.tokens[self.at] if self.at < len(self.tokens) else (None, "")

    def take(self, text: str = "") -> str:
        kind, found = self.peek()
        assert not text or found == text, (text, self.tokens, self.at)
        self.at += 1
        return found

    def added(self) -> Decimal:
        found = self.multiplied()
        while self.peek()[1] in ("+", "-"):
            sign = self.take()
            found = found + self.multiplied() if sign == "+" else found - self.multiplied()
        return found

    def multiplied(self) -> Decimal:
        found = self.one()
        while self.peek()[1] in ("*", "/"):
            sign = self.take()
            found = found * self.one() if sign == "*" else found / self.one()
        return found

    def one(self) -> Any:
        kind, text = self.peek()
        if text == "-":
            self.take()
            return -self.one()
        if kind == "number":
            return Decimal(self.take())
        if kind == "text":
            return self.take()[1:-1].replace('""', '"')
        if kind == "ref":
            (value,) = self.range(self.take())
            return Decimal(0) if value is None else value
        name = self.take()
        self.take("(")
        return getattr(self, name.lower())()

    def range(self, reference: str) -> list[Any]:
        sheet, mark, place = reference.rpartition("!")
        name = sheet[1:-1].replace("''", "'") if mark else self.sheet
        return self.book.cells(name, place)

    def sum(self) -> Decimal:
        found = [one for one in self.range(self.take()) if isinstance(one, Decimal)]
        self.take(")")
        return sum(found, Decimal(0))

    def sumifs(self) -> Decimal:
        sums = self.range(self.take())
        keep = [True] * len(sums)
        while self.peek()[1] == ",":
            self.take()
            tested = self.range(self.take())
            self.take(",")
            wanted = self.one()
            assert len(tested) == len(sums)
            keep = [old and one == wanted for old, one in zip(keep, tested, strict=True)]
        self.take(")")
        pairs = zip(sums, keep, strict=True)
        return sum((one for one, kept in pairs if kept and one is not None), Decimal(0))

    def round(self) -> Decimal:
        value = self.added()
        self.take(",")
        digits = int(self.added())
        self.take(")")
        return value.quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_UP)
