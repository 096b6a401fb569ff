"""What the page does with variations: each act asks what it must, then goes to the record."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import datetime
from functools import partial

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.questions import Question, ask_passphrase, ask_words
from estimator.desktop.screens.variations import act_words
from estimator.desktop.screens.variations.answer_form import AnswerForm, Given
from estimator.desktop.screens.variations.ask_form import AskForm, NoSum, read_sum
from estimator.desktop.screens.variations.form import VariationForm
from estimator.desktop.screens.variations.job_acts import (
    HAND_OVER,
    ORDER,
    hand_over_form,
    order_form,
)
from estimator.desktop.telling import told_of
from estimator.desktop.variation_words import together_words
from estimator.desktop.workshop import Workshop
from estimator.domain.contract import states
from estimator.domain.contract.authority import together
from estimator.domain.contract.contract import Case
from estimator.domain.contract.variation import Variation
from estimator.domain.people import TAKE_BACK, Person
from estimator.services import case_acts
from estimator.services.answer_variation import (
    Answer,
    answer_as_manager,
    record_customers_answer,
)
from estimator.services.enrol_person import know_person
from estimator.services.open_record import Record
from estimator.services.vary_contract import (
    Move,
    make_safe,
    move_variation,
    raise_variation,
    revise_variation,
    take_back_safety,
)
from estimator.services.write_contract import Here

Told = Callable[[str], object]


class Acting(QObject):
    """Acts on one variation, or raises another. `gone_to` is told the number to go to after an
    act."""

    def __init__(
        self, workshop: Workshop, desk: Desk, window: QWidget, gone_to: Callable[[str], object]
    ) -> None:
        super().__init__(window)
        self.workshop, self.desk, self._window, self._gone_to = workshop, desk, window, gone_to
        self.question: Question | VariationForm | AnswerForm | AskForm | None = None

    def do(self, act: str, number: str) -> None:
        """Begin an act on a variation."""
        here = self.desk.contract.here
        if here is None or number not in here.contract.cases or self.question is not None:
            return
        case = here.contract.case(number)
        begun: dict[str, Callable[[Case], object]] = {
            case_acts.WRITE: self.write,
            case_acts.SIGN: self.sign,
            case_acts.CUSTOMERS: self.record_answer,
            states.CALL_OFF: self.record_answer,
            case_acts.MAKE_SAFE: self.made_safe,
            states.WITHDRAW: self.withdraw,
        }
        begun.get(act, partial(self._move, act))(case)

    # Writing

    def raise_new(self) -> None:
        """Ask for a new variation, and raise it."""
        here = self.desk.contract.here
        if here is None or self.question is not None:
            return

        def raised(variation: Variation) -> None:
            self._act(
                lambda record, who, now: raise_variation(
                    record, here.job.number, variation, who, now
                ),
                here.contract.next_number,
                _("{number} is raised."),
            )

        self._open_form(VariationForm(self._window, self.workshop, here, None, raised))

    def write(self, case: Case) -> None:
        """Price a variation, or write it anew."""
        here = self.desk.contract.here
        if here is None:
            return

        def revised(variation: Variation) -> None:
            self._act(
                lambda record, who, now: revise_variation(
                    record, here.job.number, variation, who, now
                ),
                variation.number,
                _("{number} is written anew; the revision before it stays as it was."),
            )

        self._open_form(VariationForm(self._window, self.workshop, here, case, revised))

    def do_for_job(self, act: str) -> None:
        """Begin an act on the whole contract."""
        here = self.desk.contract.here
        if here is None or self.question is not None:
            return
        if act == ORDER:
            told = _("The order is recorded; what is agreed to is held against it.")
            self._open_form(
                order_form(
                    self._window, self.workshop.formats, here,
                    lambda make: self._act(make, "", told),
                )
            )  # fmt: skip
        elif act == HAND_OVER:
            told = _("The machine is handed over.")
            self._open_form(
                hand_over_form(self._window, here, lambda make: self._act(make, "", told))
            )

    def _open_form(self, form: VariationForm | AnswerForm | AskForm) -> None:
        self.question = form
        form.finished.connect(self._forget)
        form.open()

    def _forget(self, _code: int) -> None:
        self.question = None

    # Steps

    def _move(self, act: str, case: Case, reason: str = "") -> None:
        variation = case.variation
        move = Move(variation=variation.number, act=act, revision=variation.revision, reason=reason)
        told = {
            states.ISSUE: _("{number} is issued."),
            states.CLOSE: _("{number} is closed; nobody is charged."),
            states.WITHDRAW: _("{number} is withdrawn."),
            states.LAPSE: _("{number} has lapsed: no answer is not approval."),
            states.RELEASE: _("{number} is released to work."),
            states.FINISH: _("The work of {number} is done."),
        }
        number = self.desk.contract.number
        self._act(
            lambda record, who, now: move_variation(record, number, move, who, now),
            variation.number,
            told.get(act, _("{number} is moved on.")),
        )

    def withdraw(self, case: Case) -> None:
        """Take a variation back, with the reason; a safety matter with the service manager's own
        passphrase too."""
        text, then = _("It stays in the ledger, and moves nothing."), self._withdraw
        if case.variation.safety:
            text = _(
                "It is a safety matter. The service manager takes it back, with a reason and their "
                "own passphrase."
            )
            then = self._ask_who_takes_back
        self._ask(
            ask_words(
                self._window,
                _("Withdraw {number}").format(number=case.variation.name),
                text,
                _("Reason"),
                lambda reason: then(case, reason),
            )
        )

    def _withdraw(self, case: Case, reason: str) -> None:
        self._move(states.WITHDRAW, case, reason)

    def _ask_who_takes_back(self, case: Case, reason: str) -> None:
        person, variation = self.workshop.person, case.variation
        number = self.desk.contract.number
        move = Move(
            variation=variation.number, act=states.WITHDRAW, revision=variation.revision,
            reason=reason,
        )  # fmt: skip

        def given(name: str, secret: str) -> None:
            self._act(
                lambda record, _who, now: take_back_safety(
                    record, number, move, know_person(record, name, secret), now
                ),
                variation.number,
                _("{number} is withdrawn."),
            )

        self._ask(
            ask_passphrase(
                self._window,
                _("Withdraw {number}").format(number=variation.name),
                _("Only a service manager takes a safety matter back; their name stays with it."),
                person.name if person.may(TAKE_BACK) else "",
                given,
            )
        )

    def made_safe(self, case: Case) -> None:
        """Work that makes the machine safe went ahead before an answer: what it cost is asked."""
        here, variation = self.desk.contract.here, case.variation.number
        if here is None:
            return
        number, currency, say = here.job.number, here.contract.currency, self.workshop.formats

        def take(form: AskForm) -> Mapping[str, str]:
            try:
                cost = read_sum(form.said("cost"), say, currency)
            except NoSum as error:
                return {"cost": told_of(error)}
            self._act(
                lambda record, who, now: make_safe(record, number, variation, cost, who, now),
                variation,
                _("{number} was made safe; the rest waits for its answer."),
            )
            return {}

        form = AskForm(
            self._window,
            _("Made safe: {number}").format(number=case.variation.name),
            _(
                "What it cost the workshop. If the variation is agreed to, its price holds it; if "
                "not, the workshop bears it."
            ),
            take,
        )
        title = _("Workshop's own cost, {currency}").format(currency=currency)
        form.add(form.fields.line("cost", title))
        self._open_form(form)
        form.fields["cost"].setFocus()

    def _ask(self, question: Question) -> None:
        self.question = question
        question.finished.connect(self._forget)

    # Answers

    def sign(self, case: Case) -> None:
        """Ask whoever approves for the workshop for their own passphrase, then approve."""
        here = self.desk.contract.here
        if here is None:
            return
        signers, person = case_acts.signers(here.contract, case), self.workshop.person
        if not signers:
            return
        name = person.name if person.name in signers else signers[0]
        before = together(here.contract, case, name)
        if before is None:
            self._ask_passphrase(here, case, name, "")
            return
        say = self.workshop.formats
        self._ask(
            ask_words(
                self._window,
                _("Approve {number}").format(number=case.variation.name),
                _("{said} Why are they separate findings?").format(
                    said=together_words(before, say)
                ),
                _("Reason"),
                lambda reason: self._ask_passphrase(here, case, name, reason),
            )
        )

    def _ask_passphrase(self, here: Here, case: Case, name: str, reason: str) -> None:
        amount = self.workshop.formats.money(case.variation.amount(here.contract.currency))
        variation = case.variation
        self._ask(
            ask_passphrase(
                self._window,
                _("Approve {number}").format(number=variation.name),
                _(
                    "{title}: {sum} from the contingency. Whoever approves gives their own name "
                    "and passphrase; it is signed with this minute, and a later change of mind is "
                    "a new entry."
                ).format(title=variation.title, sum=amount),
                name,
                lambda who, secret: self._sign(case, who, secret, reason),
            )
        )

    def _sign(self, case: Case, name: str, secret: str, reason: str) -> None:
        number, variation = self.desk.contract.number, case.variation
        answer = Answer(
            variation=variation.number, revision=variation.revision, act=states.APPROVE,
            reason=reason,
        )  # fmt: skip

        def make(record: Record, _who: Person, now: datetime) -> Here:
            approver = know_person(record, name, secret)
            return answer_as_manager(record, number, [answer], approver, now)

        told = _("{number} is approved by {who}.").replace("{who}", name.replace("{", "{{"))
        self._act(make, variation.number, told)

    def record_answer(self, case: Case) -> None:
        """Ask what the customer answered, who, how and in which words."""
        here = self.desk.contract.here
        if here is not None:
            form = AnswerForm(
                self._window, self.workshop.formats, here, case, partial(self._answered, case)
            )
            self._open_form(form)

    def _answered(self, case: Case, given: Given) -> None:
        number, variation = self.desk.contract.number, case.variation

        def make(record: Record, who: Person, now: datetime) -> Here:
            if given.answer.act == states.QUERY:
                said = f"{given.by}, {given.answer.channel}: {given.answer.words}"
                move = Move(
                    variation=variation.number, act=states.QUERY, revision=variation.revision,
                    reason=said,
                )  # fmt: skip
                return move_variation(record, number, move, who, now)
            return record_customers_answer(record, number, given.answer, given.by, who, now)

        self._act(make, variation.number, _("The answer to {number} is recorded."))

    # Ends

    def _act(
        self, make: Callable[[Record, Person, datetime], Here], number: str, told: str
    ) -> None:
        """Let the record do it; then say so, and stay on that variation."""

        def done(here: Here) -> None:
            if number:
                self._gone_to(number)
            self.workshop.presenter.done(told.format(number=number))
            if here.unkept:
                without = _("{number} is issued, but its paper is not kept.").format(number=number)
                self.workshop.presenter.trouble(without, here.unkept)

        self.workshop.presenter.clear()
        self.desk.contract.act(make, _("Writing it to the record"), done)

    def tell_why_not(self, act: str, number: str, reason: str) -> None:
        """Say why an act that was asked for cannot be done."""
        here = self.desk.contract.here
        case = here.contract.cases.get(number) if here is not None else None
        word = act_words.act_word(act, case.state if case is not None else "")
        self.workshop.presenter.notice(
            _("{act}, {number}: {reason}.").format(act=word, number=number, reason=reason)
        )
