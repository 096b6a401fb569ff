"""What makes up the contingency: a row a share, with a dotted bar and its whisker."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from estimator.desktop.drawing.pixels import edge, fill
from estimator.desktop.drawing.share_rows import (
    ROW_HEIGHT,
    Contribution,
    figures_width,
    paint_share_row,
)
from estimator.desktop.focus_ring import RINGED_PROPERTY
from estimator.desktop.widgets.painted import PaintedWidget


class ContributionBars(PaintedWidget):
    """Rows are chosen with up and down or the pointer; Enter or a double click opens one."""

    row_chosen = Signal(object)
    row_opened = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._rows: tuple[Contribution, ...] = ()
        self._here = -1
        self._name = ""
        # The row itself shows where the keyboard is.
        self.setProperty(RINGED_PROPERTY, False)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def set_rows(self, rows: Sequence[Contribution]) -> None:
        """Show other rows; the chosen one stays chosen where its key is still there."""
        before = self._rows[self._here].key if 0 <= self._here < len(self._rows) else None
        self._rows = tuple(rows)
        keys = [row.key for row in self._rows]
        self._here = keys.index(before) if before in keys else -1
        self.updateGeometry()
        self.update()

    @property
    def rows(self) -> tuple[Contribution, ...]:
        """What is shown now."""
        return self._rows

    def sizeHint(self) -> QSize:
        """All rows."""
        return QSize(280, max(1, len(self._rows)) * ROW_HEIGHT)

    def minimumSizeHint(self) -> QSize:
        """All rows, narrow."""
        return QSize(180, self.sizeHint().height())

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Up, down, first and last; Enter opens."""
        places = {
            Qt.Key.Key_Up: max(0, self._here - 1),
            Qt.Key.Key_Down: min(len(self._rows) - 1, self._here + 1),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: len(self._rows) - 1,
        }
        key = Qt.Key(event.key())
        if self._rows and key in places:
            self._choose(places[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._here >= 0:
            self.row_opened.emit(self._rows[self._here].key)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the row under the pointer."""
        place = int(event.position().y()) // ROW_HEIGHT
        if 0 <= place < len(self._rows):
            self._choose(place)

    def mouseDoubleClickEvent(self, _event: QMouseEvent) -> None:
        """Open the chosen row."""
        if self._here >= 0:
            self.row_opened.emit(self._rows[self._here].key)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show where the keyboard is."""
        super().focusInEvent(event)
        if self._here < 0 and self._rows:
            self._choose(0)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Keep the choice, lose the ring."""
        super().focusOutEvent(event)
        self.update()

    def event(self, event: QEvent) -> bool:
        """Tell a name that was cut in the tooltip."""
        if event.type() == QEvent.Type.ToolTip and isinstance(event, QHelpEvent):
            place = event.pos().y() // ROW_HEIGHT
            name = self._rows[place].name if 0 <= place < len(self._rows) else ""
            QToolTip.showText(event.globalPos(), name, self)
            return True
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows that were asked for."""
        painter = QPainter(self)
        first = max(0, event.rect().top() // ROW_HEIGHT)
        last = min(len(self._rows) - 1, event.rect().bottom() // ROW_HEIGHT)
        wide = figures_width(self._rows, self.theme)
        for place in range(first, last + 1):
            self._paint_row(painter, place, wide)

    def _paint_row(self, painter: QPainter, place: int, figures: int) -> None:
        colours = self.theme.colours
        rect = QRectF(0, place * ROW_HEIGHT, self.width(), ROW_HEIGHT)
        if place == self._here:
            fill(painter, rect, colours.select)
            if self.hasFocus():
                edge(painter, rect, 2, colours.focus)
        paint_share_row(painter, rect, self._rows[place], self.theme, figures)

    def _choose(self, place: int) -> None:
        if place == self._here:
            return
        self._here = place
        self.setAccessibleDescription(self._rows[place].spoken or self._rows[place].name)
        self.update()
        self.row_chosen.emit(self._rows[place].key)
