"""The Price page: lines in groups with their certainty, edited in place, and the totals."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFrame, QVBoxLayout, QWidget

from estimator.desktop.areas import SCOPE
from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.runner import WORK
from estimator.desktop.screens.price import filters
from estimator.desktop.screens.price.columns import RANGE, PriceColumns
from estimator.desktop.screens.price.editing import PriceEditing
from estimator.desktop.screens.price.tools import PriceTools
from estimator.desktop.screens.price.totals import TotalsGrid
from estimator.desktop.widgets.axis_header import AxisHeader
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel, Section
from estimator.desktop.workshop import Workshop
from estimator.services.show_price import (
    IssuedLines,
    PriceRow,
    PriceTable,
    TotalRow,
    axis_marks,
    lines_as_issued,
    may_see_cost,
    price_table,
    with_same_rows,
)

MANY_LINES = 800  # more are made into rows beside the window's thread
INDENT = 14
SHORT_WINDOW = 800  # px: lower ones have the low header, to leave room for lines
NAME_WIDTH = 180  # px that a line's name needs; columns are left out until it has them
LEFT_OUT = {True: ("rests", "certainty"), False: ("quantity", "rests", "range")}  # by cost view


class PricePage(Page):
    """What the customer pays, line by line, and what it costs the workshop."""

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Price"))
        self._table: PriceTable | None = None
        self._made_of: tuple[object, ...] = ()
        self._issued: IssuedLines | None = None
        self._dressed: tuple[bool, bool, str] | None = None
        self.tools = PriceTools()
        self.model = RowModel((), lambda row: row.figure)
        self.grid = Grid(self.model, _("Lines of the price"))
        self.header = AxisHeader(self.grid)
        self.grid.setHeader(self.header)
        self.grid.setIndentation(INDENT)
        self.grid.fold_all(set())
        self.totals = TotalsGrid(workshop.formats)
        self.editing = PriceEditing(self, self.grid, self._note)
        self._build()
        self._join()
        self.connect_to_desk()

    @property
    def short_header(self) -> bool:  # type: ignore[override]
        """Low windows keep their height for lines."""
        return self.window().height() < SHORT_WINDOW

    def _build(self) -> None:
        rule = QFrame()
        rule.setProperty("look", "ink-rule")
        rule.setFixedHeight(2)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.tools)
        column.addWidget(self.grid, 1)
        column.addWidget(rule)
        column.addWidget(self.totals)

    def _join(self) -> None:
        self.tools.changed.connect(self._filtered)
        self.tools.view_chosen.connect(self._show)
        self.editing.kept.connect(self._show)
        self.tools.add_asked.connect(self.editing.ask_own_line)
        self.tools.into_lines.connect(self.grid.setFocus)
        self.grid.current_changed.connect(self._on_current)
        self.grid.opened.connect(self._on_opened_row)
        self.totals.current_changed.connect(self._on_total)
        self.header.sectionResized.connect(
            lambda number, _old, new: self.totals.take_width(number, new)
        )
        self.header.sectionClicked.connect(self._sort)
        self.desk.opened.connect(lambda _job: self._read_issued())
        self.workshop.person_changed.connect(lambda _person: self.stale())
        self._read_issued()

    # What a page answers

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count here."""
        return (
            ("F2", _("edit")),
            ("Del", _("as worked out")),
            ("Ins", _("add line")),
            (_("Left / Right"), _("fold, unfold")),
            ("Ctrl+F", _("filter")),
            ("Shift+F9", _("pin why")),
        )

    def panes(self) -> Sequence[QWidget]:
        """Filter, lines, totals."""
        return (self.tools.text, self.grid, self.totals)

    def take_focus(self) -> None:
        """Work begins in the lines."""
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def explain_here(self) -> None:
        """The figure one is on."""
        self.why_asked.emit(self.place() or None)

    def filter_asked(self) -> None:
        """Ctrl+F."""
        self.tools.text.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.tools.text.selectAll()

    def place(self) -> str:
        """The figure under the cursor."""
        row = self.grid.current_row()
        return row.figure if row is not None else ""

    def go_to(self, place: str) -> None:
        """A figure's row; a line's code will do."""
        for figure in (place, f"line/{place}", f"contribution/{place}"):
            if self.grid.go_to(figure):
                return

    # Rows

    def refresh(self) -> None:
        """Make the rows of what the desk holds now."""
        work, priced = self.desk.work, self.desk.priced
        if work is None and priced is None:
            return
        day, issued = self.workshop.today(), self._issued
        made_of = (work, priced, issued, day)
        if self._same_as_before(made_of):
            self._show()
            return
        before = self._table

        def make() -> PriceTable:
            return with_same_rows(before, price_table(work, priced, day, issued))

        def take(table: PriceTable) -> None:
            self._table, self._made_of = table, made_of
            self._show()

        newest = work if work is not None else priced
        if newest is not None and len(newest.lines) > MANY_LINES:
            self.workshop.runner.run(lambda _report: make(), take, lane=WORK, subject="price rows")
        else:
            take(make())

    def _same_as_before(self, made_of: tuple[object, ...]) -> bool:
        """Whether rows of the very same reckoning, on the same day, are there already."""
        before = self._made_of
        return (
            bool(before)
            and all(one is two for one, two in zip(made_of[:-1], before[:-1], strict=True))
            and made_of[-1] == before[-1]
        )

    def _show(self) -> None:
        table = self._table
        if table is None:
            return
        self.model.locked = not self._may_edit()
        self._dress(table)
        self.tools.set_counts(filters.counts(table), table.since)
        sections = filters.chosen(table, self.tools.which, self.tools.words)
        self._set_sections([Section(head, rows) for head, rows in sections])
        self.totals.set_table(table)
        self.model.set_kept(self.editing.kept_texts(table))
        self.tools.set_note(self._note())

    def _set_sections(self, sections: list[Section]) -> None:
        row, key = self.grid.current_row(), self.grid.current_key()
        if self.editing.trying and not self.model.holds_same(sections):
            return  # an editor is open; its rows stay until it closes
        self.model.set_sections(sections)
        if row is not None and self.grid.current_row() is None:
            self.grid.go_to(row.figure, key)

    def _dress(self, table: PriceTable) -> None:
        """Columns of the chosen view, when they are others than those worn."""
        cost = self.tools.cost and may_see_cost(self.workshop.person)
        since = self.tools.which == filters.SINCE
        self.tools.show_switch(may_see_cost(self.workshop.person))
        if (cost, since, table.currency) != self._dressed:
            self._dressed = (cost, since, table.currency)
            made = PriceColumns(self.workshop.formats, table.currency, since=since)
            self.model.set_columns(made.cost() if cost else made.price())
            self.grid.set_widths(0)
            self.totals.follow(self.grid)
            self._fit_columns()
        section = -1 if cost else self.model.column_of(RANGE)
        say = self.workshop.formats
        marks = tuple(
            (place, say.number(number) + unit) for place, number, unit in axis_marks(table)
        )
        self.header.set_axis(section, marks)

    def _fit_columns(self) -> None:
        """Leave out what there is no room for, the least first; the why panel tells it."""
        columns = self.model.columns
        room = self.width() - sum(one.width for one in columns[1:])
        hidden = set()
        for key in LEFT_OUT[self._dressed is not None and self._dressed[0]]:
            if room < NAME_WIDTH:
                hidden.add(key)
                room += next(one.width for one in columns if one.key == key)
        for number, column in enumerate(columns):
            self.grid.setColumnHidden(number, column.key in hidden)
            self.totals.setColumnHidden(number, column.key in hidden)

    def resizeEvent(self, event: Any) -> None:
        """Fewer columns where it is narrow."""
        super().resizeEvent(event)
        if self._dressed is not None:
            self._fit_columns()

    def _filtered(self) -> None:
        open_all = self.tools.which != filters.ALL or bool(self.tools.words)
        self.grid.fold_all(None if open_all else set())
        self._show()

    def _sort(self, section: int) -> None:
        now = self.model.sorted_by
        if now is None or now[0] != section:
            self.model.sort(section, Qt.SortOrder.AscendingOrder)
        elif now[1] == Qt.SortOrder.AscendingOrder:
            self.model.sort(section, Qt.SortOrder.DescendingOrder)
        else:
            self.model.sort(-1)
            self._show()

    def _note(self) -> str:
        return self.desk.why_not()

    def _may_edit(self) -> bool:
        return not self.desk.why_not()

    # The revision issued before

    def _read_issued(self) -> None:
        job = self.desk.job
        self._issued = None
        if job is None:
            return
        record, number, revision = self.workshop.record, job.number, job.revision
        self.workshop.runner.run(
            lambda _report: lines_as_issued(record, number, revision),
            self._take_issued,
            subject="lines as issued",
        )

    def _take_issued(self, issued: IssuedLines | None) -> None:
        if issued is not None:
            self._issued = issued
            self.stale()

    # Why

    def _on_current(self, row: Any) -> None:
        if row is not None:
            self.why_asked.emit(row.figure)
            self.place_changed.emit(row.figure)

    def _on_total(self, row: TotalRow | None) -> None:
        if row is not None:
            self.why_asked.emit("base" if row.key == "work" else row.figure)

    def _on_opened_row(self, row: Any) -> None:
        """Enter: a line of one's own opens its form; another opens where it comes from."""
        if isinstance(row, PriceRow) and row.own and not self.model.locked:
            self.editing.ask_own_line(row.id)
        elif isinstance(row, PriceRow):
            self.go_asked.emit(SCOPE, row.figure)
