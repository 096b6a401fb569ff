"""Whole pixels of the screen, whatever the desktop's scale."""

from __future__ import annotations

from math import floor

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter


class PixelGrid:
    """Snaps logical lengths to device pixels, so that edges stay sharp at 125 or 150 %."""

    def __init__(self, painter: QPainter) -> None:
        transform = painter.deviceTransform()
        self.scale = transform.m11() or 1.0
        self._scale_y = transform.m22() or 1.0
        self._left, self._top = transform.dx(), transform.dy()

    def x(self, value: float) -> float:
        """The nearest device column, as a logical length."""
        return (floor(value * self.scale + self._left + 0.5) - self._left) / self.scale

    def y(self, value: float) -> float:
        """The nearest device row, as a logical length."""
        return (floor(value * self._scale_y + self._top + 0.5) - self._top) / self._scale_y

    def whole(self, length: float) -> int:
        """A length in device pixels, one at least."""
        return max(1, floor(length * self.scale + 0.5))

    def length(self, length: float) -> float:
        """A length of whole device pixels, one at least, in logical pixels."""
        return self.whole(length) / self.scale

    def rect(self, rect: QRectF) -> QRectF:
        """The rectangle with its four edges on device pixels."""
        left, top = self.x(rect.left()), self.y(rect.top())
        return QRectF(left, top, self.x(rect.right()) - left, self.y(rect.bottom()) - top)

    def point(self, point: QPointF) -> QPointF:
        """The nearest corner of device pixels."""
        return QPointF(self.x(point.x()), self.y(point.y()))


def fill(painter: QPainter, rect: QRectF, colour: QColor) -> None:
    """Fill a rectangle with sharp edges."""
    painter.fillRect(PixelGrid(painter).rect(rect), colour)


def vertical(
    painter: QPainter, x: float, top: float, bottom: float, width: float, colour: QColor
) -> None:
    """An upright line of whole pixels, centred on `x`."""
    grid = PixelGrid(painter)
    thick = grid.length(width)
    left = grid.x(x - thick / 2)
    high = grid.y(bottom) - grid.y(top)
    painter.fillRect(QRectF(left, grid.y(top), thick, high), colour)


def horizontal(
    painter: QPainter, y: float, left: float, right: float, width: float, colour: QColor
) -> None:
    """A level line of whole pixels, centred on `y`."""
    grid = PixelGrid(painter)
    thick = grid.length(width)
    start = grid.x(left)
    top = grid.y(y - thick / 2)
    painter.fillRect(QRectF(start, top, grid.x(right) - start, thick), colour)


def edge(painter: QPainter, rect: QRectF, width: float, colour: QColor) -> None:
    """Four sides drawn inside the rectangle."""
    grid = PixelGrid(painter)
    thick = grid.length(width)
    box = grid.rect(rect)
    if box.width() <= 2 * thick or box.height() <= 2 * thick:
        painter.fillRect(box, colour)
        return
    inner = box.adjusted(0, thick, 0, -thick)
    painter.fillRect(QRectF(box.left(), box.top(), box.width(), thick), colour)
    painter.fillRect(QRectF(box.left(), box.bottom() - thick, box.width(), thick), colour)
    painter.fillRect(QRectF(box.left(), inner.top(), thick, inner.height()), colour)
    painter.fillRect(QRectF(box.right() - thick, inner.top(), thick, inner.height()), colour)
