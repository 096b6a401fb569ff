"""The page with its key line, and the why panel: beside the page, or over its right where the
window is narrow."""

from __future__ import annotations

from PySide6.QtCore import QSize
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

WHY_WIDTH = 312


class WorkArea(QWidget):
    """Lays out `page` over `foot`, with `side` at the right."""

    def __init__(self, page: QWidget, foot: QWidget, side: QWidget) -> None:
        super().__init__()
        self._side, self._foot = side, foot
        self.overlay = False
        left = QVBoxLayout()
        left.setSpacing(0)
        left.addWidget(page, 1)
        left.addWidget(foot)
        self._row = QHBoxLayout(self)
        self._row.setSpacing(0)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.addLayout(left, 1)
        self._row.addWidget(side)
        side.setFixedWidth(WHY_WIDTH)

    def set_overlay(self, overlay: bool) -> None:
        """Let the side float over the page, or stand beside it."""
        if overlay == self.overlay:
            return
        self.overlay = overlay
        shown = not self._side.isHidden()
        if overlay:
            self._row.removeWidget(self._side)
        else:
            self._row.addWidget(self._side)
        self._side.setProperty("floats", overlay)
        self._side.style().polish(self._side)
        self._side.setVisible(shown)
        self._place()

    def minimumSizeHint(self) -> QSize:
        """A narrow window may be narrower than its page would like: the page scrolls."""
        return QSize(200, super().minimumSizeHint().height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What floats stays at the right edge."""
        super().resizeEvent(event)
        self._place()

    def _place(self) -> None:
        if self.overlay:
            high = self.height() - self._foot.height()
            self._side.setGeometry(self.width() - WHY_WIDTH, 0, WHY_WIDTH, high)
            self._side.raise_()
