"""A choice of a page's left side, with how many there are of it."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QAbstractButton

from estimator.desktop.theme import current_theme

WIDTH, STEP = 188, 32


class SideButton(QAbstractButton):
    """A choice with its count."""

    def __init__(self, key: str, text: str) -> None:
        super().__init__()
        self.key, self.count = key, ""
        self.setText(text)
        self.setCheckable(True)
        self.setAutoExclusive(True)
        self.setAccessibleName(text)
        self.setToolTip(text)

    def set_count(self, count: str) -> None:
        """Say how many there are."""
        self.count = count
        self.setAccessibleDescription(self.count)
        self.update()

    def sizeHint(self) -> QSize:
        """As wide as the side."""
        return QSize(WIDTH, STEP)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Words at the left, count at the right."""
        theme, painter = current_theme(), QPainter(self)
        rect = self.rect().adjusted(8, 1, -8, -1)
        if self.isChecked():
            painter.fillRect(rect, theme.colours.select)
            painter.fillRect(rect.left(), rect.top(), 3, rect.height(), theme.colours.ink)
        elif self.underMouse():
            painter.fillRect(rect, theme.colours.hover)
        painter.setFont(theme.font(theme.sizes.body, 600 if self.isChecked() else 400))
        painter.setPen(theme.colours.ink)
        inside = rect.adjusted(12, 0, -12, 0)
        middle = int(Qt.AlignmentFlag.AlignVCenter)
        wide = inside.width() - painter.fontMetrics().horizontalAdvance(self.count) - 8
        words = painter.fontMetrics().elidedText(self.text(), Qt.TextElideMode.ElideRight, wide)
        painter.drawText(inside, middle, words)
        painter.setPen(theme.colours.ink2)
        painter.drawText(inside, middle | int(Qt.AlignmentFlag.AlignRight), self.count)
