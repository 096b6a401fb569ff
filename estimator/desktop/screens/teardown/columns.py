"""Columns of the bench, and of the list of components."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QColor, QPainter

from estimator.desktop.drawing.gauge import Reading, paint_small_gauge
from estimator.desktop.drawing.marks import PATH_MARK, Mark, mark_text_colour, paint_mark
from estimator.desktop.drawing.words import LEFT, RIGHT, draw_words
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.teardown.rows import (
    LINE,
    MEASURE,
    PART,
    BenchHead,
    BenchRow,
    as_written,
    read_typed,
)
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.services.show_teardown import OpeningRow

TYPED = "typed"
DEMI = 600


def bench_columns(say: Formats) -> list[Column]:
    """What is measured or opened, its limits, what was found, and what is done with it."""
    return [
        Column("name", _("Part, reading or line"), _name, 200, paint=_paint_name, tip=_tip),
        _limit("new", _("New"), say),
        _limit("rebuild", _("Rebuild"), say),
        _limit("service", _("Service"), say),
        Column(
            TYPED,
            _("Measured, found"),
            lambda row: row.typed if isinstance(row, BenchRow) else "",
            128,
            right=True,
            read=lambda row, text: read_typed(row, text, say),
            edit_text=lambda row: row.typed,
            editable=lambda row: isinstance(row, BenchRow) and row.open_,
            strong=lambda row: isinstance(row, BenchRow) and bool(row.typed),
            tip=lambda row: row.typed if isinstance(row, BenchRow) else "",
            paint=_paint_empty,
        ),
        Column("wear", _("Wear, to do"), _wear, 96, paint=_paint_wear),
    ]


def _limit(key: str, title: str, say: Formats) -> Column:
    def text(row: BenchRow | BenchHead) -> str:
        if not isinstance(row, BenchRow) or row.kind != MEASURE:
            return ""
        return DASH if row.limits is None else as_written(getattr(row.limits, key), say)

    def paint(row: BenchRow | BenchHead) -> CellPainter:
        def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
            font = theme.font(theme.sizes.second)
            draw_words(painter, QRectF(rect), text(row), font, theme.colours.ink2, RIGHT)

        return draw

    return Column(key, title, text, 58, right=True, paint=paint)


def _name(row: BenchRow | BenchHead) -> str:
    return row.name if isinstance(row, BenchHead) else f"{row.name}: {row.second}"


def _tip(row: BenchRow | BenchHead) -> str:
    return row.name if isinstance(row, BenchHead) else f"{row.name}\n{row.second}\n{row.code}"


def _paint_name(row: BenchRow | BenchHead) -> CellPainter:
    def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
        if isinstance(row, BenchHead):
            font = theme.font(theme.sizes.note, DEMI)
            draw_words(painter, QRectF(rect), row.name, font, theme.colours.ink2)
            return
        _two_lines(painter, rect, (row.name, row.second, row.tone), theme)

    return draw


def _two_lines(painter: QPainter, rect: QRect, said: tuple[str, str, str], theme: Theme) -> None:
    first, second, tone = said
    sizes, colours = theme.sizes, theme.colours
    high = sizes.second_line + sizes.note_line
    top = rect.center().y() - high / 2 + 0.5
    above = QRectF(rect.left(), top, rect.width(), sizes.second_line)
    below = QRectF(rect.left(), above.bottom(), rect.width(), sizes.note_line)
    draw_words(painter, above, first, theme.font(sizes.body), colours.ink, LEFT)
    colour: QColor = getattr(colours, tone)
    draw_words(painter, below, second, theme.font(sizes.note), colour, LEFT)


def _paint_empty(row: BenchRow | BenchHead) -> CellPainter | None:
    """A field that waits for a reading says so."""
    if not isinstance(row, BenchRow) or row.typed or not row.open_:
        return None
    words = {MEASURE: _("type, or skip"), PART: _("in words"), LINE: _("quantity or %")}[row.kind]

    def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
        font = theme.font(theme.sizes.second, 400, True)
        draw_words(painter, QRectF(rect), words, font, theme.colours.ink3, RIGHT)

    return draw


def _wear(row: BenchRow | BenchHead) -> str:
    return row.answer if isinstance(row, BenchRow) else ""


def _paint_wear(row: BenchRow | BenchHead) -> CellPainter | None:
    if not isinstance(row, BenchRow):
        return None
    limits = row.limits
    if limits is not None:
        reading = Reading(limits.new, limits.service, limits.rebuild, row.measured)
        return lambda painter, rect, theme: paint_small_gauge(painter, QRectF(rect), reading, theme)
    if not row.answer:
        return None

    def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
        font = theme.font(theme.sizes.body, 400 if row.by_rule else DEMI, row.by_rule)
        draw_words(painter, QRectF(rect), row.answer, font, theme.colours.ink)

    return draw


# The list of components


def opening_column() -> Column:
    """A component with its mark and how far it is opened."""
    return Column(
        "name", _("Component"), _opening_text, 180, paint=_paint_opening, tip=_opening_text
    )


def opening_words(row: OpeningRow) -> str:
    """How far a component is opened, in a few words."""
    told: list[str] = []
    if row.parts and not row.opened:
        told.append(
            ngettext("closed, {n} part", "closed, {n} parts", row.parts).format(n=row.parts)
        )
    elif row.parts:
        told.append(_("{n} of {all} open").format(n=row.opened, all=row.parts))
    if row.lines > row.measured:
        left = row.lines - row.measured
        told.append(ngettext("{n} to measure", "{n} to measure", left).format(n=left))
    elif row.lines and not row.parts:
        told.append(_("measured"))
    return ", ".join((*told, *row.variations))


def _opening_text(row: OpeningRow) -> str:
    return f"{row.name}: {opening_words(row)}"


def _paint_opening(row: OpeningRow) -> CellPainter:
    def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
        mark = Mark(row.mark)
        corner = QPointF(rect.left() + 10, round(rect.center().y() - PATH_MARK / 2))
        paint_mark(painter, corner, mark, theme, PATH_MARK)
        words = rect.adjusted(10 + PATH_MARK + 10, 0, 0, 0)
        tone = _tone(mark, row, theme)
        _two_lines(painter, words, (row.name, opening_words(row), tone), theme)

    return draw


def _tone(mark: Mark, row: OpeningRow, theme: Theme) -> Any:
    if mark in (Mark.NEEDS_YOU, Mark.WAITS):
        colour = mark_text_colour(mark, theme)
        names = ("attn_text", "wait_text")
        return next(name for name in names if getattr(theme.colours, name) == colour)
    return "exp_text" if row.closed else "ink3"
