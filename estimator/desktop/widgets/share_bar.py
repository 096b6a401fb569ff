"""A short bar that shows how large a share of one is."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.pixels import fill
from estimator.desktop.widgets.painted import PaintedWidget

_WIDTH, _HEIGHT = 40, 8


class ShareBar(PaintedWidget):
    """Shows a share from 0 to 1 on a pale ground."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._share = 0.0
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Preferred)

    def set_share(self, share: float) -> None:
        """Show another share."""
        self._share = min(max(share, 0.0), 1.0)
        self.update()

    def sizeHint(self) -> QSize:
        """Short and low."""
        return QSize(_WIDTH, _HEIGHT)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the ground, then the share."""
        painter, colours = QPainter(self), self.theme.colours
        ground = QRectF(0, (self.height() - _HEIGHT) / 2, self.width(), _HEIGHT)
        fill(painter, ground, colours.line)
        ground.setWidth(self._share * self.width())
        fill(painter, ground, colours.ink2)
