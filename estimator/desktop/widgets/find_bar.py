"""A row to look for words in what stands below it: a field, how many there are, on and back."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QLineEdit, QPushButton, QWidget

from estimator.desktop.language import _

WAIT_TO_LOOK = 200  # ms after the last letter
STEP_KEYS = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class FindBar(QFrame):
    """Hidden until `ask`. Enter goes on, Shift+Enter back, Escape closes.

    Signals: wanted(str): the text, "" when the row is closed; stepped(int): on (1) or back (-1);
    closed(): the keyboard goes back to where it came from.
    """

    wanted = Signal(str)
    stepped = Signal(int)
    closed = Signal()

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "tools")
        self.field = _Field()
        self.field.setProperty("look", "tool")
        self.field.setAccessibleName(name)
        self.field.setPlaceholderText(name)
        self.field.setMinimumWidth(80)
        self.field.setMaxLength(200)
        self.count = QLabel()
        self.count.setTextFormat(Qt.TextFormat.PlainText)
        self.count.setProperty("tone", "second")
        self.before = _tool("\u2191", _("Found before, Shift+F3"))
        self.after = _tool("\u2193", _("Found next, F3"))
        self.close_button = _tool("\u00d7", _("Close the search, Esc"))
        row = QHBoxLayout(self)
        row.setContentsMargins(20, 4, 16, 8)
        row.setSpacing(8)
        row.addWidget(self.field, 1)
        for widget in (self.count, self.before, self.after, self.close_button):
            row.addWidget(widget)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT_TO_LOOK)
        self._soon.timeout.connect(lambda: self.wanted.emit(self.field.text()))
        self.field.textChanged.connect(lambda _text: self._soon.start())
        self.field.stepped.connect(self._step)
        self.field.left.connect(self.leave)
        self.before.clicked.connect(lambda: self._step(-1))
        self.after.clicked.connect(lambda: self._step(1))
        self.close_button.clicked.connect(self.leave)
        self.hide()

    def ask(self) -> None:
        """Show the row with the keyboard in it."""
        self.show()
        self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.field.selectAll()

    def leave(self) -> None:
        """Hide the row; nothing is looked for any more."""
        self._soon.stop()
        self.hide()
        self.wanted.emit("")
        self.closed.emit()

    def tell(self, here: int, count: int, looking: bool) -> None:
        """How many there are, and which is shown, from 0."""
        text = ""
        if self.field.text().strip():
            if looking:
                text = _("looking")
            elif count:
                text = _("{here} of {count}").format(here=here + 1, count=count)
            else:
                text = _("not found")
        self.count.setText(text)
        self.field.setAccessibleDescription(text)
        for button in (self.before, self.after):
            button.setEnabled(bool(count))

    def _step(self, by: int) -> None:
        if self._soon.isActive():
            self._soon.stop()
            self.wanted.emit(self.field.text())
        else:
            self.stepped.emit(by)


class _Field(QLineEdit):
    stepped = Signal(int)
    left = Signal()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter and Escape are the row's."""
        control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if event.key() in STEP_KEYS and not control:
            back = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            self.stepped.emit(-1 if back else 1)
        elif event.key() == Qt.Key.Key_Escape:
            self.left.emit()
        else:
            super().keyPressEvent(event)


def _tool(text: str, name: str) -> QPushButton:
    button = QPushButton(text)
    button.setProperty("tool", True)
    button.setAccessibleName(name)
    button.setToolTip(name)
    return button
