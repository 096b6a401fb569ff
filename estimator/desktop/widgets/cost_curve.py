"""The curve of the final cost, whose handle sets the confidence."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from estimator.desktop.drawing.curve import paint_curve
from estimator.desktop.drawing.curve_scale import (
    CostCurveData,
    chance_at,
    curve_scale,
    handle_point,
)
from estimator.desktop.focus_ring import RINGED_PROPERTY
from estimator.desktop.widgets.painted import PaintedWidget

_STEP = Decimal("0.01")
_LEAP = Decimal("0.05")
_GRIP = 16
_STEPS = {
    Qt.Key.Key_Right: _STEP,
    Qt.Key.Key_Up: _STEP,
    Qt.Key.Key_Left: -_STEP,
    Qt.Key.Key_Down: -_STEP,
    Qt.Key.Key_PageUp: _LEAP,
    Qt.Key.Key_PageDown: -_LEAP,
}


class CostCurve(PaintedWidget):
    """Drag the handle along the curve, or use arrows for 1 and PgUp and PgDn for 5 in 100.

    The confidence moves in hundredths between `lowest` and `highest`; the signal carries it as
    a Decimal. The handle follows at once, figures elsewhere when the caller sets new data.
    `let_go` comes once the handle has been moved and is held no longer, by pointer or by key.
    """

    confidence_changed = Signal(object)
    let_go = Signal(object)

    def __init__(
        self,
        lowest: Decimal = Decimal("0.50"),
        highest: Decimal = Decimal("0.95"),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._lowest, self._highest = lowest, highest
        self._data: CostCurveData | None = None
        self._dragging = False
        self._moved = False
        self._locked = False
        # The handle carries the focus ring itself.
        self.setProperty(RINGED_PROPERTY, False)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMouseTracking(True)

    @property
    def data(self) -> CostCurveData | None:
        """What is shown now."""
        return self._data

    @property
    def moving(self) -> bool:
        """Whether the handle is held away from where it was set last."""
        return self._moved

    def set_data(self, data: CostCurveData | None) -> None:
        """Show another curve; None leaves it empty until figures are known."""
        self._data = data
        self.update()

    def set_locked(self, locked: bool) -> None:
        """Let nobody move the handle, as on a quote that was issued."""
        self._locked = locked
        self.unsetCursor()

    def sizeHint(self) -> QSize:
        """Room for the curve and its words."""
        return QSize(720, 300)

    def minimumSizeHint(self) -> QSize:
        """Below this the words would touch."""
        return QSize(320, 170)

    def set_confidence(self, confidence: Decimal) -> None:
        """Put the handle somewhere, kept within the bounds, and tell if it moved."""
        if self._data is None or self._locked:
            return
        held = min(self._highest, max(self._lowest, confidence.quantize(_STEP)))
        if held != self._data.confidence:
            self._data = replace(self._data, confidence=held)
            self.update()
            self._moved = True
            self.confidence_changed.emit(held)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the handle by 1 or by 5 in 100; Home and End go to the bounds."""
        key = Qt.Key(event.key())
        if self._data is None or event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            super().keyPressEvent(event)
        elif key in _STEPS:
            self.set_confidence(self._data.confidence + _STEPS[key])
        elif key == Qt.Key.Key_Home:
            self.set_confidence(self._lowest)
        elif key == Qt.Key.Key_End:
            self.set_confidence(self._highest)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take hold of the handle."""
        self._dragging = event.button() == Qt.MouseButton.LeftButton and self._on_handle(
            event.position()
        )

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Carry the handle along the curve to where the pointer is."""
        if self._data is None:
            return
        if self._dragging:
            scale = curve_scale(QRectF(self.rect()), self._data)
            chance = chance_at(self._data.points, scale.amount(event.position().x()))
            self.set_confidence(Decimal(str(round(chance, 2))))
        elif self._on_handle(event.position()) and not self._locked:
            self.setCursor(Qt.CursorShape.SizeHorCursor)
        else:
            self.unsetCursor()

    def mouseReleaseEvent(self, _event: QMouseEvent) -> None:
        """Let go."""
        self._dragging = False
        self.release()

    def keyReleaseEvent(self, event: QKeyEvent) -> None:
        """A key that is held moves the handle on; let go, it has been set."""
        super().keyReleaseEvent(event)
        if not event.isAutoRepeat():
            self.release()

    def release(self) -> None:
        """Tell where the handle was set, if it was moved since the last time."""
        if self._moved and self._data is not None and not self._dragging:
            self._moved = False
            self.let_go.emit(self._data.confidence)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show the ring at the handle."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Take the ring away."""
        super().focusOutEvent(event)
        self._dragging = False
        self.release()
        self.update()

    def handle_position(self) -> QPointF | None:
        """The middle of the handle in the widget's coordinates."""
        if self._data is None or not self._data.points:
            return None
        return handle_point(self._data, curve_scale(QRectF(self.rect()), self._data))

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Draw the curve."""
        if self._data is not None:
            rect = QRectF(self.rect())
            paint_curve(QPainter(self), rect, self._data, self.theme, self.hasFocus())

    def _on_handle(self, place: QPointF) -> bool:
        middle = self.handle_position()
        if middle is None:
            return False
        away = place - middle
        return bool(abs(away.x()) <= _GRIP + _GRIP / 2 and abs(away.y()) <= _GRIP)
