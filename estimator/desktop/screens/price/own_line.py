"""The form for a line of the estimator's own: hours, parts or outwork no catalogue row gives."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.price import words
from estimator.desktop.telling import told_fault, told_of
from estimator.domain.by_hand_check import by_hand_faults
from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.job import Job, OwnLine
from estimator.domain.scope_edits import next_own_id, with_own_line
from estimator.domain.scope_line import KINDS, LABOUR
from estimator.domain.units import UNITS

NUMBERS = ("quantity_low", "quantity", "quantity_high", "unit_cost")


@dataclass(frozen=True, slots=True)
class OwnLineCase:
    """What the form works on: the job, its class's catalogue, the line changed (None: a new one),
    the group a new one begins in, and who types."""

    job: Job
    cat: ClassCatalogue
    line: OwnLine | None
    group: str
    who: str


class OwnLineForm(QDialog):
    """Asks for a line; `then` gets the job with it. A form that is left changes nothing."""

    def __init__(
        self, parent: QWidget, case: OwnLineCase, say: Formats, then: Callable[[Job, str], object]
    ) -> None:
        super().__init__(parent)
        self._case, self._say, self._then = case, say, then
        self.setModal(True)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(_("Line of your own") if case.line is None else case.line.id)
        self._fields: dict[str, QWidget] = {}
        self._faults: dict[str, QLabel] = {}
        self._form = QFormLayout()
        self._form.setHorizontalSpacing(16)
        self._form.setVerticalSpacing(4)
        self._build()
        self._fill()
        self._show_kind()

    def _build(self) -> None:
        cat = self._case.cat
        names = {code: row.name for code, row in cat.components.items()}
        self.kind = self._combo("kind", _("Kind"), {k: words.kind_word(k) for k in KINDS})
        self.component = self._combo("component", _("Component"), names)
        self._line("name", _("Work or part, as printed"))
        self._line("quantity_low", _("Quantity, low"))
        self._line("quantity", _("Quantity, likely"))
        self._line("quantity_high", _("Quantity, high"))
        self._combo("unit", _("Unit"), {unit: unit for unit in UNITS})
        self._combo("trade", _("Trade"), {code: row.name for code, row in cat.trades.items()})
        self._line("unit_cost", _("Cost of one, {currency}").format(
            currency=self._case.job.terms.currency))  # fmt: skip
        markups = {
            code: f"{row.name}, {self._say.percent(row.share)}" for code, row in cat.markups.items()
        }
        self._combo("markup", _("Markup on cost"), markups)
        self._line("reason", _("Reason, which stays on record"))
        self.kind.currentIndexChanged.connect(lambda _place: self._show_kind())
        leave = QPushButton(_("Leave as it is"))
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        self.take = QPushButton(_("Put it in") if self._case.line is None else _("Change it"))
        self.take.setDefault(True)
        self.take.clicked.connect(self._try)
        row = QHBoxLayout()
        row.addStretch()
        row.addWidget(leave)
        row.addWidget(self.take)
        head = QLabel(self.windowTitle())
        head.setProperty("tone", "section")
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 20, 24, 20)
        column.setSpacing(12)
        column.addWidget(head)
        column.addLayout(self._form)
        column.addLayout(row)
        self.setMinimumWidth(520)

    def _add(self, key: str, title: str, field: QWidget) -> None:
        field.setAccessibleName(title)
        fault = QLabel()
        fault.setTextFormat(Qt.TextFormat.PlainText)
        fault.setProperty("tone", "attention")
        fault.setWordWrap(True)
        fault.hide()
        self._fields[key], self._faults[key] = field, fault
        self._form.addRow(title, field)
        self._form.addRow("", fault)

    def _combo(self, key: str, title: str, choices: dict[str, str]) -> QComboBox:
        box = QComboBox()
        for code, text in choices.items():
            box.addItem(text, code)
        box.setMaxVisibleItems(16)
        self._add(key, title, box)
        return box

    def _line(self, key: str, title: str) -> None:
        self._add(key, title, QLineEdit())

    def _fill(self) -> None:
        line, cat = self._case.line, self._case.cat
        if line is None:
            own = [c for c, row in cat.components.items() if row.group == self._case.group]
            values: dict[str, object] = {"component": own[0] if own else "", "kind": LABOUR}
        else:
            values = {key: getattr(line, key) for key in self._fields}
            if line.quantity_low == line.quantity_high:
                values |= {"quantity_low": "", "quantity_high": ""}
        for key, value in values.items():
            field = self._fields[key]
            if isinstance(field, QComboBox):
                field.setCurrentIndex(max(field.findData(value), 0))
            elif isinstance(field, QLineEdit):
                is_number = isinstance(value, Decimal)
                field.setText(words.plain(value, self._say) if is_number else str(value))  # type: ignore[arg-type]

    def _show_kind(self) -> None:
        """Labour has a trade; parts and outwork a unit, a cost and a markup."""
        labour = self.kind.currentData() == LABOUR
        for key, wanted in (
            ("trade", labour),
            ("unit", not labour),
            ("unit_cost", not labour),
            ("markup", not labour),
        ):
            self._form.setRowVisible(self._fields[key], wanted)
            if not wanted:
                self._faults[key].hide()

    def _try(self) -> None:
        for label in self._faults.values():
            label.hide()
        line = self._read()
        if line is None:
            return
        after = with_own_line(self._case.job, line)
        number = [one.id for one in after.own].index(line.id) + 1
        faults = [
            fault
            for fault in by_hand_faults(after, self._case.cat)
            if fault.place.column.startswith(f"[[own]] {number} ")
        ]
        for fault in faults:
            key = fault.place.column.rpartition(" ")[2]
            self._mark(key, told_fault(fault))
        if not faults:
            self.accept()
            self._then(after, line.id)

    def _read(self) -> OwnLine | None:
        """The line as the fields have it; None where a number is none, which is then marked."""
        numbers: dict[str, Decimal] = {}
        labour = self.kind.currentData() == LABOUR
        for key in NUMBERS:
            text = self._text(key)
            if not text and (key != "quantity" or labour and key == "unit_cost"):
                continue
            if labour and key == "unit_cost":
                continue
            try:
                numbers[key] = self._say.read_number(text)
            except ValueError as error:
                self._mark(key, told_of(error))
                return None
        quantity = numbers["quantity"]
        return OwnLine(
            id=self._case.line.id if self._case.line else next_own_id(self._case.job),
            component=self._code("component"),
            name=" ".join(self._text("name").split()),
            kind=self._code("kind"),
            quantity=quantity,
            quantity_low=numbers.get("quantity_low", quantity),
            quantity_high=numbers.get("quantity_high", quantity),
            unit="h" if labour else self._code("unit"),
            trade=self._code("trade") if labour else "",
            unit_cost=Decimal(0) if labour else numbers.get("unit_cost", Decimal(0)),
            markup="" if labour else self._code("markup"),
            reason=" ".join(self._text("reason").split()),
            by=self._case.who,
        )

    def _text(self, key: str) -> str:
        field = self._fields[key]
        return field.text().strip() if isinstance(field, QLineEdit) else ""

    def _code(self, key: str) -> str:
        field = self._fields[key]
        return str(field.currentData()) if isinstance(field, QComboBox) else ""

    def _mark(self, key: str, words_: str) -> None:
        fault = self._faults.get(key)
        if fault is None:
            return
        fault.setText(words_[:1].upper() + words_[1:])
        fault.show()
        field = self._fields[key]
        field.setAccessibleDescription(fault.text())
        field.setFocus()
