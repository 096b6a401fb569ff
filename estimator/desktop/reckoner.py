"""What the open job comes to, worked out in the background: first the priced work (quick, so that
the header moves while somebody types), then the contingency alone, then everything."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from PySide6.QtCore import QObject, QTimer, Signal

from estimator.desktop.language import _
from estimator.desktop.runner import RECKONING, WORK
from estimator.desktop.workshop import Workshop
from estimator.domain.exposure.contingency import Contingency
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.job import Job
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import PricedWork
from estimator.domain.problem import Problem
from estimator.services.errors import Refused
from estimator.services.work_out import hold, reckon_whole, work_out
from estimator.services.work_out_contract import reckon_accepted

WAIT_TO_RECKON = 400  # ms after the last edit, so that a burst of typing is reckoned once


class Reckoner(QObject):
    """Reckons whatever job `now` answers; the newest counts, of the job on the desk alone.

    Signals: worked(object), held(object, object), reckoned(object), faults_changed(object), as the
    desk hands them on.
    """

    worked = Signal(object)
    held = Signal(object, object)
    reckoned = Signal(object)
    faults_changed = Signal(object)

    def __init__(self, workshop: Workshop, now: Callable[[], Job | None]) -> None:
        super().__init__()
        self._workshop, self._now = workshop, now
        self.work: PricedWork | None = None
        self.priced: PricedJob | None = None
        self.faults: tuple[Problem, ...] = ()
        self.frozen: PricedWork | None = None  # of an accepted revision, as it was issued
        self._last: Distribution | None = None  # never changes, so that any thread may read it
        self.soon = QTimer(self)
        self.soon.setSingleShot(True)
        self.soon.setInterval(WAIT_TO_RECKON)
        self.soon.timeout.connect(self._reckon)
        workshop.catalogue_read.connect(lambda _catalogue: self.begin())

    def forget(self) -> None:
        """Another job is on the desk, or none."""
        self.soon.stop()
        self._workshop.runner.stop_all(RECKONING)
        self.work, self.priced, self.faults, self._last = None, None, (), None
        self.frozen = None

    def freeze(self, work: PricedWork | None) -> None:
        """The job was accepted: it counts as it was issued, or as today where that is lost."""
        if work is None or work is not self.frozen:
            self.frozen, self.priced = work, None
            self.begin()

    def begin(self) -> None:
        """Work out the job as it is, and reckon it through soon."""
        if (job := self._now()) is not None:
            self.work_out(job)
            self.soon.start()

    def work_out(self, job: Job) -> None:
        """Work out a job, or what is being typed in it."""
        catalogue, last, frozen = self._workshop.catalogue, self._last, self._frozen(job)
        if catalogue is None:
            return
        self._workshop.runner.run(
            lambda _report: frozen or work_out(job, catalogue, last),
            self._on_worked,
            lane=WORK,
            subject="work",
            failed=self._on_not_priced,
        )

    def _frozen(self, job: Job) -> PricedWork | None:
        """The accepted revision's own work, where this is its job: never made again by today's
        catalogue."""
        frozen = self.frozen
        return replace(frozen, job=job) if frozen is not None and frozen.job == job else None

    def _is_here(self, number: str) -> bool:
        job = self._now()
        return job is not None and job.number == number

    def _on_worked(self, work: PricedWork) -> None:
        if not self._is_here(work.job.number):
            return
        self.work = work
        self._set_faults(())
        self.worked.emit(work)
        if self.priced is not None and self.priced.job is work.job:
            return  # what was being typed is taken back: all of it is known
        last = self._last
        self._workshop.runner.run(
            lambda _report: hold(work, last),
            lambda held: self._on_held(work, held),
            lane=RECKONING,
            subject="held",
            failed=self._on_not_priced,
        )

    def _on_held(self, work: PricedWork, held: Contingency) -> None:
        if work is self.work:
            self._last = held.distribution or self._last
            self.held.emit(work, held)

    def _on_not_priced(self, error: Exception) -> None:
        if isinstance(error, Refused):
            self._set_faults(error.problems)
        else:
            self._workshop.presenter.error(error)

    def _set_faults(self, faults: tuple[Problem, ...]) -> None:
        if faults != self.faults:
            self.faults = faults
            self.faults_changed.emit(faults)

    def _reckon(self) -> None:
        catalogue, job, last = self._workshop.catalogue, self._now(), self._last
        if catalogue is None or job is None:
            return
        frozen = self._frozen(job)
        self._workshop.runner.run(
            lambda report: (
                reckon_accepted(frozen, report)
                if frozen is not None
                else reckon_whole(job, catalogue, report, last)
            ),
            self._on_reckoned,
            lane=RECKONING,
            subject="reckoning",
            says=_("Working out contingency and dates"),
            failed=self._on_not_priced,
        )

    def _on_reckoned(self, priced: PricedJob) -> None:
        if self._is_here(priced.job.number):
            self.priced = priced
            self._last = priced.contingency.distribution or self._last
            self.reckoned.emit(priced)
