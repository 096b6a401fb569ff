"""The job path at the window's left: the areas of a job, how each stands, and the key to it."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRect, QSize, Qt, Signal
from PySide6.QtGui import QFontMetrics, QPainter, QPaintEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.areas import AFTER_ACCEPTANCE, HISTORY, HISTORY_KEY, Area, areas
from estimator.desktop.drawing.marks import PATH_MARK, Mark, mark_text_colour, paint_mark
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.telling import told
from estimator.desktop.theme import current_theme
from estimator.desktop.widgets.mark import MarkLabel

WIDE, NARROW = 188, 56
STEP = 46
MARK_LEFT = 24


class AreaButton(QAbstractButton):
    """One area: its mark, its name, and in a few words how it stands."""

    def __init__(self, area: Area, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.area = area
        self.mark = Mark.NOT_BEGUN
        self.note = ""
        self.narrow = False
        self.last = False
        self.setCheckable(True)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setProperty("ringed", True)
        self.set_state(Mark.NOT_BEGUN, "")

    def set_state(self, mark: Mark, note: str) -> None:
        """Show how the area stands."""
        note = told(note)
        self.mark, self.note = mark, note
        self.setAccessibleName(self.area.title)
        self.setAccessibleDescription(note)
        key = key_names(self.area.shortcut)
        self.setToolTip(f"{self.area.title}, {key}\n{note}".rstrip())
        self.update()

    def sizeHint(self) -> QSize:
        """As wide as the path, two lines high."""
        return QSize(NARROW if self.narrow else WIDE, STEP)

    def paintEvent(self, _event: QPaintEvent) -> None:
        """Ground and bar where one is, mark, line to the next area, words."""
        theme, painter = current_theme(), QPainter(self)
        colours, sizes = theme.colours, theme.sizes
        rect = self.rect().adjusted(8, 2, -8, -2)
        if self.isChecked():
            painter.fillRect(rect, colours.select)
            painter.fillRect(rect.left(), rect.top(), 3, rect.height(), colours.ink)
        elif self.underMouse():
            painter.fillRect(rect, colours.hover)
        middle = self.height() // 2
        if not self.last:
            painter.fillRect(
                MARK_LEFT + PATH_MARK // 2,
                middle + 12,
                2,
                self.height() - middle - 12,
                colours.line2,
            )
        ground = colours.select if self.isChecked() else colours.surface
        corner = QPointF(MARK_LEFT, middle - PATH_MARK / 2)
        paint_mark(painter, corner, self.mark, theme, PATH_MARK, ground)
        if self.narrow:
            return
        left = MARK_LEFT + PATH_MARK + 12
        words = QRect(left, 0, self.width() - left - 12, self.height())
        title_font = theme.font(sizes.nav, 600 if self.isChecked() else 400)
        painter.setFont(title_font)
        painter.setPen(colours.ink if self.mark != Mark.NOT_BEGUN else colours.ink2)
        if not self.note:
            painter.drawText(words, int(Qt.AlignmentFlag.AlignVCenter), self.area.title)
            return
        painter.drawText(words.adjusted(0, 4, 0, -20), 0, self.area.title)
        note_font = theme.font(sizes.note)
        painter.setFont(note_font)
        painter.setPen(
            mark_text_colour(self.mark, theme)
            if self.mark in (Mark.NEEDS_YOU, Mark.WAITS)
            else colours.ink3
        )
        note = QFontMetrics(note_font).elidedText(
            self.note, Qt.TextElideMode.ElideRight, words.width()
        )
        painter.drawText(words.adjusted(0, 23, 0, 0), 0, note)


class JobPathBar(QFrame):
    """The areas from top to bottom, and what the marks mean.

    Signals: area_asked(str): key of the area wanted; history_asked().
    """

    area_asked = Signal(str)
    history_asked = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setProperty("look", "path")
        self.setAccessibleName(_("Job path"))
        self._title = QLabel(_("Job path"))
        self._title.setProperty("tone", "head")
        self._title.setContentsMargins(20, 0, 0, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 18, 1, 12)
        column.setSpacing(0)
        column.addWidget(self._title)
        column.addSpacing(10)
        self.buttons: dict[str, AreaButton] = {}
        self._here = ""
        for area in areas():
            button = AreaButton(area)
            button.clicked.connect(lambda _on=False, key=area.key: self.area_asked.emit(key))
            self.buttons[area.key] = button
            column.addWidget(button)
        self.set_accepted(False)
        column.addStretch()
        history = _("History")
        self.history = QPushButton(history)
        self.history.setProperty("look", "choice")
        self.history.setCheckable(True)
        self.history.setToolTip(f"{history}, {key_names(HISTORY_KEY)}")
        self.history.clicked.connect(self._ask_history)
        beside = QHBoxLayout()
        beside.setContentsMargins(14, 0, 12, 0)
        beside.addWidget(self.history)
        beside.addStretch()
        column.addLayout(beside)
        self._legend = QWidget()
        legend = QVBoxLayout(self._legend)
        legend.setContentsMargins(20, 8, 8, 0)
        legend.setSpacing(4)
        for mark, words in (
            (Mark.NOT_BEGUN, _("Not begun")),
            (Mark.IN_HAND, _("In hand")),
            (Mark.DONE, _("Done")),
            (Mark.WAITS, _("Waits")),
            (Mark.NEEDS_YOU, _("Needs you")),
        ):
            legend.addWidget(MarkLabel(mark, words, 12))
        column.addWidget(self._legend)
        self.set_narrow(False)

    def set_states(self, states: Mapping[str, tuple[Mark, str]]) -> None:
        """Show how each area stands."""
        for key, (mark, note) in states.items():
            if key in self.buttons:
                self.buttons[key].set_state(mark, note)

    def set_accepted(self, accepted: bool) -> None:
        """Whether the areas of the work that follows an acceptance are there."""
        keys = [key for key in self.buttons if accepted or key not in AFTER_ACCEPTANCE]
        shown = [self.buttons[key] for key in keys]
        for button in self.buttons.values():
            button.setVisible(button in shown)
            button.last = button is shown[-1]
            button.update()

    def set_here(self, key: str) -> None:
        """Mark the area one is in."""
        for name, button in self.buttons.items():
            button.setChecked(name == key)
        self._here = key
        self.history.setChecked(key == HISTORY)

    def _ask_history(self) -> None:
        self.history.setChecked(self._here == HISTORY)
        self.history_asked.emit()

    def set_narrow(self, narrow: bool) -> None:
        """Marks alone, where the window has no room for words."""
        self.setFixedWidth(NARROW if narrow else WIDE)
        self._title.setVisible(not narrow)
        self._legend.setVisible(not narrow)
        self.history.setVisible(not narrow)
        for button in self.buttons.values():
            button.narrow = narrow
            button.update()
