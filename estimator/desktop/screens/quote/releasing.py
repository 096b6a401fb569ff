"""Proposing, issuing and revising: acts on the record, each in the background, each told."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.questions import Question, ask_passphrase
from estimator.desktop.runner import RECKONING, Progress, Task
from estimator.desktop.screens.quote.words import step_words
from estimator.desktop.trade_words import job_title
from estimator.desktop.workshop import Workshop
from estimator.domain.adoption import StartingValue, count_parts
from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Job
from estimator.domain.people import RELEASE
from estimator.domain.quote_length import STANDARD
from estimator.domain.record import IssuedQuote, next_revision
from estimator.services.adopt_values import not_adopted
from estimator.services.edit_job import Draft, open_draft
from estimator.services.enrol_person import know_person
from estimator.services.errors import Conflict
from estimator.services.issue_quote import issue_quote, revise_job
from estimator.services.propose_release import propose, withdraw

MOST_NAMED = 3  # parts named of those that rest on starting values


class Releasing(QObject):
    """What can be done with a revision.

    Signals: changed(): the record holds another state of the job; busy_changed(bool): an issue is
    on its way, and can be stopped until it is written.
    """

    changed = Signal()
    busy_changed = Signal(bool)

    def __init__(self, workshop: Workshop, desk: Desk, window: QWidget) -> None:
        super().__init__(window)
        self.workshop, self.desk, self._window = workshop, desk, window
        self.question: Question | None = None
        self._issuing: Task | None = None
        workshop.runner.idle.connect(self._on_idle)

    @property
    def busy(self) -> bool:
        """Whether an issue is on its way."""
        return self._issuing is not None

    # Acts

    def propose(self) -> None:
        """Let the revision wait on whoever releases it."""
        self._turn(propose, _("{title} waits on a service manager to release it."))

    def withdraw(self) -> None:
        """Make a proposed revision a draft again."""
        self._turn(withdraw, _("{title} is a draft again."))

    def _turn(self, act: Callable[..., Draft], told: str) -> None:
        job = self._ready()
        if job is None:
            return
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        self.workshop.runner.run(
            lambda _report: act(record, job.number, who, now),
            lambda _draft: self._done(told.format(title=job_title(job))),
        )

    def revise(self) -> None:
        """Begin the next revision of an issued one."""
        job = self.desk.job
        if job is None or not self.desk.may_revise:
            return
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        self.workshop.runner.run(
            lambda _report: revise_job(record, job.number, who, now),
            lambda revised: self._done(
                _("Rev {rev} is begun; rev {old} stays as it was issued.").format(
                    rev=revised.revision, old=job.revision
                )
            ),
        )

    def ask_to_issue(self, locale: str, price: str, length: str = STANDARD) -> None:
        """Ask whoever releases for their own name and passphrase, then issue. Where the price rests
        on starting values that nobody has adopted, they must say that they adopt them."""
        job, priced = self._ready(), self.desk.priced
        if job is None or priced is None or priced.job != job or self.busy:
            return
        record = self.workshop.record
        self.workshop.runner.run(
            lambda _report: not_adopted(record, priced),
            lambda resting: self._ask(job, (locale, length), price, resting),
            subject="starting values",
        )

    def _ask(
        self, job: Job, printed: tuple[str, str], price: str, resting: tuple[StartingValue, ...]
    ) -> None:
        catalogue = self.workshop.catalogue
        if catalogue is None or self.desk.job is not job or self.busy or self.question is not None:
            return
        person = self.workshop.person
        why = self._why_adopted(job) if resting else ""
        self.question = ask_passphrase(
            self._window,
            _("Issue {title}").format(title=job_title(job)),
            _(
                "{title} goes out at {price} before tax and changes no more. Whoever releases it "
                "gives their own name and passphrase."
            ).format(title=job_title(job), price=price),
            person.name if person.may(RELEASE) else _name_in(job.releaser),
            lambda name, secret: self._issue(job, catalogue, (name, secret), printed, why),
            agree=self._agreement(resting) if resting else None,
        )
        self.question.finished.connect(self._forget_question)

    def _agreement(self, resting: tuple[StartingValue, ...]) -> tuple[str, str]:
        """What whoever releases must stand for, and the words of its box."""
        count = count_parts(resting)
        said = ngettext(
            "{n} chance rests on a starting value that nobody has adopted: {parts}.",
            "{n} chances rest on starting values that nobody has adopted: {parts}.",
            count,
        )
        names = [name for one in resting for name in one.names]
        told = names[:MOST_NAMED]
        if rest := len(names) - len(told):
            told.append(ngettext("{n} more", "{n} more", rest).format(n=rest))
        return said.format(n=count, parts=", ".join(told)), _("Adopt them for this workshop")

    def _why_adopted(self, job: Job) -> str:
        return _("adopted with the release of {title}").format(title=job_title(job))

    def _forget_question(self, _code: int) -> None:
        self.question = None

    def _issue(
        self,
        job: Job,
        catalogue: Catalogue,
        known: tuple[str, str],
        printed: tuple[str, str],
        why: str,
    ) -> None:
        """`known` is a name and a passphrase, `printed` a locale and how much is told."""
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()

        def work(report: Progress) -> IssuedQuote:
            report(_("Issuing"))
            releaser = know_person(record, *known)
            if open_draft(record, job.number).job != job:
                raise Conflict(
                    _("{title} was changed by someone else meanwhile.").format(
                        title=job_title(job)
                    ),
                    _("Look at it again; nothing was issued."),
                )
            return issue_quote(
                record,
                job.number,
                catalogue,
                who,
                releaser,
                now,
                locale=printed[0],
                length=printed[1],
                adopt_why=why,
                progress=lambda step: report(step_words(step)),
            )

        self._issuing = self.workshop.runner.run(
            work,
            self._on_issued,
            failed=self._on_failed,
            lane=RECKONING,
            subject="issue",
            says=_("Issuing {title}").format(title=job_title(job)),
        )
        self.busy_changed.emit(True)

    def stop(self) -> None:
        """Stop an issue that is not written yet; what the record then holds is read again."""
        if self._issuing is not None:
            self._issuing.stop()

    # Ends

    def _on_issued(self, issued: IssuedQuote) -> None:
        self._end()
        self._done(
            _("Rev {rev} is issued, released by {who}.").format(
                rev=issued.revision, who=issued.released_by
            )
        )

    def _on_failed(self, error: Exception) -> None:
        self._end()
        self.workshop.presenter.error(error)
        self.desk.reread()
        self.changed.emit()

    def _on_idle(self) -> None:
        """Told to stop, a task reports no end: it may have been written just before."""
        if self._issuing is not None and self._issuing.stopping.is_set():
            self._end()
            self.workshop.presenter.notice(_("Stopped. The list shows what was issued."))
            self.desk.reread()
            self.workshop.changed("jobs")
            self.changed.emit()

    def _end(self) -> None:
        self._issuing = None
        self.busy_changed.emit(False)

    def _done(self, told: str) -> None:
        self.workshop.presenter.done(told)
        self.desk.reread()
        self.workshop.changed("jobs", "adoptions")
        self.changed.emit()

    def _ready(self) -> Job | None:
        """The job, if all of it is in the record; says so where it is not."""
        if self.desk.unsaved:
            self.workshop.presenter.trouble(
                _("The last edit is not in the record yet."), _("Ctrl+S tries again.")
            )
            return None
        return self.desk.job

    def next_revision(self) -> str:
        """The letter after the revision on the desk."""
        return next_revision(self.desk.job.revision) if self.desk.job is not None else ""


def _name_in(printed: str) -> str:
    """The name in a line such as "J. Tarn, service manager", to begin with."""
    return printed.partition(",")[0].strip()
