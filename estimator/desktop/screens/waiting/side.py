"""The left side: who is waited for, how far your own authority goes on the job looked at."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QGridLayout, QVBoxLayout

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.waiting.words import EVERYONE, side_words
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.side_button import WIDTH, SideButton
from estimator.domain.money import Money
from estimator.domain.people import Person
from estimator.services.show_approval import ApprovalView
from estimator.services.show_desk import HEADS


class DeskSide(QFrame):
    """Signals: chosen(str): EVERYONE or one of HEADS."""

    chosen = Signal(str)

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setProperty("look", "path")
        self.setFixedWidth(WIDTH)
        self.setAccessibleName(_("Who is waited for"))
        self.key = EVERYONE
        self.buttons: dict[str, SideButton] = {}
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 18, 1, 16)
        column.setSpacing(0)
        head = plain_label(_("Waits on"), "head")
        head.setContentsMargins(20, 0, 0, 6)
        column.addWidget(head)
        words = side_words()
        for key in (EVERYONE, *HEADS):
            button = SideButton(key, words[key])
            button.clicked.connect(lambda _on=False, one=key: self._choose(one))
            self.buttons[key] = button
            column.addWidget(button)
        column.addSpacing(18)
        column.addLayout(self._limits())
        column.addStretch()
        self.buttons[EVERYONE].setChecked(True)
        self.setFocusProxy(self.buttons[EVERYONE])

    def _limits(self) -> QVBoxLayout:
        self._job = plain_label(_("Your limits"), "head", wrapped=True)
        self._values = {key: ElidedLabel(tone="strong") for key in ("each", "total", "agreed")}
        self._above = plain_label("", "note", wrapped=True)
        self._rows = QFrame()
        grid = QGridLayout(self._rows)
        grid.setContentsMargins(0, 4, 0, 4)
        grid.setVerticalSpacing(4)
        grid.setColumnStretch(0, 1)
        titles = (_("One finding"), _("The job, in all"), _("Agreed so far"))
        for place, (title, value) in enumerate(zip(titles, self._values.values(), strict=True)):
            grid.addWidget(plain_label(title, "second", wrapped=True), place, 0)
            value.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
            grid.addWidget(value, place, 1)
        column = QVBoxLayout()
        column.setContentsMargins(20, 0, 16, 0)
        column.setSpacing(4)
        for widget in (self._job, self._rows, self._above):
            column.addWidget(widget)
        return column

    def _choose(self, key: str) -> None:
        self.key = key
        self.chosen.emit(key)

    def set_counts(self, counts: Mapping[str, int], person: Person) -> None:
        """Say how many things wait on each. A role that is your own stands under You."""
        for key, button in self.buttons.items():
            button.set_count(self._say.number(counts.get(key, 0)))
            button.setVisible(key != person.role or bool(counts.get(key)))

    def show_limits(self, view: ApprovalView | None) -> None:
        """Your limits on the job of what is looked at."""
        limits = view.limits if view is not None else None
        self._rows.setVisible(limits is not None)
        if view is None:
            self._job.setText(_("Your limits"))
            self._above.setText(_("They are given job by job: choose a variation."))
            return
        self._job.setText(_("Your limits on {job}").format(job=view.job))
        if limits is None:
            words = _("No authority on this job.")
        else:
            self._values["each"].set_text(self._limit(limits.limit_each))
            self._values["total"].set_text(self._limit(limits.limit_total))
            self._values["agreed"].set_text(self._limit(view.agreed))
            words = ""
        if view.above:
            asked = _("Above it {who} is asked.").format(who=view.above)
            words = f"{words} {asked}".strip()
        self._above.setText(words)

    def _limit(self, limit: Money | None) -> str:
        if limit is None:
            return _("no limit")
        return self._say.money(limit) if limit else _("none")
