"""Answering, as acts on the record: each in the background, each told; nothing is done twice."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QComboBox, QPlainTextEdit, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.questions import Question, ask_words
from estimator.desktop.screens.waiting.words import act_words
from estimator.desktop.telling import told
from estimator.desktop.variation_words import together_words
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.workshop import Workshop
from estimator.domain.contract.states import (
    APPROVE,
    CLOSE,
    DECLINE,
    PART_APPROVE,
    PASS_ON,
    QUERY,
    RELEASE,
)
from estimator.services.answer_variation import (
    Answer,
    answer_as_manager,
    record_customers_answer,
)
from estimator.services.enrol_person import know_person
from estimator.services.errors import NotAllowed
from estimator.services.show_approval import ApprovalView, passing_act
from estimator.services.vary_contract import Move, move_variation
from estimator.services.write_contract import Here

Make = Callable[[], Here]


class WrongPassphrase(NotAllowed):
    """The passphrase is not that of whoever answers."""


class Answering(QObject):
    """What can be done with the variations looked at.

    Signals: done(): the record holds another state of them; refused(object): the error, where
    nothing was written; passphrase_wrong(str): why
    """

    done = Signal()
    refused = Signal(object)
    passphrase_wrong = Signal(str)

    def __init__(self, workshop: Workshop, desk: Desk, window: QWidget) -> None:
        super().__init__(window)
        self.workshop, self.desk, self._window = workshop, desk, window
        self.question: Question | None = None
        self.busy = False

    # Acts

    def approve(self, view: ApprovalView, secret: str, lines: tuple[int, ...]) -> None:
        """Approve what is looked at, or the lines ticked of it, with the passphrase given; of part
        the reason is asked first, and where more was agreed to on the same component before."""
        if lines:
            self._ask(
                PART_APPROVE, view,
                _("Why not all of it? The lines left out are listed for hand-over."),
                lambda reason: self._sign(view, secret, lines, reason),
            )  # fmt: skip
        elif view.together:
            said = " ".join(together_words(one, self.workshop.formats) for one in view.together)
            self._ask(
                APPROVE, view, _("{said} Why are they separate findings?").format(said=said),
                lambda reason: self._sign(view, secret, (), reason),
            )  # fmt: skip
        else:
            self._sign(view, secret, (), "")

    def _sign(self, view: ApprovalView, secret: str, lines: tuple[int, ...], reason: str) -> None:
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        act = PART_APPROVE if lines else APPROVE
        answers = [
            Answer(
                variation=case.variation.number, revision=case.variation.revision, act=act,
                lines=lines, reason=reason, channel="desk",
            )
            for case in view.cases
        ]  # fmt: skip

        def make() -> Here:
            try:
                approver = know_person(record, who.name, secret)
            except NotAllowed as error:
                raise WrongPassphrase(error.message, error.remedy) from error
            return answer_as_manager(record, view.job, answers, approver, now)

        names = ", ".join(case.variation.name for case in view.cases)
        told = ngettext(
            "{names} of {job} is approved.", "{names} of {job} are approved.", len(view.cases)
        )
        if lines:
            told = _("{names} of {job} is approved in part.")
        self._run(view.job, make, told.format(names=names, job=view.job))

    def send_back(self, view: ApprovalView) -> None:
        """Ask back: it waits on the estimator again, with the question."""
        self._ask(
            QUERY, view, _("It waits on the estimator again, with your question."),
            lambda reason: self._move(view, QUERY, _("{name} of {job} is sent back."), reason),
        )  # fmt: skip

    def pass_on(self, view: ApprovalView) -> None:
        """Leave the answer to the next who may: a draft is issued for it."""
        told = _("{name} of {job} is passed on; asked is {who}.")
        self._move(view, passing_act(view.case), told, "")

    def close(self, view: ApprovalView) -> None:
        """Close what nobody is charged for."""
        self._move(view, CLOSE, _("{name} of {job} is closed; nobody is charged."), "")

    def release(self, view: ApprovalView) -> None:
        """Let the work begin."""
        self._move(view, RELEASE, _("{name} of {job} is released to work."), "")

    def _move(self, view: ApprovalView, act: str, told: str, reason: str) -> None:
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        one = view.case.variation
        move = Move(variation=one.number, act=act, revision=one.revision, reason=reason)
        next_ = view.above if act == PASS_ON else view.asked or view.above
        said = told.format(name=one.name, job=view.job, who=next_ or _("the customer"))
        self._run(view.job, lambda: move_variation(record, view.job, move, who, now), said)

    def decline(self, view: ApprovalView) -> None:
        """Record that the customer declines: only they may leave a finding as it is."""
        one = view.case.variation
        question = Question(
            self._window,
            _("Decline {name}").format(name=f"{one.name}, {one.title}"),
            _("Only the customer may leave it as it is. {consequence}").format(
                consequence=one.consequence
            ),
            [_("Leave as it is"), _("Record it")],
        )
        who, how, why = QComboBox(), QComboBox(), QPlainTextEdit()
        who.addItems(list(view.approvers))
        asked = view.asked.split(", ")[0]
        if asked in view.approvers:
            who.setCurrentText(asked)
        how.addItems([_("telephone"), _("e-mail"), _("in person"), _("signed paper")])
        how.setEditable(True)
        why.setTabChangesFocus(True)
        why.setFixedHeight(72)
        for label, field in (
            (_("Who declines"), who), (_("How it came"), how), (_("Reason, in their words"), why),
        ):  # fmt: skip
            field.setAccessibleName(label)
            caption = plain_label(label, "head")
            caption.setBuddy(field)
            question.body.addWidget(caption)
            question.body.addWidget(field)
        record_it = question.buttons[1]
        record_it.setEnabled(False)
        record_it.setProperty("primary", True)
        why.textChanged.connect(lambda: record_it.setEnabled(bool(why.toPlainText().strip())))

        def ended(_code: int) -> None:
            self.question = None
            words = " ".join(why.toPlainText().split())
            if question.answer == 1 and words:
                self._declined(view, who.currentText(), how.currentText().strip(), words)

        question.finished.connect(ended)
        self.question = question
        question.open()
        why.setFocus()

    def _declined(self, view: ApprovalView, by: str, channel: str, words: str) -> None:
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        one = view.case.variation
        answer = Answer(
            variation=one.number, revision=one.revision, act=DECLINE, channel=channel, words=words,
            reason=words,
        )  # fmt: skip
        self._run(
            view.job,
            lambda: record_customers_answer(record, view.job, answer, by, who, now),
            _("{name} of {job} is declined by {who}.").format(
                name=one.name, job=view.job, who=by
            ),
        )  # fmt: skip

    # How they run

    def _ask(self, act: str, view: ApprovalView, text: str, then: Callable[[str], object]) -> None:
        one = view.case.variation
        title = f"{act_words()[act]}: {one.name}, {one.title}"
        self.question = ask_words(self._window, title, text, _("Reason"), then)
        self.question.finished.connect(self._forget_question)

    def _forget_question(self, _code: int) -> None:
        self.question = None

    def _run(self, job: str, make: Make, done: str) -> None:
        if self.busy:
            return
        self.busy = True

        def came(_here: Here) -> None:
            self.busy = False
            self.workshop.presenter.done(done)
            if self.desk.contract.number == job:
                self.desk.contract.load(job)
            self.workshop.changed("jobs", "contracts")
            self.done.emit()

        def failed(error: Exception) -> None:
            self.busy = False
            if isinstance(error, WrongPassphrase):
                self.passphrase_wrong.emit(f"{told(error.message)} {told(error.remedy)}")
                return
            self.workshop.presenter.error(error)
            self.refused.emit(error)

        self.workshop.runner.run(
            lambda _report: make(), came, failed=failed, says=_("Recording the answer")
        )
