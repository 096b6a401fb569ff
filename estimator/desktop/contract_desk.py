"""The contract of the open job: what was accepted, what happened since, and what it comes to.

Every act goes to the record in the background, in order; then the forecast is worked out, kept for
the lists, and told. What is about to be recorded can be tried out beforehand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime

from PySide6.QtCore import QObject, Signal

from estimator.desktop.language import _
from estimator.desktop.runner import WORK
from estimator.desktop.workshop import Workshop
from estimator.domain.contract.events import Event
from estimator.domain.people import Person
from estimator.services.errors import Conflict, ServiceError
from estimator.services.open_record import Record
from estimator.services.show_contract_head import ContractHead, contract_head
from estimator.services.work_out_contract import (
    ContractNow,
    keep_forecast,
    read_contract,
    try_events,
    work_out_contract,
)
from estimator.services.write_contract import Here

Make = Callable[[Record, Person, datetime], Here]
_Worked = tuple[ContractNow, ContractHead]


def _with_head(now: ContractNow) -> _Worked:
    return now, contract_head(now)


class ContractDesk(QObject):
    """The contract of the job on the desk; `here` is None where nothing of it was accepted.

    Signals (values travel as objects):
        changed(object): the contract as the record holds it now (Here), or None
        worked_out(object): ContractNow, of the newest `here`
        tried_out(object): ContractNow of what is being tried out, or None once nothing is
        acting_changed(bool): whether an act is on its way to the record
    """

    changed = Signal(object)
    worked_out = Signal(object)
    tried_out = Signal(object)
    acting_changed = Signal(bool)

    def __init__(self, workshop: Workshop) -> None:
        super().__init__()
        self.workshop = workshop
        self.number = ""
        self.here: Here | None = None
        self.now: ContractNow | None = None
        self.before: ContractNow | None = None  # as it was worked out before the last act
        self.trial: ContractNow | None = None
        self.head: ContractHead | None = None  # of `now`, and so on
        self.head_before: ContractHead | None = None
        self.head_tried: ContractHead | None = None
        self._acts = 0
        self._working: Here | None = None  # whose forecast is on its way

    @property
    def acting(self) -> bool:
        """Whether an act is on its way to the record."""
        return self._acts > 0

    @property
    def fresh(self) -> bool:
        """Whether the forecast is of the contract as it is now."""
        return self.now is not None and self.now.here is self.here

    # Reading

    def load(self, number: str) -> None:
        """Read a job's contract; `changed` tells when it is there."""
        if number != self.number:
            self.clear()
        self.number = number
        record = self.workshop.record
        self.workshop.runner.run(
            lambda _report: read_contract(record, number),
            self._take,
            subject="contract",
            failed=self._on_not_read,
        )

    def _on_not_read(self, error: Exception) -> None:
        self.workshop.presenter.error(error)
        if self.here is None:
            self.changed.emit(None)

    def clear(self) -> None:
        """No contract is on the desk."""
        had = self.here is not None
        self.number, self.here, self._working = "", None, None
        self.now = self.before = self.trial = None
        self.head = self.head_before = self.head_tried = None
        if had:
            self.changed.emit(None)

    def _take(self, here: Here) -> None:
        if here.job.number != self.number:
            return
        same = self.here is not None and self.here.contract.events == here.contract.events
        if same and (self.fresh or self._working is self.here):
            return  # nothing has happened since
        self.here = here
        self.changed.emit(here)
        self._work_out(here)

    # Acting

    def act(
        self,
        make: Make,
        says: str,
        done: Callable[[Here], None] | None = None,
        failed: Callable[[Exception], None] | None = None,
    ) -> None:
        """Let `make` change the contract in the record, for whoever works here, now. `says` is what
        the user is told while it takes long; `done` gets the contract after it. Errors go to
        `failed`, else to the presenter."""
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        self._count(1)

        def came(here: Here) -> None:
            self._count(-1)
            self.number = self.number or here.job.number
            self._take(here)
            self.workshop.changed("jobs", "contracts")
            if done is not None:
                done(here)

        def went_wrong(error: Exception) -> None:
            self._count(-1)
            (failed or self.workshop.presenter.error)(error)
            if isinstance(error, Conflict) and self.number:
                self.load(self.number)  # it may have gone on meanwhile

        self.workshop.runner.run(
            lambda _report: make(record, who, now), came, says=says, failed=went_wrong
        )

    def _count(self, by: int) -> None:
        was = self.acting
        self._acts += by
        if self.acting != was:
            self.acting_changed.emit(self.acting)

    # Working out

    def _work_out(self, here: Here) -> None:
        before, self._working = self.now, here

        def failed(error: Exception) -> None:
            self._working = None
            self.workshop.presenter.error(error)

        self.workshop.runner.run(
            lambda _report: _with_head(work_out_contract(here, before)),
            self._on_worked_out,
            lane=WORK,
            subject="forecast",
            says=_("Working out the forecast"),
            failed=failed,
        )

    def _on_worked_out(self, worked: _Worked) -> None:
        self._working = None
        now, head = worked
        if now.here is not self.here:
            return
        self.before, self.now = self.now, now
        self.head_before, self.head = self.head, head
        self.trial = self.head_tried = None
        self.worked_out.emit(now)
        record = self.workshop.record
        self.workshop.runner.run(
            lambda _report: keep_forecast(record, now),
            lambda _kept: self.workshop.changed("jobs"),
            subject="keep forecast",
            failed=self._on_not_kept,
        )

    def _on_not_kept(self, error: Exception) -> None:
        """The lists can do without: an act that cannot be written says so by itself."""
        if not isinstance(error, ServiceError):
            self.workshop.presenter.error(error)

    # Trying out

    def try_out(self, make: Callable[[Here], Sequence[Event]] | None) -> None:
        """Work out what the contract would come to after the events that `make` answers, which
        nobody has recorded; None ends the trial. `tried_out` tells."""
        here, now = self.here, self.now
        if make is None or here is None:
            self.workshop.runner.run(
                lambda _report: None, self._on_tried, lane=WORK, subject="trial"
            )
            return
        self.workshop.runner.run(
            lambda _report: _with_head(try_events(here, make(here), now)),
            self._on_tried,
            lane=WORK,
            subject="trial",
            failed=self._on_not_tried,
        )

    def _on_tried(self, tried: _Worked | None) -> None:
        if tried is not None and (self.here is None or tried[0].here.job is not self.here.job):
            return
        self.trial, self.head_tried = tried if tried is not None else (None, None)
        self.tried_out.emit(self.trial)

    def _on_not_tried(self, error: Exception) -> None:
        if not isinstance(error, ServiceError):
            self.workshop.presenter.error(error)
        self._on_tried(None)
