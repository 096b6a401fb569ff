"""What every page of the window is: a widget that says its name, its keys and its why."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.workshop import Workshop


class Page(QWidget):
    """Base of all pages.

    A page gets the workshop and the desk in its constructor, connects to the desk's signals once,
    and redraws only while it is shown: a change while hidden marks it stale, and `shown` catches
    up. It never calls another page.

    Signals:
        why_asked(object): name of a figure the why panel should explain; None for the price
        place_changed(str): where on the page the user is (a row's id), for back and forward
        go_asked(str, str): area and place the user wants to go to
        keys_changed(): `keys` answers something else now
    """

    why_asked = Signal(object)
    place_changed = Signal(str)
    go_asked = Signal(str, str)
    keys_changed = Signal()

    key = ""  # of `areas`, or "jobs"
    short_header = False  # whether the job header is drawn low, to leave room
    own_side = False  # whether the page draws its own right side; F9 swaps it with the why panel

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__()
        self.workshop = workshop
        self.desk = desk
        self._stale = True

    def keys(self) -> Sequence[tuple[str, str]]:
        """Keys worth showing in the key line: (key, what it does)."""
        return ()

    def shown(self) -> None:
        """The page comes to the front: catch up and take the focus."""
        if self._stale:
            self._stale = False
            self.refresh()
        self.take_focus()

    def stale(self) -> None:
        """What the page shows has changed."""
        if self.isVisible():
            self._stale = False
            self.refresh()
        else:
            self._stale = True

    def outdate(self) -> None:
        """Another job is on the desk: catch up the next time the page is shown."""
        self._stale = True

    def unfinished(self) -> str:
        """What was typed here and never taken, in words, for the question before closing."""
        return ""

    def refresh(self) -> None:
        """Show what the desk holds now."""

    def take_focus(self) -> None:
        """Put the focus where work on this page begins."""

    def go_to(self, place: str) -> None:
        """Put the cursor on a place of this page, if it is there."""

    def place(self) -> str:
        """Where on the page the user is."""
        return ""

    def explain_here(self) -> None:
        """Ask why of what is chosen here, as the page comes to the front; by default of the
        price."""
        self.why_asked.emit(None)

    def history_of(self) -> tuple[str, str]:
        """(job, place on the history page) of what is chosen here; "" for the open job, and for
        all of its history."""
        return "", ""

    def filter_asked(self) -> None:
        """Ctrl+F: put the focus into the page's filter."""

    def main_action(self) -> None:
        """Ctrl+Enter: the page's main action."""

    def print_asked(self) -> bool:
        """Ctrl+P: put what the page shows on paper; False where it has nothing to print."""
        return False

    def new_asked(self) -> bool:
        """Ctrl+N: begin what is new on this page; False where that is another job."""
        return False

    def show_side(self, shown: bool) -> None:
        """Show or hide the page's own right side, where it has one."""

    def panes(self) -> Sequence[QWidget]:
        """Widgets F6 steps through, in order."""
        return ()

    def connect_to_desk(self) -> None:
        """Redraw on everything that changes the job or what it comes to."""
        for signal in (
            self.desk.opened,
            self.desk.job_changed,
            self.desk.worked,
            self.desk.reckoned,
        ):
            signal.connect(lambda _value: self.stale())
        self.workshop.person_changed.connect(lambda _person: self.stale())
