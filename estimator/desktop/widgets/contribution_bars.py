"""What makes up the contingency: a row a share, with a dotted bar and its whisker."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from estimator.desktop.drawing.bars import Share, paint_share
from estimator.desktop.drawing.pixels import edge, fill
from estimator.desktop.drawing.words import RIGHT, draw_words, words_width
from estimator.desktop.focus_ring import RINGED_PROPERTY
from estimator.desktop.widgets.painted import PaintedWidget

ROW_HEIGHT = 27
_BAR = 12
_PAD = 8


@dataclass(frozen=True)
class Contribution:
    """One row: `key` is handed back when the row is chosen; `figure` is ready to be shown."""

    key: object
    name: str
    figure: str
    share: Share
    spoken: str = ""


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
        figures = self.theme.font(self.theme.sizes.body, 600)
        wide = max((words_width(row.figure, figures) for row in self._rows), default=0)
        for place in range(first, last + 1):
            self._paint_row(painter, place, wide)

    def _paint_row(self, painter: QPainter, place: int, figure_width: int) -> None:
        theme, row = self.theme, self._rows[place]
        colours = theme.colours
        rect = QRectF(0, place * ROW_HEIGHT, self.width(), ROW_HEIGHT)
        if place == self._here:
            fill(painter, rect, colours.select)
            if self.hasFocus():
                edge(painter, rect, 2, colours.focus)
        names = max(60.0, (self.width() - figure_width) * 0.55)
        box = QRectF(_PAD, rect.top(), names - 2 * _PAD, rect.height())
        draw_words(painter, box, row.name, theme.font(theme.sizes.second), colours.ink)
        figure = QRectF(0, rect.top(), self.width() - _PAD, rect.height())
        font = theme.font(theme.sizes.body, 600)
        draw_words(painter, figure, row.figure, font, colours.ink, RIGHT)
        room = self.width() - names - figure_width - 3 * _PAD
        bar = QRectF(names, rect.center().y() - _BAR / 2, max(4.0, room), _BAR)
        paint_share(painter, bar, row.share, theme)

    def _choose(self, place: int) -> None:
        if place == self._here:
            return
        self._here = place
        self.setAccessibleDescription(self._rows[place].spoken or self._rows[place].name)
        self.update()
        self.row_chosen.emit(self._rows[place].key)
