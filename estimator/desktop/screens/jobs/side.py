"""The left side of the Jobs list: which jobs to show, with how many there are of each."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.drawing.bars import CertaintyParts
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.widgets.certainty_bar import CertaintyBar
from estimator.desktop.widgets.plain_tip import plain_tip
from estimator.desktop.widgets.side_button import STEP, WIDTH, SideButton
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
    """Choices under heads, and what the bars mean. Of the classes those are shown that have jobs,
    the most first; they scroll where there is no room for all.

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
        self._group = QButtonGroup(self)
        self._classes: tuple[str, ...] = ()
        self._class_head, self._scroll = _head(_("By class")), QScrollArea()
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
        column.addWidget(self._class_head)
        column.addWidget(self._classes_area(), 1)
        for parts, text in (
            (CertaintyParts(1, 0, 0), _("Firm")),
            (CertaintyParts(0, 1, 0), _("Provisional")),
            (CertaintyParts(0, 0, 1), _("Exposed")),
        ):
            column.addWidget(_legend(parts, text))
        self._buttons[ALL].setChecked(True)
        self.setFocusProxy(self._buttons[ALL])

    def _classes_area(self) -> QScrollArea:
        inside = QWidget()
        self._class_column = QVBoxLayout(inside)
        self._class_column.setContentsMargins(0, 0, 0, 0)
        self._class_column.setSpacing(0)
        self._class_column.addStretch()
        self._scroll.setWidget(inside)
        self._scroll.setWidgetResizable(True)
        self._scroll.setFrameShape(QFrame.Shape.NoFrame)
        self._scroll.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._scroll.setAccessibleName(self._class_head.text())
        return self._scroll

    def _button(self, key: str, text: str) -> SideButton:
        button = SideButton(key, text)
        self._group.addButton(button)
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
            if CLASS + class_id in self._buttons:
                continue
            button = self._button(CLASS + class_id, f"{class_id}  {name.capitalize()}")
            button.setToolTip(plain_tip(button.text()))
            button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
            button.installEventFilter(self)
            button.hide()
            self._class_column.insertWidget(self._class_column.count() - 1, button)

    def set_counts(self, counts: dict[str, int], say: Formats) -> None:
        """Say how many jobs each choice shows; a class without any is shown while it is chosen."""
        for key, count in counts.items():
            if key in self._buttons:
                self._buttons[key].set_count(say.number(count))
        classes = [CLASS + one for one in self._classes]
        shown = [key for key in classes if counts.get(key, 0) or key == self.key]
        for key in classes:
            self._buttons[key].setVisible(key in shown)
        for place, key in enumerate(sorted(shown, key=lambda one: -counts.get(one, 0))):
            self._class_column.removeWidget(self._buttons[key])
            self._class_column.insertWidget(place, self._buttons[key])
        self._class_head.setVisible(bool(shown))

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A class that gets the focus by keyboard is scrolled into sight."""
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            self._scroll.ensureWidgetVisible(watched, 0, STEP)
        return super().eventFilter(watched, event)


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
