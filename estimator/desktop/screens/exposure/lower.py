"""The lower right of the Exposure page: one of four panes, chosen in a switch above them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.forms_pane import FormsPane
from estimator.desktop.screens.exposure.open_first_pane import OpenFirstPane
from estimator.desktop.screens.exposure.pane import LEFT, RIGHT, GridPane
from estimator.desktop.screens.exposure.starting_pane import StartingPane
from estimator.desktop.screens.exposure.unseen_pane import UnseenPane
from estimator.desktop.widgets.segmented import Segmented

NEXT_KEY, BEFORE_KEY = "Ctrl+PgDown", "Ctrl+PgUp"


class LowerPanes(QWidget):
    """Signals: why_asked(object), of whichever pane is in front; switched(): another is in front"""

    why_asked = Signal(object)
    switched = Signal()

    def __init__(self, desk: Desk, page: QWidget) -> None:
        super().__init__()
        self.open_first = OpenFirstPane(desk)
        self.unseen = UnseenPane(desk.workshop.formats)
        self.forms = FormsPane(desk.workshop.formats)
        self.starting = StartingPane(desk)
        self.all: Sequence[GridPane] = (self.open_first, self.unseen, self.forms, self.starting)
        words = (_("Open first"), _("Not seen"), _("Forms"), _("Starting values"))
        self.switch = Segmented(words, _("Lower pane"))
        self.stack = QStackedWidget()
        top = QHBoxLayout()
        top.setContentsMargins(LEFT + 8, 8, RIGHT, 4)
        top.setSpacing(12)
        top.addWidget(self.switch)
        top.addStretch()
        for pane in self.all:
            pane.why_asked.connect(self.why_asked)
            self.stack.addWidget(pane)
            for tool in pane.tools:
                if isinstance(tool, QPushButton):
                    tool.setMaximumWidth(tool.sizeHint().width())
                top.addWidget(tool, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(top)
        column.addWidget(self.stack, 1)
        self._show_tools()  # now that they have a parent, or each would be a window of its own
        # A look is chosen before it is added, so that Tab comes to the button after the rows.
        QWidget.setTabOrder(self.open_first.grid, self.open_first.add)
        self.switch.chosen.connect(self._show)
        for keys, by in ((NEXT_KEY, 1), (BEFORE_KEY, -1)):
            shortcut = QShortcut(QKeySequence(keys), page)
            shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
            shortcut.activated.connect(lambda step=by: self._step(step))

    @property
    def pane(self) -> GridPane:
        """The pane in front."""
        return self.all[self.stack.currentIndex()]

    def show_pane(self, pane: GridPane) -> None:
        """Bring a pane to the front."""
        place = self.all.index(pane)
        self.switch.set_place(place)
        self._show(place)

    def _step(self, by: int) -> None:
        focus = QApplication.focusWidget()
        had_focus = focus is not None and self.pane.isAncestorOf(focus)
        place = (self.stack.currentIndex() + by) % len(self.all)
        self.show_pane(self.all[place])
        if had_focus:
            self.pane.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show(self, place: int) -> None:
        if place != self.stack.currentIndex():
            self.stack.setCurrentIndex(place)
            self._show_tools()
            self.switched.emit()

    def _show_tools(self) -> None:
        for pane in self.all:
            for tool in pane.tools:
                tool.setVisible(pane is self.pane)
