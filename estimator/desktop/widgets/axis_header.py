"""The head of a grid with the scale of its ranges drawn into their own column."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF, QSize, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QHeaderView, QWidget

from estimator.desktop.drawing.pixels import vertical
from estimator.desktop.drawing.words import draw_words, words_width
from estimator.desktop.theme import current_theme

HIGH = 34
PAD = 8
DEMI = 600


class AxisHeader(QHeaderView):
    """A header that draws an axis in one section: marks are (place from 0 to 1, words)."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.axis_section = -1
        self._marks: tuple[tuple[float, str], ...] = ()
        self.setSectionsClickable(True)
        self.setHighlightSections(False)

    def set_axis(self, section: int, marks: tuple[tuple[float, str], ...]) -> None:
        """Draw the marks into a section; -1 draws none."""
        if (section, marks) != (self.axis_section, self._marks):
            self.axis_section, self._marks = section, marks
            self.viewport().update()

    def sizeHint(self) -> QSize:
        """High enough for a title over its scale."""
        return QSize(super().sizeHint().width(), HIGH)

    def paintSection(self, painter: QPainter, rect: QRect, section: int) -> None:
        """As every section, but the axis has its words and ticks."""
        if section != self.axis_section or not self._marks:
            super().paintSection(painter, rect, section)
            return
        theme = current_theme()
        colours = theme.colours
        painter.save()
        painter.fillRect(rect, colours.sunken)
        painter.fillRect(rect.left(), rect.bottom(), rect.width(), 1, colours.line2)
        inside = QRectF(rect).adjusted(PAD, 2, -PAD, 0)
        half = inside.height() / 2
        title = QRectF(inside.left(), inside.top(), inside.width(), half)
        note = theme.sizes.note
        words = str(self.model().headerData(section, Qt.Orientation.Horizontal) or "")
        draw_words(painter, title, words, theme.font(note, DEMI), colours.ink2)
        small = theme.font(note - 1)
        for place, text in self._marks:
            x = inside.left() + place * inside.width()
            wide = words_width(text, small)
            left = min(max(x - wide / 2, inside.left()), inside.right() - wide)
            below = QRectF(left, inside.top() + half - 2, wide, half - 3)
            draw_words(painter, below, text, small, colours.ink3)
            vertical(painter, x, rect.bottom() - 4, rect.bottom(), 1, colours.control)
        painter.restore()
