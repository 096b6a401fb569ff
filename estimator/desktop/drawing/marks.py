"""The marks of a job's areas, told apart by shape alone, and the small path of squares."""

from __future__ import annotations

from enum import StrEnum

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from estimator.desktop.drawing.pixels import PixelGrid, edge, fill
from estimator.desktop.theme import Theme

PATH_MARK = 14
TABLE_MARK = 12
SMALL_STEP = 8
SMALL_SQUARE = 6
_EMPTY = 8
_CUT = 0.42


class Mark(StrEnum):
    """What a mark says."""

    NOT_BEGUN = "not_begun"
    IN_HAND = "in_hand"
    DONE = "done"
    WAITS = "waits"
    NEEDS_YOU = "needs_you"
    TAKE_CARE = "take_care"


def mark_text_colour(mark: Mark, theme: Theme) -> QColor:
    """The colour of words beside a mark."""
    colours = theme.colours
    return {
        Mark.DONE: colours.done_text,
        Mark.WAITS: colours.wait_text,
        Mark.NEEDS_YOU: colours.attn_text,
    }.get(mark, colours.ink)


def paint_mark(
    painter: QPainter,
    corner: QPointF,
    mark: Mark,
    theme: Theme,
    size: int = PATH_MARK,
    ground: QColor | None = None,
) -> None:
    """Draw a mark into the square of `size` at `corner`; `ground` is the colour behind it."""
    colours = theme.colours
    box = PixelGrid(painter).rect(QRectF(corner.x(), corner.y(), size, size))
    behind = ground or colours.surface
    if mark is Mark.NOT_BEGUN:
        inset = (size - _EMPTY) / 2
        edge(painter, box.adjusted(inset, inset, -inset, -inset), 1.5, colours.control)
    elif mark is Mark.IN_HAND:
        edge(painter, box, 2, colours.ink2)
        fill(painter, box.adjusted(0, box.height() / 2, 0, 0), colours.ink2)
    elif mark is Mark.DONE:
        fill(painter, box, colours.done)
    elif mark is Mark.WAITS:
        _piece_apart(painter, box, colours.wait)
    elif mark is Mark.NEEDS_YOU:
        _triangle(painter, box, colours.attn, None)
        _bang(painter, box, behind)
    else:
        _triangle(painter, box, behind, colours.ink)
        _bang(painter, box, colours.ink)


def _piece_apart(painter: QPainter, box: QRectF, colour: QColor) -> None:
    """A frame without its upper right corner, and the corner one pixel up and right of it."""
    grid = PixelGrid(painter)
    thick, gap = grid.length(2), grid.length(1)
    piece = grid.length(box.width() * _CUT)
    left, top, right, bottom = box.left(), box.top(), box.right(), box.bottom()
    hollow_x, hollow_y = right - piece, top + piece
    for side in (
        QRectF(left, top, thick, bottom - top),
        QRectF(left, bottom - thick, right - left, thick),
        QRectF(left, top, hollow_x - left, thick),
        QRectF(right - thick, hollow_y, thick, bottom - hollow_y),
        QRectF(hollow_x - thick, top, thick, piece + thick),
        QRectF(hollow_x - thick, hollow_y, piece + thick, thick),
    ):
        painter.fillRect(side, colour)
    painter.fillRect(QRectF(hollow_x + gap, top - gap, piece, piece), colour)


def _triangle(painter: QPainter, box: QRectF, inside: QColor, rim: QColor | None) -> None:
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    inset = 0.8 if rim else 0.0
    shape = QPolygonF(
        [
            QPointF(box.center().x(), box.top() + inset),
            QPointF(box.right() + 1 - inset, box.bottom() - inset),
            QPointF(box.left() - 1 + inset, box.bottom() - inset),
        ]
    )
    pen = QPen(rim, 1.6) if rim else QPen(Qt.PenStyle.NoPen)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(inside)
    painter.drawPolygon(shape)
    painter.restore()


def _bang(painter: QPainter, box: QRectF, colour: QColor) -> None:
    """A bar and a dot under it, as wide as keeps them in the middle of the triangle."""
    grid = PixelGrid(painter)
    wide = grid.length(2)
    left = grid.x(box.center().x() - wide / 2)
    bar_top = box.top() + box.height() * 0.38
    bar_bottom = box.top() + box.height() * 0.68
    dot_top = box.top() + box.height() * 0.76
    dot_bottom = box.top() + box.height() * 0.9
    fill(painter, QRectF(left, bar_top, wide, bar_bottom - bar_top), colour)
    fill(painter, QRectF(left, dot_top, wide, dot_bottom - dot_top), colour)


def small_path_width(steps: int) -> int:
    """How wide the small path of so many areas is, in logical pixels."""
    return steps * SMALL_STEP


def paint_small_path(
    painter: QPainter, corner: QPointF, here: int, steps: int, theme: Theme
) -> None:
    """Squares for the areas of a job: filled before `here` (from 0), tall at it, empty after.

    `corner` is the upper left of a strip that is 12 px high.
    """
    colours = theme.colours
    for step in range(steps):
        left = corner.x() + step * SMALL_STEP
        square = QRectF(left, corner.y() + 3, SMALL_SQUARE, SMALL_SQUARE)
        if step < here:
            fill(painter, square, colours.ink3)
        elif step == here:
            fill(painter, QRectF(left - 1, corner.y(), SMALL_STEP, 12), colours.ink)
        else:
            edge(painter, square, 1, colours.control)
