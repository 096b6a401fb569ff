"""The open job: what it is now, what is not saved yet, and what it comes to.

An edit takes effect at once in memory, is written to the record in the background, and what
follows from it is worked out in the background: first the priced work (quick, so that the header
moves while somebody types), then the contingency alone, then everything. Nothing here waits.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date, datetime

from PySide6.QtCore import QObject, Signal

from estimator.desktop.contract_desk import ContractDesk
from estimator.desktop.language import _
from estimator.desktop.reckoner import Reckoner
from estimator.desktop.save_queue import Act, SaveQueue, Write
from estimator.desktop.trade_words import roles_words
from estimator.desktop.workshop import Workshop
from estimator.domain.job import Job
from estimator.domain.job_edit import JobEdit, apply_edit, edit_between, inverse
from estimator.domain.people import EDIT, FIND, ISSUE
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import PricedWork
from estimator.domain.problem import Problem
from estimator.domain.record import FROZEN, UNDER_CONTRACT, next_revision
from estimator.services.edit_job import (
    Draft,
    drop_text,
    keep_text,
    make_edit,
    open_draft,
    redo_edit,
    undo_edit,
)
from estimator.services.errors import NotFound, ServiceError
from estimator.services.keep_standing import note_standing
from estimator.services.write_contract import Here


class Desk(QObject):
    """The job on the desk.

    Signals (values travel as objects):
        opened(object): the job was opened or another took its place
        job_changed(object): the Job after an edit, an undo, somebody else's edit
        worked(object): PricedWork, of the job as it is or as it is being typed
        held(object, object): that PricedWork with its Contingency, shares still to come
        reckoned(object): PricedJob, whole
        faults_changed(object): list of Problem that keep the job from being priced
        names_changed(): what undo and redo would do
        saved(object): when the last edit was confirmed by the record
        save_failed(object): why the oldest unsaved edit could not be written
        clashed(object, object): the Act and the Clash of a value changed by somebody else; answer
            with `save_mine` or `take_theirs`
        closed()
    """

    opened = Signal(object)
    job_changed = Signal(object)
    worked = Signal(object)
    held = Signal(object, object)
    reckoned = Signal(object)
    faults_changed = Signal(object)
    names_changed = Signal()
    saved = Signal(object)
    save_failed = Signal(object)
    clashed = Signal(object, object)
    closed = Signal()

    def __init__(self, workshop: Workshop) -> None:
        super().__init__()
        self.workshop = workshop
        self.job: Job | None = None
        self.state = ""
        self.undo_name = ""
        self._undo_kept = ""  # what the record itself would undo
        self.redo_name = ""
        self.kept: Mapping[str, str] = {}
        self.reasons: Mapping[str, str] = {}
        self.saved_at: datetime | None = None
        self.valid_until: date | None = None  # of the revision issued last
        self.contracted = False  # something of it was accepted, be it the teardown alone
        self._version = 0
        self._taken_back: list[JobEdit] = []  # edits undone before the record could take them
        self.contract = ContractDesk(workshop)  # of this job, once it is accepted
        self.contract.changed.connect(self._on_contract)
        self.queue = SaveQueue(workshop.runner)
        self.queue.confirmed.connect(self._on_written)
        self.queue.stuck.connect(self.save_failed)
        self.queue.clashed.connect(self.clashed)
        self.queue.refused.connect(self._on_refused)
        self.reckoner = Reckoner(workshop, lambda: self.job)
        self.reckoner.worked.connect(self.worked)
        self.reckoner.held.connect(self.held)
        self.reckoner.faults_changed.connect(self.faults_changed)
        self.reckoner.reckoned.connect(self._on_reckoned)

    # Opening

    def open(self, number: str) -> None:
        """Put another job on the desk; `opened` tells when it is there. What could not be written
        of the one before stays in the queue."""
        record, who = self.workshop.record, self.workshop.person
        self.workshop.runner.run(
            lambda _report: open_draft(record, number, who), self._adopt_new, subject="open job"
        )

    def _adopt_new(self, draft: Draft) -> None:
        self.reckoner.forget()
        self.saved_at = None
        self._taken_back = []
        self.job = self._with_queued(draft)
        self._take_rest(draft)
        self.opened.emit(self.job)
        if not self.under_contract:
            self.reckoner.begin()

    def close(self) -> None:
        """Take the job off the desk."""
        self.job = None
        self.reckoner.forget()
        self.contract.clear()
        self.closed.emit()

    @property
    def work(self) -> PricedWork | None:
        """The priced work of the job as it is, or as it is being typed."""
        return self.reckoner.work

    @property
    def priced(self) -> PricedJob | None:
        """The newest whole reckoning of this job."""
        return self.reckoner.priced

    @property
    def faults(self) -> tuple[Problem, ...]:
        """What keeps the job from being priced."""
        return self.reckoner.faults

    @property
    def locked(self) -> bool:
        """Whether nothing can be changed: the revision is issued, or whoever works here may only
        look."""
        return self.issued or not self.workshop.person.may(FIND)

    @property
    def issued(self) -> bool:
        """Whether the revision is issued, accepted or not: then it changes no more."""
        return self.state in FROZEN

    @property
    def under_contract(self) -> bool:
        """Whether it was accepted: what changes now is a variation."""
        return self.state in UNDER_CONTRACT

    @property
    def strip_alone(self) -> bool:
        """Whether nothing but the teardown was accepted, and the strip goes on: the revision that
        is priced after it may be worked on meanwhile."""
        here = self.contract.here
        if here is None or not self.contracted:
            return False
        contract = here.contract
        ended = contract.stopped is not None or contract.handed_over
        return contract.acceptance.teardown_only and not ended

    @property
    def may_revise(self) -> bool:
        """Whether the next revision can be begun."""
        return self.issued and (not self.under_contract or self.strip_alone)

    def why_not(self, act: str = EDIT) -> str:
        """Why this revision cannot be changed in a way (`people.EDIT`, or FIND for evidence alone),
        in words; "" where it can."""
        person = self.workshop.person
        if self.job is not None and self.under_contract and self.strip_alone:
            return _("The teardown is accepted. Make rev {next} with what it shows.").format(
                next=next_revision(self.job.revision)
            )
        if self.job is not None and self.under_contract:
            return _("Accepted. What changes now is a variation.")
        if self.job is not None and self.issued:
            said = (
                _("Rev {rev} is issued. Make rev {next} to change it.")
                if person.may(ISSUE)
                else _("Rev {rev} is issued and changes no more.")
            )
            revision = self.job.revision
            return said.format(rev=revision, next=next_revision(revision))
        if person.may(act):
            return ""
        return _("{who} may look; changing this is for: {roles}.").format(
            who=person.name, roles=roles_words(act)
        )

    @property
    def unsaved(self) -> int:
        """Edits and texts, of any job, that the record has not confirmed yet."""
        return self.queue.typed

    @property
    def waiting(self) -> bool:
        """Whether a reckoning is about to begin."""
        return self.reckoner.soon.isActive()

    @property
    def fresh(self) -> bool:
        """Whether the whole reckoning is of the job as it is now."""
        return self.priced is not None and self.priced.job is self.job

    # Editing

    def edit(self, name: str, after: Job) -> None:
        """Make an edit: at once here, then in the record. `name` completes "Undo ..."."""
        if self.job is None or self.locked:
            return
        change = edit_between(self.job, after, name)
        if not change.changes:
            self.reckoner.work_out(self.job)  # what was being typed is taken back
            return
        self._taken_back = []
        self._make(change, after)

    def _make(self, change: JobEdit, after: Job) -> None:
        self._set_job(after)
        self.undo_name, self.redo_name = change.name, ""
        self.queue.add(self._edit_act(after.number, change))
        self.names_changed.emit()

    def _edit_act(self, number: str, change: JobEdit, *, force: bool = False) -> Act:
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        return Act(
            number,
            lambda: lambda: make_edit(record, number, change, who, now, force=force),
            change,
        )

    def try_out(self, typed: Job) -> None:
        """Work out what is being typed, without making it an edit."""
        self.reckoner.work_out(typed)

    def undo(self) -> None:
        """Take back the last edit of this revision, whoever's desk it was made on. One that could
        not be written yet is taken back here alone."""
        if self.job is None or not self.undo_name or self.locked:
            return
        change = self.queue.take_back(self.job.number)
        if change is None:
            self._step(undo_edit, lambda: self.undo_name, self.undo)
            return
        self._taken_back.append(change)
        earlier = [act.change for act in self.queue.of(self.job.number) if act.change is not None]
        self.undo_name = earlier[-1].name if earlier else self._undo_kept
        self.redo_name = change.name
        self._set_job(apply_edit(self.job, inverse(change), force=True))
        self.names_changed.emit()

    def redo(self) -> None:
        """Make again what was taken back last."""
        if self.job is None or not self.redo_name or self.locked:
            return
        if self._taken_back:
            change = self._taken_back.pop()
            self._make(change, apply_edit(self.job, change, force=True))
            self.redo_name = self._taken_back[-1].name if self._taken_back else ""
            self.names_changed.emit()
        else:
            self._step(redo_edit, lambda: self.redo_name, self.redo)

    def _step(
        self, step: Callable[..., Draft], name: Callable[[], str], anew: Callable[[], None]
    ) -> None:
        """Undo or redo in the record, of the version that is shown when its turn has come."""
        assert self.job is not None
        number = self.job.number
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()

        def begin() -> Write | None:
            if self.job is None or self.job.number != number or not name():
                return None
            version = self._version
            return lambda: step(record, number, who, now, version=version)

        self.queue.add(Act(number, begin, anew=anew))

    def keep(self, place: str, text: str, reason: str) -> None:
        """Keep text that is not valid yet, so that closing loses nothing."""
        if self.job is None or self.locked:
            return
        number = self.job.number
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()

        def write() -> None:
            keep_text(record, number, place, text, reason, who, now)

        self.kept = {**self.kept, place: text}
        self.reasons = {**self.reasons, place: reason}
        self.queue.add(Act(number, lambda: write, place=place, text=text, reason=reason))

    def drop(self, place: str) -> None:
        """Forget a text that was kept."""
        if self.job is None or place not in self.kept:
            return
        number = self.job.number
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()

        def write() -> None:
            drop_text(record, number, place, who, now)

        self.kept = {key: text for key, text in self.kept.items() if key != place}
        self.queue.add(Act(number, lambda: write, place=place))

    def _set_job(self, job: Job) -> None:
        self.job = job
        self.job_changed.emit(job)
        if self.fresh:
            self.reckoner.work_out(job)  # only what may be done with it is another: it was issued
        else:
            self.reckoner.begin()

    # Saving

    def _on_written(self, act: Act, draft: Draft | None) -> None:
        self.workshop.changed("jobs")
        if self.job is None or act.number != self.job.number:
            return
        self.saved_at = self.workshop.now()
        if draft is not None:
            self._confirm(draft)
        self.saved.emit(self.saved_at)

    def _confirm(self, draft: Draft) -> None:
        """Take what the record answered, with what is still on its way to it on top."""
        if self.job is None or draft.job.number != self.job.number:
            return
        if draft.notice:
            self.workshop.presenter.notice(draft.notice)
        merged = self._with_queued(draft)
        if merged == self.job:
            merged = self.job
        became = self.state != draft.state
        self._take_rest(draft)
        if merged is not self.job or became:
            self._set_job(merged)

    def _with_queued(self, draft: Draft) -> Job:
        job = draft.job
        for act in self.queue.of(job.number):
            if act.change is not None:
                job = apply_edit(job, act.change, force=True)
        return job

    def _take_rest(self, draft: Draft) -> None:
        """State, names and kept texts, as the record has them and the queue will make them."""
        self.state, self._version = draft.state, draft.version
        self.contracted = draft.contracted
        if self.contracted:
            self.contract.load(draft.job.number)
        else:
            self.contract.clear()
        if self.under_contract and self.contract.here is not None:
            self.reckoner.freeze(self.contract.here.work)
        elif not self.under_contract and self.reckoner.frozen is not None:
            self.reckoner.freeze(None)  # a revision follows the strip that was accepted
        kept, reasons = dict(draft.kept), dict(draft.reasons)
        queued = self.queue.of(draft.job.number)
        for act in queued:
            if act.place and act.text is not None:
                kept[act.place], reasons[act.place] = act.text, act.reason
            elif act.place:
                kept.pop(act.place, None)
        self.kept, self.reasons = kept, reasons
        self._undo_kept = draft.undo
        edits = [act.change for act in queued if act.change is not None]
        self.undo_name = edits[-1].name if edits else draft.undo
        if not self._taken_back:
            self.redo_name = "" if edits else draft.redo
        self.names_changed.emit()

    def _on_refused(self, act: Act, error: Exception) -> None:
        """It will never be taken: show what the record holds."""
        if not (isinstance(error, NotFound) and not act.typed):  # nothing left to undo is no news
            self.workshop.presenter.error(error)
        self.reread()

    def save_mine(self, act: Act) -> None:
        """Write an edit over what somebody else wrote meanwhile."""
        assert act.change is not None
        self.queue.settle(act, self._edit_act(act.number, act.change, force=True))

    def take_theirs(self, act: Act) -> None:
        """Give an edit up for what somebody else wrote meanwhile."""
        self.queue.settle(act, None)
        self.reread()

    def reread(self) -> None:
        """Show what the record holds."""
        if self.job is not None:
            record, number, who = self.workshop.record, self.job.number, self.workshop.person
            self.workshop.runner.run(lambda _report: open_draft(record, number, who), self._confirm)

    def retry(self) -> None:
        """Try again to write what could not be written."""
        if self.queue.failed:
            self.queue.retry()
        if self.saved_at is not None and not self.unsaved:
            self.saved.emit(self.saved_at)

    def _on_contract(self, here: Here | None) -> None:
        """An act may have brought the job into its next state; what was accepted is reckoned as it
        was issued, or as today where what was kept of it cannot be read."""
        gone = here is None and not self.contract.number
        if self.job is None or not self.contracted or gone:
            return
        if self.under_contract:
            self.reckoner.freeze(here.work if here is not None else None)
        if here is not None and here.state != self.state:
            self.reread()

    # Working out

    def reckon_again(self) -> None:
        """Reckon what was stopped before."""
        if self.job is not None and not self.fresh:
            self.reckoner.begin()

    def _on_reckoned(self, priced: PricedJob) -> None:
        self.reckoned.emit(priced)
        if self.fresh and not self.locked and not self.unsaved:
            record, now = self.workshop.record, self.workshop.now()
            self.workshop.runner.run(
                lambda _report: note_standing(record, priced, now),
                lambda _done: self.workshop.changed("standings"),
                failed=self._on_not_noted,
            )

    def _on_not_noted(self, error: Exception) -> None:
        """The list can do without: an edit that cannot be written says so by itself."""
        if not isinstance(error, ServiceError):
            self.workshop.presenter.error(error)
