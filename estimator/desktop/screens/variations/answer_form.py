"""What the customer answered: who, through what channel, in which words, to which lines."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QDialog,
    QFrame,
    QHBoxLayout,
    QPlainTextEdit,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations import act_words
from estimator.desktop.screens.variations.case_body import Part
from estimator.desktop.screens.variations.case_words import grounds_told
from estimator.desktop.screens.variations.form_fields import Fields
from estimator.desktop.telling import told_of
from estimator.desktop.variation_words import together_words
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.domain.contract.authority import may_agree, together
from estimator.domain.contract.contract import Case
from estimator.domain.contract.states import (
    APPROVE,
    CALL_OFF,
    DECLINE,
    DEFER,
    PART_APPROVE,
)
from estimator.domain.money import Money, money_sum
from estimator.services.answer_variation import Answer
from estimator.services.case_acts import answers_for
from estimator.services.show_case import customers_approvers, grounds_of
from estimator.services.write_contract import Here

WIDE = 600
TAKES_MONEY = (APPROVE, PART_APPROVE)


@dataclass(frozen=True, slots=True)
class Given:
    """An answer and who of the customer gave it."""

    answer: Answer
    by: str


class AnswerForm(QDialog):
    """Asks for an answer; `then` gets it once it can be recorded."""

    def __init__(
        self, parent: QWidget, say: Formats, here: Here, case: Case,
        then: Callable[[Given], object],
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self._say, self._here, self._case, self._then = say, here, case, then
        self.setModal(True)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(_("Answer to {number}").format(number=case.variation.name))
        self.fields = Fields()
        self.words = QPlainTextEdit()
        self.acts = QButtonGroup(self)
        self.act_buttons: dict[str, QRadioButton] = {}
        self.line_boxes: list[QCheckBox] = []
        self.lines = QWidget()
        self.grounds = Part(_("May they?"))
        self.consequence = plain_label("", "strong", wrapped=True)
        self.fault = plain_label("", "attention", wrapped=True)
        self._build()
        self._join()
        self._show()
        self.fields["by"].setFocus()

    def _build(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(24, 0, 24, 8)
        column.setSpacing(8)
        variation = self._case.variation
        column.addWidget(plain_label(variation.title, "", wrapped=True))
        make = self.fields
        approvers = {
            one.name: f"{one.name}, {one.capacity}"
            for one in customers_approvers(self._here.contract)
        }
        channels = (
            _("e-mail"), _("signed paper"), _("telephone, confirmed by e-mail"), _("in person"),
        )  # fmt: skip
        column.addLayout(
            make.row(
                make.combo("by", _("Who answered"), approvers),
                make.combo("channel", _("How it came"), {one: one for one in channels}),
            )
        )
        self._build_acts(column)
        self._build_lines(column)
        column.addWidget(heading_label(_("In which words, exactly")))
        self.words.setAccessibleName(_("In which words, exactly"))
        self.words.setTabChangesFocus(True)
        self.words.setFixedHeight(56)
        column.addWidget(self.words)
        column.addLayout(make.row(make.line("reason", _("Reason, where one was given"))))
        column.addWidget(self.consequence)
        column.addWidget(self.grounds)
        activities = {"": _("nothing stood still")} | {
            code: f"{code} {row.name}" for code, row in self._here.work.cat.activities.items()
        }
        column.addLayout(
            make.row(
                make.combo("waits_activity", _("Stood still for the answer"), activities),
                make.line("waits_days", _("Working days")),
            )
        )
        column.addStretch()
        self._build_foot(body)

    def _build_foot(self, body: QWidget) -> None:
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(body)
        leave = QPushButton(_("Leave as it is"))
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        self.take = QPushButton(_("Record it"))
        self.take.setProperty("primary", True)
        self.take.setDefault(True)
        self.take.clicked.connect(self._try)
        foot = QHBoxLayout()
        foot.setContentsMargins(24, 0, 24, 16)
        foot.addWidget(self.fault, 1)
        foot.addWidget(leave)
        foot.addWidget(self.take)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 16, 0, 0)
        head = plain_label(self.windowTitle(), "section")
        head.setContentsMargins(24, 0, 24, 0)
        whole.addWidget(head)
        whole.addWidget(scroll, 1)
        whole.addLayout(foot)
        parent = self.parentWidget()
        room = parent.window().height() if parent is not None else 700
        self.resize(WIDE, min(680, room - 40))

    def _build_acts(self, column: QVBoxLayout) -> None:
        column.addWidget(heading_label(_("What was answered")))
        for row in answers_for(self._case):
            text = act_words.answer_words()[row.act]
            reason = act_words.why_not_words(row, self._case.state, self._say)
            button = QRadioButton(f"{text}: {reason}" if reason else text)
            button.setEnabled(row.may)
            self.acts.addButton(button)
            self.act_buttons[row.act] = button
            column.addWidget(button)
        first = next((one for one in self.act_buttons.values() if one.isEnabled()), None)
        if first is not None:
            first.setChecked(True)

    def _build_lines(self, column: QVBoxLayout) -> None:
        inside = QVBoxLayout(self.lines)
        inside.setContentsMargins(24, 0, 0, 0)
        inside.setSpacing(4)
        for line in self._case.variation.lines:
            box = QCheckBox(
                _("{what}: {sum}").format(what=line.what, sum=self._say.sum(line.amount))
            )
            box.setChecked(True)
            self.line_boxes.append(box)
            inside.addWidget(box)
        column.addWidget(self.lines)

    def _join(self) -> None:
        self.acts.buttonToggled.connect(lambda _button, _on: self._show())
        self.fields.combos["by"].currentIndexChanged.connect(lambda _place: self._show())
        for box in self.line_boxes:
            box.toggled.connect(lambda _on: self._show())

    # What stands in it

    @property
    def act(self) -> str:
        """What was answered."""
        return next((act for act, one in self.act_buttons.items() if one.isChecked()), "")

    @property
    def chosen_lines(self) -> tuple[int, ...]:
        """Places of the lines agreed to."""
        return tuple(n for n, box in enumerate(self.line_boxes) if box.isChecked())

    def _amount(self) -> Money:
        variation, currency = self._case.variation, self._here.contract.currency
        if self.act != PART_APPROVE:
            return variation.amount(currency)
        chosen = (variation.lines[place].amount for place in self.chosen_lines)
        return money_sum(chosen, currency)

    def _show(self) -> None:
        act, variation = self.act, self._case.variation
        self.lines.setVisible(act == PART_APPROVE)
        declining = act in (DECLINE, DEFER, CALL_OFF)
        self.consequence.setVisible(declining and bool(variation.consequence))
        self.consequence.setText(
            _("Read it to them: {consequence}").format(consequence=variation.consequence)
        )
        contract, by = self._here.contract, self.fields.chosen("by")
        if act not in TAKES_MONEY:
            self.grounds.fill(())
            self.grounds.setVisible(False)
            self.fault.setText("")
            return
        amount = self._amount()
        self.grounds.fill(grounds_told(grounds_of(contract, self._case, by, amount), self._say))
        verdict = may_agree(contract, self._case, by, amount)
        said = ""
        if not verdict.may:
            said = _("{who} may not. Nobody named may.").format(who=by)
            if verdict.ask:
                said = _("{who} may not. Ask {ask}.").format(who=by, ask=verdict.ask)
        before = together(contract, self._case, by, amount) if verdict.may else None
        if before is not None:
            said = together_words(before, self._say)
        self.fault.setText(said)

    # Taking it

    def _try(self) -> None:
        self.fields.clear_faults()
        said = " ".join(self.words.toPlainText().split())
        act, days = self.act, Decimal(0)
        faults = {}
        if text := self.fields.text("waits_days").strip():
            try:
                days = self._say.read_number(text)
            except ValueError as error:
                faults["waits_days"] = told_of(error)
        self.fields.mark(faults)
        if faults:
            return
        if not said:
            self.fault.setText(_("Write what was said, in their own words."))
            self.words.setFocus()
            return
        by = self.fields.chosen("by")
        if (
            act in TAKES_MONEY
            and not may_agree(self._here.contract, self._case, by, self._amount()).may
        ):
            self._show()
            self.fields["by"].setFocus()
            return
        lines = self.chosen_lines if act == PART_APPROVE else ()
        if act == PART_APPROVE and len(lines) in (0, len(self.line_boxes)):
            self.fault.setText(_("Tick some of the lines, not all and not none."))
            return
        answer = Answer(
            variation=self._case.variation.number, revision=self._case.variation.revision, act=act,
            channel=self.fields.chosen("channel"), words=said,
            reason=" ".join(self.fields.text("reason").split()), lines=lines,
            waits_activity=self.fields.chosen("waits_activity") if days else "", waits_days=days,
        )  # fmt: skip
        self.accept()
        self._then(Given(answer, by))
