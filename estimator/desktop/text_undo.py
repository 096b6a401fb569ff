"""Ctrl+Z and Ctrl+Y while a text field has the focus: the field's own until it has nothing left to
undo or redo, then the job's."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QApplication, QLineEdit, QPlainTextEdit, QWidget
from shiboken6 import isValid


class TextUndo(QObject):
    """Watches whichever text field has the focus."""

    def __init__(self, application: QApplication, parent: QObject) -> None:
        super().__init__(parent)
        self._field: QLineEdit | QPlainTextEdit | None = None
        application.focusChanged.connect(self._on_focus)

    def _on_focus(self, _old: QWidget | None, new: QWidget | None) -> None:
        if self._field is not None and isValid(self._field):
            self._field.removeEventFilter(self)
        self._field = new if isinstance(new, QLineEdit | QPlainTextEdit) else None
        if self._field is not None:
            self._field.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A field claims Ctrl+Z even where it can undo nothing: then the claim is not made."""
        if event.type() != QEvent.Type.ShortcutOverride or not isinstance(event, QKeyEvent):
            return False
        undo = event.matches(QKeySequence.StandardKey.Undo)
        if not undo and not event.matches(QKeySequence.StandardKey.Redo):
            return False
        if isinstance(watched, QLineEdit):
            able = watched.isUndoAvailable() if undo else watched.isRedoAvailable()
        elif isinstance(watched, QPlainTextEdit):
            document = watched.document()
            able = document.isUndoAvailable() if undo else document.isRedoAvailable()
        else:
            return False
        if able:
            return False
        event.ignore()
        return True
