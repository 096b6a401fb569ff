"""What to do with a part: the five dispositions in a row, by key or button."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QGridLayout, QHBoxLayout, QVBoxLayout

from estimator.desktop.language import _
from estimator.desktop.trade_words import disposition_word
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.plain_label import plain_label
from estimator.domain.findings import DISPOSITIONS


class Disposing(QFrame):
    """Signals: chosen(str): a disposition."""

    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("look", "below")
        self.rule = ElidedLabel(tone="note")
        head = QHBoxLayout()
        head.addWidget(plain_label(_("What to do with it"), "strong"))
        head.addStretch()
        head.addWidget(self.rule, 1)
        buttons = QGridLayout()
        buttons.setHorizontalSpacing(8)
        self.buttons: dict[str, CommandButton] = {}
        for place, disposition in enumerate(DISPOSITIONS):
            button = CommandButton(disposition_word(disposition), f"Alt+{place + 1}")
            button.clicked.connect(lambda _on=False, one=disposition: self.chosen.emit(one))
            self.buttons[disposition] = button
            buttons.addWidget(button, 0, place)
            buttons.setColumnStretch(place, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(20, 6, 20, 10)
        column.setSpacing(6)
        column.addLayout(head)
        column.addLayout(buttons)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Keys on all buttons, or on none where one of them has no room for its own."""
        super().resizeEvent(event)
        layout = self.layout()
        assert layout is not None
        layout.activate()
        room = all(button.has_room_for_hint for button in self.buttons.values())
        for button in self.buttons.values():
            button.show_hint(room)

    def show_part(self, chosen: str, rule: str, why_not: str) -> None:
        """Show what a part comes to and by which rule; `why_not` where nothing can be chosen."""
        self.rule.set_text(rule)
        for disposition, button in self.buttons.items():
            button.set_available(why_not)
            button.set_primary(not why_not and disposition == chosen)
            said = _("chosen") if disposition == chosen else ""
            button.setAccessibleDescription(why_not or said)
