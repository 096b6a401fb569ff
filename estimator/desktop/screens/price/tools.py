"""The row above the price's lines: filter, what to show, price or cost, add line."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLineEdit, QVBoxLayout

from estimator.desktop.language import _
from estimator.desktop.screens.price import filters
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.segmented import Segmented

WAIT = 80  # ms after the last key


class PriceTools(QFrame):
    """Signals: changed(), another filter; view_chosen(int), price or cost; add_asked();
    into_lines(), Enter in the filter."""

    changed = Signal()
    view_chosen = Signal(int)
    add_asked = Signal()
    into_lines = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("look", "tools")
        self.text = QLineEdit()
        self.text.setAccessibleName(_("Filter lines"))
        self.text.setPlaceholderText(_("Filter lines"))
        self.text.setClearButtonEnabled(True)
        self.text.setMinimumWidth(110)
        self.text.setMaximumWidth(180)
        self.show_row = ChoiceRow(_("Show"), [(one, _title(one, 0, "")) for one in filters.FILTERS])
        self.switch = Segmented((_("Price"), _("Cost")), _("Price or cost"))
        self.add = CommandButton(_("Add line"), _("Ins"), tool=True)
        self._note = ElidedLabel(tone="attention")
        self._note.hide()
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._soon.timeout.connect(self.changed)
        self.text.textChanged.connect(lambda _text: self._soon.start())
        self.text.returnPressed.connect(self.into_lines)
        self.show_row.chosen.connect(lambda _key: self.changed.emit())
        self.switch.chosen.connect(self.view_chosen)
        self.add.clicked.connect(self.add_asked)
        self._lay_out()

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.setSpacing(12)
        row.addWidget(self.text, 1)
        row.addWidget(self.show_row)
        row.addStretch()
        row.addWidget(self.switch)
        row.addWidget(self.add)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 8, 16, 8)
        column.setSpacing(4)
        column.addLayout(row)
        column.addWidget(self._note)

    @property
    def which(self) -> str:
        """The filter that holds."""
        return self.show_row.key

    @property
    def words(self) -> str:
        """What lines must hold."""
        return self.text.text().strip()

    @property
    def cost(self) -> bool:
        """Whether the workshop's cost is shown."""
        return self.switch.place == 1

    def set_counts(self, counts: dict[str, int], since: str) -> None:
        """How many lines each filter shows; without an issued revision one is absent."""
        for key in filters.FILTERS:
            self.show_row.set_text(key, _title(key, counts[key], since))
        self.show_row.set_shown(filters.SINCE, bool(since))

    def show_switch(self, wanted: bool) -> None:
        """Whether the workshop's cost may be seen."""
        self.switch.setVisible(wanted)

    def set_note(self, text: str) -> None:
        """Why nothing can be changed; "" where it can."""
        self._note.set_text(text)
        self._note.setVisible(bool(text))
        self.add.set_available(text)


def _title(key: str, count: int, since: str) -> str:
    return {
        filters.ALL: _("All"),
        filters.UNCERTAIN: _("Uncertain {n}").format(n=count),
        filters.EXPIRED: _("Expired prices {n}").format(n=count),
        filters.CHANGED: _("Changed by hand {n}").format(n=count),
        filters.SINCE: _("Changed since rev {rev}").format(rev=since),
    }[key]
