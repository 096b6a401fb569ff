"""A range of money as a dotted strip: low, likely and high on one scale."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.bars import RangeValues, paint_range
from estimator.desktop.widgets.painted import PaintedWidget

_HEIGHT = 10
_REACH = 4


class RangeStrip(PaintedWidget):
    """Shows RangeValues; `strip_height` is the strip alone, its tick reaches 3 px beyond."""

    def __init__(self, strip_height: int = _HEIGHT, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._strip_height = strip_height
        self._values: RangeValues | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_values(self, values: RangeValues | None) -> None:
        """Show another range; None shows nothing."""
        if values != self._values:
            self._values = values
            self.update()

    def sizeHint(self) -> QSize:
        """As high as the strip and its tick."""
        return QSize(160, self._strip_height + 2 * _REACH)

    def minimumSizeHint(self) -> QSize:
        """Narrow, but never lower."""
        return QSize(40, self._strip_height + 2 * _REACH)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the strip."""
        if self._values is not None:
            rect = QRectF(self.rect())
            paint_range(QPainter(self), rect, self._values, self.theme, high=self._strip_height)
