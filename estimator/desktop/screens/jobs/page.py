"""The Jobs list: search as one types, group by who waits, sort by value, open with Enter."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from PySide6.QtCore import QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.areas import JOBS, WAITING, WAITING_KEY, areas
from estimator.desktop.desk import Desk
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.runner import Task
from estimator.desktop.screens.jobs.columns import group_title, job_columns
from estimator.desktop.screens.jobs.head import JobsHead
from estimator.desktop.screens.jobs.side import ALL, SideList, wanted_of
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel, Section
from estimator.desktop.workshop import Workshop
from estimator.services.list_jobs import ORDERS, count_jobs, list_jobs
from estimator.services.open_record import Record
from estimator.services.show_jobs import (
    CUSTOMER,
    FINISH,
    MANAGER,
    NOBODY,
    OTHERS,
    STAGE,
    THE_CUSTOMER,
    THE_FOREMAN,
    WHO_WAITS,
    YOU,
    JobGroup,
    ListedJob,
    Waiting,
    grouped,
    listed,
    waiting_in,
)

MOST = 400
CUSTOMER_LEAST = 220  # px of the column that takes what the others leave
LEFT_OUT = ("since", "waits", "stage", "certainty")  # in this order, where there is no room
WORDS_OF_NEW = 280  # px of the button, and the spaces around it
WAIT = 90  # ms after the last key


@dataclass(frozen=True, slots=True)
class Listing:
    """What one look at the record gave."""

    jobs: tuple[ListedJob, ...]
    count: int
    counts: dict[str, int]
    came_to: Waiting | None  # None where it is as it was


class JobsPage(Page):
    """What waits on whom, and the way into every job."""

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Jobs"))
        self._listing: Listing | None = None
        self._choices_below = False
        self._counts: dict[str, int] = {}  # emptied where the record has changed
        self._looking: Task | None = None
        self._enter_waits = False  # Enter came before what was typed was found
        self._current = ""
        self.side = SideList()
        self.side.chosen.connect(lambda _key: self.refresh())
        self.search = QLineEdit()
        self.search.setAccessibleName(_("Search jobs"))
        self.search.setPlaceholderText(_("Number, customer, serial, finding"))
        self.search.setClearButtonEnabled(True)
        self.search.setMinimumWidth(220)
        self.search.setMaximumWidth(360)
        self.group_by = ChoiceRow(
            _("Group by"),
            (
                (WHO_WAITS, _("Who waits")),
                (STAGE, _("Stage")),
                (FINISH, _("Finish")),
                (CUSTOMER, _("Customer")),
            ),
        )
        self.order = ChoiceRow(
            _("Sort by"), tuple(zip(ORDERS, (_("Newest"), _("Value")), strict=True))
        )
        self.model = RowModel(job_columns(workshop.formats), _id_of)
        self.grid = Grid(self.model, _("Jobs"), row_height=36)
        self.grid.setSelectionMode(Grid.SelectionMode.SingleSelection)
        self.head = JobsHead(workshop.formats)
        self.head.waiting_asked.connect(lambda: self.go_asked.emit(WAITING, ""))
        self._build()
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._soon.timeout.connect(self.refresh)
        self.search.textChanged.connect(lambda _text: self._soon.start())
        self.search.returnPressed.connect(self._enter_pressed)
        self.search.installEventFilter(self)
        self.group_by.chosen.connect(lambda _key: self._show())
        self.order.chosen.connect(lambda _key: self._as_ordered())
        self.grid.opened.connect(self._open)
        self.grid.header().setSectionsClickable(True)
        self.grid.header().sectionClicked.connect(self._sort)
        self._sorted_by: tuple[int, Qt.SortOrder] | None = None
        workshop.record_changed.connect(self._on_record_changed)
        workshop.catalogue_read.connect(lambda _catalogue: self.stale())
        workshop.person_changed.connect(lambda _person: self._on_person())

    def _build(self) -> None:
        right = QVBoxLayout()
        right.setSpacing(0)
        for widget in (self.head, self._tools()):
            right.addWidget(widget)
        right.addWidget(self.grid, 1)
        self._more = QLabel()
        self._more.setProperty("tone", "note")
        self._more.setContentsMargins(24, 6, 24, 6)
        right.addWidget(self._more)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.side)
        whole.addLayout(right, 1)
        self.grid.set_widths(1)

    def _tools(self) -> QFrame:
        new = QPushButton(_("New job") + "   " + key_names("Ctrl+N"))
        new.setProperty("primary", True)
        new.clicked.connect(lambda: self.go_asked.emit("new job", ""))
        tools = QFrame()
        tools.setProperty("look", "tools")
        rows = QVBoxLayout(tools)
        rows.setContentsMargins(24, 10, 24, 10)
        first, self._second_row = QHBoxLayout(), QHBoxLayout()
        self._choices = QHBoxLayout()
        for layout in (first, self._second_row, self._choices):
            layout.setSpacing(16)
        first.addWidget(self.search, 1)
        first.addLayout(self._choices)
        first.addStretch()
        first.addWidget(new)
        rows.addLayout(first)
        rows.addLayout(self._second_row)
        for choice in (self.group_by, self.order):
            self._choices.addWidget(choice)
        return tools

    def resizeEvent(self, event: QResizeEvent) -> None:
        """In a narrow window the choices go below the search, and the list keeps the columns that
        tell most: the customer first."""
        super().resizeEvent(event)
        room = self.width() - self.side.width()
        choices = self.group_by.sizeHint().width() + self.order.sizeHint().width()
        below = room < choices + self.search.minimumWidth() + WORDS_OF_NEW
        if below != self._choices_below:
            self._choices_below = below
            for choice in (self.group_by, self.order):
                (self._second_row if below else self._choices).addWidget(choice)
            if below:
                self._second_row.addStretch()
            else:
                self._second_row.takeAt(self._second_row.count() - 1)
        columns = self.model.columns
        room -= CUSTOMER_LEAST + sum(one.width for one in columns if one.key != "customer")
        for key in LEFT_OUT:
            at = self.model.column_of(key)
            self.grid.setColumnHidden(at, room < 0)
            room += columns[at].width if room < 0 else 0

    # What a page answers

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count here."""
        return (
            ("Ctrl+F", _("search")),
            ("Down", _("to the list")),
            ("Enter", _("open job")),
            ("Ctrl+N", _("new job")),
            (WAITING_KEY, _("what waits")),
            ("F5", _("reload")),
        )

    def panes(self) -> Sequence[QWidget]:
        """Search, list, side."""
        return (self.search, self.grid, self.side)

    def take_focus(self) -> None:
        """Search stands first; coming back, the list keeps its job."""
        (self.grid if self._current else self.search).setFocus()

    def filter_asked(self) -> None:
        """Into the search line."""
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    def place(self) -> str:
        """The job under the cursor."""
        row = self.grid.current_row()
        return row.number if isinstance(row, ListedJob) else ""

    def go_to(self, place: str) -> None:
        """Put the cursor on a job."""
        self._current = place
        self.grid.go_to(place)

    def main_action(self) -> None:
        """Open the job under the cursor."""
        self._open(self.grid.current_row())

    # Reading and showing

    def refresh(self) -> None:
        """Read the list from the record."""
        workshop = self.workshop
        record, person, today = workshop.record, workshop.person, workshop.today()
        text, order, known = self.search.text(), self.order.key, self._counts
        state, class_id = wanted_of(self.side.key)
        classes = dict(workshop.catalogue.classes) if workshop.catalogue is not None else {}
        names = {key: row.type for key, row in classes.items()}

        def look(_report: object) -> Listing:
            found = list_jobs(
                record, text, today=today, order=order, limit=MOST, state=state, class_id=class_id
            )
            count = len(found)
            if count == MOST:
                count = count_jobs(record, text, today=today, state=state, class_id=class_id)
            counts = known or {key: _count(record, key, today) for key in counted}
            came_to = None if known else waiting_in(record, person, today)
            return Listing(listed(found, names, person, today), count, counts, came_to)

        self.side.set_classes(names)
        counted = self.side.counted(tuple(names))
        if any(key not in known for key in counted):
            known = {}
        self._looking = workshop.runner.run(look, self._take, subject="jobs")

    def _take(self, listing: Listing) -> None:
        self._looking = None
        self._current = self.place() or self._current
        self._listing, self._counts = listing, listing.counts
        if listing.came_to is not None:
            self.head.show_waiting(listing.came_to)
        self._show()
        if self._enter_waits:
            self._enter_pressed()

    def _show(self) -> None:
        listing = self._listing
        if listing is None:
            return
        say = self.workshop.formats
        groups = grouped(listing.jobs, self.group_by.key)
        words = _group_words(self.group_by.key)
        self.model.set_sections(
            [Section(JobGroup(group_title(g, words), g.jobs), g.jobs) for g in groups]
        )
        for number in range(self.model.rowCount()):
            self.grid.setFirstColumnSpanned(number, self.grid.rootIndex(), True)
        if self._current and self.place() != self._current:
            self.grid.go_to(self._current)
        self.side.set_counts(listing.counts, say)
        self.head.show_day(self.workshop.today())
        shown = len(listing.jobs)
        if not shown:
            self._more.setText(
                _("No job here. Ctrl+N begins one.")
                if not self.search.text()
                else _("Nothing found. Shorten a word, or look under All.")
            )
        elif listing.count > shown:
            self._more.setText(
                _("{shown} of {count} shown. Type to find the others.").format(
                    shown=say.number(shown), count=say.number(listing.count)
                )
            )
        else:
            self._more.setText(ngettext("{n} job", "{n} jobs", shown).format(n=shown))

    def _sort(self, column: int) -> None:
        descending = Qt.SortOrder.DescendingOrder
        first = descending if self.model.columns[column].right else Qt.SortOrder.AscendingOrder
        other = Qt.SortOrder.AscendingOrder if first == descending else descending
        before = self._sorted_by
        order = other if before == (column, first) else first
        self._sorted_by = (column, order)
        self.grid.header().setSortIndicatorShown(True)
        self.grid.header().setSortIndicator(column, order)
        self.model.sort(column, order)

    def _as_ordered(self) -> None:
        """The order of the choice counts again, not that of a column's head."""
        self._sorted_by = None
        self.grid.header().setSortIndicatorShown(False)
        self.model.sort(-1)
        self.refresh()

    def _enter_pressed(self) -> None:
        """Into what was found; where that is still being looked for, as soon as it is there."""
        self._enter_waits = self._soon.isActive() or self._looking is not None
        if not self._enter_waits:
            self._into_list()

    def _into_list(self) -> None:
        """To the first job of the list, where there is one."""
        under = self.model.index(0, 0, self.grid.rootIndex())
        first = self.model.row_at(self.model.index(0, 0, under))
        if isinstance(first, ListedJob):
            self.grid.setFocus()
            self.grid.go_to(first.number)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """In the search line, Down goes into the list and Esc empties the line."""
        if (
            watched is self.search
            and event.type() == QEvent.Type.KeyPress
            and isinstance(event, QKeyEvent)
        ):
            if event.key() == Qt.Key.Key_Down:
                self._enter_pressed()
                return True
            if event.key() == Qt.Key.Key_Escape and self.search.text():
                self.search.clear()
                return True
        return super().eventFilter(watched, event)

    def _open(self, row: object) -> None:
        if isinstance(row, ListedJob):
            self._current = row.number
            self.go_asked.emit(f"{row.number}/{areas()[row.area].key}", "")

    def _on_person(self) -> None:
        self._counts = {}
        self.stale()

    def _on_record_changed(self, kinds: frozenset[str]) -> None:
        if kinds & {"jobs", "standings"}:
            self._counts = {}
            if self.isVisible():
                self._soon.start()
            else:
                self._stale = True


def _count(record: Record, key: str, today: date) -> int:
    state, class_id = wanted_of(key)
    return count_jobs(record, today=today, state=state, class_id=class_id)


def _id_of(row: ListedJob | JobGroup) -> str:
    return row.number if isinstance(row, ListedJob) else f"head {row.key.rpartition('   ')[0]}"


def _group_words(by: str) -> dict[str, str]:
    if by == STAGE:
        return {area.key: area.title for area in areas()}
    if by == WHO_WAITS:
        return {
            YOU: _("Waits on you"),
            MANAGER: _("Waits on service manager"),
            THE_CUSTOMER: _("Waits on customer"),
            THE_FOREMAN: _("Waits on foreman"),
            OTHERS: _("Waits on estimator"),
            NOBODY: _("Waits on nobody"),
        }
    return {"": _("Not worked out yet")} if by == FINISH else {}


__all__ = ["ALL", "JOBS", "JobsPage"]
