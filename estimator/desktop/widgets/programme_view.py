"""The programme: activities at the left, their bars over the days, scrolling up and down."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QAbstractScrollArea, QFrame, QWidget

from estimator.desktop.drawing.pixels import edge
from estimator.desktop.drawing.programme_chart import (
    HEAD_HEIGHT,
    NAMES_WIDTH,
    DayScale,
    ProgrammeData,
    day_scale,
    paint_finish_lines,
    paint_finish_words,
    paint_ground,
    paint_head,
    paint_link,
    paint_row,
)
from estimator.desktop.drawing.words import fitted
from estimator.desktop.focus_ring import RINGED_PROPERTY
from estimator.desktop.theme import current_theme

_FOOT = 28
_NARROW = 800
_NARROW_NAMES = 180


class ProgrammeView(QAbstractScrollArea):
    """Draws only the rows that are asked for; up and down choose a row, Enter opens it."""

    row_chosen = Signal(object)
    row_opened = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._data: ProgrammeData | None = None
        self._here = -1
        self.setProperty(RINGED_PROPERTY, False)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setViewportMargins(0, HEAD_HEIGHT, 0, _FOOT)
        self._head = _Strip(self, head=True)
        self._foot = _Strip(self, head=False)

    @property
    def data(self) -> ProgrammeData | None:
        """What is shown now."""
        return self._data

    @property
    def chosen(self) -> object | None:
        """The key of the chosen row."""
        if self._data is None or not 0 <= self._here < len(self._data.rows):
            return None
        return self._data.rows[self._here].key

    def set_data(self, data: ProgrammeData | None) -> None:
        """Show another programme; the chosen row stays chosen where its key is still there."""
        before = self.chosen
        self._data = data
        keys = [row.key for row in data.rows] if data is not None else []
        self._here = keys.index(before) if before is not None and before in keys else -1
        self._fit_scroll_bar()
        self._repaint_all()

    def choose(self, key: object) -> None:
        """Choose the row with a key and bring it into view; an unknown key changes nothing."""
        keys = [row.key for row in self._data.rows] if self._data is not None else []
        if key in keys:
            self._choose(keys.index(key))

    def scale(self) -> DayScale | None:
        """How days lie in the viewport, for whoever needs to point at one."""
        if self._data is None:
            return None
        names = NAMES_WIDTH if self.viewport().width() >= _NARROW else _NARROW_NAMES
        return day_scale(self.viewport().width(), self._data, names)

    def row_rect(self, place: int) -> QRectF:
        """The row's rectangle in the viewport."""
        high = self._data.row_height if self._data is not None else 1
        top = place * high - self.verticalScrollBar().value()
        return QRectF(0, top, self.viewport().width(), high)

    def sizeHint(self) -> QSize:
        """A dozen rows."""
        return QSize(880, HEAD_HEIGHT + _FOOT + 12 * 36)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep head and foot in place."""
        super().resizeEvent(event)
        self._fit_scroll_bar()
        wide = self.viewport().width()
        self._head.setGeometry(0, 0, wide, HEAD_HEIGHT)
        self._foot.setGeometry(0, self.height() - _FOOT, wide, _FOOT)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Up, down, first, last; Enter opens. Page keys belong to the page's confidence."""
        key = Qt.Key(event.key())
        count = len(self._data.rows) if self._data is not None else 0
        places = {
            Qt.Key.Key_Up: max(0, self._here - 1),
            Qt.Key.Key_Down: min(count - 1, self._here + 1),
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: count - 1,
        }
        if count and key in places:
            self._choose(places[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.chosen is not None:
            self.row_opened.emit(self.chosen)
        else:
            event.ignore()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Choose the row under the pointer."""
        if (place := self._row_at(event.position().y())) is not None:
            self._choose(place)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Nothing more; the press has chosen."""
        event.accept()

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:
        """Open the row under the pointer."""
        if self._row_at(event.position().y()) is not None:
            self.row_opened.emit(self.chosen)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the rows inside the exposed rectangle and nothing else."""
        scale = self.scale()
        if self._data is None or scale is None:
            return
        painter, theme = QPainter(self.viewport()), current_theme()
        exposed = QRectF(event.rect())
        painter.setClipRect(exposed)
        painter.fillRect(exposed, theme.colours.surface)
        offset = self.verticalScrollBar().value()
        painter.translate(0, -offset)
        shown = exposed.translated(0, offset)
        paint_ground(painter, shown, self._data, scale, theme)
        first, last = self._rows_in(shown)
        for place in range(first, last + 1):
            rect = self.row_rect(place).translated(0, offset)
            here = place == self._here
            row = self._data.rows[place]
            paint_row(painter, rect, row, scale, theme, here, here and self.hasFocus())
        self._paint_links(painter, scale, first, last, offset)
        paint_finish_lines(painter, shown, self._data, scale, theme)
        if self._here < 0 and self.hasFocus():
            painter.translate(0, offset)
            edge(painter, QRectF(self.viewport().rect()), 2, theme.colours.focus)

    def _paint_links(
        self, painter: QPainter, scale: DayScale, first: int, last: int, offset: int
    ) -> None:
        if self._data is None:
            return
        for start, end in self._data.links:
            bars = self._data.rows[start].bars
            if bars and start <= last and end >= first:
                above = self.row_rect(start).translated(0, offset)
                below = self.row_rect(end).translated(0, offset)
                x = scale.x(max(bar.end for bar in bars))
                paint_link(painter, x, above, below, current_theme())

    def _rows_in(self, rect: QRectF) -> tuple[int, int]:
        if self._data is None:
            return 0, -1
        high = self._data.row_height
        last = min(len(self._data.rows) - 1, int(rect.bottom()) // high)
        return max(0, int(rect.top()) // high), last

    def _row_at(self, y: float) -> int | None:
        if self._data is None:
            return None
        place = int(y + self.verticalScrollBar().value()) // self._data.row_height
        return place if 0 <= place < len(self._data.rows) else None

    def _choose(self, place: int) -> None:
        if self._data is None:
            return
        if place != self._here:
            self._here = place
            row = self._data.rows[place]
            self.setAccessibleDescription(row.spoken or f"{row.title}. {row.detail}")
            names = current_theme().font(current_theme().sizes.second, 600)
            scale = self.scale()
            room = scale.left - 44 if scale is not None else 0
            cut = fitted(row.title, names, room) != row.title
            self.viewport().setToolTip(row.title if cut else "")
            self.row_chosen.emit(row.key)
        self._bring_into_view(place)
        self.viewport().update()

    def _bring_into_view(self, place: int) -> None:
        rect, bar = self.row_rect(place), self.verticalScrollBar()
        if rect.top() < 0:
            bar.setValue(int(bar.value() + rect.top()))
        elif rect.bottom() > self.viewport().height():
            bar.setValue(int(bar.value() + rect.bottom() - self.viewport().height()))

    def _fit_scroll_bar(self) -> None:
        rows = len(self._data.rows) if self._data is not None else 0
        high = self._data.row_height if self._data is not None else 1
        bar, page = self.verticalScrollBar(), self.viewport().height()
        bar.setRange(0, max(0, rows * high - page))
        bar.setPageStep(page)
        bar.setSingleStep(high)

    def _repaint_all(self) -> None:
        for part in (self.viewport(), self._head, self._foot):
            part.update()


class _Strip(QWidget):
    """The head with its dates, or the foot with the two finishes; neither scrolls."""

    def __init__(self, view: ProgrammeView, head: bool) -> None:
        super().__init__(view)
        self._view, self._is_head = view, head

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw with the scale of the rows."""
        scale, data = self._view.scale(), self._view.data
        if data is None or scale is None:
            return
        painter, theme = QPainter(self), current_theme()
        rect = QRectF(QRect(0, 0, self.width(), self.height()))
        if self._is_head:
            paint_head(painter, rect, data, scale, theme)
        else:
            paint_finish_lines(painter, QRectF(0, 0, rect.width(), 12), data, scale, theme)
            paint_finish_words(painter, rect.adjusted(0, 2, 0, -2), data, scale, theme)
