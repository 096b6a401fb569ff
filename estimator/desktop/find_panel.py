"""Find anywhere: one line, and what it finds in the record and in the open job's figures."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QVBoxLayout,
    QWidget,
)
from shiboken6 import isValid

from estimator.desktop.areas import ENQUIRY, EXPOSURE, INSPECTION, PRICE, PROGRAMME
from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.runner import Task
from estimator.desktop.telling import told
from estimator.desktop.workshop import Workshop
from estimator.services.find_figures import FoundFigure, find_figures
from estimator.services.list_jobs import Hit, find_anywhere

WAIT = 120  # ms after the last key
MOST = 40
WIDTH, HEIGHT = 620, 420


class FindPanel(QFrame):
    """Opens over the window; Enter goes to what is chosen, Esc leaves, and so does going elsewhere.

    Signals: go_asked(str, str, str, str): job number ("" for the open job), area, place, and the
        name of a figure to explain ("": none).
    """

    go_asked = Signal(str, str, str, str)

    def __init__(self, workshop: Workshop, desk: Desk, window: QWidget) -> None:
        super().__init__(window)
        self._workshop, self._desk, self._over = workshop, desk, window
        self._before: QWidget | None = None  # had the focus
        self._looking: Task | None = None
        self._enter_waits = False  # Enter came before what it is to take was found
        self.setProperty("look", "panel")
        self.setAccessibleName(_("Find anywhere"))
        self.line = QLineEdit()
        self.line.setAccessibleName(_("Find a job, finding, part or figure"))
        self.line.setPlaceholderText(_("Number, customer, serial, finding, part, figure"))
        self.list = QListWidget()
        self.list.setAccessibleName(_("Found"))
        self.list.itemActivated.connect(self._chosen)
        self._nothing = QLabel()
        self._nothing.setProperty("tone", "second")
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 16, 16, 16)
        for widget in (self.line, self._nothing, self.list):
            column.addWidget(widget)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._soon.timeout.connect(self._look)
        self.line.textChanged.connect(self._typed)
        self.line.returnPressed.connect(self._take_first)
        for watched in (self.line, self.list, window):
            watched.installEventFilter(self)
        application = QApplication.instance()
        if isinstance(application, QApplication):
            application.focusChanged.connect(self._on_focus)
        self.hide()

    def ask(self) -> None:
        """Open with an empty line."""
        if not self.isVisible():
            self._before = QApplication.focusWidget()
        self._place()
        self.line.clear()
        self._forget()
        self._nothing.setText(_("Type the beginnings of words."))
        self.show()
        self.raise_()
        self.line.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def leave(self) -> None:
        """Close, and give the focus back to whatever had it."""
        before, self._before = self._before, None
        self.hide()
        if before is not None and isValid(before) and before.isVisible():
            before.setFocus(Qt.FocusReason.OtherFocusReason)
        elif (page := getattr(self._over, "page", None)) is not None:
            page.take_focus()

    def _place(self) -> None:
        """Under the strip, in the middle."""
        parent = self._over
        wide = min(WIDTH, parent.width() - 40)
        self.setGeometry((parent.width() - wide) // 2, 48, wide, min(HEIGHT, parent.height() - 80))

    def _on_focus(self, _old: QWidget | None, new: QWidget | None) -> None:
        if new is not None and self.isVisible() and not self.isAncestorOf(new):
            self.hide()

    def _forget(self) -> None:
        """What was found is out of date, and what is being looked for too."""
        self._enter_waits = False
        if self._looking is not None:
            self._looking.stop()
            self._looking = None
        self.list.clear()

    def _typed(self) -> None:
        self._forget()
        self._soon.start()

    def _look(self) -> None:
        text = self.line.text().strip()
        if not text:
            self._nothing.setText(_("Type the beginnings of words."))
            self._nothing.show()
            return
        record, priced = self._workshop.record, self._desk.priced

        def look(_report: object) -> tuple[list[Hit], list[FoundFigure]]:
            figures = find_figures(priced, text, MOST) if priced is not None else []
            return find_anywhere(record, text, MOST), figures

        self._looking = self._workshop.runner.run(look, self._show, subject="find")

    def _show(self, found: tuple[list[Hit], list[FoundFigure]]) -> None:
        self._looking = None
        self.list.clear()
        hits, figures = found
        here = self._desk.job.number if self._desk.job is not None else ""
        for figure in figures[:8]:
            self._add(
                f"{told(figure.title)}\n{dotted(here, figure.shown)}",
                ("", *_where(figure.name), figure.name),
            )
        for hit in hits:
            area = {"finding": INSPECTION, "photograph": INSPECTION}.get(hit.kind, ENQUIRY)
            self._add(
                f"{hit.title}\n{dotted(hit.number, hit.words)}", (hit.number, area, hit.place, "")
            )
        self._nothing.setText("" if self.list.count() else _("Nothing found."))
        self._nothing.setVisible(not self.list.count())
        if self.list.count():
            self.list.setCurrentRow(0)
        if self._enter_waits:
            self._take_first()

    def _add(self, text: str, target: tuple[str, str, str, str]) -> None:
        item = QListWidgetItem(text)
        item.setData(Qt.ItemDataRole.UserRole, target)
        self.list.addItem(item)

    def _take_first(self) -> None:
        if self._soon.isActive() or self._looking is not None:
            self._enter_waits = True
            return
        self._enter_waits = False
        if self.list.count():
            self._chosen(self.list.item(max(self.list.currentRow(), 0)))

    def _chosen(self, item: QListWidgetItem) -> None:
        target = item.data(Qt.ItemDataRole.UserRole)
        self._before = None
        self.hide()
        self.go_asked.emit(*target)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Esc leaves; the arrows move in the list while one types; the window carries it along."""
        if watched is self._over:
            if event.type() == QEvent.Type.Resize and self.isVisible():
                self._place()
            return False
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Escape:
                self.leave()
                return True
            if watched is self.line and event.key() in (Qt.Key.Key_Down, Qt.Key.Key_Up):
                by = 1 if event.key() == Qt.Key.Key_Down else -1
                row = self.list.currentRow() + by
                self.list.setCurrentRow(max(0, min(row, self.list.count() - 1)))
                return True
        return super().eventFilter(watched, event)


def _where(figure: str) -> tuple[str, str]:
    """Area and place where a figure is at home."""
    section, _slash, rest = figure.partition("/")
    if section == "finding":
        return INSPECTION, rest
    homes = {
        "chance": EXPOSURE,
        "contribution": EXPOSURE,
        "found": EXPOSURE,
        "contingency": EXPOSURE,
        "finish": PROGRAMME,
    }
    return homes.get(section, PRICE), figure


def dotted(*words: str) -> str:
    """The words there are, parted by dots."""
    return "  \u00b7  ".join(word for word in words if word)
