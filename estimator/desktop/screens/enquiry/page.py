"""Enquiry: who asks, for which machine, what is wanted, on which terms, and the range for it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QApplication,
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.screens.enquiry.earlier import EarlierJobs
from estimator.desktop.screens.enquiry.fields import (
    Field,
    customer_fields,
    machine_fields,
    wanted_fields,
)
from estimator.desktop.screens.enquiry.job_field import JobField
from estimator.desktop.screens.enquiry.list_grid import ListGrid
from estimator.desktop.screens.enquiry.range_card import RangeCard
from estimator.desktop.screens.enquiry.tables import history_table, repair_table
from estimator.desktop.screens.enquiry.terms import rates_table, stages_table, terms_fields
from estimator.desktop.workshop import Workshop
from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.catalogue.rows import REPAIR
from estimator.services.work_out import class_catalogue

SIDE_WIDTH = 312
ABOVE_BELOW = 700  # px; a narrower page has the range above the fields


class EnquiryPage(Page):
    """Fields of the job and its terms; each change is one edit, undone by its name."""

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Enquiry"))
        self.fields: dict[str, JobField] = {}
        self.lists: dict[str, ListGrid] = {}
        self._cat: ClassCatalogue | None = None
        self._built_for: Catalogue | None = None
        self.range = RangeCard(desk)
        self.earlier = EarlierJobs(workshop)
        self.note = QLabel()
        self.note.setProperty("tone", "attention")
        self.note.setTextFormat(Qt.TextFormat.PlainText)
        self.note.setWordWrap(True)
        self.area = QScrollArea()
        self.area.setWidgetResizable(True)
        self.area.setFrameShape(QFrame.Shape.NoFrame)
        self.area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.area.setAccessibleName(_("Enquiry"))
        self._forms = QVBoxLayout()
        self._build()
        self.range.why_asked.connect(self.why_asked)
        self.earlier.job_asked.connect(lambda number: self.go_asked.emit(f"{number}/enquiry", ""))
        self.connect_to_desk()
        workshop.catalogue_read.connect(lambda _catalogue: self.stale())

    def _build(self) -> None:
        self.side = QWidget()
        self.side.setFixedWidth(SIDE_WIDTH)
        side = QVBoxLayout(self.side)
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(16)
        side.addWidget(self.range)
        side.addWidget(self.earlier)
        side.addStretch()
        self._forms.setSpacing(20)
        self._forms.addWidget(self.note)
        forms = QWidget()
        forms.setLayout(self._forms)
        self._forms.setContentsMargins(0, 0, 0, 0)
        body = QWidget()
        self._body = QGridLayout(body)
        self._body.setContentsMargins(24, 16, 24, 24)
        self._body.setHorizontalSpacing(24)
        self._body.setVerticalSpacing(16)
        self._body.addWidget(forms, 1, 0, Qt.AlignmentFlag.AlignTop)
        self._body.addWidget(self.side, 1, 1, Qt.AlignmentFlag.AlignTop)
        self._body.setColumnStretch(0, 1)
        self._body.setRowStretch(2, 1)
        self.area.setWidget(body)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.area)

    def _build_fields(self, catalogue: Catalogue) -> None:
        """Once the catalogue is there: classes and taxes are its own."""
        say = self.workshop.formats
        history = history_table(say, None)
        self._group(_("Customer"), customer_fields())
        self._group(_("Machine"), machine_fields(say, catalogue))
        self._list(self._add_list(ListGrid(history, self.desk), "history"))
        self._group(_("Wanted"), wanted_fields(say))
        self._list(self._add_list(ListGrid(repair_table(None), self.desk), "repaired"))
        self._group(_("Terms"), terms_fields(say, catalogue))
        self._list(self._add_list(ListGrid(stages_table(say), self.desk), "stages"))
        rates = rates_table(say, self.workshop.today)
        self._list(self._add_list(ListGrid(rates, self.desk), "rates"))
        self._forms.addStretch()

    def _group(self, title: str, fields: Sequence[Field]) -> None:
        head = QLabel(title)
        head.setProperty("tone", "section")
        head.setTextFormat(Qt.TextFormat.PlainText)
        grid = QGridLayout()
        grid.setHorizontalSpacing(16)
        grid.setVerticalSpacing(12)
        for column in (0, 1):
            grid.setColumnStretch(column, 1)
            grid.setColumnMinimumWidth(column, 120)
        row = column = 0
        for one in fields:
            field = JobField(one, self.desk)
            field.field.installEventFilter(self)
            self.fields[one.place] = field
            if one.wide and column:
                row, column = row + 1, 0
            grid.addWidget(field, row, column, 1, 2 if one.wide else 1, Qt.AlignmentFlag.AlignTop)
            if one.wide or column:
                row, column = row + 1, 0
            else:
                column = 1
        block = QVBoxLayout()
        block.setSpacing(10)
        block.addWidget(head)
        block.addLayout(grid)
        self._forms.addLayout(block)

    def _add_list(self, made: ListGrid, key: str) -> ListGrid:
        self.lists[key] = made
        made.grid.installEventFilter(self)
        return made

    def _list(self, made: ListGrid) -> None:
        self._forms.addWidget(made)

    # Showing

    def refresh(self) -> None:
        """Show what the desk holds."""
        job, catalogue = self.desk.job, self.workshop.catalogue
        if job is None or catalogue is None:
            return
        if self._built_for is None:
            self._built_for = catalogue
            self._build_fields(catalogue)
            self.take_focus()
        cat = class_catalogue(catalogue, job.machine.class_id)
        if cat is not self._cat:
            self._cat = cat
            self.lists["history"].set_table(history_table(self.workshop.formats, cat))
            self.lists["repaired"].set_table(repair_table(cat))
        for field in self.fields.values():
            field.show_job()
        for made in self.lists.values():
            made.show_job()
        self.lists["repaired"].setVisible(job.level == REPAIR)
        words = self.desk.why_not()
        self.note.setText(words)
        self.note.setVisible(bool(words))
        self.range.show_job()
        self.earlier.show_job(job)

    # What the window asks

    def keys(self) -> Sequence[tuple[str, str]]:
        """Keys of this page."""
        return (
            ("Tab", _("next field")),
            ("Esc", _("as it was")),
            ("F4", _("open a list")),
            ("Ins", _("add a row")),
            ("Ctrl+Del", _("take a row out")),
        )

    def take_focus(self) -> None:
        """A job begins with its customer."""
        field = self.fields.get("customer/name")
        if field is not None and not self.place():
            field.field.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_to(self, place: str) -> None:
        """Put the focus into a field, by its place; or into a list."""
        target = self.fields.get(place)
        made = self.lists.get(place)
        widget = target.field if target is not None else made.grid if made is not None else None
        if widget is not None:
            widget.setFocus(Qt.FocusReason.OtherFocusReason)
            self.area.ensureWidgetVisible(widget)

    def place(self) -> str:
        """The field one is in."""
        focus = QApplication.focusWidget()
        here = (place for place, field in self.fields.items() if field.field is focus)
        return next(here, "")

    def panes(self) -> Sequence[QWidget]:
        """Fields, the history, the terms, the range."""
        first, terms = self.fields.get("customer/name"), self.fields.get("terms/commercial_form")
        found = [one.field for one in (first, terms) if one is not None]
        lists = [one.grid for one in self.lists.values() if not one.isHidden()]
        return [*found, *lists, self.range.low]

    def main_action(self) -> None:
        """Ctrl+Enter: what is typed is taken, and work goes on in the inspection."""
        focus = QApplication.focusWidget()
        if focus is not None:
            focus.clearFocus()
        self.go_asked.emit("inspection", "")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """What gets the focus by keyboard is scrolled into sight."""
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            self.area.ensureWidgetVisible(watched, 0, 60)
        return super().eventFilter(watched, event)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """A narrow page has the range above the fields."""
        super().resizeEvent(event)
        above = event.size().width() < ABOVE_BELOW
        self._body.removeWidget(self.side)
        if above:
            self.side.setMinimumWidth(0)
            self.side.setMaximumWidth(16_777_215)
            self._body.addWidget(self.side, 0, 0)
        else:
            self.side.setFixedWidth(SIDE_WIDTH)
            self._body.addWidget(self.side, 1, 1, Qt.AlignmentFlag.AlignTop)
