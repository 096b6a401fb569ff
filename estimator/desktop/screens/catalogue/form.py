"""A row as a form made of its table's columns; each fault stands beside its field at once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import cast

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import (
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.catalogue.words import column_title, origin_words
from estimator.desktop.telling import told
from estimator.desktop.widgets.field_frame import FieldFrame
from estimator.domain.problem import Problem
from estimator.services.catalogue_rows import Column, columns_for

Names = Mapping[tuple[str, str], str]
_LONG = ("text", "english", "caution", "defers_to", "source")
_LONG_HIGH = 76
_MOST_NAMED = 3


class _Choice(QComboBox):
    """A choice that the wheel scrolls past."""

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The form's."""
        event.ignore()


class RowForm(QScrollArea):
    """Signals: changed(): what is typed is another."""

    changed = Signal()

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.table = ""
        self.frames: dict[str, FieldFrame] = {}
        self._columns: dict[str, Column] = {}
        self._names: Names = {}
        self._filling = False
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def show_row(
        self, table: str, cells: Mapping[str, str], names: Names, codes: Mapping[str, list[str]]
    ) -> None:
        """Fill the fields; made anew where the table is another. `codes` are those a cell may name,
        by the table they are of."""
        self._names = names
        if table != self.table:
            self._make(table, codes)
        self._filling = True
        for name, frame in self.frames.items():
            _fill(frame.field, self._as_shown(self._columns[name], cells.get(name, "")))
        self._filling = False
        self.mark(())
        self.verticalScrollBar().setValue(0)

    def clear(self) -> None:
        """No row is chosen."""
        self.table = ""
        self.frames = {}
        self.setWidget(QWidget())

    def _make(self, table: str, codes: Mapping[str, list[str]]) -> None:
        self.table = table
        self._columns = {one.name: one for one in columns_for(table)}
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(16, 8, 16, 12)
        column.setSpacing(8)
        self.frames = {}
        for name, one in self._columns.items():
            field = self._field(one, codes)
            title = column_title(name)
            self.frames[name] = FieldFrame(title if not one.required else f"{title} *", field)
            field.setAccessibleName(title)
            column.addWidget(self.frames[name])
        column.addStretch()
        self.setWidget(whole)

    def _field(self, column: Column, codes: Mapping[str, list[str]]) -> QWidget:
        limits = column.limits
        if not column.several and (limits.choices or column.yes_or_no):
            return self._choice(column, limits.choices or ("yes", "no"), editable=False)
        if not column.several and limits.refers in codes:
            return self._choice(column, codes[limits.refers], editable=True)
        if column.name in _LONG:
            text = QPlainTextEdit()
            text.setTabChangesFocus(True)
            text.setFixedHeight(_LONG_HIGH)
            text.textChanged.connect(self._typed)
            return text
        line = QLineEdit()
        line.textEdited.connect(lambda _text: self._typed())
        return line

    def _choice(self, column: Column, items: Iterable[str], *, editable: bool) -> QComboBox:
        field = _Choice()
        field.setEditable(editable)
        field.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        field.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        field.setMinimumContentsLength(8)
        given = list(items)
        if not column.required and "" not in given:
            field.addItem("", "")
        for one in given:
            said = origin_words(one) if column.name in ("origin", "rests_on") else one
            field.addItem({"yes": _("yes"), "no": _("no")}.get(one, said), one)
        if editable:
            field.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
            field.editTextChanged.connect(lambda _text: self._typed())
        else:
            field.currentIndexChanged.connect(lambda _place: self._typed())
        return field

    def _typed(self) -> None:
        if not self._filling:
            self.changed.emit()

    @property
    def cells(self) -> dict[str, str]:
        """What is typed, by column."""
        return {
            name: self._as_kept(self._columns[name], _text(frame.field))
            for name, frame in self.frames.items()
        }

    def _as_shown(self, column: Column, text: str) -> str:
        """A number with the locale's decimal mark."""
        return text.replace(".", self._say.decimal) if column.number else text

    def _as_kept(self, column: Column, text: str) -> str:
        """A number or day that is typed as people here write it, as a file holds it; what is
        neither stays, and is found wanting."""
        try:
            if column.number and text.strip():
                return f"{self._say.read_number(text):f}"
            return self._say.read_day(text).isoformat() if column.day and text.strip() else text
        except ValueError:
            return text

    def mark(self, problems: Iterable[Problem]) -> None:
        """Say each fault at its field; the others tell what their code names, and their limits."""
        said: dict[str, str] = {}
        for one in problems:
            words = told(one.message)
            remedy = f" {told(one.remedy)}" if one.remedy else ""
            said.setdefault(one.place.column, f"{words}{remedy}")
        for name, frame in self.frames.items():
            frame.set_hint(self._hint(self._columns[name], _text(frame.field)))
            if name in said:
                frame.mark_invalid(said[name])
            elif frame.reason:
                frame.mark_valid()
        here = cast("QWidget | None", self.focusWidget())  # none where nothing has it
        if here is not None and said:  # the words below a field take room of their own
            self.ensureWidgetVisible(here)

    @property
    def faulty(self) -> str:
        """The first column that has a fault; "" where none has."""
        return next((name for name, frame in self.frames.items() if frame.reason), "")

    def _hint(self, column: Column, text: str) -> str:
        limits = column.limits
        if limits.refers and text:
            parts = [one.strip() for one in text.split(";") if one.strip()]
            known = [self._names.get((limits.refers, one), "") for one in parts]
            if any(known):
                more = " \u2026" if len(known) > _MOST_NAMED else ""
                return "; ".join(one for one in known[:_MOST_NAMED] if one) + more
        if column.several and limits.choices:
            return _("of these, ; between: {choices}").format(choices="; ".join(limits.choices))
        if limits.low is not None and limits.high is not None:
            return _("from {low} to {high}").format(low=limits.low, high=limits.high)
        if limits.above is not None:
            return _("above {low}").format(low=limits.above)
        return _("from {low}").format(low=limits.low) if limits.low is not None else ""

    def allow(self, may: bool) -> None:
        """Whether the fields take text."""
        for frame in self.frames.values():
            frame.field.setEnabled(may)

    def first_field(self) -> QWidget | None:
        """Where typing begins: the first field that does not name the row."""
        fields = [frame.field for frame in self.frames.values()]
        return fields[min(1, len(fields) - 1)] if fields else None


def _fill(field: QWidget, text: str) -> None:
    if isinstance(field, QLineEdit):
        field.setText(text)
        field.setCursorPosition(0)
    elif isinstance(field, QPlainTextEdit):
        field.setPlainText(text)
    elif isinstance(field, QComboBox):
        field.setCurrentIndex(field.findData(text))
        if field.isEditable():
            field.setEditText(text)


def _text(field: QWidget) -> str:
    if isinstance(field, QLineEdit):
        return field.text()
    if isinstance(field, QPlainTextEdit):
        return field.toPlainText()
    if isinstance(field, QComboBox):
        return field.currentText().strip() if field.isEditable() else field.currentData() or ""
    return ""
