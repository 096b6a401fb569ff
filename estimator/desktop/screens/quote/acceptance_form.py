"""The form of an acceptance: what, by whom, on which order, and who may agree to what later."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QDialog,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QPlainTextEdit,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.screens.quote.approvers import Approvers, NotGiven, read_money
from estimator.desktop.telling import told_of
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.field_frame import FieldFrame
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.domain.contract.acceptance import (
    SHARED_HALF,
    TEARDOWN_ONLY,
    TO_CUSTOMER,
    TO_WORKSHOP,
    UNSPENT,
    WHOLE,
)
from estimator.services.show_acceptance import Acceptable

WIDE, TALL = 720, 660


@dataclass(frozen=True, slots=True)
class Given:
    """What the form gives: the day, whether a past price is held, and the other terms by name."""

    day: date
    held: bool
    terms: dict[str, Any]


def unspent_word(unspent: str) -> str:
    """Whose the contingency is that nobody drew."""
    return {
        TO_CUSTOMER: _("to the customer"),
        TO_WORKSHOP: _("to the workshop"),
        SHARED_HALF: _("shared half and half"),
    }.get(unspent, unspent)


class AcceptanceForm(QDialog):
    """Ctrl+Enter records, Esc leaves. What cannot be is marked where it stands.

    Signals: given(object): Given, once everything can be
    """

    given = Signal(object)

    def __init__(self, parent: QWidget, say: Formats, offer: Acceptable, today: date) -> None:
        super().__init__(parent)
        self._say, self._offer = say, offer
        self.setModal(True)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        title = _("Acceptance of {number} rev {rev}").format(
            number=offer.number, rev=offer.revision
        )
        self.setWindowTitle(title)
        self.title = plain_label(title, "section")
        self.extent = ChoiceRow("", self._extents())
        self.who = _line(offer.contact)
        self.capacity = _line(_("fleet manager"))
        self.day = _line(say.day(today))
        self.channel = QComboBox()
        self.channel.setEditable(True)
        for words in (
            _("signed paper"),
            _("e-mail"),
            _("telephone, confirmed by e-mail"),
            _("in person"),
        ):
            self.channel.addItem(words)
        self.words = QPlainTextEdit()
        self.words.setTabChangesFocus(True)
        self.words.setFixedHeight(52)
        self.order, self.limit, self.deposit = _line(), _line(), _line()
        self.options, self.custody, self.insurance = _line(), _line(), _line()
        self.unspent = QComboBox()
        for key in UNSPENT:
            self.unspent.addItem(unspent_word(key), key)
        self.unspent.setCurrentIndex(UNSPENT.index(offer.unspent))
        self.unspent.setEnabled(not offer.fixed)
        self.approvers = Approvers(say, offer.net.currency, offer.released_by)
        self.hold = QCheckBox(
            _("Hold its price: it was valid until {day}").format(day=say.day(offer.valid_until))
        )
        self.hold.setVisible(offer.held)
        self.trouble = plain_label("", "attention", wrapped=True)
        self.trouble.hide()
        self.leave = QPushButton(_("Leave as it is"))
        self.leave.setAutoDefault(False)
        self.record = CommandButton(_("Record acceptance"), key_names("Ctrl+Enter"), primary=True)
        self.frames = self._frames()
        self._build(parent)
        self._join()
        self.who.setFocus()

    def _extents(self) -> tuple[tuple[str, str], ...]:
        say, offer = self._say, self._offer
        whole = (WHOLE, _("Whole, {sum}").format(sum=say.money(offer.net)))
        if offer.strip_accepted:
            return (whole,)
        return whole, (TEARDOWN_ONLY, _("Teardown only, {sum}").format(sum=say.money(offer.strip)))

    def _frames(self) -> dict[str, FieldFrame]:
        currency = self._offer.net.currency
        fixed = _("fixed by the form of the quote") if self._offer.fixed else ""
        return {
            "who": FieldFrame(_("Accepted by"), self.who),
            "capacity": FieldFrame(_("In which capacity"), self.capacity),
            "day": FieldFrame(_("Day"), self.day),
            "channel": FieldFrame(_("Through"), self.channel),
            "words": FieldFrame(_("Their words"), self.words, _("Exactly as given.")),
            "order": FieldFrame(_("Purchase order"), self.order),
            "limit": FieldFrame(
                _("Limit of the order"), self.limit, _("blank: none"), unit=currency
            ),
            "deposit": FieldFrame(_("Deposit"), self.deposit, _("blank: none"), unit=currency),
            "options": FieldFrame(_("Options chosen"), self.options, _("one after a comma")),
            "custody": FieldFrame(
                _("In our custody from"), self.custody, _("a day; blank: when it comes in")
            ),
            "insurance": FieldFrame(_("Insured meanwhile by"), self.insurance),
            "unspent": FieldFrame(_("What is unspent of the contingency"), self.unspent, fixed),
        }

    def _build(self, parent: QWidget) -> None:
        offer, say = self._offer, self._say
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(24, 8, 24, 12)
        column.setSpacing(8)
        held = _("{form}; contingency {sum} inside the whole price; before tax").format(
            form=offer.commercial_form, sum=say.money(offer.contingency)
        )
        column.addWidget(self.extent, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(plain_label(held, "second", wrapped=True))
        column.addWidget(self.hold)
        column.addWidget(heading_label(_("Who accepted, and how")))
        column.addLayout(self._in_rows(("who", "capacity"), ("day", "channel")))
        column.addWidget(self.frames["words"])
        column.addWidget(heading_label(_("On which terms")))
        column.addLayout(
            self._in_rows(
                ("order", "limit"), ("deposit", "unspent"), ("custody", "insurance"), ("options",)
            )
        )
        column.addWidget(self.approvers)
        column.addStretch()
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setFrameShape(QFrame.Shape.NoFrame)
        scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        scroll.setWidget(body)
        self._scroll = scroll
        foot = QHBoxLayout()
        foot.setContentsMargins(24, 8, 24, 16)
        foot.setSpacing(10)
        foot.addWidget(self.trouble, 1)
        foot.addStretch()
        foot.addWidget(self.leave)
        foot.addWidget(self.record)
        head = QVBoxLayout()
        head.setContentsMargins(24, 16, 24, 4)
        head.addWidget(self.title)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(head)
        whole.addWidget(scroll, 1)
        whole.addLayout(foot)
        room = parent.window().size()
        self.resize(min(WIDE, room.width() - 40), min(TALL, room.height() - 40))

    def _in_rows(self, *rows: tuple[str, ...]) -> QGridLayout:
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(8)
        for number, names in enumerate(rows):
            for place, name in enumerate(names):
                span = 2 if len(names) == 1 else 1
                top = Qt.AlignmentFlag.AlignTop
                grid.addWidget(self.frames[name], number, place, 1, span, top)
        grid.setColumnStretch(0, 1)
        grid.setColumnStretch(1, 1)
        return grid

    def _join(self) -> None:
        for keys in ("Ctrl+Return", "Ctrl+Enter"):
            QShortcut(QKeySequence(keys), self).activated.connect(self.give)
        self.record.clicked.connect(self.give)
        self.leave.clicked.connect(self.reject)
        self.who.textEdited.connect(lambda _text: self._first_approver())
        self.capacity.textEdited.connect(lambda _text: self._first_approver())
        self._first_approver()

    def _first_approver(self) -> None:
        """Who accepted may usually approve; until somebody writes otherwise."""
        self.approvers.suggest(self.who.text(), self.capacity.text())

    # Giving

    def give(self) -> None:
        """Hand on what was written, or mark what cannot be."""
        if not self.record.isEnabled():
            return
        self.tell("")
        faults: list[str] = []
        terms = self._read(faults)
        day = self._day("day", faults, needed=True)
        if self._offer.held and not self.hold.isChecked():
            self.tell(_("Its last day is past: hold its price, or leave."))
            self.hold.setFocus()
            return
        if faults:
            self._to_fault(faults[0])
            return
        if not self.approvers.read_well():
            return
        assert day is not None
        self.given.emit(Given(day, self._offer.held, terms | self.approvers.read()))

    def _read(self, faults: list[str]) -> dict[str, Any]:
        options = tuple(filter(None, (one.strip() for one in self.options.text().split(","))))
        return {
            "by": self._text("who", _("Say who accepted."), faults),
            "capacity": self._text("capacity", _("Say in which capacity."), faults),
            "channel": self._text("channel", _("Say how it came."), faults),
            "words": " ".join(self.words.toPlainText().split()),
            "extent": self.extent.key,
            "unspent": str(self.unspent.currentData()),
            "purchase_order": self.order.text().strip(),
            "order_limit": self._money("limit", faults),
            "deposit": self._money("deposit", faults),
            "options": options,
            "custody_from": self._day("custody", faults, needed=False),
            "insurance": self.insurance.text().strip(),
        }

    def _text(self, name: str, missing: str, faults: list[str]) -> str:
        field = self.frames[name].field
        text = field.currentText() if isinstance(field, QComboBox) else field.text()  # type: ignore[attr-defined]
        words = " ".join(text.split())
        self._mark(name, "" if words else missing, faults)
        return words

    def _money(self, name: str, faults: list[str]) -> Any:
        try:
            value = read_money(
                self.frames[name].field.text(), self._say, self._offer.net.currency  # type: ignore[attr-defined]
            )  # fmt: skip
        except NotGiven as error:
            self._mark(name, told_of(error), faults)
            return None
        self._mark(name, "", faults)
        return value

    def _day(self, name: str, faults: list[str], *, needed: bool) -> date | None:
        text = self.frames[name].field.text().strip()  # type: ignore[attr-defined]
        if not text and not needed:
            self._mark(name, "", faults)
            return None
        try:
            day = self._say.read_day(text)
        except ValueError as error:
            self._mark(name, told_of(error), faults)
            return None
        self._mark(name, "", faults)
        return day

    def _mark(self, name: str, reason: str, faults: list[str]) -> None:
        if reason:
            self.frames[name].mark_invalid(reason)
            faults.append(name)
        else:
            self.frames[name].mark_valid()

    def _to_fault(self, name: str) -> None:
        field = self.frames[name].field
        self._scroll.ensureWidgetVisible(field)
        field.setFocus(Qt.FocusReason.OtherFocusReason)

    def tell(self, text: str) -> None:
        """Say what keeps it from being recorded; "" takes it back."""
        self.trouble.setText(text)
        self.trouble.setVisible(bool(text))

    def set_busy(self, *, busy: bool) -> None:
        """It is on its way to the record."""
        self.record.set_available(_("It is being recorded.") if busy else "")


def _line(text: str = "") -> QLineEdit:
    field = QLineEdit(text)
    field.setCursorPosition(0)
    return field
