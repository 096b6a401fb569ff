"""What the presenter tells, above the page: a mark, what happened, what to do next."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.drawing.marks import Mark
from estimator.desktop.language import _, ngettext
from estimator.desktop.presenter import DONE, NOTICE, TROUBLE, Message
from estimator.desktop.widgets.mark import MarkLabel

STAYS = 6_000  # ms; trouble stays until it is closed or mended
MOST_FAULTS = 8
MARKS = {DONE: Mark.DONE, NOTICE: Mark.IN_HAND, TROUBLE: Mark.NEEDS_YOU}


class MessageBar(QFrame):
    """One message at a time; the newest counts. Esc in the window closes it.

    Signals: left(): it went away while it had the focus
    """

    left = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "message")
        self.setAccessibleName(_("Message"))
        self._mark = MarkLabel(Mark.DONE)
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._close = QPushButton(_("Close"))
        self._close.setProperty("look", "quiet")
        self._close.setAccessibleName(_("Close the message"))
        self._close.setToolTip(_("Esc"))
        self._close.clicked.connect(self.clear)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self.clear)
        words = QVBoxLayout()
        words.addWidget(self._text)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(24, 8, 24, 8)
        layout.addWidget(self._mark, alignment=Qt.AlignmentFlag.AlignTop)
        layout.addLayout(words, 1)
        layout.addWidget(self._close, alignment=Qt.AlignmentFlag.AlignTop)
        self.hide()

    def tell(self, message: Message) -> None:
        """Show a message; good news goes away by itself."""
        lines = [f"{message.text} {message.remedy}".strip()]
        lines += [f"\u2022 {fault}" for fault in message.faults[:MOST_FAULTS]]
        if (rest := len(message.faults) - MOST_FAULTS) > 0:
            lines.append(ngettext("{n} more", "{n} more", rest).format(n=rest))
        self._text.setText("\n".join(lines))
        self._text.setAccessibleName(lines[0])
        self._mark.set_mark(MARKS[message.kind])
        self._timer.stop()
        if message.kind != TROUBLE:
            self._timer.start(STAYS)
        self.show()

    @property
    def text(self) -> str:
        """What is told now; "" where nothing is."""
        return "" if self.isHidden() else self._text.text()

    def clear(self) -> None:
        """Take the message away."""
        self._timer.stop()
        self._text.clear()
        focus = QApplication.focusWidget()
        had_focus = focus is not None and self.isAncestorOf(focus)
        self.hide()
        if had_focus:
            self.left.emit()
