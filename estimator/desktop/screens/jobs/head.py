"""The head of the Jobs list: the day, what waits, and what is out with customers."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QVBoxLayout

from estimator.desktop.areas import WAITING_KEY
from estimator.desktop.formats import Formats
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _, ngettext
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.services.show_jobs import Waiting


class JobsHead(QFrame):
    """Speaks of the whole record, whatever the list below is narrowed to.

    Signals: waiting_asked(): to what waits on whom
    """

    waiting_asked = Signal()

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setProperty("look", "header")
        self._title, self.words = ElidedLabel(tone="title"), ElidedLabel(tone="second")
        self.sums, self._sums_words = QLabel(), QLabel()
        self.sums.setProperty("tone", "section")
        self._sums_words.setProperty("tone", "note")
        for label in (self.sums, self._sums_words):
            label.setAlignment(Qt.AlignmentFlag.AlignRight)
        names, sums = QVBoxLayout(), QVBoxLayout()
        for column, labels in (
            (names, (self._title, self.words)),
            (sums, (self.sums, self._sums_words)),
        ):
            column.setSpacing(2)
            for label in labels:
                column.addWidget(label)
        row = QHBoxLayout(self)
        row.setContentsMargins(24, 16, 24, 16)
        row.addLayout(names, 1)
        row.addLayout(sums)
        row.addSpacing(24)
        waiting = CommandButton(_("What waits on whom"), key_names(WAITING_KEY), tool=True)
        waiting.clicked.connect(lambda _on=False: self.waiting_asked.emit())
        row.addWidget(waiting)

    def show_day(self, today: date) -> None:
        """Say what day it is."""
        self._title.set_text(self._say.long_day(today))

    def show_waiting(self, came_to: Waiting) -> None:
        """Say what waits, and what is out."""
        self.words.set_text(_in_words(came_to))
        self.sums.setText("  ".join(self._say.money(one) for one in came_to.quotes_out))
        self._sums_words.setText(_("with customers, before tax") if came_to.quotes_out else "")


def _in_words(came_to: Waiting) -> str:
    parts = [
        ngettext("{n} job waits on you.", "{n} jobs wait on you.", came_to.on_you).format(
            n=came_to.on_you
        )
    ]
    if came_to.expired:
        parts.append(
            ngettext("{n} quote has expired.", "{n} quotes have expired.", came_to.expired).format(
                n=came_to.expired
            )
        )
    if came_to.expire_soon:
        parts.append(
            ngettext(
                "{n} expires within a week.", "{n} expire within a week.", came_to.expire_soon
            ).format(n=came_to.expire_soon)
        )
    return " ".join(parts)
