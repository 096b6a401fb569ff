"""One input of the comparison with a new machine: its figures, whose they are, and from where."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QLineEdit

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.telling import told
from estimator.desktop.widgets.plain_label import plain_label
from estimator.domain.new_machine import (
    CUSTOMER,
    DAYS,
    HOURS,
    JOB,
    KILOGRAMS,
    KINDS,
    LITRES,
    MONEY,
    MONTHS,
    ORIGINS,
    PER_HOUR,
    PER_LITRE,
    STARTING_VALUE,
    SUPPLIER,
    TYPED,
    WEEKS,
    Input,
)

NAME_WIDTH, FIGURE_WIDTH, COLUMNS = 124, 72, 7
_NAME, _FIRST, _UNIT, _WHOSE, _SOURCE = 0, 1, 4, 5, 6
_LIKELY = 1  # place of the likely figure among low, likely, high


def origin_word(origin: str) -> str:
    """Whose an input is."""
    return {
        TYPED: _("ours"),
        CUSTOMER: _("the customer\u2019s"),
        SUPPLIER: _("a supplier\u2019s"),
        STARTING_VALUE: _("starting value"),
        JOB: _("of this job"),
        "own": _("ours, of the catalogue"),
    }.get(origin, origin)


def unit_words(name: str, currency: str) -> str:
    """The unit of an input as it stands beside its field."""
    return {
        MONEY: currency,
        PER_HOUR: _("{currency}/h").format(currency=currency),
        PER_LITRE: _("{currency}/L").format(currency=currency),
        WEEKS: _("weeks"),
        HOURS: _("h"),
        LITRES: _("L/h"),
        DAYS: _("days"),
        MONTHS: _("months"),
        KILOGRAMS: _("kg"),
    }.get(KINDS[name].unit, "%")


class InputRow(QObject):
    """A row of the form: a figure, or low, likely and high, then whose it is and its source.

    What is left blank is a starting value, shown in grey where there is one. Signals: edited().
    """

    edited = Signal()

    def __init__(self, name: str, say: Formats, currency: str, parent: QObject) -> None:
        super().__init__(parent)
        self.name, self._say, self.kind = name, say, KINDS[name]
        self.dated: date | None = None
        self._usual: Input | None = None
        title = told(self.kind.title)
        ends = (_("low"), _("likely"), _("high"))
        self.figures = [QLineEdit() for _end in (ends if self.kind.ranges else ends[:1])]
        for field, end in zip(self.figures, ends, strict=False):
            field.setFixedWidth(FIGURE_WIDTH)
            field.setAlignment(Qt.AlignmentFlag.AlignRight)
            spoken = _("{name}, {end}").format(name=title, end=end) if self.kind.ranges else title
            field.setAccessibleName(spoken)
            field.textEdited.connect(self._on_edited)
        self.label = plain_label(title, "second", wrapped=True)
        self.label.setBuddy(self.figures[0])
        self.label.setMinimumWidth(NAME_WIDTH)
        self.unit = plain_label(unit_words(name, currency), "second")
        self.whose = QComboBox()
        self.whose.setAccessibleName(_("{name}, whose figure").format(name=title))
        self.whose.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.whose.setMinimumContentsLength(8)
        self.source = QLineEdit()
        self.source.setAccessibleName(_("{name}, taken from").format(name=title))
        self.source.textEdited.connect(self._on_edited)
        self.whose.activated.connect(self._on_edited)
        self.reason = plain_label("", "attention-note", wrapped=True)
        self.reason.hide()
        self._offer_origins(filled=False)

    def put_into(self, grid: QGridLayout, row: int) -> None:
        """Stand in a row of a grid, with the reason of a fault in the row below."""
        grid.addWidget(self.label, row, _NAME)
        for place, field in enumerate(self.figures):
            grid.addWidget(field, row, _FIRST + (place if self.kind.ranges else _LIKELY))
        grid.addWidget(self.unit, row, _UNIT)
        grid.addWidget(self.whose, row, _WHOSE)
        grid.addWidget(self.source, row, _SOURCE)
        grid.addWidget(self.reason, row + 1, _FIRST, 1, COLUMNS - _FIRST)

    def show_value(self, given: Input | None, usual: Input | None) -> None:
        """Show what was given, else in grey what the comparison takes."""
        self._usual = usual
        self.dated = given.dated if given is not None else None
        for field, text in zip(self.figures, self._texts(given), strict=True):
            field.setText(text)
        self.source.setText(given.source if given is not None else "")
        self._show_usual(filled=given is not None)
        self._offer_origins(filled=given is not None)
        if given is not None:
            self.whose.setCurrentIndex(max(self.whose.findData(given.origin), 0))

    def read(self) -> tuple[Input | None, str]:
        """What is typed, None where all is blank; and what is wrong with it, "" where nothing."""
        texts = [field.text().strip() for field in self.figures]
        if not any(texts):
            return None, ""
        likely = texts[_LIKELY if self.kind.ranges else 0]
        if not likely:
            return None, _("Give the likely figure; low and high may be left out.")
        try:
            numbers = [self._read(text or likely) for text in texts]
        except ValueError as error:
            return None, str(error)
        low, middle, high = numbers if self.kind.ranges else numbers * 3
        origin = str(self.whose.currentData() or TYPED)
        return Input(low, middle, high, origin, " ".join(self.source.text().split()),
                     self.dated), ""  # fmt: skip

    def mark(self, reason: str) -> None:
        """Say what is wrong; "" takes it back. What was typed stays."""
        self.reason.setText(reason)
        self.reason.setVisible(bool(reason))
        for field in self.figures:
            field.setProperty("state", "invalid" if reason else "")
            field.setAccessibleDescription(reason)
            field.style().unpolish(field)
            field.style().polish(field)

    def set_read_only(self, read_only: bool) -> None:
        """Nothing of it can be changed."""
        for field in (*self.figures, self.source):
            field.setReadOnly(read_only)
        self.whose.setEnabled(not read_only and any(one.text() for one in self.figures))

    def _read(self, text: str) -> Decimal:
        return self.kind.as_kept(self._say.read_number(text))

    def _texts(self, value: Input | None) -> list[str]:
        if value is None:
            return [""] * len(self.figures)
        ends = (value.low, value.likely, value.high) if self.kind.ranges else (value.likely,)
        if not value.spreads and self.kind.ranges:
            return ["", self._say.number(self.kind.as_shown(value.likely)), ""]
        return [self._say.number(self.kind.as_shown(end)) for end in ends]

    def _show_usual(self, *, filled: bool) -> None:
        """In grey what is taken where all is blank: a low or high left out beside a likely figure
        is that figure."""
        usual = self._usual
        for field, text in zip(self.figures, self._texts(usual), strict=True):
            field.setPlaceholderText("" if filled else text or DASH)
        shown = "" if filled or usual is None else told(usual.source)
        self.source.setPlaceholderText(shown)

    def _offer_origins(self, *, filled: bool) -> None:
        """A figure that is typed is somebody's; a blank one is what the comparison takes."""
        self.whose.clear()
        if filled:
            for origin in ORIGINS:
                self.whose.addItem(origin_word(origin), origin)
        else:
            usual = self._usual
            self.whose.addItem(origin_word(usual.origin) if usual is not None else _("not given"))
        self.whose.setEnabled(filled)

    def _on_edited(self, _what: object) -> None:
        filled = any(field.text().strip() for field in self.figures)
        if filled != self.whose.isEnabled():
            self._show_usual(filled=filled)
            self._offer_origins(filled=filled)
        self.edited.emit()


def head_row(grid: QGridLayout, row: int) -> None:
    """What the columns of the rows below are."""
    heads = ("", _("Low"), _("Likely"), _("High"), "", _("Whose"), _("Taken from"))
    for place, text in enumerate(heads):
        label: QLabel = plain_label(text, "head")
        if place in (_FIRST, _FIRST + 1, _FIRST + 2):
            label.setAlignment(Qt.AlignmentFlag.AlignRight)
        grid.addWidget(label, row, place)
