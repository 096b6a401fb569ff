"""A key as it stands in the key line: its cap and what it does."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.words import CENTRE, draw_words, words_width
from estimator.desktop.widgets.painted import PaintedWidget

_CAP = 18
_PAD = 6
_SPACE = 8


class KeyCap(PaintedWidget):
    """Shows a key's name in a cap and the words after it."""

    def __init__(self, key: str, does: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._key, self._does = key, does
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(f"{key}: {does}" if does else key)

    def sizeHint(self) -> QSize:
        """Cap and words."""
        words = _SPACE + self._words_width() if self._does else 0
        return QSize(self._cap_width() + words, _CAP + 2)

    def minimumSizeHint(self) -> QSize:
        """The cap alone."""
        return QSize(self._cap_width(), _CAP + 2)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw cap and words."""
        painter, theme = QPainter(self), self.theme
        colours, sizes = theme.colours, theme.sizes
        top = (self.height() - _CAP) / 2
        cap = QRectF(0.5, top + 0.5, self._cap_width() - 1, _CAP - 1)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.control, 1))
        painter.setBrush(colours.surface)
        painter.drawRoundedRect(cap, sizes.chip_radius, sizes.chip_radius)
        draw_words(painter, cap, self._key, theme.font(sizes.note, 600), colours.ink, CENTRE)
        if self._does:
            left = self._cap_width() + _SPACE
            rect = QRectF(left, 0, max(0, self.width() - left), self.height())
            cut = draw_words(painter, rect, self._does, theme.font(sizes.note), colours.ink2)
            self.setToolTip(self._does if cut else "")

    def _cap_width(self) -> int:
        return words_width(self._key, self.theme.font(self.theme.sizes.note, 600)) + 2 * _PAD

    def _words_width(self) -> int:
        return words_width(self._does, self.theme.font(self.theme.sizes.note))
