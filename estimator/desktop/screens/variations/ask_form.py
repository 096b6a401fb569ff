"""A few fields that an act needs before it goes to the record."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations.form_fields import Fields
from estimator.desktop.telling import told_of
from estimator.desktop.widgets.plain_label import plain_label
from estimator.domain.money import Money, minor_digits

WIDE = 520


class NoSum(ValueError):
    """A text that is no sum; says why."""


def read_sum(text: str, say: Formats, currency: str) -> Money:
    """A sum as typed. Raises NoSum."""
    if not text.strip():
        raise NoSum(_("Give a sum; 0 for none."))
    try:
        value = say.read_number(text.strip())
    except ValueError as error:
        raise NoSum(told_of(error)) from None
    minor = value * 10 ** minor_digits(currency)
    if minor < 0 or minor != minor.to_integral_value():
        raise NoSum(_("A sum lies not below nought, and is no finer than a coin."))
    return Money(int(minor), currency)


class AskForm(QDialog):
    """Fields under a heading. `take` gets the form, and answers what is wrong by the fields' keys;
    where nothing is, the form closes."""

    def __init__(
        self, parent: QWidget, title: str, text: str,
        take: Callable[[AskForm], Mapping[str, str]],
    ) -> None:  # fmt: skip
        super().__init__(parent)
        self.setModal(True)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        self.setMinimumWidth(WIDE)
        self._take = take
        self.fields = Fields()
        self.fault = plain_label("", "attention", wrapped=True)
        self.column = QVBoxLayout()
        self.column.setSpacing(8)
        leave = QPushButton(_("Leave as it is"))
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        self.record = QPushButton(_("Record it"))
        self.record.setProperty("primary", True)
        self.record.setDefault(True)
        self.record.clicked.connect(self._try)
        foot = QHBoxLayout()
        foot.addWidget(self.fault, 1)
        foot.addWidget(leave)
        foot.addWidget(self.record)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(24, 16, 24, 16)
        whole.setSpacing(12)
        whole.addWidget(plain_label(title, "section", wrapped=True))
        whole.addWidget(plain_label(text, "", wrapped=True))
        whole.addLayout(self.column)
        whole.addLayout(foot)

    def add(self, *widgets: QWidget) -> None:
        """Fields side by side."""
        self.column.addLayout(self.fields.row(*widgets))

    def said(self, key: str) -> str:
        """What stands in a field, its spaces in order."""
        return " ".join(self.fields.text(key).split())

    def _try(self) -> None:
        self.fields.clear_faults()
        self.fault.setText("")
        faults = self._take(self)
        self.fields.mark(faults)
        if "" in faults:
            self.fault.setText(faults[""])
        if not faults:
            self.accept()
