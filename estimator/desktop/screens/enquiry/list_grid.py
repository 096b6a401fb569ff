"""A small grid over a list of the open job: history, stage payments, exchange rates."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QResizeEvent
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.screens.enquiry.tables import Table, TableColumn
from estimator.desktop.telling import told_of
from estimator.desktop.widgets.columns import CellEdit, Column, Kept
from estimator.desktop.widgets.grid import Grid, title_width
from estimator.desktop.widgets.row_model import RowModel

ROW, HEAD = 28, 32


@dataclass(frozen=True, slots=True)
class Row:
    """A row by its place; the last one holds nothing and begins another."""

    place: int
    value: Any

    @property
    def id(self) -> str:
        """What the model calls it."""
        return str(self.place)


class _ListGrid(Grid):
    """As wide as there is room, each column by its share and no title cut while there is room for
    all. Ctrl+Del takes a row out, from whichever cell."""

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        first, *rest = self.rows.columns
        room = max(1, event.size().width() - first.width)
        asked = sum(column.width for column in rest)
        widths = [room * column.width // asked for column in rest]
        titles = [title_width(column) for column in rest]
        short = sum(max(0, title - wide) for wide, title in zip(widths, titles, strict=True))
        over = sum(max(0, wide - title) for wide, title in zip(widths, titles, strict=True))
        if 0 < short <= over:
            widths = [
                max(title, wide - max(0, wide - title) * short // over)
                for wide, title in zip(widths, titles, strict=True)
            ]
        for number, wide in enumerate(widths, start=1):
            self.setColumnWidth(number, wide)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if event.key() == Qt.Key.Key_Delete and control:
            self.remove_asked.emit(self.current_row())
            event.accept()
            return
        super().keyPressEvent(event)


class ListGrid(QWidget):
    """Title, words, grid, and the reason of what is not taken yet."""

    def __init__(self, table: Table, desk: Desk, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._table, self._desk = table, desk
        title, hint = _label(table.title, "head"), _label(table.hint, "note")
        self.trouble = _label("", "attention")
        self.trouble.hide()
        self.model = RowModel(self._columns(), lambda row: row.id)
        self.grid = _ListGrid(self.model, table.title, row_height=ROW)
        self.grid.set_widths(-1)
        for bars in (self.grid.setVerticalScrollBarPolicy, self.grid.setHorizontalScrollBarPolicy):
            bars(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.grid.setAccessibleDescription(table.hint)
        self.grid.setToolTip(_("Ins adds a row, Ctrl+Del takes one out"))
        self.model.edited.connect(self._take)
        self.model.kept_changed.connect(self._keep)
        self.grid.insert_asked.connect(self._begin_row)
        self.grid.remove_asked.connect(self._remove)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        for widget in (title, self.grid, self.trouble, hint):
            column.addWidget(widget)

    def set_table(self, table: Table) -> None:
        """Read the cells against another catalogue."""
        self._table = table

    def _columns(self) -> list[Column]:
        first = Column("no", _("No."), lambda row: str(row.place + 1), 40, tone=lambda _row: "ink3")
        return [first, *(self._column(one) for one in self._table.columns)]

    def _column(self, one: TableColumn) -> Column:
        def shown(row: Row) -> str:
            if row.value is None:
                return _("Ins adds") if one.key == self._table.says else ""
            return one.shown(getattr(row.value, one.key))

        def read(row: Row, typed: str) -> Any:
            job = self._desk.job
            return None if job is None else self._table.read(job, row.place, one.key, typed)

        return Column(
            one.key,
            one.title,
            shown,
            one.width,
            right=one.right,
            read=read,
            edit_text=lambda row: "" if row.value is None else shown(row),
            tone=lambda row: "ink3" if row.value is None else "ink",
            slanted=lambda row: row.value is None,
            tip=shown,
        )

    def show_job(self) -> None:
        """Show the desk's list."""
        job = self._desk.job
        if job is None:
            return
        rows = [Row(place, value) for place, value in enumerate(self._table.rows(job))]
        if not self._desk.why_not():
            rows.append(Row(len(rows), None))
        self.model.locked = bool(self._desk.why_not())
        self.model.set_rows(rows)
        self.model.set_kept(self._kept(rows))
        self.grid.setFixedHeight(HEAD + ROW * max(1, len(rows)) + 2)
        self._show_trouble()

    def _kept(self, rows: list[Row]) -> dict[tuple[str, str], Kept]:
        found: dict[tuple[str, str], Kept] = {}
        for row in rows:
            for column in self._table.columns:
                text = self._desk.kept.get(self._table.place(row.place, column.key))
                if text is not None:
                    reason = self._reason(row, column.key, text)
                    found[row.id, column.key] = Kept(row, column.key, text, reason)
        return found

    def _reason(self, row: Row, key: str, text: str) -> str:
        job = self._desk.job
        try:
            if job is not None:
                self._table.read(job, row.place, key, text)
        except ValueError as error:
            return told_of(error)
        return _("Typed, and not taken yet. Enter takes it.")

    def _show_trouble(self) -> None:
        rows = [self.model.row_at(self.model.index(n, 0)) for n in range(self.model.rowCount())]
        kept = list(self._kept(rows).values())
        self.trouble.setVisible(bool(kept))
        if kept:
            self.trouble.setText(f"\u201c{kept[0].text}\u201d: {kept[0].reason}")

    def _take(self, edits: list[CellEdit]) -> None:
        job = self._desk.job
        if job is None:
            return
        cells = [(one.row.place, one.key, one.value) for one in edits]
        self._desk.edit(self._table.name, self._table.with_cells(job, cells))
        for one in edits:
            self._desk.drop(self._table.place(one.row.place, one.key))
        self.show_job()

    def _keep(self, kept: list[Kept]) -> None:
        for one in kept:
            self._desk.keep(self._table.place(one.row.place, one.key), one.text, one.reason)
        self._show_trouble()

    def _begin_row(self) -> None:
        last = self.model.rowCount() - 1
        row = self.model.row_at(self.model.index(last, 0))
        if row is not None:
            self.grid.edit_at(row.id, self._table.first)

    def _remove(self, row: Row | None) -> None:
        job = self._desk.job
        if (
            job is not None
            and row is not None
            and row.value is not None
            and not self._desk.why_not()
        ):
            self._desk.edit(self._table.name, self._table.without(job, [row.place]))


def _label(text: str, tone: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setProperty("tone", tone)
    label.setWordWrap(True)
    return label
