"""The grid of what waits: as every grid; Space marks, and a marked row has its tick before it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter

from estimator.desktop.screens.waiting.columns import TICK_BOX, Line, paint_tick
from estimator.desktop.theme import current_theme
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import Index


class WaitingGrid(Grid):
    """Signals: marked(): Space on a row."""

    marked = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Space marks."""
        if event.key() == Qt.Key.Key_Space and not event.modifiers():
            self.marked.emit()
            event.accept()
            return
        super().keyPressEvent(event)

    def drawBranches(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """A tick in the room before a marked row."""
        super().drawBranches(painter, rect, index)
        row = self.rows.row_at(index)
        if isinstance(row, Line) and row.marked:
            corner = QPointF(rect.right() - TICK_BOX - 2, rect.center().y() - TICK_BOX / 2 + 1)
            paint_tick(painter, corner, current_theme())
