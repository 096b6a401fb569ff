"""The ring around whatever the keyboard would reach: 2 px of ink, 1 px outside the control.

A style sheet cannot draw outside a control, and a ring inside would move its words. So one
overlay follows the focus; controls keep their size and line up with what has no focus.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QTextEdit,
    QWidget,
)
from shiboken6 import isValid

REACH = 3
RINGED_PROPERTY = "ringed"
_RINGED = (QAbstractButton, QLineEdit, QComboBox, QAbstractSpinBox, QPlainTextEdit, QTextEdit)
_FOLLOWED = (
    QEvent.Type.Move,
    QEvent.Type.Resize,
    QEvent.Type.Show,
    QEvent.Type.Hide,
    QEvent.Type.ParentChange,
)


def wants_ring(widget: QWidget) -> bool:
    """Whether the ring is drawn: buttons and fields, or a widget whose property asks for it.

    An editor inside a table's cell shows its own edge instead.
    """
    asked = widget.property(RINGED_PROPERTY)
    if asked is not None:
        return bool(asked)
    parent = widget.parentWidget()
    in_cell = parent is not None and isinstance(parent.parentWidget(), QAbstractItemView)
    return isinstance(widget, _RINGED) and not in_cell


@dataclass
class _Shades:
    """What the ring takes from the theme; the theme hands it over, being above the ring."""

    focus: QColor
    on_strip: QColor
    control_radius: int


@lru_cache(maxsize=1)
def _ring_shades() -> _Shades:
    return _Shades(QColor("black"), QColor("white"), 4)


def colour_focus_ring(focus: QColor, on_strip: QColor, control_radius: int) -> None:
    """Give the ring its colours, on paper and on the dark strip, and the controls' radius."""
    shades = _ring_shades()
    shades.focus, shades.on_strip, shades.control_radius = focus, on_strip, control_radius


class FocusRing(QWidget):
    """The overlay; it never takes the pointer and never takes focus."""

    def __init__(self) -> None:
        super().__init__()
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_NoSystemBackground)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._watched: list[QWidget] = []
        self._target: QWidget | None = None
        self.hide()

    def follow(self, widget: QWidget | None) -> None:
        """Go to a widget, or vanish where it wants no ring."""
        for watched in self._watched:
            if isValid(watched):
                watched.removeEventFilter(self)
        self._watched.clear()
        self._target = widget if widget is not None and wants_ring(widget) else None
        if self._target is None:
            self.hide()
            self.setParent(None)
            return
        host = self._host(self._target)
        self.setParent(host)
        step: QWidget | None = self._target
        while step is not None and step is not host:
            step.installEventFilter(self)
            self._watched.append(step)
            step = step.parentWidget()
        self._place()

    def _host(self, widget: QWidget) -> QWidget:
        """What the ring is drawn on: the page inside a scroll area, otherwise the window."""
        step = widget.parentWidget()
        while step is not None and not step.isWindow():
            around = step.parentWidget()
            if around is not None and isinstance(around.parentWidget(), QScrollArea):
                return step
            step = step.parentWidget()
        return widget.window()

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        """Move with the widget and with everything that carries it."""
        if self._target is not None and event.type() in _FOLLOWED:
            self._place()
        return False

    def _place(self) -> None:
        target, host = self._target, self.parentWidget()
        if target is None or host is None or not isValid(target):
            self.hide()
            return
        if not target.isVisibleTo(host):
            self.hide()
            return
        corner = target.mapTo(host, QPoint(0, 0))
        around = QRect(corner, target.size()).adjusted(-REACH, -REACH, REACH, REACH)
        self.setGeometry(around)
        self.show()
        self.raise_()

    def _on_strip(self) -> bool:
        """Whether the control lies on the dark strip, where ink would not show."""
        target = self._target
        parent = target.parentWidget() if target is not None and isValid(target) else None
        return parent is not None and parent.property("look") == "strip"

    def paintEvent(self, _event: QPaintEvent) -> None:
        """One rounded ring in the focus colour."""
        shades = _ring_shades()
        radius = shades.control_radius + REACH - 1
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colour = shades.on_strip if self._on_strip() else shades.focus
        painter.setPen(QPen(colour, 2))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), radius, radius)


class _FocusWatch(QObject):
    """Brings the ring to each widget that takes the focus."""

    def __init__(self, application: QApplication) -> None:
        super().__init__(application)
        self._ring: FocusRing | None = None
        application.focusChanged.connect(self._moved)

    def _moved(self, _old: QWidget | None, new: QWidget | None) -> None:
        # The window that carried the ring may have been destroyed, and the ring with it.
        if self._ring is None or not isValid(self._ring):
            self._ring = FocusRing()
        self._ring.follow(new)


@lru_cache(maxsize=1)
def install_focus_ring(application: QApplication) -> QObject:
    """Draw the ring in all windows of the application; a second call changes nothing."""
    return _FocusWatch(application)
