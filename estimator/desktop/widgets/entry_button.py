"""A quiet button with words at the left and a value at the right; the words give way."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from estimator.desktop.theme import current_theme

HEIGHT, PAD, GAP = 26, 6, 10


class EntryButton(QAbstractButton):
    """As wide as there is room; the whole text is in the tooltip where it is cut."""

    def __init__(self, words: str, value: str = "", parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._words, self._value = words, value
        self.setText(words)
        self.setAccessibleName(f"{words}: {value}" if value else words)
        self.setToolTip(self.accessibleName())
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def set_words(self, words: str) -> None:
        """Other words."""
        self._words = words
        self.setText(words)
        self.setToolTip(words)
        self.update()

    def sizeHint(self) -> QSize:
        """One line."""
        return QSize(160, HEIGHT)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Words, elided; the value whole."""
        theme, painter = current_theme(), QPainter(self)
        if self.isDown():
            painter.fillRect(self.rect(), theme.colours.select)
        elif self.underMouse():
            painter.fillRect(self.rect(), theme.colours.hover)
        inside = self.rect().adjusted(PAD, 0, -PAD, 0)
        strong = theme.font(theme.sizes.second, 600)
        wide = QFontMetrics(strong).horizontalAdvance(self._value)
        plain = theme.font(theme.sizes.second)
        room = inside.width() - (wide + GAP if self._value else 0)
        words = QFontMetrics(plain).elidedText(self._words, Qt.TextElideMode.ElideRight, room)
        painter.setPen(theme.colours.ink)
        painter.setFont(plain)
        middle = int(Qt.AlignmentFlag.AlignVCenter)
        painter.drawText(inside, middle, words)
        painter.setFont(strong)
        painter.drawText(inside, middle | int(Qt.AlignmentFlag.AlignRight), self._value)
