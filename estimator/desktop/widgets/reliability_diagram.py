"""How often quotes held against how often they said they would."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.calibration_chart import (
    ReliabilityPoint,
    ReliabilityWords,
    paint_reliability,
)
from estimator.desktop.widgets.painted import PaintedWidget


class ReliabilityDiagram(PaintedWidget):
    """Shows ReliabilityPoints; the caller says them in the accessible description."""

    def __init__(self, words: ReliabilityWords, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words = words
        self._points: tuple[ReliabilityPoint, ...] = ()
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def set_points(self, points: Sequence[ReliabilityPoint]) -> None:
        """Show other points."""
        self._points = tuple(points)
        self.update()

    def sizeHint(self) -> QSize:
        """Room for a square and the words along it."""
        return QSize(328, 328)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the diagram."""
        rect = QRectF(self.rect())
        paint_reliability(QPainter(self), rect, self._points, self._words, self.theme)
