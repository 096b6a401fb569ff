"""The row above the history: a filter by text, what is shown, and how many entries there are."""

from __future__ import annotations

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QComboBox, QFrame, QHBoxLayout, QLineEdit, QSizePolicy

from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.services.show_history import CONTRACT, EDITS, EVERYTHING, ISSUE, HistoryOf

WAIT = 120  # ms after the last key
MOST_TITLE = 26  # signs of a variation's title


class HistoryTools(QFrame):
    """Signals: changed(), something else is looked for; into_rows(), Enter in the filter."""

    changed = Signal()
    into_rows = Signal()

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setProperty("look", "tools")
        self.text = QLineEdit()
        self.text.setAccessibleName(_("Filter the history"))
        self.text.setPlaceholderText(_("Filter the history"))
        self.text.setClearButtonEnabled(True)
        self.text.setMinimumWidth(130)
        self.text.setMaximumWidth(220)
        self.what = QComboBox()
        self.what.setAccessibleName(_("What is shown"))
        self.what.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.what.setMinimumContentsLength(16)
        self.what.setMaximumWidth(300)
        self.what.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._count = ElidedLabel(tone="second")
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._soon.timeout.connect(self.changed)
        self.text.textChanged.connect(lambda _text: self._soon.start())
        self.text.returnPressed.connect(self.into_rows)
        self.what.currentIndexChanged.connect(lambda _place: self.changed.emit())
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 8, 16, 8)
        row.setSpacing(12)
        row.addWidget(self.text, 2)
        row.addWidget(self.what, 3)
        row.addWidget(self._count, 2)
        self.offer(None, EVERYTHING)

    @property
    def key(self) -> str:
        """What is shown: one of the kinds, or a variation's number."""
        return str(self.what.currentData())

    @property
    def words(self) -> str:
        """What entries must say."""
        return self.text.text().strip()

    def offer(self, of: HistoryOf | None, key: str) -> None:
        """Offer what there is to show of a job, and choose `key`, or everything where that is not
        there. Tells nobody."""
        choices = {
            EVERYTHING: _("Everything"), EDITS: _("Edits of the job"),
            ISSUE: _("Release and issue"),
        }  # fmt: skip
        if of is not None and of.events:
            choices[CONTRACT] = _("What followed the acceptance")
            choices |= {number: _titled(number, title) for number, title in of.variations}
        self.what.blockSignals(True)
        self.what.clear()
        for name, words in choices.items():
            self.what.addItem(words, name)
        self.what.setCurrentIndex(max(self.what.findData(key), 0))
        self.what.blockSignals(False)

    def show_count(self, shown: int, of: int, *, done: bool) -> None:
        """How many entries are shown, and whether there are more."""
        say = self._say
        if done:
            said = ngettext("{n} entry", "{n} entries", shown).format(n=say.number(shown))
        elif self.words or self.key != EVERYTHING:
            said = _("{n} found so far").format(n=say.number(shown))
        else:
            said = _("the newest {n} of {count}").format(n=say.number(shown), count=say.number(of))
        self._count.set_text(said)

    def show_torn(self) -> None:
        """Say that the events of the contract do not follow from each other."""
        self._count.set_text(_("Events and log do not agree: prove the record."))


def _titled(number: str, title: str) -> str:
    line = " ".join(title.split())
    return f"{number}  {line if len(line) <= MOST_TITLE else line[:MOST_TITLE] + chr(0x2026)}"
