"""How saving stands, told at the window's foot: what is on its way, what failed, what clashed."""

from __future__ import annotations

from PySide6.QtCore import QEventLoop, QObject, QTimer
from PySide6.QtWidgets import QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.key_line import KeyLine
from estimator.desktop.language import _
from estimator.desktop.questions import ask
from estimator.desktop.runner import Task
from estimator.desktop.save_queue import Act
from estimator.desktop.telling import told
from estimator.services.errors import Clash

LAST_SAVES = 30_000  # ms that closing waits for what is on its way to the record


class SavingState(QObject):
    """Listens to the desk and to the runner, and speaks through the key line and the presenter."""

    def __init__(self, desk: Desk, key_line: KeyLine, window: QWidget) -> None:
        super().__init__(window)
        self._desk, self._key_line, self._window = desk, key_line, window
        self._workshop = desk.workshop
        self._doing: Task | None = None
        self._told_unsaved = False
        self.undo_offered = False  # whether Ctrl+Z would do something the user can see
        self._workshop.runner.busy_changed.connect(self._on_busy)
        key_line.cancel_asked.connect(self._stop)
        desk.saved.connect(lambda _when: self._on_saved())
        desk.save_failed.connect(self._on_save_failed)
        desk.clashed.connect(self._on_clashed)

    def _on_busy(self, task: Task | None, what: str) -> None:
        self._doing = task
        self._key_line.set_doing((what or task.says) if task is not None else "")

    def _stop(self) -> None:
        if self._doing is not None:
            self._doing.stop()

    def show(self) -> None:
        """Say how saving stands, and what Ctrl+Z would undo."""
        desk = self._desk
        if desk.queue.failed:
            self._key_line.set_saved(_("Not saved. Ctrl+S tries again."), trouble=True)
            return
        undo = desk.undo_name if self.undo_offered else ""
        words = _("Ctrl+Z: undo {what}").format(what=undo) if undo else ""
        if desk.unsaved:
            self._key_line.set_saved(_("Saving"))
        elif desk.saved_at is not None:
            clock = self._workshop.formats.clock(desk.saved_at)
            saved = _("Saved {time}").format(time=clock)
            self._key_line.set_saved(f"{saved}   {words}".rstrip())
        else:
            self._key_line.set_saved(words)

    def _on_save_failed(self, error: Exception) -> None:
        remedy = _("It is kept here; Ctrl+S tries again.")
        said = getattr(error, "message", "") or _("Not saved. {why}").format(why=error)
        self._workshop.presenter.trouble(said, f"{getattr(error, 'remedy', '')} {remedy}".strip())
        self._told_unsaved = True
        self.show()

    def _on_saved(self) -> None:
        if self._told_unsaved and not self._desk.unsaved:
            self._told_unsaved = False
            self._workshop.presenter.done(_("Saved."))
        self.show()

    def _on_clashed(self, act: Act, error: Clash) -> None:
        name = act.change.name if act.change is not None else ""
        ask(
            self._window,
            _("Somebody else changed the same"),
            _("{what} was changed by somebody else meanwhile:\n{theirs}").format(
                what=name, theirs=told(error.message)
            ),
            [_("Keep theirs"), _("Write mine")],
            lambda answer: (
                self._desk.save_mine(act) if answer == 1 else self._desk.take_theirs(act)
            ),
        )

    def let_saves_arrive(self) -> None:
        """The window goes on drawing while the record takes what was typed."""
        if self._desk.queue.writing:
            loop = QEventLoop()
            self._desk.queue.rested.connect(loop.quit)
            QTimer.singleShot(LAST_SAVES, loop.quit)
            loop.exec(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents)
