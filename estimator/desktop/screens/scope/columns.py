"""Columns of the scope: rows of two lines, drawn."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QColor, QPainter

from estimator.desktop.drawing.marks import TABLE_MARK, Mark, paint_mark
from estimator.desktop.drawing.pixels import horizontal, vertical
from estimator.desktop.drawing.words import draw_words, words_width
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.scope import words
from estimator.desktop.theme import Theme
from estimator.desktop.trade_words import disposition_word
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.services.show_scope import GONE, ScopeHead, ScopeRow

SHIFT = 26  # px from the cell's edge to the words: a mark and a bracket stand there
BRACKET = 12
DEMI = 600
CARE_SHARE, CARE_LEAST = 0.36, 60  # of the line, and px, that a hazard's words may take


DayOf = Callable[[ScopeRow], date | None]


def scope_columns(say: Formats, currency: str, day_of: DayOf) -> tuple[Column, ...]:
    """The columns, for rows that are ScopeRow or, as a head, ScopeHead. `day_of` tells when a row
    was overruled."""
    return (
        Column(
            "part",
            _("Part, and the reason"),
            _part_text,
            300,
            strong=is_head,
            tip=_part_tip,
            paint=_paint_part,
        ),
        Column(
            "do",
            _("Do"),
            lambda row: "" if is_head(row) else _do_text(row, say, day_of),
            156,
            tip=lambda row: "" if is_head(row) else _do_text(row, say, day_of),
            paint=lambda row: _paint_do(row, say, day_of),
        ),
        Column(
            "rests",
            _("Rests on"),
            lambda row: "" if is_head(row) else words.rests_words(row.rests, say),
            120,
            tone=lambda row: (
                "exp_text" if isinstance(row, ScopeRow) and row.rests.unseen else "ink2"
            ),
            tip=lambda row: "" if is_head(row) else words.rests_words(row.rests, say),
        ),
        Column(
            "hours",
            _("Hours"),
            lambda row: say.number(row.hours) if row.hours else DASH,
            68,
            right=True,
            sort=lambda row: row.hours,
            edit_text=lambda row: f"{row.hours:f}".replace(".", say.decimal) if row.hours else "",
            strong=is_head,
        ),
        Column(
            "amount",
            _("Amount, {currency}").format(currency=currency),
            lambda row: say.sum(row.amount),
            92,
            right=True,
            sort=lambda row: None if row.amount is None else row.amount.minor,
            edit_text=lambda row: (
                f"{row.amount.amount:f}".replace(".", say.decimal) if row.amount else ""
            ),
            strong=is_head,
        ),
    )


def is_head(row: Any) -> bool:
    """Whether a row is a group's head."""
    return isinstance(row, ScopeHead)


def _part_text(row: Any) -> str:
    if is_head(row):
        return str(row.name)
    reason = f" \u201c{row.reason}\u201d" if row.reason else ""
    return f"{row.name}. {words.rule_words(row)}{reason}"


def _part_tip(row: Any) -> str:
    if is_head(row):
        return ""
    lines = [f"{row.id}  {row.name}", words.rule_words(row)]
    if row.reason:
        lines.append(f"\u201c{row.reason}\u201d")
    lines += [f"{one.hazard}: {one.text}" for one in row.cautions]
    return "\n".join(lines)


def _do_text(row: ScopeRow, say: Formats, day_of: DayOf) -> str:
    done, second = words.done_words(row), words.proposed_words(row, say, day_of(row))
    if row.overruled and row.proposal:
        was = disposition_word(row.proposal).casefold()
        done = _("{now} instead of {was}").format(now=done, was=was)
    return f"{done}, {second}" if second else done


def _mark_of(row: ScopeRow) -> Mark:
    if row.to_decide:
        return Mark.NEEDS_YOU
    return Mark.NOT_BEGUN if row.kind == GONE else Mark.DONE


def _lines(rect: QRect, theme: Theme, shift: float) -> tuple[QRectF, QRectF]:
    """The places of the first and the second line of a cell."""
    sizes = theme.sizes
    high = sizes.second_line + sizes.note_line
    top = rect.center().y() - high / 2
    left, wide = rect.left() + shift, rect.width() - shift
    first = QRectF(left, top, wide, sizes.second_line)
    return first, QRectF(left, first.bottom(), wide, sizes.note_line)


def _paint_part(row: Any) -> CellPainter | None:
    if is_head(row):
        return None

    def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
        colours, sizes = theme.colours, theme.sizes
        mark_left = rect.left() + BRACKET - 4
        if row.twice is not None:
            _paint_bracket(painter, rect, row.first, colours.attn)
        corner = QPointF(mark_left, round(rect.center().y() - TABLE_MARK / 2))
        paint_mark(painter, corner, _mark_of(row), theme, TABLE_MARK)
        first, second = _lines(rect, theme, SHIFT)
        title = theme.font(sizes.body)
        title.setStrikeOut(row.kind == GONE)
        care = row.cautions[0].hazard if row.cautions else ""
        room = _paint_care(painter, first, care, theme) if care else 0.0
        draw_words(painter, first.adjusted(0, 0, -room, 0), row.name, title, colours.ink)
        note = theme.font(sizes.note)
        rule = words.rule_words(row)
        draw_words(painter, second, rule, note, colours.ink3)
        if row.reason:
            after = words_width(rule + "  ", note)
            place = second.adjusted(after, 0, 0, 0)
            slanted = theme.font(sizes.note, italic=True)
            draw_words(painter, place, f"\u201c{row.reason}\u201d", slanted, colours.ink2)

    return draw


def _paint_care(painter: QPainter, line: QRectF, care: str, theme: Theme) -> float:
    """An outlined triangle with the hazard's words, at the line's right; the room it took."""
    font = theme.font(theme.sizes.note)
    wide = min(float(words_width(care, font)), line.width() * CARE_SHARE)
    if wide < CARE_LEAST:
        care, wide = "", 0.0  # the mark alone; its words are in the tooltip and at the right
    left = line.right() - wide
    corner = QPointF(left - TABLE_MARK - 5, round(line.center().y() - TABLE_MARK / 2))
    paint_mark(painter, corner, Mark.TAKE_CARE, theme, TABLE_MARK)
    place = QRectF(left, line.top(), wide, line.height())
    draw_words(painter, place, care, font, theme.colours.ink2)
    return float(wide + TABLE_MARK + 16)


def _paint_bracket(painter: QPainter, rect: QRect, first: bool, colour: QColor) -> None:
    """Half of a bracket that joins the two rows of a pair."""
    left, middle = rect.left() - 3, rect.center().y()
    end = rect.bottom() + 1 if first else rect.top()
    vertical(painter, left, min(middle, end), max(middle, end), 2, colour)
    horizontal(painter, middle, left, left + 8, 2, colour)


def _paint_do(row: Any, say: Formats, day_of: DayOf) -> CellPainter | None:
    if is_head(row):
        return None

    def draw(painter: QPainter, rect: QRect, theme: Theme) -> None:
        colours, sizes = theme.colours, theme.sizes
        first, second = _lines(rect, theme, 0)
        needs = row.to_decide
        shift = 0.0
        if row.overruled and row.proposal and row.proposal != row.disposition:
            struck = theme.font(sizes.second)
            struck.setStrikeOut(True)
            was = disposition_word(row.proposal)
            draw_words(painter, first, was, struck, colours.ink3)
            shift = words_width(was, struck) + 8
        weight = DEMI if row.overruled and not needs else 400
        colour = colours.attn_text if needs else colours.ink
        font = theme.font(sizes.body, weight)
        draw_words(painter, first.adjusted(shift, 0, 0, 0), words.done_words(row), font, colour)
        note = theme.font(sizes.note)
        told = words.proposed_words(row, say, day_of(row))
        draw_words(painter, second, told, note, colours.ink3)

    return draw
