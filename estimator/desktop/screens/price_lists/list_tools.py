"""The line above a new list: whose it is, of which day, its file, and taking it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
)

from estimator.desktop.formats import Formats
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.telling import told_of
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.plain_label import plain_label
from estimator.domain.catalogue.rows import Supplier

FULL, PART = "full", "part"
DAY_WIDTH, SUPPLIER_WIDTH = 116, 220  # px
SUPPLIER_LETTERS = 10  # that stay where there is little room


class ListTools(QFrame):
    """Signals: day_changed(): the prices are of another day now."""

    day_changed = Signal()

    def __init__(self, formats: Formats) -> None:
        super().__init__()
        self._say = formats
        self.setProperty("look", "tools")
        self.supplier = QComboBox()
        self.supplier.setAccessibleName(_("Supplier"))
        self.supplier.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.supplier.setMinimumContentsLength(SUPPLIER_LETTERS)
        self.supplier.setMaximumWidth(SUPPLIER_WIDTH)
        self.extent = ChoiceRow(
            _("The list holds"), ((FULL, _("all they sell")), (PART, _("a part")))
        )
        self.day: date | None = None  # None: as the list says, else today
        self.day_field = QLineEdit()
        self.day_field.setAccessibleName(_("Prices of"))
        self.day_field.setFixedWidth(DAY_WIDTH)
        self.choose = QPushButton(_("Choose a file\u2026"))
        self.columns = QPushButton(_("Columns\u2026"))
        self.take = QPushButton(_("Take") + "   " + key_names("Ctrl+Enter"))
        self.take.setProperty("primary", True)
        self.busy = plain_label("", "second")
        self.stop = QPushButton(_("Stop"))
        self.why = plain_label("", "attention", wrapped=True)
        self.why.hide()
        self.stop.hide()
        self._build()
        self.day_field.editingFinished.connect(self._on_day)

    def _build(self) -> None:
        row = QHBoxLayout()
        for first in (self.supplier, self.choose, self.columns):
            row.addWidget(first)
        row.setStretch(0, 1)
        row.addStretch(1)
        for last in (self.busy, self.stop, self.take):
            row.addWidget(last)
        # A row of their own: in German they would not fit beside the others on a small screen.
        below = QHBoxLayout()
        for one in (self.extent, plain_label(_("Prices of"), "second"), self.day_field):
            below.addWidget(one)
        below.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 8, 24, 8)
        column.addLayout(row)
        column.addLayout(below)
        column.addWidget(self.why)

    @property
    def supplier_id(self) -> str:
        """Code of the supplier that is chosen; "" for none."""
        return str(self.supplier.currentData() or "")

    @property
    def is_full(self) -> bool:
        """Whether the list holds all that the supplier sells."""
        return self.extent.key == FULL

    def fill_suppliers(self, suppliers: Sequence[Supplier]) -> None:
        """Offer these suppliers."""
        self.supplier.blockSignals(True)
        for one in suppliers:
            self.supplier.addItem(f"{one.id}  {one.supplies}", one.id)
        self.supplier.blockSignals(False)

    def allow(self, may: bool) -> None:
        """Whether anything may be chosen."""
        for widget in (self.supplier, self.extent, self.choose, self.day_field):
            widget.setEnabled(may)

    # The day

    def clear_day(self) -> None:
        """Another list has a day of its own."""
        self.day = None
        self.day_field.clear()
        self.day_field.setPlaceholderText("")
        self._say_why("")

    def show_day(self, day: date) -> None:
        """Show of which day the prices are where nobody typed it."""
        self.day_field.setPlaceholderText(self._say.day(day))

    def _on_day(self) -> None:
        typed = self.day_field.text().strip()
        try:
            day = self._say.read_day(typed) if typed else None
        except ValueError as error:
            self._say_why(told_of(error))
            return
        self._say_why("")
        if day != self.day:
            self.day = day
            self.day_changed.emit()

    def _say_why(self, text: str) -> None:
        self.why.setText(text)
        self.why.setVisible(bool(text))
