"""The history of the open job, of one of its variations, or of what was issued: who did what when,
and from what to what. The newest stands first; older entries are read as one goes down to them."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget
from shiboken6 import isValid

from estimator.desktop.areas import QUOTE, VARIATIONS
from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.proving import prove
from estimator.desktop.screens.history.columns import ROW, history_columns
from estimator.desktop.screens.history.entry_side import WIDTH, EntrySide
from estimator.desktop.screens.history.tools import HistoryTools
from estimator.desktop.screens.history.words import everything_said
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.desktop.workshop import Workshop
from estimator.services.history import HistoryEntry
from estimator.services.show_history import (
    EVERYTHING,
    ISSUE_ACTS,
    PAGE,
    HistoryOf,
    HistoryPage,
    Looked,
    begin_history,
    read_page,
)

SEEN_AHEAD = 60  # rows from the end at which more are read
NARROW = 560  # px of list: who and what stand closer then


class JobHistoryPage(Page):
    """A place is what is shown: a kind, or a variation's number; ISSUE/revision is the entry of one
    issue."""

    short_header = True
    own_side = True

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("History"))
        say = workshop.formats
        self.tools, self.side = HistoryTools(say), EntrySide(say)
        self.model = RowModel(history_columns(say), lambda one: str(one.entry.number))
        self.grid = Grid(self.model, _("History"), row_height=ROW)
        self.grid.setSelectionMode(Grid.SelectionMode.SingleSelection)
        self._nothing = plain_label("", "second", wrapped=True)
        self._nothing.setContentsMargins(24, 8, 24, 8)
        self.of: HistoryOf | None = None
        self._what, self._revision = EVERYTHING, ""
        self._rows: list[HistoryEntry] = []
        self._before: int | None = None  # where reading goes on
        self._wanted = PAGE  # rows that are to be there
        self._reading = False
        self._anew = False  # what is shown is of what was looked for before
        self._build()
        self._join()

    def _build(self) -> None:
        left = QVBoxLayout()
        left.setSpacing(0)
        left.addWidget(self.tools)
        left.addWidget(self._nothing)
        left.addWidget(self.grid, 1)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(left, 1)
        whole.addWidget(self.side)
        self.grid.set_widths(self.model.column_of("changes"))
        self._nothing.hide()

    def _join(self) -> None:
        self.tools.changed.connect(self._look_anew)
        self.tools.into_rows.connect(lambda: self.grid.setFocus(Qt.FocusReason.OtherFocusReason))
        self.tools.text.installEventFilter(self)
        self.grid.current_changed.connect(self._on_row)
        self.grid.opened.connect(self._open)
        self.grid.verticalScrollBar().valueChanged.connect(lambda _at: self._read_ahead())
        self.side.prove.clicked.connect(self.main_action)
        self.desk.saved.connect(lambda _value: self.stale())
        self.desk.contract.changed.connect(lambda _here: self.stale())
        self.workshop.record_changed.connect(self._on_record_changed)

    def _on_record_changed(self, kinds: frozenset[str]) -> None:
        if kinds & {"jobs", "contracts", "photographs"}:
            self.stale()

    # Reading

    def refresh(self) -> None:
        """Read from the newest entry on, as far as before."""
        job = self.desk.job
        if job is None:
            return
        if self.of is not None and self.of.number != job.number:
            self.of, self._rows, self._wanted = None, [], PAGE
            self.model.set_rows(())
            self.side.show_entry(None)
        record, number = self.workshop.record, job.number
        self._reading = True
        self.workshop.runner.run(
            lambda _report: begin_history(record, number), self._begun, subject="history"
        )

    def _begun(self, of: HistoryOf) -> None:
        if not isValid(self) or self.desk.job is None or of.number != self.desk.job.number:
            return
        self.of = of
        self.tools.offer(of, self._what)
        self._what = self.tools.key
        self.side.show_chain(of)
        self._wanted = max(PAGE, len(self._rows))
        self._read([], None)

    def _look_anew(self) -> None:
        """Something else is looked for."""
        if self.tools.key != self._what:
            self._what, self._revision = self.tools.key, ""
        self._wanted, self._anew = PAGE, True
        if self.of is not None:
            self._read([], None)

    def _read(self, rows: list[HistoryEntry], before: int | None) -> None:
        """Read the page that goes after `rows`."""
        of, record, say = self.of, self.workshop.record, self.workshop.formats
        assert of is not None
        self._reading = True
        looked = Looked(self._what, self.tools.words, lambda one: everything_said(one, say))
        most = max(PAGE, self._wanted - len(rows))
        self.workshop.runner.run(
            lambda _report: read_page(record, of, looked, before, most),
            lambda page: self._take(of, rows, page),
            subject="history",
        )

    def _take(self, of: HistoryOf, rows: list[HistoryEntry], page: HistoryPage) -> None:
        if not isValid(self) or of is not self.of:
            return
        rows = [*rows, *page.rows]
        looked_at = self.isVisible()
        self._stale = self._stale or not looked_at  # nobody waits for the rest: when it is shown
        if page.before is not None and len(rows) < self._wanted and looked_at:
            if self._anew or len(rows) > len(self._rows):
                self._show(rows, page.before)  # what was found so far
            self._read(rows, page.before)
            return
        self._reading = False
        self._show(rows, page.before)
        self._read_ahead()  # one may have gone to the end meanwhile

    def _show(self, rows: list[HistoryEntry], before: int | None) -> None:
        of, here = self.of, self._current()
        assert of is not None
        self._anew = False
        self._rows, self._before = rows, before
        self.model.set_rows(rows)
        self.tools.show_count(len(rows), of.count, done=before is None)
        if of.torn:
            self.tools.show_torn()
        self._nothing.setText(_("Nothing found.") if not rows and not self._reading else "")
        self._nothing.setVisible(bool(self._nothing.text()))
        self._go_to_row(here)

    def _read_ahead(self) -> None:
        """More, where the end comes near. As many again, so that the end of a long log is a few
        steps away."""
        if self._reading or self._before is None or not self._rows or not self.isVisible():
            return
        lowest = self.grid.indexAt(QPoint(1, self.grid.viewport().height() - 1))
        if not lowest.isValid() or len(self._rows) - lowest.row() < SEEN_AHEAD:
            self._wanted = 2 * len(self._rows)
            self._read(self._rows, self._before)

    # The row one is on

    def _current(self) -> str:
        row = self.grid.current_row()
        return str(row.entry.number) if isinstance(row, HistoryEntry) else ""

    def _go_to_row(self, here: str) -> None:
        """The row of the issue that was asked for, else the one before, else the newest."""
        wanted = next((one for one in self._rows if self._is_issue(one)), None)
        if wanted is not None:
            self._revision = ""
            self.grid.go_to(str(wanted.entry.number))
        elif here and self._current() == here:
            return  # it stayed, and so does what is in sight
        elif not here or not self.grid.go_to(here):
            first = self._rows[0] if self._rows else None
            if first is not None:
                self.grid.go_to(str(first.entry.number))
            self.side.show_entry(first)

    def _is_issue(self, one: HistoryEntry) -> bool:
        said = {change.what: change.after for change in one.changes}
        return bool(self._revision) and one.act == "issued" and self._revision == said["revision"]

    def _on_row(self, row: object) -> None:
        self.side.show_entry(row if isinstance(row, HistoryEntry) else None)

    def _open(self, row: object) -> None:
        """Enter: to what the entry is about, where that has a page."""
        if not isinstance(row, HistoryEntry):
            return
        if row.variation:
            self.go_asked.emit(VARIATIONS, row.variation)
        elif not row.kind and row.act in ISSUE_ACTS:
            revision = next((c.after for c in row.changes if c.what == "revision"), "")
            self.go_asked.emit(QUOTE, revision)

    # The window's wishes

    def go_to(self, place: str) -> None:
        """Show the history of a variation, of what was issued, or of all."""
        what, _slash, revision = place.partition("/")
        if (what or EVERYTHING) == self._what and revision == self._revision:
            return
        self._what, self._revision = what or EVERYTHING, revision
        self.tools.text.blockSignals(True)
        self.tools.text.clear()
        self.tools.text.blockSignals(False)
        if self.of is not None and self.desk.job is not None:
            self.tools.offer(self.of, self._what)
            self._look_anew()

    def place(self) -> str:
        """What is shown."""
        return self._what

    def main_action(self) -> None:
        """Ctrl+Enter: prove the record."""
        prove(self.workshop)

    def filter_asked(self) -> None:
        """Into the filter."""
        self.tools.text.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.tools.text.selectAll()

    def take_focus(self) -> None:
        """The list is where reading begins."""
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def panes(self) -> Sequence[QWidget]:
        """Filter, list, the entry."""
        panes: tuple[QWidget, ...] = (self.tools.text, self.grid, self.side.scroller)
        return tuple(one for one in panes if one.isVisibleTo(self))

    def show_side(self, shown: bool) -> None:
        """F9: why in the place of the entry."""
        self.side.setVisible(shown)

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count here."""
        return (
            ("Enter", _("open")),
            ("Ctrl+F", _("filter")),
            ("Ctrl+Enter", _("prove the record")),
            ("Alt+Left", _("back")),
            ("F6", _("next pane")),
            ("F5", _("reload")),
        )

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window who and what stand closer."""
        super().resizeEvent(event)
        narrow = self.width() - WIDTH < NARROW
        for key in ("who", "done"):
            at = self.model.column_of(key)
            wide = self.model.columns[at].width
            self.grid.setColumnWidth(at, wide * 2 // 3 if narrow else wide)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """In the filter, Down goes into the list and Esc empties the line."""
        if event.type() == QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            if event.key() == Qt.Key.Key_Down:
                self.take_focus()
                return True
            if event.key() == Qt.Key.Key_Escape and self.tools.text.text():
                self.tools.text.clear()
                return True
        return super().eventFilter(watched, event)
