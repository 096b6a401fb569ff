"""Somebody at the keyboard: presses keys and types, always into whatever has the focus.

Nothing here reaches into a page: what cannot be done by these few acts cannot be done by keyboard.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtGui import QGuiApplication, QKeySequence
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from tests.desktop.accessible import spoken_name
from tests.desktop.conftest import wait_for

MOST_TABS = 80


class Hands:
    """Works with one window."""

    def __init__(self, window: Any) -> None:
        self.window = window
        self.look_at_window()

    def look_at_window(self) -> None:
        """A window manager brings the window to the front when a dialog closes; without a screen
        there is none."""
        self.window.activateWindow()
        wait_for(self.window.isActiveWindow)

    def look_at_dialog(self) -> None:
        """Likewise for a dialog that opens: its own first field has the focus then."""
        wait_for(lambda: QApplication.activeModalWidget() is not None)
        dialog = QApplication.activeModalWidget()
        dialog.activateWindow()
        wait_for(dialog.isActiveWindow)

    @property
    def focus(self) -> QWidget:
        """What the next key goes to."""
        return QApplication.focusWidget() or self.window

    @property
    def place(self) -> str:
        """Name of what has the focus."""
        return self.focus.accessibleName() or spoken_name(self.focus)

    def press(self, keys: str, times: int = 1) -> None:
        """Press keys such as "Ctrl+2"."""
        combination = QKeySequence(keys)[0]
        for _time in range(times):
            QApplication.processEvents()  # a key comes after all that was there before it
            QTest.keyClick(self.focus, combination.key(), combination.keyboardModifiers())

    def type(self, text: str) -> None:
        """Type text. Each letter goes to what has the focus then: the first may open an editor, and
        an editor may be gone before the last."""
        for letter in text:
            QApplication.processEvents()
            QTest.keyClicks(self.focus, letter)

    def tab_to(self, name: str, keys: str = "Tab") -> None:
        """Go on by Tab to what bears a name."""
        seen = []
        for _step in range(MOST_TABS):
            if self.place.startswith(name):
                return
            seen.append(self.place)
            self.press(keys)
        raise AssertionError(f"{name!r} is not reached by {keys}; passed were {seen}")

    def go_down_to(self, what: Callable[[Any], bool], most: int = 120) -> Any:
        """Go down in the grid that has the focus until its row fits; the row."""
        for _step in range(most):
            row = self.focus.current_row()  # type: ignore[attr-defined]
            if row is not None and what(row):
                return row
            self.press("Down")
        raise AssertionError("no such row below")

    def go_across_to(self, key: str, most: int = 12) -> None:
        """Go along the row of the grid that has the focus, to the cell of a column."""
        grid: Any = self.focus
        for keys in ("Right", "Left"):
            for _step in range(most):
                if grid.current_key() == key:
                    return
                self.press(keys)
        raise AssertionError(f"no column {key!r} beside {grid.current_key()!r}")

    def paste(self, text: str) -> None:
        """Paste what another program has put on the clipboard."""
        QGuiApplication.clipboard().setText(text)
        self.press("Ctrl+V")

    def area(self, keys: str, key: str) -> Any:
        """Go to an area of the job by its keys; the page."""
        self.press(keys)
        wait_for(lambda: self.window.page_key == key)
        return self.window.page

    def answer_why(self, reason: str) -> None:
        """Give the reason a dialog asks for, and go on."""
        self.look_at_dialog()
        assert self.place.startswith("Reason")
        self.type(reason)
        self.tab_to("Go on")
        self.press("Space")
        self.look_at_window()

    def saved(self) -> None:
        """Wait until the record holds every edit; the figures may still be on their way."""
        desk, runner = self.window.desk, self.window.workshop.runner
        wait_for(lambda: not desk.unsaved and "record" not in runner.lanes_busy)

    def reckoned(self) -> None:
        """Wait until contingency and dates are those of the job as it is."""
        wait_for(lambda: self.window.desk.fresh and not self.window.desk.waiting)
