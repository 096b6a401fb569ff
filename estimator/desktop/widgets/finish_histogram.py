"""How likely each week of finishing is."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.histogram import Week, paint_weeks
from estimator.desktop.widgets.painted import PaintedWidget


class FinishHistogram(PaintedWidget):
    """Shows Weeks; the caller says them in the accessible description."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._weeks: tuple[Week, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_weeks(self, weeks: Sequence[Week]) -> None:
        """Show other weeks."""
        self._weeks = tuple(weeks)
        self.update()

    def sizeHint(self) -> QSize:
        """Room for bars and both rows of words."""
        return QSize(272, 108)

    def minimumSizeHint(self) -> QSize:
        """Narrow, but never lower."""
        return QSize(160, 108)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the weeks."""
        paint_weeks(QPainter(self), QRectF(self.rect()), self._weeks, self.theme)
