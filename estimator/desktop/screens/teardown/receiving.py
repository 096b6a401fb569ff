"""The machine comes in: what it is like, what is in it, keys, loose items."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QVBoxLayout, QWidget

from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.field_frame import FieldFrame
from estimator.desktop.widgets.plain_label import plain_label
from estimator.services.plan_opening import Receipt

WIDEST = 620


class Receiving(QWidget):
    """The first act of a teardown.

    Signals: received(object): the Receipt
    """

    received = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.setMaximumWidth(WIDEST)
        self.condition = QPlainTextEdit()
        self.condition.setFixedHeight(76)
        self.condition.setTabChangesFocus(True)
        self.fluids, self.keys, self.loose = QLineEdit(), QLineEdit(), QLineEdit()
        self.fields = (
            FieldFrame(
                _("Condition as it came"), self.condition,
                _("Damage, what is missing, what the function test showed."),
            ),
            FieldFrame(_("Fluids"), self.fluids, _("Fuel, oils, coolant: levels and leaks.")),
            FieldFrame(_("Keys handed in"), self.keys, _("How many, and whose.")),
            FieldFrame(
                _("Loose items"), self.loose, _("Battery, bucket, tools, papers.")
            ),
        )  # fmt: skip
        self.record = CommandButton(
            _("Record that it came in"), key_names("Ctrl+Enter"), primary=True
        )
        self.record.clicked.connect(self.give)
        self.caution = plain_label(
            _(
                "Until it is isolated, drained and propped it is a live machine. Local codes, site "
                "rules and licensed practice come before anything written here."
            ),
            "note",
            wrapped=True,
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 18, 24, 18)
        column.setSpacing(12)
        column.addWidget(plain_label(_("The machine is not here yet"), "title"))
        column.addWidget(
            plain_label(
                _("Write down how it comes in; then components can be opened."), "second",
                wrapped=True,
            )
        )  # fmt: skip
        for field in self.fields:
            column.addWidget(field)
        column.addWidget(self.caution)
        column.addWidget(self.record, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch()

    def set_locked(self, reason: str) -> None:
        """Take nothing, and say why not; "" lets everybody write."""
        for field in (self.condition, self.fluids, self.keys, self.loose):
            field.setReadOnly(bool(reason))
        self.record.set_available(reason)

    def give(self) -> None:
        """Hand on what was written; the condition at least."""
        receipt = Receipt(
            self.condition.toPlainText(), self.fluids.text(), self.keys.text(), self.loose.text()
        )
        if not receipt.condition.strip():
            self.fields[0].mark_invalid(_("Say how it came; \u201cas inspected\u201d will do."))
            self.condition.setFocus()
            return
        self.fields[0].mark_valid()
        self.received.emit(receipt)

    @property
    def begun(self) -> bool:
        """Whether something was written."""
        texts = (self.fluids.text(), self.keys.text(), self.loose.text())
        return bool(self.condition.toPlainText().strip() or any(one.strip() for one in texts))

    def clear(self) -> None:
        """Begin anew."""
        self.condition.clear()
        for field in (self.fluids, self.keys, self.loose):
            field.clear()
