"""What is on its way to the record: one act after the other, in the order they were done.

The next act goes only when the one before it was confirmed. So an edit that could not be written
holds back those that rest on it, and nothing overtakes it when it is tried again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QObject, Signal

from estimator.desktop.runner import RECORD, Runner, Unexpected
from estimator.domain.job_edit import JobEdit
from estimator.services.edit_job import Draft
from estimator.services.errors import Busy, Clash, NotOpened, NotWritten

LATER = (NotWritten, NotOpened, Busy, Unexpected)  # what may be saved when it is tried again

Write = Callable[[], Draft | None]


@dataclass(eq=False)
class Act:
    """One act on a job. `begin` is asked when its turn has come, and gives what writes it, or None
    where there is nothing left to do. A `change` or a `place` is what somebody typed: it is tried
    again until it is written; undo and redo are asked `anew` where what they undo is stuck."""

    number: str
    begin: Callable[[], Write | None]
    change: JobEdit | None = None
    place: str = ""  # of a text kept (`text`) or dropped (None)
    text: str | None = None
    reason: str = ""
    anew: Callable[[], None] | None = None

    @property
    def typed(self) -> bool:
        """Whether it carries what somebody typed."""
        return self.change is not None or bool(self.place)


class SaveQueue(QObject):
    """The acts that the record has not confirmed yet.

    Signals:
        confirmed(object, object): the Act and the Draft it came to, or None
        stuck(object): why the oldest act could not be written; it stays, with all after it
        clashed(object, object): the Act and the Clash; all wait for `settle`
        refused(object, object): the Act and why the record will never take it; it is gone
        rested(): nothing is being written
    """

    confirmed = Signal(object, object)
    stuck = Signal(object)
    clashed = Signal(object, object)
    refused = Signal(object, object)
    rested = Signal()

    def __init__(self, runner: Runner) -> None:
        super().__init__()
        self._runner = runner
        self._acts: list[Act] = []
        self.writing = False
        self.failed = False
        self._asking = False

    @property
    def typed(self) -> int:
        """How many acts carry what somebody typed."""
        return sum(act.typed for act in self._acts)

    def of(self, number: str) -> list[Act]:
        """The acts on one job, oldest first."""
        return [act for act in self._acts if act.number == number]

    def add(self, act: Act) -> None:
        """Send an act on its way; what failed before is tried again first."""
        self._acts.append(act)
        self.retry()

    def retry(self) -> None:
        """Go on with the oldest act."""
        self.failed = False
        self._go_on()

    def take_back(self, number: str) -> JobEdit | None:
        """The newest edit of a job, taken out while it cannot be written; None where the newest
        act is another or is being written now."""
        mine = self.of(number)
        if not self.failed or not mine or mine[-1].change is None:
            return None
        self._acts.remove(mine[-1])
        return mine[-1].change

    def settle(self, act: Act, instead: Act | None) -> None:
        """Answer a clash: write `instead` in its place, or give it up."""
        self._asking = False
        if act in self._acts:
            at = self._acts.index(act)
            self._acts[at : at + 1] = [instead] if instead is not None else []
        self._go_on()

    def _go_on(self) -> None:
        while self._acts and not (self.writing or self.failed or self._asking):
            act = self._acts[0]
            write = act.begin()
            if write is None:
                self._acts.remove(act)
                continue
            self.writing = True
            self._send(act, write)
        if not self.writing:
            self.rested.emit()

    def _send(self, act: Act, write: Write) -> None:
        self._runner.run(
            lambda _report: write(),
            lambda draft: self._written(act, draft),
            failed=lambda error: self._not_written(act, error),
            lane=RECORD,
        )

    def _written(self, act: Act, draft: Draft | None) -> None:
        self.writing = False
        self._acts.remove(act)
        self.confirmed.emit(act, draft)
        self._go_on()

    def _ask_anew(self) -> None:
        """Undo and redo of what is stuck need no record."""
        steps: list[Act] = []
        while self._acts and not self._acts[-1].typed:
            steps.insert(0, self._acts.pop())
        for step in steps:
            if step.anew is not None:
                step.anew()

    def _not_written(self, act: Act, error: Exception) -> None:
        self.writing = False
        if isinstance(error, Clash) and act.change is not None:
            self._asking = True
            self.clashed.emit(act, error)
        elif isinstance(error, LATER) and act.typed:
            self.failed = True
            self.stuck.emit(error)
            self._ask_anew()
        else:
            self._acts.remove(act)
            self.refused.emit(act, error)
        self._go_on()
