"""Columns of the Variations page: the ledger, component groups, ways."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QPainter, QPen

from estimator.desktop.drawing.marks import TABLE_MARK, Mark, mark_text_colour, paint_mark
from estimator.desktop.drawing.words import RIGHT, draw_words, words_width
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations import words
from estimator.desktop.theme import Theme
from estimator.desktop.variation_words import cause_words
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.services.show_case import LEAVE, WayRow
from estimator.services.show_drawn_down import GroupLine
from estimator.services.show_variations import (
    ACCEPTANCE,
    CASE,
    NO_PRICE,
    NOT_TO_DO,
    SETTLED,
    WAITS,
    LedgerLine,
)

LEDGER_ROW, WAY_ROW = 40, 52
UPPER, LOWER = 20, 16  # px: a title and its second line
DEMI = 600


def ledger_columns(say: Formats, currency: Callable[[], str]) -> tuple[Column, ...]:
    """Number, what changed, who funds it, amount, both balances, days, state."""

    def waits(line: LedgerLine) -> bool:
        return line.standing in (WAITS, NO_PRICE)

    def quiet(line: LedgerLine) -> str:
        return "ink3" if line.standing == NOT_TO_DO else "ink"

    def amount_tone(line: LedgerLine) -> str:
        return "exp_text" if line.standing == NO_PRICE else quiet(line)

    def left(line: LedgerLine) -> str:
        return "?" if line.left is None else say.sum(line.left)

    def state(line: LedgerLine) -> str:
        return words.line_state(line)[1]

    def title(line: LedgerLine) -> str:
        return f"{words.line_title(line)}; {words.line_second(line, say)}"

    return (
        Column("number", _("No."), words.line_number, 48, strong=lambda _line: True, tone=quiet),
        Column("title", _("What changed"), title, 150,
               paint=lambda line: _title_painter(line, say), tip=title),
        Column("end", _("Funded by"), lambda line: words.funded_words(line, say), 112,
               tone=lambda _line: "ink2", slanted=waits,
               tip=lambda line: cause_words().get(line.cause, line.cause)),
        Column("amount", _("Amount, {currency}").format(currency=currency()),
               lambda line: words.amount_words(line, say), 88, right=True, slanted=waits,
               tone=amount_tone),
        Column("left", _("Conting. left"), left, 84, right=True, slanted=waits, tone=quiet),
        Column("sum", _("Current sum"), lambda line: say.sum(line.current_sum), 82, right=True,
               slanted=waits, strong=lambda line: line.standing == SETTLED, tone=quiet),
        Column("days", _("Days"), lambda line: words.days_words(line, say), 44, right=True,
               slanted=waits),
        Column("state", _("State"), state, 122, paint=_state_painter, tip=_asked),
    )  # fmt: skip


def _asked(line: LedgerLine) -> str:
    words_ = words.line_state(line)[1]
    return f"{words_}: {line.ask}" if line.ask else words_


def _title_painter(line: LedgerLine, say: Formats) -> CellPainter:
    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        cell, colours = QRectF(rect), theme.colours
        top = cell.center().y() - (UPPER + LOWER) / 2 + 1
        strong = DEMI if line.kind == ACCEPTANCE or line.standing in (WAITS, NO_PRICE) else 400
        ink = colours.ink3 if line.standing == NOT_TO_DO else colours.ink
        left = cell.left()
        if line.safety:
            corner = QPointF(left, round(top + (UPPER - TABLE_MARK) / 2))
            paint_mark(painter, corner, Mark.TAKE_CARE, theme, TABLE_MARK)
            left += TABLE_MARK + 6
        first = QRectF(left, top, cell.right() - left, UPPER)
        font = theme.font(theme.sizes.body, strong)
        draw_words(painter, first, words.line_title(line), font, ink)
        second = QRectF(cell.left(), top + UPPER, cell.width(), LOWER)
        note = theme.font(theme.sizes.note)
        draw_words(painter, second, words.line_second(line, say), note, colours.ink3)

    return paint


def _state_painter(line: LedgerLine) -> CellPainter:
    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        mark, text = words.line_state(line)
        cell, left = QRectF(rect), float(rect.left())
        colour = theme.colours.ink
        if mark is not None:
            corner = QPointF(left, round(cell.center().y() - TABLE_MARK / 2))
            paint_mark(painter, corner, mark, theme, TABLE_MARK)
            left += TABLE_MARK + 8
            colour = mark_text_colour(mark, theme)
            if mark is Mark.DONE:
                colour = theme.colours.ink
        place = QRectF(left, cell.top(), cell.right() - left, cell.height())
        draw_words(painter, place, text, theme.font(theme.sizes.second), colour)

    return paint


def group_columns(say: Formats) -> tuple[Column, ...]:
    """A component group: what was held for it, drawn, waits, is still expected, and why."""

    def causes(line: GroupLine) -> str:
        return ", ".join(line.causes) or DASH

    return (
        Column("group", _("Component group"), lambda line: line.name, 190, tip=lambda g: g.name),
        Column("held", _("Held"), lambda line: say.sum(line.held), 84, right=True),
        Column("drawn", _("Drawn"), lambda line: say.sum(line.drawn), 84, right=True,
               strong=lambda _line: True),
        Column("pending", _("Waits"), lambda line: say.sum(line.pending), 84, right=True,
               slanted=lambda _line: True),
        Column("expected", _("Still expected"), lambda line: say.sum(line.expected), 104,
               right=True, tone=lambda _line: "exp_text"),
        Column("causes", _("Cause"), causes, 130, tip=causes),
    )  # fmt: skip


def way_columns(say: Formats) -> tuple[Column, ...]:
    """A way of dealing with it: letter and words, price, days."""

    def said(row: WayRow) -> str:
        parts = (way_title(row), row.warranty, row.note)
        return "; ".join(part for part in parts if part)

    def price(row: WayRow) -> str:
        if row.key == LEAVE:
            return "0"
        return "?" if row.amount is None else say.number(row.amount.amount)

    def days(row: WayRow) -> str:
        return f"+{say.number(row.days)}" if row.days else "0"

    return (
        Column("way", _("Ways to deal with it"), said, 200, paint=_way_painter, tip=said),
        Column("price", _("Price"), price, 76, right=True, strong=lambda _row: True),
        Column("days", _("Days"), days, 54, right=True),
    )


def way_title(row: WayRow) -> str:
    """Its letter, what it is, and what is done."""
    way = words.way_words().get(row.way, row.way)
    if row.key == LEAVE:
        return way
    said = f"{way}: {row.what}" if row.what and row.way else row.what or way
    return f"{row.key}  {said}"


def _way_painter(row: WayRow) -> CellPainter:
    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        cell, colours = QRectF(rect), theme.colours
        _paint_choice(painter, QPointF(cell.left() + 8, cell.center().y()), row.chosen, theme)
        inside = cell.adjusted(24, 0, 0, 0)
        second = "; ".join(one for one in (row.warranty, row.note) if one)
        top = inside.center().y() - (UPPER + (LOWER if second else 0)) / 2
        first = QRectF(inside.left(), top, inside.width(), UPPER)
        font = theme.font(theme.sizes.second, DEMI)
        draw_words(painter, first, way_title(row), font, colours.ink)
        if not second:
            return
        below = QRectF(inside.left(), top + UPPER, inside.width(), LOWER)
        left = below.left()
        if row.cautioned:
            corner = QPointF(left, round(below.center().y() - TABLE_MARK / 2))
            paint_mark(painter, corner, Mark.TAKE_CARE, theme, TABLE_MARK)
            below.setLeft(left + TABLE_MARK + 6)
        draw_words(painter, below, second, theme.font(theme.sizes.note), colours.ink2)

    return paint


def _paint_choice(painter: QPainter, middle: QPointF, chosen: bool, theme: Theme) -> None:
    """A ring, filled where this is the way that is priced."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(theme.colours.ink if chosen else theme.colours.control, 1.6))
    painter.drawEllipse(middle, 6, 6)
    if chosen:
        painter.setBrush(theme.colours.ink)
        painter.drawEllipse(middle, 2.6, 2.6)
    painter.restore()


def is_case(line: object) -> bool:
    """Whether a row of the ledger is a variation."""
    return isinstance(line, LedgerLine) and line.kind == CASE


__all__ = [
    "LEDGER_ROW", "RIGHT", "WAY_ROW", "group_columns", "is_case", "ledger_columns", "way_columns",
    "way_title", "words_width",
]  # fmt: skip
