"""Tables, rows, and the row that is chosen as a form; below it what is being changed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QSplitter, QVBoxLayout, QWidget

from estimator.desktop.formats import Formats
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.catalogue.columns import (
    ALL_TABLES,
    TableLine,
    pending_columns,
    row_columns,
    table_columns,
)
from estimator.desktop.screens.catalogue.form import RowForm
from estimator.desktop.screens.catalogue.tools import CatalogueTools
from estimator.desktop.screens.catalogue.words import state_words, table_title
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.catalogue.changes import RowChange
from estimator.services.show_catalogue import ShownRow, TableCount

_ROW_HIGH = 26
_PENDING_HIGH = 116
_MOST_FAULTS = 3
_NARROW = 1180  # px of the whole: below, tables and form take less
_WIDE_PARTS, _NARROW_PARTS = (290, 340), (230, 300)
_STARTING = 2  # column of the tables that goes where there is little room
_ROOM_FOR = {3: 620, 2: 580}  # column of the rows: px of their part that it needs to be shown


class RowsFace(QWidget):
    """The grids and the form; the page says what they show.

    Signals: table_chosen(), row_chosen(object), drop_asked(object): a change to be left.
    """

    table_chosen = Signal()
    row_chosen = Signal(object)
    drop_asked = Signal(object)

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.tools = CatalogueTools()
        self.tables_model = RowModel(table_columns(say), lambda one: one.table or "all")
        self.tables = Grid(self.tables_model, _("Tables"), row_height=_ROW_HIGH)
        self.rows_model = RowModel(row_columns(say, {}), lambda one: one.id)
        self.rows = Grid(self.rows_model, _("Rows"), row_height=_ROW_HIGH)
        self.pending_model = RowModel(pending_columns(), lambda one: str(id(one)))
        self.pending = Grid(self.pending_model, _("What is being changed"), row_height=_ROW_HIGH)
        for grid in (self.tables, self.rows, self.pending):
            grid.setSelectionMode(Grid.SelectionMode.SingleSelection)
        self.form = RowForm(say)
        self.title = ElidedLabel(tone="section")
        self.pending_title = plain_label("", "head", wrapped=True)
        self.faults = plain_label("", "attention", wrapped=True)
        self.keep = QPushButton(_("Keep") + "   " + key_names("Ctrl+Enter"))
        self.keep.setProperty("primary", True)
        self.effect = QPushButton(_("Effect on quotes"))
        self.drop = QPushButton(_("Drop all"))
        self._build()
        self.tables.current_changed.connect(lambda _row: self.table_chosen.emit())
        self.rows.current_changed.connect(self.row_chosen)
        self.rows.opened.connect(lambda _row: self.into_form())
        self.pending.remove_asked.connect(self.drop_asked)
        self.tools.into_rows.connect(lambda: self.rows.setFocus(Qt.FocusReason.OtherFocusReason))

    def _build(self) -> None:
        self._is_narrow = False
        self.side = QFrame()
        self.side.setProperty("look", "side")
        self.side.setMinimumWidth(300)
        side = QVBoxLayout(self.side)
        side.setContentsMargins(0, 12, 0, 10)
        side.setSpacing(4)
        for label in (self.title, self.pending_title, self.faults):
            label.setContentsMargins(16, 0, 16, 0)
        self.pending.setFixedHeight(_PENDING_HIGH)
        side.addWidget(self.title)
        side.addWidget(self.form, 1)
        side.addWidget(self.faults)
        side.addWidget(self.pending_title)
        side.addWidget(self.pending)
        row = QHBoxLayout()
        row.setContentsMargins(12, 4, 12, 0)
        row.setSpacing(6)
        for button in (self.drop, self.effect, self.keep):
            button.setProperty("tool", True)
        row.addWidget(self.drop)
        row.addWidget(self.effect)
        row.addStretch()
        side.addLayout(row)
        last = QHBoxLayout()
        last.setContentsMargins(12, 2, 12, 0)
        last.addWidget(self.keep)
        last.addStretch()
        side.addLayout(last)
        self._join_parts()
        self.show_pending((), ())

    def _join_parts(self) -> None:
        """Tables, rows and the form beside each other, under the tools."""
        split = QSplitter(Qt.Orientation.Horizontal)
        split.setChildrenCollapsible(False)
        for part, stretch in ((self.tables, 0), (self.rows, 1), (self.side, 0)):
            split.addWidget(part)
            split.setStretchFactor(split.count() - 1, stretch)
        self.tables.setMinimumWidth(200)
        split.setSizes([*_WIDE_PARTS[:1], 650, *_WIDE_PARTS[1:]])
        split.splitterMoved.connect(lambda *_where: self._fit_columns())
        self._split = split
        self.tables.set_widths(0)
        self.rows.set_widths(1)
        self.pending.set_widths(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.tools)
        column.addWidget(split, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a small screen the parts beside the rows give way, then columns that say least."""
        super().resizeEvent(event)
        narrow = event.size().width() < _NARROW
        if narrow != self._is_narrow:
            self._is_narrow = narrow
            first, last = _NARROW_PARTS if narrow else _WIDE_PARTS
            self._split.setSizes([first, event.size().width() - first - last, last])
            self.tables.setColumnHidden(_STARTING, narrow)
        self._fit_columns()

    def _fit_columns(self) -> None:
        room = self._split.sizes()[1]
        for number, least in _ROOM_FOR.items():
            self.rows.setColumnHidden(number, room < least)

    @property
    def table(self) -> str:
        """The table that is chosen; "" for all."""
        line = self.tables.current_row()
        return line.table if line is not None else ALL_TABLES

    def panes(self) -> Sequence[QWidget]:
        """The words, the tables, the rows, the form, what is being changed."""
        first = self.form.first_field()
        field = [first] if first is not None and first.isEnabled() else []
        more = [self.pending] if self.pending.isVisible() else []
        return (self.tools.text, self.tables, self.rows, *field, *more)

    def into_form(self) -> None:
        """Go to the first field of the row that is chosen."""
        first = self.form.first_field()
        if first is not None:
            first.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_tables(self, counts: Sequence[TableCount]) -> None:
        """The tables with their counts; the one that is chosen stays chosen."""
        every = TableLine(
            ALL_TABLES, sum(one.rows for one in counts), sum(one.starting for one in counts)
        )
        lines = [TableLine(one.table, one.rows, one.starting) for one in counts]
        self.tables_model.set_rows([every, *lines])
        if self.tables.current_row() is None:
            self.tables.setCurrentIndex(self.tables_model.index(0, 0))

    def show_rows(
        self, rows: Sequence[ShownRow], count: int, names: Mapping[tuple[str, str], str]
    ) -> None:
        """The rows that were found, and how many there are."""
        here = self.rows.current_row()
        self.rows_model.columns = row_columns(self._say, names)
        self.rows.setColumnHidden(
            self.rows_model.column_of("state"), not any(r.state for r in rows)
        )
        self.rows_model.set_rows(rows)
        said = ngettext("{n} row", "{n} rows", count).format(n=self._say.number(count))
        if count > len(rows):
            said = _("the first {n} of {count} rows").format(
                n=self._say.number(len(rows)), count=self._say.number(count)
            )
        self.tools.count.set_text(said)
        if here is None or not self.rows.go_to(here.id):
            first = self.rows_model.index(0, 0)
            self.rows.setCurrentIndex(first)
        self.row_chosen.emit(self.rows.current_row())

    def show_title(self, row: ShownRow | None) -> None:
        """Which row the form is of."""
        if row is None:
            self.title.set_text(_("No row is chosen."))
            return
        said = f"{table_title(row.table)}: {row.code}"
        state = state_words(row.state)
        self.title.set_text(f"{said} ({state})" if state else said)

    def show_pending(self, changes: Sequence[RowChange], faults: Sequence[str]) -> None:
        """What is being changed, and what is wrong with the catalogue as it would be."""
        self.pending_model.set_rows(changes)
        count = len(changes)
        self.pending_title.setText(
            ngettext("{n} row is being changed", "{n} rows are being changed", count).format(
                n=self._say.number(count)
            )
        )
        left = len(faults) - _MOST_FAULTS
        told = list(faults[:_MOST_FAULTS])
        if left > 0:
            told.append(ngettext("and {n} more fault", "and {n} more faults", left).format(n=left))
        self.faults.setText("\n".join(told))
        self.faults.setVisible(bool(faults))
        for widget in (self.pending_title, self.pending, self.drop, self.effect, self.keep):
            widget.setVisible(bool(changes))
