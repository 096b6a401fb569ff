"""Words to pick from: by arrows, from the open list, or found there by what is typed."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QSizePolicy, QToolTip

from estimator.desktop.widgets.plain_tip import plain_tip

MOST_ROWS = 24  # of the open list, before it scrolls
_WITH = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.AltModifier


class Choice(QComboBox):
    """The wheel scrolls the page, it does not change the job.

    With `find`, which gives the value that typed words speak of ("" for none), a letter opens the
    list and goes on finding in it; nothing is chosen before Enter.
    """

    def __init__(self, find: Callable[[str], str] | None = None) -> None:
        super().__init__()
        self._find, self.typed = find, ""
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMinimumContentsLength(6)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        if find is not None:
            self.setMaxVisibleItems(MOST_ROWS)
            self.view().installEventFilter(self)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Scroll the page."""
        event.ignore()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A letter opens the list and is looked for there."""
        if self._find is not None and _is_text(event) and event.text() != " ":
            self.showPopup()
            self._look_for(event.text())
            return
        super().keyPressEvent(event)

    def showPopup(self) -> None:
        """Nothing is typed yet."""
        self.typed = ""
        super().showPopup()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """What is typed in the open list."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Backspace and self.typed:
                self._look_for(self.typed[:-1])
                return True
            if _is_text(event) and (self.typed or event.text() != " "):
                self._look_for(self.typed + event.text())
                return True
        return super().eventFilter(watched, event)

    def _look_for(self, typed: str) -> None:
        """Go to what is meant; a sign with which nothing is found is not taken."""
        assert self._find is not None
        place = self.findData(self._find(typed)) if typed else self.currentIndex()
        if place < 0:
            return
        self.typed = typed
        view = self.view()
        view.setCurrentIndex(self.model().index(place, self.modelColumn(), self.rootModelIndex()))
        QToolTip.showText(view.mapToGlobal(QPoint(0, view.height())), plain_tip(typed), view)

    def hidePopup(self) -> None:
        """What was typed is of no more use."""
        if self.typed:
            QToolTip.hideText()
        super().hidePopup()


def _is_text(event: QKeyEvent) -> bool:
    return bool(event.text()) and event.text().isprintable() and not event.modifiers() & _WITH
