"""Who may agree to variations later: people of the customer with limits, and the workshop's own
drawing right."""

from __future__ import annotations

from typing import Any

from PySide6.QtWidgets import QGridLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.telling import told_of
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.domain.contract.acceptance import CUSTOMER, WORKSHOP, Authority
from estimator.domain.money import Money, minor_digits

FIRST_ROWS, MOST_ROWS = 2, 8


class NotGiven(ValueError):
    """A field that cannot be read; the message says why."""


def read_money(text: str, say: Formats, currency: str) -> Money | None:
    """A sum as typed; None where the field is blank. Raises NotGiven."""
    if not text.strip():
        return None
    try:
        value = say.read_number(text.strip())
    except ValueError as error:
        raise NotGiven(told_of(error)) from None
    minor = value * 10 ** minor_digits(currency)
    if minor < 0:
        raise NotGiven(_("A limit lies not below nought."))
    if minor != minor.to_integral_value():
        raise NotGiven(_("That is finer than the currency's smallest coin."))
    return Money(int(minor), currency)


class _Row:
    """Fields of one person."""

    def __init__(self, what: str) -> None:
        self.name, self.capacity = QLineEdit(), QLineEdit()
        self.each, self.total = QLineEdit(), QLineEdit()
        for field, column in (
            (self.name, _("name")),
            (self.capacity, _("capacity")),
            (self.each, _("limit for one")),
            (self.total, _("limit in all")),
        ):
            field.setAccessibleName(f"{what}: {column}")

    @property
    def fields(self) -> tuple[QLineEdit, ...]:
        """In their order."""
        return self.name, self.capacity, self.each, self.total

    @property
    def blank(self) -> bool:
        """Whether nothing of it was written."""
        return not any(field.text().strip() for field in self.fields)


class Approvers(QWidget):
    """A small table of people. Limits left blank are none."""

    def __init__(self, say: Formats, currency: str, manager: str) -> None:
        super().__init__()
        self._say, self._currency = say, currency
        self._suggested = ("", "")
        self.rows: list[_Row] = []
        self.drawing = _Row(_("The workshop may draw"))
        self.drawing.name.setText(manager)
        self.drawing.capacity.setText(_("service manager"))
        self.trouble = plain_label("", "attention-note", wrapped=True)
        self.trouble.hide()
        self.more = QPushButton(_("Add a person"))
        self.more.setProperty("look", "quiet")
        self.more.setAutoDefault(False)
        self.more.clicked.connect(lambda: self.add(focus=True))
        self._grid = QGridLayout()
        self._grid.setHorizontalSpacing(8)
        self._grid.setVerticalSpacing(6)
        for place, words in enumerate(
            (_("Name"), _("Capacity"), _("Limit for one"), _("Limit in all"))
        ):
            self._grid.addWidget(plain_label(words, "head"), 0, place)
            self._grid.setColumnStretch(place, 3 if place < 2 else 2)  # noqa: PLR2004 - words first
        drawing = QGridLayout()
        drawing.setHorizontalSpacing(8)
        for place, field in enumerate(self.drawing.fields):
            drawing.addWidget(field, 0, place)
            drawing.setColumnStretch(place, 3 if place < 2 else 2)  # noqa: PLR2004 - words first
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(6)
        column.addWidget(heading_label(_("Who of the customer may approve what is found")))
        column.addLayout(self._grid)
        column.addWidget(self.more)
        column.addWidget(heading_label(_("What the workshop may draw of the contingency unasked")))
        column.addLayout(drawing)
        column.addWidget(
            plain_label(
                _(
                    "A limit left blank means without limit; where both of the workshop's are "
                    "blank it draws nothing unasked. No answer is never approval."
                ),
                "note",
                wrapped=True,
            )
        )
        column.addWidget(self.trouble)
        for _row in range(FIRST_ROWS):
            self.add(focus=False)

    def add(self, *, focus: bool) -> None:
        """Room for another person."""
        if len(self.rows) >= MOST_ROWS:
            return
        row = _Row(_("Approver {n}").format(n=len(self.rows) + 1))
        self.rows.append(row)
        for place, field in enumerate(row.fields):
            self._grid.addWidget(field, len(self.rows), place)
        if focus:
            row.name.setFocus()
        self.more.setEnabled(len(self.rows) < MOST_ROWS)

    def suggest(self, name: str, capacity: str) -> None:
        """Put somebody into the first row, unless another was written there by hand."""
        first = self.rows[0]
        if (first.name.text(), first.capacity.text()) in (self._suggested, ("", "")):
            self._suggested = (name, capacity if name else "")
            first.name.setText(self._suggested[0])
            first.capacity.setText(self._suggested[1])

    # Reading

    def read_well(self) -> bool:
        """Whether everything can be read; what cannot is marked and said."""
        for row in (*self.rows, self.drawing):
            for field in row.fields:
                _dress(field, "")
        try:
            self.read()
        except NotGiven as error:
            self.trouble.setText(told_of(error))
            self.trouble.show()
            return False
        self.trouble.hide()
        return True

    def read(self) -> dict[str, Any]:
        """`approvers` and `drawing` of the terms. Raises NotGiven, the field marked."""
        approvers = tuple(self._authority(row, CUSTOMER) for row in self.rows if not row.blank)
        if not approvers:
            raise self._wrong(self.rows[0].name, _("Name who of the customer may approve."))
        names = [one.name for one in approvers]
        for place, row in enumerate(one for one in self.rows if not one.blank):
            if names[place] in names[:place]:
                raise self._wrong(row.name, _("Somebody is named twice."))
        draws = bool(self.drawing.each.text().strip() or self.drawing.total.text().strip())
        drawing = (self._authority(self.drawing, WORKSHOP),) if draws else ()
        return {"approvers": approvers, "drawing": drawing}

    def _authority(self, row: _Row, side: str) -> Authority:
        name = " ".join(row.name.text().split())
        if not name:
            raise self._wrong(row.name, _("A limit needs a name."))
        return Authority(
            name,
            side,
            " ".join(row.capacity.text().split()),
            self._limit(row.each),
            self._limit(row.total),
            blanket=side == WORKSHOP,
        )

    def _limit(self, field: QLineEdit) -> Money | None:
        try:
            return read_money(field.text(), self._say, self._currency)
        except NotGiven as error:
            raise self._wrong(field, told_of(error)) from None

    @staticmethod
    def _wrong(field: QLineEdit, reason: str) -> NotGiven:
        _dress(field, "invalid")
        field.setFocus()
        return NotGiven(reason)


def _dress(field: QLineEdit, state: str) -> None:
    field.setProperty("state", state)
    field.style().unpolish(field)
    field.style().polish(field)


__all__ = ["Approvers", "NotGiven", "read_money"]
