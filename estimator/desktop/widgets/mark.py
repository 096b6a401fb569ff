"""A mark with or without words beside it."""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.marks import PATH_MARK, Mark, mark_text_colour, paint_mark
from estimator.desktop.drawing.words import draw_words, words_width
from estimator.desktop.widgets.painted import PaintedWidget

_SPACE = 8
_MARGIN = 1


class MarkLabel(PaintedWidget):
    """Shows one mark and, if given, its words; words too long end in an ellipsis and a tooltip."""

    def __init__(
        self, mark: Mark, text: str = "", size: int = PATH_MARK, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._mark, self._text, self._size = mark, text, size
        self._ground: QColor | None = None
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(text)

    @property
    def mark(self) -> Mark:
        """The mark shown now."""
        return self._mark

    @property
    def text(self) -> str:
        """The words beside it."""
        return self._text

    def set_mark(self, mark: Mark, text: str = "") -> None:
        """Show another mark and other words."""
        self._mark, self._text = mark, text
        self.setAccessibleName(text)
        self._tell_whole_text()
        self.updateGeometry()
        self.update()

    def set_ground(self, colour: QColor | None) -> None:
        """Say which colour lies behind, where it is not the theme's surface."""
        self._ground = colour
        self.update()

    def sizeHint(self) -> QSize:
        """The mark, and the words as long as they are."""
        words = _SPACE + self._words_width() if self._text else 0
        high = max(self.theme.sizes.second_line, self._size + 2 * _MARGIN)
        return QSize(self._size + 2 * _MARGIN + words, high)

    def minimumSizeHint(self) -> QSize:
        """The mark alone."""
        return QSize(self._size + 2 * _MARGIN, self.sizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keep the whole text in the tooltip while it is cut."""
        self._tell_whole_text()
        super().resizeEvent(event)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the mark in the middle of the height, then the words."""
        painter, theme = QPainter(self), self.theme
        corner = QPointF(_MARGIN, round((self.height() - self._size) / 2))
        paint_mark(painter, corner, self._mark, theme, self._size, self._ground)
        if self._text:
            rect = QRectF(self._words_left(), 0, self.width() - self._words_left(), self.height())
            font = theme.font(theme.sizes.second)
            draw_words(painter, rect, self._text, font, mark_text_colour(self._mark, theme))

    def _words_left(self) -> int:
        return self._size + 2 * _MARGIN + _SPACE

    def _words_width(self) -> int:
        return words_width(self._text, self.theme.font(self.theme.sizes.second))

    def _tell_whole_text(self) -> None:
        cut = self._words_width() > self.width() - self._words_left()
        self.setToolTip(self._text if cut else "")
