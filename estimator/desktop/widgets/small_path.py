"""Where a job stands on its path, as a row of small squares."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.marks import paint_small_path, small_path_width
from estimator.desktop.widgets.painted import PaintedWidget

_HEIGHT = 12
_LEAD = 1


class SmallPath(PaintedWidget):
    """Shows the area `here` (from 0) among `steps`; the caller names it for a screen reader."""

    def __init__(self, here: int = 0, steps: int = 12, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._here, self._steps = here, steps
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def set_place(self, here: int, steps: int) -> None:
        """Stand somewhere else."""
        self._here, self._steps = here, steps
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """All squares and no more."""
        return QSize(small_path_width(self._steps) + _LEAD, _HEIGHT)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the squares."""
        corner = QPointF(_LEAD, (self.height() - _HEIGHT) / 2)
        paint_small_path(QPainter(self), corner, self._here, self._steps, self.theme)
