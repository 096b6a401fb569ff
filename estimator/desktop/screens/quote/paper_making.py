"""Documents made in the background: the newest that is wanted, and no other."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from PySide6.QtCore import QObject, QTimer, Signal

from estimator.desktop.language import _
from estimator.desktop.runner import RECKONING, Progress, Task
from estimator.desktop.screens.quote.paper_choice import Paper
from estimator.desktop.screens.quote.words import step_words
from estimator.desktop.workshop import Workshop
from estimator.domain.priced_job import PricedJob
from estimator.services.desk_paper import Papered, desk_paper, issued_paper

WAIT_TO_LAY_OUT = 300  # ms after the last reckoning, so that a burst of edits is laid out once


@dataclass(frozen=True)
class Made:
    """What a document was made of: a job as it was priced, or the number of an issued one."""

    of: PricedJob | str
    paper: Paper

    def same(self, other: Made | None) -> bool:
        """Whether the same is wanted; a priced job is told by what it is, not by how it looks."""
        if other is None or self.paper != other.paper:
            return False
        if isinstance(self.of, str):
            return self.of == other.of
        return self.of is other.of


class PaperMaking(QObject):
    """Makes one document at a time.

    Signals: made(object Made, object Papered); failed(object Made, Exception);
    stepping(str): what is being done.
    """

    made = Signal(object, object)
    failed = Signal(object, object)
    stepping = Signal(str)

    def __init__(self, workshop: Workshop, parent: QObject) -> None:
        super().__init__(parent)
        self.workshop = workshop
        self.wanted: Made | None = None
        self._task: Task | None = None
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT_TO_LAY_OUT)
        self._soon.timeout.connect(self._begin)
        workshop.runner.busy_changed.connect(self._on_busy)

    @property
    def busy(self) -> bool:
        """Whether one is on its way."""
        return self._soon.isActive() or self._task is not None

    def ask(self, wanted: Made) -> None:
        """Make this next; what was on its way is given up."""
        self.stop()
        self.wanted = wanted
        self._soon.start()

    def stop(self) -> None:
        """Nobody waits any more."""
        self._soon.stop()
        self.wanted = None
        if self._task is not None:
            self._task.stop()
            self._task = None

    def _begin(self) -> None:
        wanted = self.wanted
        if wanted is None:
            return
        self._task = self.workshop.runner.run(
            self._work(wanted),
            lambda made: self._end(wanted, made),
            lane=RECKONING,
            subject="preview",
            says=_("Working out the paper"),
            failed=lambda error: self._fail(wanted, error),
        )

    def _work(self, wanted: Made) -> Callable[[Progress], Papered]:
        record, paper, catalogue = self.workshop.record, wanted.paper, self.workshop.catalogue

        def work(report: Progress) -> Papered:
            def told(step: str) -> None:
                report(step_words(step))

            of = wanted.of
            if isinstance(of, PricedJob):
                return desk_paper(
                    record, of, paper.kind, paper.locale,
                    paper=paper.size, which=paper.which, progress=told,
                )  # fmt: skip
            assert catalogue is not None
            return issued_paper(
                record, of, paper.kind, paper.locale, catalogue=lambda: catalogue,
                paper=paper.size, which=paper.which, progress=told,
            )  # fmt: skip

        return work

    def _on_busy(self, task: object, what: str) -> None:
        if task is not None and task is self._task and what:
            self.stepping.emit(what)

    def _end(self, wanted: Made, made: Papered) -> None:
        self._task = None
        if wanted is self.wanted:
            paper = replace(wanted.paper, which=made.which)
            self.made.emit(Made(wanted.of, paper), made)

    def _fail(self, wanted: Made, error: Exception) -> None:
        self._task = None
        if wanted is self.wanted:
            self.failed.emit(wanted, error)
