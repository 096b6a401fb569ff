"""The head of the page: the day, what waits on you, what waiting costs, and which jobs stand."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from PySide6.QtWidgets import QFrame, QHBoxLayout, QVBoxLayout

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.waiting.words import days_words, on_you_words
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.domain.money import Money
from estimator.services.show_desk import DeskView, OnYou

NAMED = 3  # jobs named of those that stand


class _Figure:
    """A head, a figure, and a note below it."""

    def __init__(self, title: str) -> None:
        self.figure, self.note = ElidedLabel(tone="section"), ElidedLabel(tone="note")
        self._title = title
        self.column = QVBoxLayout()
        self.column.setSpacing(1)
        for label in (ElidedLabel(title, tone="head"), self.figure, self.note):
            self.column.addWidget(label)

    def show(self, figure: str, note: str) -> None:
        self.figure.set_text(figure)
        self.figure.setAccessibleName(f"{self._title}: {figure}, {note}")
        self.note.set_text(note)


class DeskHead(QFrame):
    """Speaks of everything that waits, whatever the list below is narrowed to."""

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setProperty("look", "header")
        self._title, self.words = ElidedLabel(tone="title"), ElidedLabel(tone="second")
        self.on_you, self.cost = _Figure(_("Waits on you")), _Figure(_("Cost of waiting"))
        self.stopped = _Figure(_("Stopped"))
        names = QVBoxLayout()
        names.setSpacing(2)
        names.addWidget(self._title)
        names.addWidget(self.words)
        names.addStretch()
        row = QHBoxLayout(self)
        row.setContentsMargins(24, 12, 24, 12)
        row.setSpacing(24)
        row.addLayout(names, 1)
        for one in (self.on_you, self.cost, self.stopped):
            row.addLayout(one.column)

    def show_day(self, today: date) -> None:
        """Say what day it is."""
        self._title.set_text(self._say.long_day(today))

    def show_view(self, view: DeskView, on_you: OnYou) -> None:
        """Say what waits and what it costs."""
        say = self._say
        self.words.set_text(on_you_words(on_you.count, on_you.costing, on_you.overdue))
        oldest = _("oldest {days}").format(days=days_words(on_you.oldest_days, say))
        self.on_you.show(say.number(on_you.count), oldest if on_you.count else _("nothing"))
        if view.per_day:
            self.cost.show(
                _("{sum} a day").format(sum=self._sums(view.per_day)),
                _("{sum} so far, each job once").format(sum=self._sums(view.so_far)),
            )
        else:
            self.cost.show(DASH, _("nothing costs yet"))
        count = len(view.stopped)
        jobs = ngettext("{n} job", "{n} jobs", count).format(n=say.number(count))
        named = ", ".join(view.stopped[:NAMED]) + ("…" if count > NAMED else "")
        self.stopped.show(jobs, named or DASH)

    def _sums(self, sums: Sequence[Money]) -> str:
        return "  ".join(self._say.money(one) for one in sums)
