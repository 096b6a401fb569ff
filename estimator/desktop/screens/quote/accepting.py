"""Recording that a customer accepted: a form, filled in by keyboard, that leaves nothing half
written."""

from __future__ import annotations

from datetime import date, datetime

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.screens.quote.acceptance_form import AcceptanceForm, Given
from estimator.desktop.telling import told, told_of
from estimator.desktop.workshop import Workshop
from estimator.domain.people import ACCEPT, RELEASE
from estimator.services.accept_quote import Terms, accept_quote
from estimator.services.errors import Refused, ServiceError
from estimator.services.show_acceptance import Acceptable, show_acceptance
from estimator.services.write_contract import Here


class Accepting(QObject):
    """Opens the form and records what it gives.

    Signals: changed(): the record holds an acceptance.
    """

    changed = Signal()

    def __init__(self, workshop: Workshop, desk: Desk, window: QWidget) -> None:
        super().__init__(window)
        self.workshop, self.desk, self._window = workshop, desk, window
        self.form: AcceptanceForm | None = None

    def ask(self) -> None:
        """Open the form for the revision that is issued."""
        job, person = self.desk.job, self.workshop.person
        if job is None or not person.may(ACCEPT) or self.form is not None:
            return
        record, today = self.workshop.record, self.workshop.today()
        self.workshop.runner.run(
            lambda _report: show_acceptance(record, job.number, today),
            self._open,
            subject="acceptance",
            says=_("Reading what was issued"),
        )

    def _open(self, offer: Acceptable) -> None:
        person = self.workshop.person
        if offer.held and not person.may(RELEASE):
            self.workshop.presenter.trouble(
                _("Rev {rev} was valid until {day}.").format(
                    rev=offer.revision, day=self.workshop.formats.day(offer.valid_until)
                ),
                _("Revise it, or let the service manager hold its price."),
            )
            return
        self.form = AcceptanceForm(
            self._window, self.workshop.formats, offer, self.workshop.today()
        )
        self.form.given.connect(lambda given: self._record(offer, given))
        self.form.finished.connect(self._forget)
        self.form.open()

    def _forget(self, _code: int) -> None:
        self.form = None

    def _record(self, offer: Acceptable, given: Given) -> None:
        terms = self._terms(offer, given)
        if self.form is not None:
            self.form.set_busy(busy=True)
        self.desk.contract.act(
            lambda record, who, now: accept_quote(
                record, offer.number, terms, who, now, held=given.held
            ),
            _("Recording the acceptance"),
            self._accepted,
            self._refused,
        )

    def _terms(self, offer: Acceptable, given: Given) -> Terms:
        """The form's answers; a day of today or of the issue itself gets a time that can be."""
        return Terms(
            revision=offer.revision,
            on=moment_of(given.day, self.workshop.now(), offer.issued_at),
            **given.terms,
        )

    def _accepted(self, here: Here) -> None:
        if self.form is not None:
            self.form.accept()
        say = self.workshop.formats
        accepted = here.contract.acceptance
        self.workshop.presenter.done(
            _(
                "Rev {rev} is accepted, {extent}, at {sum}. Next the machine comes in: Ctrl+8."
            ).format(
                rev=accepted.revision,
                extent=_("whole") if accepted.extent == "whole" else _("teardown only"),
                sum=say.money(accepted.contract_sum),
            )
        )
        self.desk.reread()
        self.changed.emit()

    def _refused(self, error: Exception) -> None:
        if self.form is None:
            self.workshop.presenter.error(error)
            return
        self.form.set_busy(busy=False)
        if isinstance(error, Refused):
            self.form.tell(" ".join(str(one) for one in error.problems))
        elif isinstance(error, ServiceError):
            self.form.tell(f"{told(error.message)} {told(error.remedy)}".strip())
        else:
            self.form.tell(told_of(error))
        self.form.raise_()
        self.form.setFocus(Qt.FocusReason.OtherFocusReason)


def moment_of(day: date, now: datetime, issued_at: datetime) -> datetime:
    """A time on a day in the workshop's zone: now's time of day, and never before the issue on the
    day of the issue itself."""
    here = now.astimezone()
    moment = datetime.combine(day, here.time(), here.tzinfo).astimezone(now.tzinfo)
    if issued_at.astimezone().date() == day:
        return max(moment, issued_at)
    return moment
