"""The right side: the one approval looked at, the passphrase, and what may be done."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.waiting import words
from estimator.desktop.screens.waiting.case_pane import CasePane
from estimator.desktop.screens.waiting.facts import FactRows
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.field_frame import FieldFrame
from estimator.desktop.widgets.plain_label import plain_label
from estimator.domain.contract.states import (
    APPROVE,
    DECLINE,
    PART_APPROVE,
    PASS_ON,
    QUERY,
)
from estimator.domain.people import Person
from estimator.services.show_approval import ApprovalView, main_act
from estimator.services.show_desk import RELEASE, VARIATION, WaitingRow

WIDTH = 364
OTHERS = (QUERY, DECLINE, PASS_ON)


class SidePanel(QFrame):
    """Signals: act_asked(str): one of the desk's acts, or APPROVE by Enter in the passphrase;
    open_asked(): into the job; history_asked(); photograph_asked(object)."""

    act_asked = Signal(str)
    open_asked = Signal()
    history_asked = Signal()
    photograph_asked = Signal(object)

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.view: ApprovalView | None = None
        self.main = ""
        self.setProperty("look", "side")
        self.setFixedWidth(WIDTH)
        self.title = plain_label("", "section", wrapped=True)
        self.second = plain_label("", "second", wrapped=True)
        self.history = QPushButton(_("History"))
        self.history.setProperty("look", "quiet")
        self.note = plain_label("", "note", wrapped=True)
        self.facts = FactRows()
        self.pane = CasePane(say)
        self.secret = QLineEdit()
        self.secret.setEchoMode(QLineEdit.EchoMode.Password)
        self.field = FieldFrame(_("Your passphrase"), self.secret)
        self.do_main = CommandButton("", key_names("Ctrl+Enter"), primary=True)
        self.open = CommandButton(_("Open the job"), key_names("Enter"))
        names = words.act_words()
        self.others = {act: CommandButton(names[act]) for act in OTHERS}
        self._build()
        self.show_nothing("")

    def _build(self) -> None:
        inside = QWidget()
        inside.setProperty("look", "side")
        column = QVBoxLayout(inside)
        column.setContentsMargins(20, 18, 20, 12)
        column.setSpacing(8)
        second = QHBoxLayout()
        second.addWidget(self.second, 1)
        second.addWidget(self.history, 0, Qt.AlignmentFlag.AlignTop)
        column.addWidget(self.title)
        column.addLayout(second)
        for widget in (self.facts, self.pane, self.note):
            column.addWidget(widget)
        column.addStretch()
        self.scroller = QScrollArea()
        self.scroller.setProperty("look", "side")
        self.scroller.setFrameShape(QFrame.Shape.NoFrame)
        self.scroller.setWidgetResizable(True)
        self.scroller.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.scroller.setAccessibleName(_("What is looked at"))
        self.scroller.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.scroller.setWidget(inside)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.scroller, 1)
        whole.addWidget(self._foot())
        self.pane.photograph_asked.connect(self.photograph_asked)
        self.pane.ticks_changed.connect(self._show_main)
        self.secret.returnPressed.connect(lambda: self.act_asked.emit(self.main))
        self.secret.textEdited.connect(lambda _text: self.field.mark_valid())

    def _foot(self) -> QFrame:
        foot = QFrame()
        foot.setProperty("look", "below")
        column = QVBoxLayout(foot)
        column.setContentsMargins(20, 10, 20, 10)
        column.setSpacing(8)
        first, second = QHBoxLayout(), QHBoxLayout()
        for row in (first, second):
            row.setSpacing(8)
        first.addWidget(self.do_main, 3)
        first.addWidget(self.open, 2)
        for act, button in self.others.items():
            second.addWidget(button)
            button.clicked.connect(lambda _on=False, one=act: self.act_asked.emit(one))
        column.addWidget(self.field)
        column.addLayout(first)
        column.addLayout(second)
        self.do_main.clicked.connect(lambda _on=False: self.act_asked.emit(self.main))
        self.open.clicked.connect(lambda _on=False: self.open_asked.emit())
        self.history.clicked.connect(lambda _on=False: self.history_asked.emit())
        return foot

    # What is shown

    def show_nothing(self, said: str) -> None:
        """Nothing is chosen."""
        self._clear()
        self.title.setText("")
        self.second.setText(said)
        self.facts.setVisible(False)
        self.note.setText("")
        self.open.setVisible(False)
        self.history.setVisible(False)

    def show_row(self, row: WaitingRow, classes: Mapping[str, str]) -> None:
        """What the list knows of a row, until the rest has been read; all there is of a quote."""
        self._clear()
        say = self._say
        if row.kind == VARIATION:
            self.title.setText(f"{words.number_words(row)}  {row.title}")
            self.second.setText(f"{row.job}, {row.customer}")
        else:
            self.title.setText(words.title_words(row, classes))
            self.second.setText(f"{row.job} {words.number_words(row)}, {row.customer}")
        facts = [
            (_("What it comes to"), self._price(row)),
            (_("Waits on"), words.asked_words(row.ask, row.waits_on)),
            (_("Since"), say.day(row.since.astimezone().date())),
            (_("Working days"), say.number(row.days)),
        ]
        if row.answer_by is not None:
            title = _("Answer by") if row.kind == VARIATION else _("Valid until")
            facts.append((title, say.day(row.answer_by)))
        self.facts.show_facts(facts)
        self.facts.setVisible(True)
        told = ""
        if row.kind == RELEASE:
            told = _("Enter opens it on its Quote page, where it is looked at and released.")
        elif row.kind != VARIATION:
            told = _("Enter opens it on its Quote page, where the answer is recorded.")
        self.note.setText(told)
        self.history.setVisible(True)
        self.open.setVisible(True)
        self.open.set_primary(row.kind != VARIATION)

    def _price(self, row: WaitingRow) -> str:
        if row.amount is not None:
            return self._say.money(row.amount)
        if row.low is not None:
            return words.range_words(row.low, row.high, self._say)
        return _("not worked out yet")

    def show_view(self, view: ApprovalView, person: Person, activities: Mapping[str, str]) -> None:
        """One variation, or several of one job, with what may be done."""
        same = self.view is not None and self.view.cases == view.cases
        self.view = view
        one = view.case.variation
        if len(view.cases) > 1:
            self.title.setText(
                ngettext("{n} variation together", "{n} variations together", len(view.cases))
                .format(n=len(view.cases))
            )  # fmt: skip
            self.second.setText(f"{view.job}, {view.customer}")
        else:
            found = f"{one.finder}, {self._say.short_day(one.found_at.astimezone().date())}"
            self.title.setText(f"{one.name}  {one.title}")
            self.second.setText(f"{view.job}, {view.customer} \u00b7 {found}")
        self.facts.setVisible(False)
        self.pane.show_view(view, person.name, activities)
        self.pane.setVisible(True)
        self.field.set_label(_("Your passphrase, {name}").format(name=person.name))
        if not same:
            self.secret.clear()
            self.field.mark_valid()
            self.scroller.verticalScrollBar().setValue(0)
        self.open.setVisible(True)
        self.open.set_primary(False)
        self._show_main()
        for act, button in self.others.items():
            button.setVisible(len(view.cases) == 1)
            button.set_available(words.why_not_words(view.act(act), view.case.state))

    def _show_main(self) -> None:
        """The main button: approving part where only some lines are ticked."""
        view = self.view
        if view is None:
            return
        self.main = PART_APPROVE if self.pane.ticked_part else main_act(view)
        row, names = view.act(self.main), words.act_words()
        text = names[self.main]
        if len(view.cases) > 1:
            text = _("Approve {n}").format(n=self._say.number(len(view.cases)))
        self.do_main.setText(text)
        self.do_main.setVisible(True)
        self.do_main.set_available(self.why_not())
        signed = row.act in (APPROVE, PART_APPROVE) and not self.why_not()
        self.field.setVisible(signed)
        told = _(
            "Signed with your name, this minute and what you saw. It cannot be changed; a later "
            "change of mind is a new entry."
        )
        if not signed:
            told = self.why_not()
            told = told[:1].upper() + told[1:] + "." if told else ""
        self.note.setText(told)

    def why_not(self) -> str:
        """Why the main act cannot be done, in words; "" where it can."""
        view = self.view
        if view is None:
            return _("Choose a variation first.")
        if self.main == PART_APPROVE:
            against = [row for row in self.pane.part_grounds if not row.holds]
            if against:
                return words.ground_words(against[0], self._say)
        return words.why_not_words(view.act(self.main), view.case.state)

    def _clear(self) -> None:
        self.view, self.main = None, ""
        self.secret.clear()
        for widget in (self.pane, self.field, self.do_main, *self.others.values()):
            widget.setVisible(False)
