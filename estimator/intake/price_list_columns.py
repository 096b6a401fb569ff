"""Columns of a price list as text: sound ones as a whole, cell by cell where anything is odd."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass

from estimator.domain.money import MINOR_DIGITS
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded
from estimator.intake.plain_text import hidden_sign
from estimator.intake.price_list_table import LONGEST_CELL, Cell

MOST_PER = 100_000
LONGEST_NUMBER = 80
_ODD = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")
_SCIENCE = re.compile(r"\d(?:[.,]\d+)?E\+?\d+", re.IGNORECASE)
_FORMULA = ("=", "@", "+", "-")
MOST_EXACT = 10**15  # whole numbers above are no longer exact in a workbook


@dataclass(slots=True)
class Column:
    """The cells of one field; `first` is the number of its first row, `empty` are cells with a
    formula that has no result. A fault marks its row as `bad`."""

    file: str
    name: str
    first: int
    cells: Sequence[Cell]
    problems: list[Problem]
    bad: set[int]
    empty: set[int]

    def place(self, n: int) -> Place:
        """Where a cell stands."""
        return Place(self.file, self.first + n, self.name)

    def fault(self, n: int, code: str, message: str, remedy: str = "") -> None:
        """Note a fault; the row is left out."""
        self.problems.append(Problem(code, self.place(n), message, remedy))
        self.bad.add(n)

    def warn(self, n: int, code: str, message: str, remedy: str = "") -> None:
        """Note a warning; the row stays."""
        self.problems.append(Problem(code, self.place(n), message, remedy, warning=True))


def texts_of(
    column: Column | None,
    *,
    needed: bool = False,
    passed: set[int] | frozenset[int] = frozenset(),
    is_number: bool = False,
) -> Sequence[str]:
    """The cells as texts without space around them; a faulty one is "". Nothing for no column.

    With `is_number` they are part numbers: leading noughts count, and a cell that a workbook holds
    as a number may have lost them.
    """
    if column is None:
        return []
    cells = column.cells
    if not column.empty and set(map(type, cells)) <= {str}:
        whole = "\n".join(cells)
        if _is_plain(whole, len(cells), is_number) and not (needed and "" in cells):
            return list(map(str.strip, cells)) if _has_edges(whole) else cells
    found, bare = [], []
    for n, cell in enumerate(cells):
        if n in passed:
            found.append("")
            continue
        if isinstance(cell, float | int) and not isinstance(cell, bool):
            bare.append(n)
        found.append(_text(column, n, cell, needed, is_number))
    if is_number and bare and len(bare) <= len(cells):
        column.warn(
            bare[0],
            "bare-numbers",
            worded(
                "{n} part numbers are kept as numbers, not as text: noughts before them are lost.",
                n=len(bare),
            ),
            worded("Ask for the column as text where numbers begin with 0."),
        )
    return found


def _is_plain(whole: str, count: int, is_number: bool) -> bool:
    """Whether a column needs no look at single cells."""
    if whole.count("\n") != count - 1 or "\t" in whole:
        return False
    if not whole.replace("\n", " ").isprintable() and _ODD.search(whole):  # the first is quick
        return False
    if is_number and ("E+" in whole or "e+" in whole):
        return False
    if whole.startswith(_FORMULA) or "\n=" in whole or "\n@" in whole:
        return False
    if "\n+" in whole or "\n-" in whole:
        return False
    return len(whole) <= LONGEST_NUMBER * count or max(map(len, whole.split("\n"))) <= LONGEST_CELL


def _has_edges(whole: str) -> bool:
    """Whether space stands at the beginning or end of any cell."""
    lined = f"\n{whole}\n"
    return "\n " in lined or " \n" in lined or "\u00a0" in whole


def _text(column: Column, n: int, cell: Cell, needed: bool, is_number: bool) -> str:
    if n in column.empty:
        column.fault(n, "no-result", worded("holds a formula without a result."),
                     worded("Open the file, save it, and choose it again."))  # fmt: skip
        return ""
    if isinstance(cell, bool | datetime.date | datetime.time | datetime.timedelta):
        if not is_number and not isinstance(cell, bool):
            return str(cell)
        column.fault(n, "bad-cell", worded("holds {cell}, no text.", cell=str(cell)),
                     worded("Format the column as text and type it again."))  # fmt: skip
        return ""
    text = _whole(cell) if isinstance(cell, float | int) else str(cell or "").strip()
    if fault := _text_fault(text, is_number):
        column.fault(n, "bad-cell", fault, worded("Type it again."))
        return ""
    if not text and needed:
        column.fault(n, "blank-cell", worded("is blank."), worded("Fill it in."))
    if text.startswith(("=", "@")) or (text[:1] in ("+", "-") and not is_number and len(text) > 1):
        column.warn(n, "formula-text", worded("begins as a formula does; it is kept as text."))
    return " ".join(text.split()) if "\n" in text or "\t" in text or "\r" in text else text


def _whole(cell: float) -> str:
    """A number as text: 31.0 is 31."""
    return str(int(cell)) if cell == int(cell) and abs(cell) < MOST_EXACT else repr(cell)


def _text_fault(text: str, is_number: bool) -> str:
    if hidden := hidden_sign(text):
        return hidden
    most = LONGEST_NUMBER if is_number else LONGEST_CELL
    if len(text) > most:
        return worded("holds {n} characters, more than {most}.", n=len(text), most=most)
    if is_number and _SCIENCE.fullmatch(text):
        return worded("holds {text}: a spreadsheet has shortened the number.", text=text)
    if is_number and text and not any(sign.isalnum() for sign in text):
        return worded("holds {text!r}, no part number.", text=text)
    return ""


def currencies_of(column: Column | None, count: int, usual: str) -> Sequence[str]:
    """Currency of each row; the usual one where its cell is blank."""
    if column is None:
        return [usual] * count
    known: dict[object, str] = {"": usual}
    met = set(column.cells)
    for cell in met - {""}:
        code = str(cell).strip().upper()
        code = {"€": "EUR", "£": "GBP", "EURO": "EUR", "ZŁ": "PLN"}.get(code, code)
        if code in MINOR_DIGITS:
            known[cell] = code
    for n in places_unknown(column.cells, met, known):
        column.fault(
            n,
            "currency",
            worded("holds {cell}, no known currency.", cell=str(column.cells[n])[:20]),
            worded("Write EUR, GBP, USD ..."),
        )
        known.setdefault(column.cells[n], usual)
    return list(map(known.__getitem__, column.cells))


def places_unknown(cells: Sequence[Cell], met: set[object], known: dict[object, str]) -> list[int]:
    """Places of cells that are not among those known, mostly none; `met` are all there are."""
    if known.keys() >= met:
        return []
    return [n for n, cell in enumerate(cells) if cell not in known]


def pers_of(column: Column | None, count: int, usual: int) -> Sequence[str]:
    """For how many each price is."""
    if column is None:
        return [str(usual)] * count
    known: dict[object, str] = {"": str(usual)}
    met = set(column.cells)
    for cell in met - {""}:
        if per := _per(cell):
            known[cell] = per
    for n in places_unknown(column.cells, met, known):
        column.fault(n, "per", worded("holds {cell}, no quantity that a price may be for.",
                     cell=str(column.cells[n])[:20]), worded("Write 1, 10, 100 ..."))  # fmt: skip
        known.setdefault(column.cells[n], "1")
    return list(map(known.__getitem__, column.cells))


def _per(cell: Cell) -> str:
    if isinstance(cell, bool):
        return ""
    if isinstance(cell, float | int):
        return str(int(cell)) if cell == int(cell) and 1 <= cell <= MOST_PER else ""
    text = str(cell).strip().casefold()
    if text in ("c", "h", "hundred", "%"):
        return "100"
    if text in ("t", "thousand"):
        return "1000"
    numbers = re.findall(r"\d+", text)
    if len(numbers) != 1 or "." in text or "," in text:
        return "1" if not numbers and text.isalpha() else ""
    return str(int(numbers[0])) if 1 <= int(numbers[0]) <= MOST_PER else ""
