"""The form of the comparison with a new machine: its inputs, and what follows as one types."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.screens.quote.new_machine_fields import InputRow, head_row
from estimator.desktop.screens.quote.new_machine_result import NARROW, WIDTH, ResultPane
from estimator.desktop.telling import told, told_of
from estimator.desktop.trade_words import job_title
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.domain.new_machine import (
    INPUTS,
    STANDS,
    WORKS_ON,
    Factor,
    NewMachine,
    input_of,
)
from estimator.domain.priced_job import PricedJob
from estimator.domain.rebuild_or_new.carbon import FUEL_FACTORS, MATERIAL_FACTORS
from estimator.domain.rebuild_or_new.starting import starting_values
from estimator.services.compare_with_new import compare_with_new, faults_by_input
from estimator.services.errors import ServiceError

WIDE, TALL = 1180, 760
WAIT_TO_COMPARE = 150  # ms after the last key
SECTIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("new", ("new_price", "lead_weeks", "trade_in", "life_new", "residual_new")),
    ("rebuilt", ("life_rebuilt", "residual_rebuilt")),
    ("work", ("hours_a_year", "days_a_week", "interest", "hire_week", "lost_day")),
    ("running", ("fuel_rebuilt", "fuel_new", "fuel_price", "upkeep_rebuilt", "upkeep_new")),
    ("finance", ("financed_share", "finance_rate", "finance_months")),
    ("carbon", ("reused_kg",)),
)


class NewMachineForm(QDialog):
    """Ctrl+Enter keeps, Ctrl+P opens the page, Esc leaves. What cannot be is marked where it is.

    Signals: given(object): NewMachine to keep with the job, or None; open_asked(object) and
    save_asked(object): a NewMachine whose page is wanted.
    """

    given = Signal(object)
    open_asked = Signal(object)
    save_asked = Signal(object)

    def __init__(self, parent: QWidget, say: Formats, priced: PricedJob, why_not: str) -> None:
        super().__init__(parent)
        self._say, self._priced, self._why_not = say, priced, why_not
        self._currency = priced.job.terms.currency
        kept = priced.job.new_machine
        self._begun = kept or NewMachine(self._currency)
        self.setModal(True)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        title = _("Rebuild or new, {title}").format(title=job_title(priced.job))
        self.setWindowTitle(title)
        self.title = plain_label(title, "section")
        self.rows = {name: InputRow(name, say, self._currency, self) for name in INPUTS}
        self.meanwhile = QComboBox()
        self.fuel_factor = _factor_box(FUEL_FACTORS, self._begun.fuel_factor)
        self.material_factor = _factor_box(MATERIAL_FACTORS, self._begun.material_factor)
        self.outcome = ResultPane(say)
        self.trouble = plain_label("", "attention", wrapped=True)
        self.trouble.hide()
        self.leave = QPushButton(_("Leave as it is"))
        self.save_page = QPushButton(_("Save page\u2026"))
        self.open_page = CommandButton(_("Open page"), key_names("Ctrl+P"))
        self.keep = CommandButton(_("Keep"), key_names("Ctrl+Enter"), primary=True)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT_TO_COMPARE)
        self._soon.timeout.connect(self.compare)
        self._build(parent)
        self._show()
        self._join()
        self.compare()
        self.rows["new_price"].figures[1].setFocus()

    # Building

    def _build(self, parent: QWidget) -> None:
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(self._inputs())
        self._scroll = scroll
        middle = QHBoxLayout()
        middle.setSpacing(0)
        middle.addWidget(scroll, 1)
        middle.addWidget(self.outcome)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        head = QVBoxLayout()
        head.setContentsMargins(24, 16, 24, 4)
        head.addWidget(self.title)
        head.addWidget(
            plain_label(
                _("Left blank, a figure is the one in grey; a dash is left out on both sides. Sums "
                  "before tax."), "second", wrapped=True,
            )
        )  # fmt: skip
        whole.addLayout(head)
        whole.addLayout(middle, 1)
        whole.addLayout(self._foot())
        room = parent.window().size()
        wide = min(WIDE, room.width() - 40)
        self.outcome.setFixedWidth(WIDTH if wide == WIDE else NARROW)
        self.resize(wide, min(TALL, room.height() - 40))

    def _inputs(self) -> QWidget:
        body = QWidget()
        grid = QGridLayout(body)
        grid.setContentsMargins(24, 4, 16, 12)
        grid.setHorizontalSpacing(8)
        grid.setVerticalSpacing(5)
        head_row(grid, 0)
        at = 1
        for section, names in SECTIONS:
            grid.addWidget(heading_label(_section_words()[section]), at, 0, 1, 7)
            at += 1
            for name in names:
                self.rows[name].put_into(grid, at)
                at += 2
            for label, box in self._boxes(section):
                box.setAccessibleName(label)
                words = plain_label(label, "second", wrapped=True)
                words.setBuddy(box)
                grid.addWidget(words, at, 0)
                grid.addWidget(box, at, 1, 1, 6)
                at += 1
        grid.setColumnStretch(0, 3)
        grid.setColumnStretch(6, 2)
        grid.setRowStretch(at, 1)
        return body

    def _boxes(self, section: str) -> tuple[tuple[str, QComboBox], ...]:
        if section == "work":
            return ((_("Until it comes in, or a new one is there, the machine"), self.meanwhile),)
        if section == "carbon":
            return ((_("Factor of material"), self.material_factor),
                    (_("Factor of fuel"), self.fuel_factor))  # fmt: skip
        return ()

    def _foot(self) -> QHBoxLayout:
        foot = QHBoxLayout()
        foot.setContentsMargins(24, 8, 24, 16)
        foot.setSpacing(10)
        foot.addWidget(self.trouble, 1)
        foot.addStretch()
        self.leave.setAutoDefault(False)
        self.save_page.setAutoDefault(False)
        for button in (self.leave, self.save_page, self.open_page, self.keep):
            foot.addWidget(button)
        return foot

    def _show(self) -> None:
        usual = starting_values(self._priced.job, self._priced.cat)
        for name, row in self.rows.items():
            row.show_value(input_of(self._begun, name), input_of(usual, name))
            row.set_read_only(bool(self._why_not))
        self.meanwhile.addItem(_("stands"), STANDS)
        self.meanwhile.addItem(_("works on"), WORKS_ON)
        self.meanwhile.setCurrentIndex(max(self.meanwhile.findData(self._begun.meanwhile), 0))
        for box in (self.meanwhile, self.fuel_factor, self.material_factor):
            box.setEnabled(not self._why_not)
        self.keep.set_available(self._why_not)

    def _join(self) -> None:
        for keys in ("Ctrl+Return", "Ctrl+Enter"):
            QShortcut(QKeySequence(keys), self).activated.connect(self.give)
        QShortcut(QKeySequence("Ctrl+P"), self).activated.connect(self._ask_open)
        for row in self.rows.values():
            row.edited.connect(self._soon.start)
        for box in (self.meanwhile, self.fuel_factor, self.material_factor):
            box.currentIndexChanged.connect(lambda _at: self._soon.start())
        self.keep.clicked.connect(self.give)
        self.leave.clicked.connect(self.reject)
        self.open_page.clicked.connect(self._ask_open)
        self.save_page.clicked.connect(self._ask_save)

    # Reading

    def read(self) -> tuple[NewMachine, dict[str, str]]:
        """What is typed, and what is wrong with it, by the name of the input."""
        faults: dict[str, str] = {}
        values: dict[str, Any] = {}
        for name, row in self.rows.items():
            values[name], fault = row.read()
            if fault:
                faults[name] = fault
        made = replace(
            self._begun,
            currency=self._currency,
            meanwhile=str(self.meanwhile.currentData()),
            fuel_factor=self.fuel_factor.currentData(),
            material_factor=self.material_factor.currentData(),
            **values,
        )
        return made, {**faults_by_input(made, self._currency), **faults}

    def compare(self) -> None:
        """Mark what cannot be, or show what follows from what is typed."""
        made, faults = self.read()
        for name, row in self.rows.items():
            row.mark(told(faults.get(name, "")))
        if faults:
            self.outcome.show_nothing(_("Mend what is marked, then it is compared."))
            return
        try:
            self.outcome.show_comparison(compare_with_new(self._priced, made))
        except ServiceError as error:
            self.outcome.show_nothing(told_of(error))

    def _checked(self) -> NewMachine | None:
        """What is typed, where it can be compared; else the first fault has the keyboard."""
        self._soon.stop()
        self.compare()
        made, faults = self.read()
        self.tell("")
        if not faults:
            return made
        first = next((name for name in self.rows if name in faults), "")
        if first:
            field = self.rows[first].figures[0]
            self._scroll.ensureWidgetVisible(field)
            field.setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            self.tell(next(iter(faults.values())))
        return None

    def give(self) -> None:
        """Hand on what is typed, or mark what cannot be."""
        if not self.keep.isEnabled():
            return
        made = self._checked()
        if made is not None:
            self.given.emit(None if made == NewMachine(self._currency) else made)

    def _ask_open(self) -> None:
        made = self._checked()
        if made is not None:
            self.open_asked.emit(made)

    def _ask_save(self) -> None:
        made = self._checked()
        if made is not None:
            self.save_asked.emit(made)

    def tell(self, text: str) -> None:
        """Say what keeps it from going on; "" takes it back."""
        self.trouble.setText(text)
        self.trouble.setVisible(bool(text))


def _section_words() -> dict[str, str]:
    return {
        "new": _("A new machine"),
        "rebuilt": _("This machine, rebuilt"),
        "work": _("Work, money and waiting"),
        "running": _("Fuel and upkeep"),
        "finance": _("Finance of the new machine"),
        "carbon": _("Carbon, only where it is given"),
    }


def _factor_box(known: Any, given: Factor | None) -> QComboBox:
    """Published factors to choose from, none, and the one that was given where it is another."""
    box = QComboBox()
    box.addItem(_("none"), None)
    for name, factor in known.items():
        box.addItem(_("{name}: {value} kg {gas}").format(
            name=name, value=factor.value, gas=factor.gas), factor)  # fmt: skip
    if given is not None:
        at = next((n for n in range(box.count()) if box.itemData(n) == given), -1)
        if at < 0:
            box.addItem(f"{given.source}, {given.edition}: {given.value} kg {given.gas}", given)
            at = box.count() - 1
        box.setCurrentIndex(at)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    return box
