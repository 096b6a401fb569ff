"""F6: from pane to pane of the window."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QWidget


def step_to_pane(panes: Sequence[QWidget], by: int) -> None:
    """Give the focus to the next (1) or previous (-1) pane that can take it."""
    able = [pane for pane in panes if pane.isVisible() and pane.isEnabled()]
    if not able:
        return
    focus = QApplication.focusWidget()
    inside = (
        place
        for place, pane in enumerate(able)
        if focus is not None and (pane is focus or pane.isAncestorOf(focus))
    )
    here = next(inside, -1 if by > 0 else 0)
    able[(here + by) % len(able)].setFocus(Qt.FocusReason.ShortcutFocusReason)
