"""The row above the rows: words, class, origin, and the acts on what is listed."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QMenu,
    QPushButton,
    QSizePolicy,
)

from estimator.desktop.language import _
from estimator.desktop.screens.catalogue.words import origin_words
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.domain.catalogue.rows import ORIGINS
from estimator.services.show_catalogue import Sought

WAIT = 60  # ms after the last key


class CatalogueTools(QFrame):
    """Signals: changed(), something else is looked for; into_rows(), Enter in the words."""

    changed = Signal()
    into_rows = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("look", "tools")
        self.text = QLineEdit()
        self.text.setAccessibleName(_("Search all rows"))
        self.text.setPlaceholderText(_("Search all rows"))
        self.text.setClearButtonEnabled(True)
        self.text.setMinimumWidth(140)
        self.text.setMaximumWidth(280)
        self.machine = _choice(_("As this class sees it"), 14)
        self.origin = _choice(_("Origin"), 10)
        self.origin.addItem(_("Any origin"), "")
        for one in ORIGINS:
            self.origin.addItem(origin_words(one), one)
        self.count = ElidedLabel(tone="second")
        self.acts = QPushButton(_("More acts"))
        self.acts.setProperty("tool", True)
        self.menu = QMenu(self.acts)
        self.acts.setMenu(self.menu)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._soon.timeout.connect(self.changed)
        self.text.textChanged.connect(lambda _text: self._soon.start())
        self.text.returnPressed.connect(self.into_rows)
        for choice in (self.machine, self.origin):
            choice.currentIndexChanged.connect(lambda _place: self.changed.emit())
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 8, 16, 8)
        row.setSpacing(8)
        row.addWidget(self.text, 3)
        row.addWidget(self.machine, 2)
        row.addWidget(self.origin, 2)
        row.addWidget(self.count, 2)
        row.addWidget(self.acts)
        self.offer_classes(())

    def offer_classes(self, classes: Sequence[tuple[str, str]]) -> None:
        """Offer the classes there are, by (code, type); what was chosen stays where it can."""
        chosen = self.machine.currentData()
        self.machine.blockSignals(True)
        self.machine.clear()
        self.machine.addItem(_("Every class"), "")
        for code, kind in classes:
            self.machine.addItem(f"{code}  {kind}", code)
        self.machine.setCurrentIndex(max(self.machine.findData(chosen), 0))
        self.machine.blockSignals(False)

    def sought(self, table: str) -> Sought:
        """What is looked for, in a table or all."""
        return Sought(
            table, self.text.text().strip(), str(self.machine.currentData() or ""),
            str(self.origin.currentData() or ""),
        )  # fmt: skip


def _choice(name: str, width: int) -> QComboBox:
    choice = QComboBox()
    choice.setAccessibleName(name)
    choice.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    choice.setMinimumContentsLength(width)
    choice.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    choice.setMaximumWidth(240)
    return choice
