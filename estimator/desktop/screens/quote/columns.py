"""Columns of the Quote page's three tables."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.cell_painters import CELL_PAD, paint_two_lines
from estimator.desktop.drawing.marks import TABLE_MARK, Mark, paint_mark
from estimator.desktop.drawing.words import RIGHT, draw_words, words_width
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.quote.places import LookAt
from estimator.desktop.screens.quote.words import (
    RevisionRow,
    SectionHead,
    area_name,
    in_one_line,
    named,
    value_words,
)
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter, Column

INDENT = 16  # so that rows begin where the page's headings do


def revision_columns() -> tuple[Column, ...]:
    """A revision in two lines, and its price."""
    return (
        Column(
            "revision", _("Revision"), lambda row: f"{row.title}; {row.second}; {row.price}", 240,
            paint=_revision_painter, tip=lambda row: row.tip,
        ),
    )  # fmt: skip


def _revision_painter(row: RevisionRow) -> CellPainter:
    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        cell = QRectF(rect)
        font = theme.font(theme.sizes.body, 600)
        wide = words_width(row.price, font)
        room = cell.adjusted(INDENT - CELL_PAD, 0, -wide, 0)
        paint_two_lines(painter, room, row.title, row.second, theme, bold=True)
        price = cell.adjusted(0, 2, 0, -cell.height() / 2 + 2)
        draw_words(painter, price, row.price, font, theme.colours.ink, RIGHT)

    return paint


def look_at_columns() -> tuple[Column, ...]:
    """What to mend or look at: a mark, the words, and where."""
    return (
        Column(
            "message", _("To look at"), _look_at_words, 300, paint=_look_at_painter,
            tip=_look_at_words,
        ),
    )  # fmt: skip


def _look_at_words(row: LookAt) -> str:
    return _("{area}: {message} {remedy}").format(
        area=area_name(row.area), message=row.message, remedy=row.remedy
    )


def _look_at_painter(row: LookAt) -> CellPainter:
    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        cell, colours = QRectF(rect), theme.colours
        top = cell.top() + 6
        if row.stops:
            corner = QPointF(cell.left() + INDENT, top)
            paint_mark(painter, corner, Mark.NEEDS_YOU, theme, TABLE_MARK)
        left = cell.left() + INDENT + (TABLE_MARK + 8 if row.stops else 0)
        second, note = theme.font(theme.sizes.second), theme.font(theme.sizes.note, 600)
        where = area_name(row.area)
        wide = words_width(where, note)
        place = QRectF(cell.right() - wide, cell.top() + 4, wide, theme.sizes.second_line)
        draw_words(painter, place, where, note, colours.ink3, RIGHT)
        painter.setFont(second)
        painter.setPen(colours.ink)
        words = QRectF(left, cell.top() + 4, place.left() - left - 8, cell.height() - 8)
        flags = Qt.AlignmentFlag.AlignTop | Qt.AlignmentFlag.AlignLeft
        painter.setClipRect(words)
        painter.drawText(words, int(flags) | int(Qt.TextFlag.TextWordWrap), row.message)
        painter.setClipping(False)

    return paint


def difference_columns(formats: Formats) -> tuple[Column, ...]:
    """What differs, how it was, how it is."""

    def name(row: Any) -> str:
        return row.name if isinstance(row, SectionHead) else named(row)

    def before(row: Any) -> str:
        return "" if isinstance(row, SectionHead) else value_words(row.name, row.before, formats)

    def after(row: Any) -> str:
        return "" if isinstance(row, SectionHead) else value_words(row.name, row.after, formats)

    def tip(row: Any) -> str:
        return row.name if isinstance(row, SectionHead) else in_one_line(row, formats)

    def head(row: Any) -> bool:
        return isinstance(row, SectionHead)

    return (
        Column("what", _("What"), name, 180, strong=head, tip=tip),
        Column("before", _("Was"), before, 88, right=True, tip=tip, tone=lambda _row: "ink2"),
        Column("after", _("Is"), after, 88, right=True, strong=lambda row: not head(row), tip=tip),
    )
