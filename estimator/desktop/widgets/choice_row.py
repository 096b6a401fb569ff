"""One choice out of a few, as flat words in a row; the arrows move among them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QLabel, QPushButton, QSizePolicy, QWidget


class ChoiceRow(QWidget):
    """Signals: chosen(str): key of the choice."""

    chosen = Signal(str)

    def __init__(self, title: str, choices: Sequence[tuple[str, str]]) -> None:
        super().__init__()
        self.key = choices[0][0]
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self._buttons: dict[str, QPushButton] = {}
        self._title = title
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(4)
        if title:
            head = QLabel(title)
            head.setProperty("tone", "second")
            row.addWidget(head)
        for key, text in choices:
            button = QPushButton(text)
            button.setCheckable(True)
            button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
            button.setProperty("look", "choice")
            button.setAccessibleName(f"{title}: {text}" if title else text)
            button.clicked.connect(lambda _on=False, one=key: self.choose(one))
            self._group.addButton(button)
            self._buttons[key] = button
            row.addWidget(button)
        self._buttons[self.key].setChecked(True)
        self.setFocusProxy(self._buttons[self.key])

    def set_text(self, key: str, text: str) -> None:
        """Other words for a choice, such as a new count."""
        self._buttons[key].setText(text)
        self._buttons[key].setAccessibleName(f"{self._title}: {text}" if self._title else text)

    def set_shown(self, key: str, shown: bool) -> None:
        """Whether a choice is offered; the first takes the place of one that is no longer."""
        self._buttons[key].setVisible(shown)
        if not shown and key == self.key:
            self.choose(next(iter(self._buttons)))

    def choose(self, key: str) -> None:
        """Choose, as if it had been clicked."""
        self._buttons[key].setChecked(True)
        self.setFocusProxy(self._buttons[key])
        if key != self.key:
            self.key = key
            self.chosen.emit(key)
