"""Columns of a table as data: what each shows, how it sorts, and how what is typed is read."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QRect
from PySide6.QtGui import QPainter

from estimator.desktop.telling import told_of
from estimator.desktop.theme import Theme

CellPainter = Callable[[QPainter, QRect, Theme], None]


class NotValid(ValueError):
    """Typed text that a cell cannot take; the message says why and how to mend it."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column. Every function takes the row, a frozen value of the caller's.

    `text` is what is shown, copied and read out. `read` turns typed text into the value handed
    on in `CellEdit`, raising NotValid; a column without it cannot be edited. `editable` narrows
    that by row. `choices` offers words to pick from. `tone` names a colour of the theme. `paint`
    gives a painter for a drawn cell, or None to show the text.
    """

    key: str
    title: str
    text: Callable[[Any], str]
    width: int = 120
    right: bool = False
    sort: Callable[[Any], Any] | None = None
    read: Callable[[Any, str], Any] | None = None
    edit_text: Callable[[Any], str] | None = None
    editable: Callable[[Any], bool] = lambda _row: True
    choices: Callable[[Any], Sequence[str]] | None = None
    strong: Callable[[Any], bool] = lambda _row: False
    slanted: Callable[[Any], bool] = lambda _row: False
    tone: Callable[[Any], str] = lambda _row: "ink"
    tip: Callable[[Any], str] | None = None
    paint: Callable[[Any], CellPainter | None] | None = None

    def can_edit(self, row: Any) -> bool:
        """Whether this cell of a row takes typed text."""
        return self.read is not None and self.editable(row)


@dataclass(frozen=True, slots=True)
class CellEdit:
    """A value typed or pasted into a cell, read and sound."""

    row: Any
    key: str
    value: Any
    text: str


@dataclass(frozen=True, slots=True)
class Kept:
    """Text typed into a cell that is not valid yet: it stays, with the reason."""

    row: Any
    key: str
    text: str
    reason: str


def parsed(column: Column, row: Any, text: str) -> CellEdit | Kept:
    """What typed text comes to: an edit, or text kept with the reason why it is none."""
    assert column.read is not None
    try:
        return CellEdit(row, column.key, column.read(row, text.strip()), text)
    except ValueError as error:
        return Kept(row, column.key, text, told_of(error))
