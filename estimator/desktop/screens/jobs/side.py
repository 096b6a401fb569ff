"""The left side of the Jobs list: which jobs to show, with how many there are of each."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from estimator.desktop.drawing.bars import CertaintyParts
from estimator.desktop.language import _
from estimator.desktop.widgets.certainty_bar import CertaintyBar
from estimator.desktop.widgets.side_button import WIDTH, SideButton
from estimator.domain.record import (
    ACCEPTED,
    CLOSED,
    DRAFT,
    EXPIRED,
    HANDED_OVER,
    ISSUED,
    PROPOSED,
    STATES,
    STOPPED,
)

ALL = "all"
CLASS = "class "


def wanted_of(key: str) -> tuple[str, str]:
    """(state, class) that `list_jobs` is asked for by a choice of the side; "": any."""
    if key.startswith(CLASS):
        return "", key.removeprefix(CLASS)
    return ("", "") if key == ALL else (key, "")


class SideList(QFrame):
    """Choices under heads, and what the bars mean.

    Signals: chosen(str): key of the choice.
    """

    chosen = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.setProperty("look", "path")
        self.setFixedWidth(WIDTH)
        self.setAccessibleName(_("Which jobs"))
        self.key = ALL
        self._buttons: dict[str, SideButton] = {}
        self._classes: tuple[str, ...] = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 18, 1, 16)
        column.setSpacing(0)
        column.addWidget(_head(_("Jobs")))
        for key, text in (
            (ALL, _("All")),
            (DRAFT, _("Being priced")),
            (PROPOSED, _("For release")),
            (ISSUED, _("With the customer")),
            (EXPIRED, _("Expired")),
            (ACCEPTED, _("In the shop")),
            (STOPPED, _("Stopped")),
            (HANDED_OVER, _("Handed over")),
            (CLOSED, _("Closed")),
        ):
            column.addWidget(self._button(key, text))
        column.addSpacing(16)
        column.addWidget(_head(_("By class")))
        self._class_column = QVBoxLayout()
        self._class_column.setSpacing(0)
        column.addLayout(self._class_column)
        column.addStretch()
        for parts, text in (
            (CertaintyParts(1, 0, 0), _("Firm")),
            (CertaintyParts(0, 1, 0), _("Provisional")),
            (CertaintyParts(0, 0, 1), _("Exposed")),
        ):
            column.addWidget(_legend(parts, text))
        self._buttons[ALL].setChecked(True)
        self.setFocusProxy(self._buttons[ALL])

    def _button(self, key: str, text: str) -> SideButton:
        button = SideButton(key, text)
        button.clicked.connect(lambda _on=False: self._choose(key))
        self._buttons[key] = button
        return button

    def _choose(self, key: str) -> None:
        self.key = key
        self.chosen.emit(key)

    def counted(self, classes: tuple[str, ...]) -> tuple[str, ...]:
        """Every choice that shows a count."""
        return (ALL, *STATES, *(CLASS + one for one in classes))

    def set_classes(self, names: dict[str, str]) -> None:
        """Offer these classes, by id and name."""
        if tuple(names) == self._classes:
            return
        self._classes = tuple(names)
        for class_id, name in names.items():
            self._class_column.addWidget(self._button(CLASS + class_id, name.capitalize()))

    def set_counts(self, counts: dict[str, str]) -> None:
        """Say how many jobs each choice shows."""
        for key, count in counts.items():
            if key in self._buttons:
                self._buttons[key].set_count(count)


def _head(text: str) -> QLabel:
    label = QLabel(text)
    label.setProperty("tone", "head")
    label.setContentsMargins(20, 0, 0, 6)
    return label


def _legend(parts: CertaintyParts, text: str) -> QWidget:
    row = QWidget()
    bar = CertaintyBar(12, row)
    bar.set_parts(parts)
    bar.setGeometry(20, 2, 24, 20)
    words = QLabel(text, row)
    words.setProperty("tone", "second")
    words.setGeometry(54, 2, 120, 20)
    row.setFixedHeight(26)
    return row
