"""The certainty bar: how much of a price is firm, provisional, exposed and spare."""

from __future__ import annotations

from PySide6.QtCore import QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.bars import GHOST_REACH, CertaintyParts, paint_certainty
from estimator.desktop.widgets.painted import PaintedWidget

HEADER_HEIGHT = 20


class CertaintyBar(PaintedWidget):
    """Shows CertaintyParts; `bar_height` is the bar alone, ticks and ghost need 4 px more."""

    def __init__(self, bar_height: int = HEADER_HEIGHT, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bar_height = bar_height
        self._parts: CertaintyParts | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    @property
    def parts(self) -> CertaintyParts | None:
        """What is shown now."""
        return self._parts

    def set_parts(self, parts: CertaintyParts | None) -> None:
        """Show other parts; None leaves the bar empty until figures are known."""
        if parts != self._parts:
            self._parts = parts
            self.update()

    def sizeHint(self) -> QSize:
        """As high as the bar and its ticks."""
        return QSize(320, self._bar_height + 2 * GHOST_REACH)

    def minimumSizeHint(self) -> QSize:
        """Narrow bars still show each part with 2 px."""
        return QSize(40, self._bar_height + 2 * GHOST_REACH)

    def bar_rect(self) -> QRectF:
        """The bar without its ticks, in the widget's coordinates."""
        top = (self.height() - self._bar_height) / 2
        return QRectF(0, top, self.width(), self._bar_height)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the parts."""
        if self._parts is None:
            return
        painter = QPainter(self)
        paint_certainty(painter, self.bar_rect(), self._parts, self.theme)
