"""The wear gauge of one measured part, with its limits in words."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.gauge import (
    LARGE_HEIGHT,
    GaugeWords,
    Reading,
    limits_fit,
    paint_large_gauge,
    paint_small_gauge,
)
from estimator.desktop.widgets.painted import PaintedWidget

_SMALL = QSize(72, 26)


class WearGauge(PaintedWidget):
    """Large with words, or small for a row; limits that do not fit stand in the tooltip."""

    def __init__(self, small: bool = False, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._small = small
        self._reading: Reading | None = None
        self._words = GaugeWords()
        wide = QSizePolicy.Policy.Fixed if small else QSizePolicy.Policy.Expanding
        self.setSizePolicy(wide, QSizePolicy.Policy.Fixed)

    def set_reading(self, reading: Reading | None, words: GaugeWords | None = None) -> None:
        """Show another reading; None shows nothing."""
        self._reading, self._words = reading, words or GaugeWords()
        self._tell_limits()
        self.update()

    def sizeHint(self) -> QSize:
        """As high as its words need."""
        return _SMALL if self._small else QSize(260, LARGE_HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """Narrow, but never lower."""
        return _SMALL if self._small else QSize(120, LARGE_HEIGHT)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Limits that are cut now go to the tooltip."""
        self._tell_limits()
        super().resizeEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the gauge."""
        if self._reading is None:
            return
        painter, rect = QPainter(self), QRectF(self.rect())
        if self._small:
            paint_small_gauge(painter, rect, self._reading, self.theme)
        else:
            paint_large_gauge(painter, rect, self._reading, self._words, self.theme)

    def _tell_limits(self) -> None:
        words = self._words
        if not self._small and limits_fit(self.width(), words, self.theme):
            self.setToolTip("")
            return
        parts = (words.measured, words.new, words.rebuild, words.service)
        self.setToolTip("\n".join(part for part in parts if part))
