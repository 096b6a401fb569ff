"""A field of the open job: shows what stands there, makes edits, keeps what is not valid."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.screens.enquiry.choice import Choice
from estimator.desktop.screens.enquiry.fields import CHOICE, LINES, Field
from estimator.desktop.telling import told_of
from estimator.desktop.widgets.field_frame import FieldFrame
from estimator.desktop.widgets.plain_tip import plain_tip

LINES_HEIGHT = 66


class _Lines(QPlainTextEdit):
    """Several lines; Tab leaves. Signals: editingFinished()."""

    editingFinished = Signal()  # noqa: N815 - as QLineEdit calls it

    def __init__(self) -> None:
        super().__init__()
        self.setTabChangesFocus(True)
        self.setFixedHeight(LINES_HEIGHT)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.editingFinished.emit()


def _entry(field: Field) -> _Lines | Choice | QLineEdit:
    if field.kind == LINES:
        return _Lines()
    return Choice(field.find) if field.kind == CHOICE else QLineEdit()


class JobField(FieldFrame):
    """A field made from its description. It talks to the desk alone."""

    def __init__(self, field: Field, desk: Desk, parent: QWidget | None = None) -> None:
        self._one, self._desk = field, desk
        self._entry: _Lines | Choice | QLineEdit = _entry(field)
        super().__init__(field.label, self._entry, field.hint, field.unit, parent)
        self._showing = False
        if isinstance(self._entry, Choice):
            self._entry.activated.connect(lambda _place: self._commit())
        else:
            self._entry.editingFinished.connect(self._commit)
            if isinstance(self._entry, QLineEdit):
                self._entry.textEdited.connect(self._typing)
        self._entry.installEventFilter(self)

    @property
    def one(self) -> Field:
        """What the field is of."""
        return self._one

    def show_job(self) -> None:
        """Show what the desk holds, or the text kept in its place; what is being typed stays."""
        job = self._desk.job
        if job is None or (self._entry.hasFocus() and self._typed()):
            return
        self._showing = True
        kept = self._desk.kept.get(self._one.place)
        self._put(self._one.text(job) if kept is None else kept)
        self._lock(bool(self._desk.why_not()))
        self._showing = False
        if kept is not None:
            self._judge(kept)
        elif self.reason:
            self.mark_valid()

    def _typed(self) -> bool:
        if isinstance(self._entry, _Lines):
            return self._entry.document().isModified()
        return isinstance(self._entry, QLineEdit) and self._entry.isModified()

    def _put(self, text: str) -> None:
        if isinstance(self._entry, Choice):
            self._put_choice(text)
        elif isinstance(self._entry, _Lines):
            if self._entry.toPlainText() != text:
                self._entry.setPlainText(text)
            self._entry.document().setModified(False)
        else:
            if self._entry.text() != text:
                self._entry.setText(text)
                self._entry.setCursorPosition(0)
            self._entry.setModified(False)

    def _put_choice(self, value: str) -> None:
        entry = self._entry
        assert isinstance(entry, Choice)
        known = [one for one, _words in self._one.choices]
        wanted = list(self._one.choices)
        if value not in known:
            wanted.insert(0, (value, value or "\u2013"))
        shown = [(entry.itemData(n), entry.itemText(n)) for n in range(entry.count())]
        if shown != wanted:
            entry.clear()
            for one, words in wanted:
                entry.addItem(words, one)
        entry.setCurrentIndex(entry.findData(value))
        entry.setToolTip(plain_tip(entry.currentText()))

    def _text(self) -> str:
        if isinstance(self._entry, Choice):
            return str(self._entry.currentData())
        if isinstance(self._entry, _Lines):
            return self._entry.toPlainText()
        return self._entry.text()

    def _lock(self, locked: bool) -> None:
        if isinstance(self._entry, Choice):
            self._entry.setEnabled(not locked)
        else:
            self._entry.setReadOnly(locked)

    # What is typed

    def _typing(self, text: str) -> None:
        """A number moves the header while it is typed; a mark goes as soon as it may."""
        value = self._judge(text) if self.reason else self._value(text)
        job = self._desk.job
        if value is not None and job is not None and self._one.key[0] in ("machine", "terms"):
            self._desk.try_out(self._one.write(job, value))

    def _value(self, text: str) -> Any:
        job = self._desk.job
        try:
            return None if job is None else self._one.read(job, text)
        except ValueError:
            return None

    def _judge(self, text: str) -> Any:
        """Mark the field as the text deserves; its value, or None."""
        job = self._desk.job
        if job is None:
            return None
        try:
            value = self._one.read(job, text)
        except ValueError as error:
            self.mark_invalid(told_of(error))
            return None
        self.mark_valid()
        return value

    def _commit(self) -> None:
        job, text = self._desk.job, self._text()
        if job is None or self._showing or self._desk.why_not():
            return
        known = self._desk.kept.get(self._one.place)
        if not self._typed() and not isinstance(self._entry, Choice):
            return
        try:
            value = self._one.read(job, text)
        except ValueError as error:
            self.mark_invalid(told_of(error))
            if text != known:
                self._desk.keep(self._one.place, text, told_of(error))
            self._settle()
            self._desk.try_out(job)
            return
        self.mark_valid()
        self._settle()
        self._desk.edit(self._one.name, self._one.write(job, value))
        self._desk.drop(self._one.place)
        self.show_job()

    def _settle(self) -> None:
        """What is in the field has been handed on."""
        if isinstance(self._entry, _Lines):
            self._entry.document().setModified(False)
        elif isinstance(self._entry, QLineEdit):
            self._entry.setModified(False)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Esc leaves the field as it was."""
        if (
            event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
            and event.key() == Qt.Key.Key_Escape
            and self._typed()
        ):
            self._settle()
            self.show_job()
            if self._desk.job is not None:
                self._desk.try_out(self._desk.job)
            return True
        return super().eventFilter(watched, event)
