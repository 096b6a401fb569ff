"""What somebody who hears the window needs: a name for everything the keyboard reaches."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QAbstractScrollArea, QLineEdit, QWidget


def nameless(top: QWidget) -> list[str]:
    """Every visible widget below `top` that takes the focus and says no name, described."""
    return [_described(one) for one in focusable(top) if not spoken_name(one).strip()]


def focusable(top: QWidget) -> list[QWidget]:
    """Every visible, enabled widget below `top` that Tab or a shortcut may reach."""
    found = [one for one in (top, *top.findChildren(QWidget)) if _reached(one)]
    return [one for one in found if one.focusProxy() is None and not _inner(one)]


def spoken_name(widget: QWidget) -> str:
    """The name a screen reader is given."""
    interface = QAccessible.queryAccessibleInterface(widget)
    said = interface.text(QAccessible.Text.Name) if interface is not None else ""
    return said or widget.accessibleName()


def _reached(widget: QWidget) -> bool:
    return (
        widget.isVisible() and widget.isEnabled() and widget.focusPolicy() != Qt.FocusPolicy.NoFocus
    )


def _inner(widget: QWidget) -> bool:
    """Parts that Qt makes inside its own controls: the control speaks for them."""
    parent = widget.parentWidget()
    if isinstance(parent, QAbstractScrollArea) and parent.viewport() is widget:
        return True
    return isinstance(widget, QLineEdit) and widget.objectName() == "qt_spinbox_lineedit"


def _described(widget: QWidget) -> str:
    parents = []
    step: QWidget | None = widget
    while step is not None and len(parents) < 4:
        parents.append(type(step).__name__)
        step = step.parentWidget()
    return " in ".join(parents)
