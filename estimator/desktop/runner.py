"""Work off the window's thread: three lanes, each a thread of its own, in order of asking.

The *record* lane reads and writes the record, one act after the other, so that saves keep their
order. *Work* prices the scope while somebody types, *reckoning* adds contingency and dates. A new
task of the same subject makes the one before
it out of date: it is told to stop at its next progress report, and its result is dropped.

Results come back on the window's thread. A task never touches a widget.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from PySide6.QtCore import QObject, QRunnable, QThreadPool, Signal, Slot

from estimator.services.errors import ServiceError
from estimator.services.note_unexpected import note_unexpected

Progress = Callable[[str], None]
RECORD, WORK, RECKONING = "record", "work", "reckoning"
LANES = (RECORD, WORK, RECKONING)


class Stopped(Exception):
    """The task was told to stop; nothing of it remains."""


class Unexpected(Exception):
    """An error nobody foresaw, logged; its text is what to tell the user."""


class _Bridge(QObject):
    """Carries a task's end over to the window's thread. Values travel as objects."""

    ended = Signal(object, object, object)  # task, result, error
    reported = Signal(object, str)  # task, what is being done


@dataclass(eq=False)
class Task:
    """A piece of work on its way. `stop` asks it to end at its next report."""

    work: Callable[[Progress], Any]
    done: Callable[[Any], None]
    failed: Callable[[Exception], None]
    lane: str
    subject: str
    says: str  # what the user is told while it takes long; "" for quick work
    stopping: threading.Event = field(default_factory=threading.Event)

    def stop(self) -> None:
        """Ask the task to end; its result is not delivered."""
        self.stopping.set()


class _Runnable(QRunnable):
    def __init__(self, task: Task, bridge: _Bridge) -> None:
        super().__init__()
        self.setAutoDelete(False)
        self.task, self.bridge = task, bridge

    def run(self) -> None:
        """Do the work in this thread; never lets an exception out."""
        task = self.task
        result: Any = None
        error: Exception | None = None
        try:
            if task.stopping.is_set():
                raise Stopped
            result = task.work(self._report)
        except (ServiceError, Stopped) as known:
            error = known
        except Exception as unforeseen:  # the last stand between a defect and the user
            error = Unexpected(note_unexpected(unforeseen))
        self.bridge.ended.emit(task, result, error)

    def _report(self, what: str) -> None:
        if self.task.stopping.is_set():
            raise Stopped
        self.bridge.reported.emit(self.task, what)


class Runner(QObject):
    """Runs tasks in their lanes and brings their ends back to the window's thread.

    Signals: busy_changed(object): the Task that takes long and what it is doing, or None.
    """

    busy_changed = Signal(object, str)
    idle = Signal()

    def __init__(self, failed: Callable[[Exception], None], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._failed = failed
        self._bridge = _Bridge()
        self._bridge.ended.connect(self._on_ended)
        self._bridge.reported.connect(self._on_reported)
        self._pools = {lane: QThreadPool() for lane in LANES}
        for pool in self._pools.values():
            pool.setMaxThreadCount(1)
            pool.setExpiryTimeout(-1)  # a thread that ends would take its database connection along
        self._running: dict[Task, _Runnable] = {}
        self._newest: dict[str, Task] = {}

    def run(
        self,
        work: Callable[[Progress], Any],
        done: Callable[[Any], None],
        *,
        lane: str = RECORD,
        subject: str = "",
        says: str = "",
        failed: Callable[[Exception], None] | None = None,
    ) -> Task:
        """Start `work` in its lane; `done` gets its result on the window's thread.

        With a `subject`, the task before of that subject is stopped. Errors go to `failed`, else
        to the presenter.
        """
        task = Task(work, done, failed or self._failed, lane, subject, says)
        if subject:
            if (before := self._newest.get(subject)) is not None:
                before.stop()
            self._newest[subject] = task
        runnable = _Runnable(task, self._bridge)
        self._running[task] = runnable
        self._pools[lane].start(runnable)
        return task

    @property
    def busy(self) -> bool:
        """Whether any task has not ended yet."""
        return bool(self._running)

    @property
    def lanes_busy(self) -> frozenset[str]:
        """The lanes that have work."""
        return frozenset(task.lane for task in self._running)

    def stop_all(self, lane: str) -> None:
        """Stop every task of a lane."""
        for task in self._running:
            if task.lane == lane:
                task.stop()

    def wait(self, milliseconds: int = 30_000) -> bool:
        """Stop reckoning, let saves finish. For the end of the program."""
        self.stop_all(RECKONING)
        ended = [pool.waitForDone(milliseconds) for pool in self._pools.values()]
        return all(ended)

    @Slot(object, object, object)
    def _on_ended(self, task: Task, result: Any, error: Exception | None) -> None:
        self._running.pop(task, None)
        newest = not task.subject or self._newest.get(task.subject) is task
        if task.subject and newest:
            del self._newest[task.subject]
        if task.says and newest:
            others = [one for one in self._running if one.says and not one.stopping.is_set()]
            self.busy_changed.emit(others[0] if others else None, "")
        if error is None and not task.stopping.is_set():
            task.done(result)
        elif error is not None and not isinstance(error, Stopped):
            task.failed(error)
        if not self._running:
            self.idle.emit()

    @Slot(object, str)
    def _on_reported(self, task: Task, what: str) -> None:
        if task.says and not task.stopping.is_set():
            self.busy_changed.emit(task, what)
