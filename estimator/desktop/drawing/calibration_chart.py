"""The reliability diagram: the share of jobs that held against what was stated, with intervals.

A point on the broken diagonal held as often as it said. Its shape says it before its colour does: a
square where the interval reaches the diagonal, else a triangle that points to the side on which the
point lies: down where fewer jobs held than stated, up where more did.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from estimator.desktop.drawing.pixels import PixelGrid, edge, fill, horizontal, vertical
from estimator.desktop.drawing.words import CENTRE, LEFT, RIGHT, draw_words, words_width
from estimator.desktop.theme import Theme

_LEFT_ROOM, _RIGHT_ROOM = 48, 16
_TOP_ROOM, _FOOT_ROOM = 24, 40
_LABEL = 16
_MARK, _CAP = 9, 5
_FIFTHS = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)


@dataclass(frozen=True)
class ReliabilityPoint:
    """One stated share, the share that held, and its interval; all from 0 to 1."""

    stated: float
    share: float
    low: float
    high: float

    @property
    def side(self) -> int:
        """-1 where fewer held than stated, 1 where more did, 0 where it cannot be told."""
        if self.high < self.stated:
            return -1
        return 1 if self.low > self.stated else 0


@dataclass(frozen=True)
class ReliabilityWords:
    """What stands along the axes; `share` puts a share into words."""

    across: str
    upward: str
    share: Callable[[float], str]


def reliability_plot(rect: QRectF) -> QRectF:
    """The plotting area in a rectangle: as large a square as there is room for."""
    room = rect.adjusted(_LEFT_ROOM, _TOP_ROOM, -_RIGHT_ROOM, -_FOOT_ROOM)
    side = max(min(room.width(), room.height()), 1.0)
    return QRectF(room.left(), room.top(), side, side)


def paint_reliability(
    painter: QPainter,
    rect: QRectF,
    points: Sequence[ReliabilityPoint],
    words: ReliabilityWords,
    theme: Theme,
) -> None:
    """Draw axes, diagonal, intervals and points."""
    plot = reliability_plot(rect)
    _paint_axes(painter, rect, plot, words, theme)
    _paint_diagonal(painter, plot, theme)
    for point in points:
        _paint_point(painter, plot, point, theme)


def _at(plot: QRectF, across: float, upward: float) -> QPointF:
    return QPointF(plot.left() + across * plot.width(), plot.bottom() - upward * plot.height())


def _paint_axes(
    painter: QPainter, rect: QRectF, plot: QRectF, words: ReliabilityWords, theme: Theme
) -> None:
    colours, font = theme.colours, theme.font(theme.sizes.note)
    for share in _FIFTHS:
        spot, text = _at(plot, share, share), words.share(share)
        horizontal(painter, spot.y(), plot.left(), plot.right(), 1, colours.line)
        vertical(painter, spot.x(), plot.top(), plot.bottom(), 1, colours.line)
        box = QRectF(rect.left(), spot.y() - _LABEL / 2, _LEFT_ROOM - 6, _LABEL)
        draw_words(painter, box, text, font, colours.ink2, RIGHT)
        wide = words_width(text, font)
        foot = QRectF(spot.x() - wide / 2, plot.bottom() + 4, wide, _LABEL)
        draw_words(painter, foot, text, font, colours.ink2, CENTRE)
    horizontal(painter, plot.bottom(), plot.left(), plot.right(), 1, colours.ink2)
    vertical(painter, plot.left(), plot.top(), plot.bottom(), 1, colours.ink2)
    strong = theme.font(theme.sizes.note, 600)
    above = QRectF(rect.left(), rect.top(), rect.width(), _LABEL)
    below = QRectF(plot.left(), plot.bottom() + 4 + _LABEL, rect.right() - plot.left(), _LABEL)
    draw_words(painter, above, words.upward, strong, colours.ink2, LEFT)
    draw_words(painter, below, words.across, strong, colours.ink2, LEFT)


def _paint_diagonal(painter: QPainter, plot: QRectF, theme: Theme) -> None:
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(theme.colours.ink2, 1.5)
    pen.setDashPattern([4, 3])
    painter.setPen(pen)
    painter.drawLine(_at(plot, 0, 0), _at(plot, 1, 1))
    painter.restore()


def _paint_point(painter: QPainter, plot: QRectF, point: ReliabilityPoint, theme: Theme) -> None:
    colours = theme.colours
    colour = colours.attn if point.side < 0 else colours.ink
    spot = _at(plot, point.stated, point.share)
    low, high = _at(plot, point.stated, point.low), _at(plot, point.stated, point.high)
    vertical(painter, spot.x(), high.y(), low.y(), 2, colour)
    for end in (low, high):
        horizontal(painter, end.y(), spot.x() - _CAP, spot.x() + _CAP, 2, colour)
    if point.side:
        _paint_triangle(painter, spot, point.side, colour, colours.surface)
        return
    square = PixelGrid(painter).rect(
        QRectF(spot.x() - _MARK / 2, spot.y() - _MARK / 2, _MARK, _MARK)
    )
    fill(painter, square, colours.surface)
    edge(painter, square, 2, colour)


def _paint_triangle(
    painter: QPainter, spot: QPointF, side: int, colour: QColor, ground: QColor
) -> None:
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(ground, 1)
    pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
    painter.setPen(pen)
    painter.setBrush(colour)
    tip, foot = spot.y() - side * (_MARK - 2), spot.y() + side * (_MARK - 3)
    corners = [QPointF(spot.x(), tip), QPointF(spot.x() + 8, foot), QPointF(spot.x() - 8, foot)]
    painter.drawPolygon(QPolygonF(corners))
    painter.restore()
