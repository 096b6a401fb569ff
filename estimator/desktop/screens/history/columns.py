"""Columns of the history: when, who, what was done, and from what to what."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.cell_painters import paint_two_lines
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.history import words
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.cell_delegate import PAD
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.services.history import HistoryEntry

ROW = 44
Lines = Callable[[HistoryEntry], tuple[str, str]]


def history_columns(say: Formats) -> tuple[Column, ...]:
    """The columns, for rows that are HistoryEntry."""
    return (
        _column("when", _("When"), 108, lambda one: words.when_words(one, say)),
        _column("who", _("Who"), 148, lambda one: (one.who, words.side_words(one))),
        _column("done", _("What was done"), 176,
                lambda one: (words.done_words(one), words.second_words(one)), bold=True),
        _column("changes", _("From what to what"), 200, lambda one: words.changes_lines(one, say)),
    )  # fmt: skip


def _column(key: str, title: str, width: int, lines: Lines, *, bold: bool = False) -> Column:
    def text(one: HistoryEntry) -> str:
        return "; ".join(line for line in lines(one) if line)

    return Column(
        key, title, text, width, tip=text, paint=lambda one: _painter(*lines(one), bold=bold)
    )


def _painter(first: str, second: str, *, bold: bool) -> CellPainter:
    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        inside = QRectF(rect).adjusted(-PAD, 0, PAD, 0)  # the lines keep their own room at the ends
        paint_two_lines(painter, inside, first, second, theme, bold)

    return paint
