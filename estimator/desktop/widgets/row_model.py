"""The one table model: frozen rows and columns as data, flat or under section heads.

Rows are compared by identity of content: setting rows that differ in a few cells repaints those
only and keeps selection, folding and scroll. Sorting is by value in Python.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import (
    QAbstractItemModel,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import QFont

from estimator.desktop.telling import told
from estimator.desktop.widgets.columns import CellEdit, Column, Kept, parsed
from estimator.desktop.widgets.plain_tip import plain_tip

Index = QModelIndex | QPersistentModelIndex
ROW = int(Qt.ItemDataRole.UserRole) + 1
COLUMN = ROW + 1
KEPT = ROW + 2
DISPLAY, EDIT = int(Qt.ItemDataRole.DisplayRole), int(Qt.ItemDataRole.EditRole)
ALIGNMENT = int(Qt.ItemDataRole.TextAlignmentRole)
FONT, TIP = int(Qt.ItemDataRole.FontRole), int(Qt.ItemDataRole.ToolTipRole)
SPOKEN = int(Qt.ItemDataRole.AccessibleTextRole)
RIGHT = int(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
LEFT = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
PLAIN_HEAD = Qt.ItemFlag.ItemIsEnabled | Qt.ItemFlag.ItemIsSelectable
PLAIN_ROW = PLAIN_HEAD | Qt.ItemFlag.ItemNeverHasChildren


@dataclass(frozen=True, slots=True)
class Section:
    """A head row with the rows under it."""

    head: Any
    rows: tuple[Any, ...]


class RowModel(QAbstractItemModel):
    """Rows and columns. `id_of` names a row, the same from one setting of the rows to the next.

    Signals:
        edited(object): list of CellEdit, one act of the user (a typed cell, a paste, a fill)
        kept_changed(object): list of Kept, texts that cannot be taken yet
        refilled(): the rows themselves came or went
    """

    edited = Signal(object)
    kept_changed = Signal(object)
    refilled = Signal()

    def __init__(
        self,
        columns: Sequence[Column],
        id_of: Callable[[Any], str],
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.columns = tuple(columns)
        self.id_of = id_of
        self.locked = False
        self._sections: list[Section] = []
        self._flat = True
        self._kept: dict[tuple[str, str], Kept] = {}
        self._batch: list[CellEdit | Kept] | None = None
        self._fonts: dict[tuple[bool, bool], QFont] = {}
        self._order: tuple[int, Qt.SortOrder] | None = None

    # What the rows are

    def set_rows(self, rows: Sequence[Any]) -> None:
        """Show a flat list."""
        self._set([Section(None, tuple(self._sorted(rows)))], flat=True)

    def set_sections(self, sections: Sequence[Section]) -> None:
        """Show rows under heads."""
        kept = [Section(one.head, tuple(self._sorted(one.rows))) for one in sections]
        self._set(kept, flat=False)

    def set_columns(self, columns: Sequence[Column]) -> None:
        """Show other columns of the same rows."""
        self.beginResetModel()
        self.columns = tuple(columns)
        self.endResetModel()
        self.refilled.emit()

    def set_kept(self, kept: Mapping[tuple[str, str], Kept]) -> None:
        """Texts that are kept though not valid, by (row id, column key)."""
        touched = set(self._kept) ^ set(kept)
        self._kept = dict(kept)
        for row_id, key in touched:
            self._repaint(row_id, key)

    def _set(self, sections: list[Section], *, flat: bool) -> None:
        same = flat == self._flat and self._alike(sections)
        if not same and flat and self._flat and self._append(sections[0].rows):
            return
        if not same:
            self.beginResetModel()
            self._sections, self._flat = sections, flat
            self.endResetModel()
            self.refilled.emit()
            return
        before, self._sections = self._sections, sections
        last = len(self.columns) - 1
        for number, (old, new) in enumerate(zip(before, sections, strict=True)):
            if not flat and old.head != new.head:
                self.dataChanged.emit(
                    self.createIndex(number, 0, 0), self.createIndex(number, last, 0)
                )
            under = 0 if flat else number + 1
            if old.rows is new.rows:
                continue
            for place, (one, two) in enumerate(zip(old.rows, new.rows, strict=True)):
                if one is not two and one != two:
                    self.dataChanged.emit(
                        self.createIndex(place, 0, under), self.createIndex(place, last, under)
                    )

    def _append(self, rows: tuple[Any, ...]) -> bool:
        """Add rows at the end where those that are shown stay the very same; else False."""
        shown = self._sections[0].rows if self._sections else ()
        if not shown or len(rows) <= len(shown) or self._order is not None:
            return False
        if [self.id_of(row) for row in rows[: len(shown)]] != [self.id_of(row) for row in shown]:
            return False
        self.beginInsertRows(QModelIndex(), len(shown), len(rows) - 1)
        before, self._sections = self._sections, [Section(None, rows)]
        self.endInsertRows()
        self.refilled.emit()
        last = len(self.columns) - 1
        for place, (one, two) in enumerate(zip(before[0].rows, rows, strict=False)):
            if one != two:
                self.dataChanged.emit(
                    self.createIndex(place, 0, 0), self.createIndex(place, last, 0)
                )
        return True

    def holds_same(self, sections: Sequence[Section]) -> bool:
        """Whether the very rows under the very heads are shown, whatever is in them now."""
        return not self._flat and self._alike(sections)

    @property
    def sorted_by(self) -> tuple[int, Qt.SortOrder] | None:
        """(column, order) the rows are sorted by; None where they stand as given."""
        return self._order

    def _alike(self, sections: Sequence[Section]) -> bool:
        """Whether the very rows under the very heads are shown; a tuple of rows that is the same
        object is not looked into, which matters at thousands of rows."""
        if len(sections) != len(self._sections):
            return False
        return all(
            self._ids_of(old.head) == self._ids_of(new.head)
            and (
                old.rows is new.rows
                or [self.id_of(row) for row in old.rows] == [self.id_of(row) for row in new.rows]
            )
            for old, new in zip(self._sections, sections, strict=True)
        )

    def _ids_of(self, head: Any) -> str | None:
        return None if head is None else self.id_of(head)

    def sort(self, column: int, order: Qt.SortOrder = Qt.SortOrder.AscendingOrder) -> None:
        """Sort by value within each section, now and whenever rows are set; -1: as given."""
        self._order = None if column < 0 else (column, order)
        if column < 0:
            return
        self.layoutAboutToBeChanged.emit()
        chosen = [(index, self.row_at(index)) for index in self.persistentIndexList()]
        self._sections = [Section(s.head, tuple(self._sorted(s.rows))) for s in self._sections]
        for index, row in chosen:
            new = self.index_of(self.id_of(row), index.column()) if row is not None else None
            self.changePersistentIndex(index, new or QModelIndex())
        self.layoutChanged.emit()

    def _sorted(self, rows: Sequence[Any]) -> Sequence[Any]:
        if self._order is None:
            return rows
        column = self.columns[self._order[0]]
        by = column.sort or (lambda row: told(column.text(row)).casefold())
        keyed = [(by(row), row) for row in rows]
        known = sorted((p for p in keyed if p[0] is not None), key=lambda p: p[0])
        if self._order[1] == Qt.SortOrder.DescendingOrder:
            known.reverse()
        return [row for _key, row in known] + [row for key, row in keyed if key is None]

    # Finding rows

    def row_at(self, index: Index) -> Any:
        """The row (or head) at an index; None outside."""
        if not index.isValid():
            return None
        under = index.internalId()
        if self._flat:
            return self._sections[0].rows[index.row()]
        if under == 0:
            return self._sections[index.row()].head
        return self._sections[under - 1].rows[index.row()]

    def is_head(self, index: Index) -> bool:
        """Whether the index is a section's head."""
        return index.isValid() and not self._flat and index.internalId() == 0

    def index_of(self, row_id: str, column: int = 0) -> QModelIndex | None:
        """Where a row stands; None where it is not shown."""
        for number, section in enumerate(self._sections):
            if not self._flat and self.id_of(section.head) == row_id:
                return self.createIndex(number, column, 0)
            for place, row in enumerate(section.rows):
                if self.id_of(row) == row_id:
                    return self.createIndex(place, column, 0 if self._flat else number + 1)
        return None

    def column_of(self, key: str) -> int:
        """Number of a column by its key."""
        return next(n for n, column in enumerate(self.columns) if column.key == key)

    def _repaint(self, row_id: str, key: str) -> None:
        for number, column in enumerate(self.columns):
            if column.key == key and (index := self.index_of(row_id, number)) is not None:
                self.dataChanged.emit(index, index)

    # Editing

    def begin_batch(self) -> None:
        """What is set until `end_batch` is one act of the user."""
        self._batch = []

    def end_batch(self) -> None:
        """Hand on everything set since `begin_batch`."""
        batch, self._batch = self._batch or [], None
        self._hand_on(batch)

    def _hand_on(self, results: Sequence[CellEdit | Kept]) -> None:
        kept = [one for one in results if isinstance(one, Kept)]
        edits = [one for one in results if isinstance(one, CellEdit)]
        for one in kept:
            self._kept[(self.id_of(one.row), one.key)] = one
            self._repaint(self.id_of(one.row), one.key)
        for edit in edits:
            if self._kept.pop((self.id_of(edit.row), edit.key), None) is not None:
                self._repaint(self.id_of(edit.row), edit.key)
        if kept:
            self.kept_changed.emit(kept)
        if edits:
            self.edited.emit(edits)

    # Qt's model

    def setData(self, index: Index, value: Any, role: int = EDIT) -> bool:
        """Take text; what it comes to is handed on by a signal, never written here. Text that
        stands there already is no edit."""
        row = self.row_at(index)
        if role != EDIT or row is None:
            return False
        column = self.columns[index.column()]
        text = str(value)
        known = self._kept.get((self.id_of(row), column.key))
        if known is None and text == self._edit_text(row, column):
            return not self.locked and column.can_edit(row)
        return self.take_typed(index, text)

    def take_typed(self, index: Index, text: str) -> bool:
        """Take text a person typed, also where the row shows it already: a row may follow what is
        being typed before it is an edit."""
        row = self.row_at(index)
        if row is None or self.locked:
            return False
        column = self.columns[index.column()]
        if not column.can_edit(row):
            return False
        result = parsed(column, row, text)
        if self._batch is None:
            self._hand_on([result])
        else:
            self._batch.append(result)
        return True

    def _edit_text(self, row: Any, column: Column) -> str:
        return (column.edit_text or column.text)(row)

    def data(self, index: Index, role: int = DISPLAY) -> Any:
        """What a cell shows, by role."""
        row = self.row_at(index)
        if row is None:
            return None
        column = self.columns[index.column()]
        if role in (DISPLAY, EDIT):
            kept = self._kept.get((self.id_of(row), column.key)) if self._kept else None
            if kept is not None:
                return kept.text
            return told(column.text(row)) if role == DISPLAY else self._edit_text(row, column)
        if role == ALIGNMENT:
            return RIGHT if column.right else LEFT
        if role == FONT:
            return self._font(column.strong(row), column.slanted(row))
        if role == ROW:
            return row
        if role == COLUMN:
            return column
        return self._other(row, column, role)

    def _other(self, row: Any, column: Column, role: int) -> Any:
        kept = self._kept.get((self.id_of(row), column.key)) if self._kept else None
        if role == KEPT:
            return kept
        if role == TIP:
            if kept is not None:
                return plain_tip(kept.reason)
            return plain_tip(column.tip(row)) if column.tip else None
        if role == SPOKEN:
            title = " ".join(column.title.split())  # a title may stand on two lines
            said = f"{title}: {kept.text if kept else told(column.text(row))}"
            return f"{said}. {kept.reason}" if kept else said
        return None

    def _font(self, strong: bool, slanted: bool) -> QFont | None:
        if not strong and not slanted:
            return None
        font = self._fonts.get((strong, slanted))
        if font is None:
            font = QFont()
            if strong:
                font.setWeight(QFont.Weight.DemiBold)
            font.setItalic(slanted)
            self._fonts[(strong, slanted)] = font
        return font

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = DISPLAY) -> Any:
        """Titles of the columns."""
        if orientation != Qt.Orientation.Horizontal or section >= len(self.columns):
            return None
        if role == DISPLAY:
            return self.columns[section].title
        if role == ALIGNMENT:
            return RIGHT if self.columns[section].right else LEFT
        return None

    def flags(self, index: Index) -> Qt.ItemFlag:
        """What can be done with a cell."""
        if not index.isValid():
            return Qt.ItemFlag.NoItemFlags
        plain = PLAIN_HEAD if not self._flat and index.internalId() == 0 else PLAIN_ROW
        # Asked twice for each of thousands of rows when they are laid out.
        if self.locked or self.columns[index.column()].read is None:
            return plain
        row = self.row_at(index)
        if row is None:
            return Qt.ItemFlag.NoItemFlags
        if self.columns[index.column()].can_edit(row):
            return plain | Qt.ItemFlag.ItemIsEditable
        return plain

    def index(self, row: int, column: int, parent: Index = QModelIndex()) -> QModelIndex:  # noqa: B008
        """Index of a cell."""
        # Asked for each of thousands of rows when they are laid out: no way through Qt and back.
        if row < 0 or not 0 <= column < len(self.columns):
            return QModelIndex()
        if not parent.isValid():
            below = self._sections[0].rows if self._flat and self._sections else self._sections
            return self.createIndex(row, column, 0) if row < len(below) else QModelIndex()
        if self._flat or parent.internalId() != 0 or parent.column() > 0:
            return QModelIndex()
        place = parent.row()
        if row >= len(self._sections[place].rows):
            return QModelIndex()
        return self.createIndex(row, column, place + 1)

    def parent(self, index: Index = QModelIndex()) -> QModelIndex:  # type: ignore[override]  # noqa: B008
        """The head of a row's section."""
        if not index.isValid() or self._flat or index.internalId() == 0:
            return QModelIndex()
        return self.createIndex(index.internalId() - 1, 0, 0)

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """Rows at the top, or under a head."""
        if not parent.isValid():
            if self._flat:
                return len(self._sections[0].rows) if self._sections else 0
            return len(self._sections)
        if self._flat or parent.internalId() != 0 or parent.column() > 0:
            return 0
        return len(self._sections[parent.row()].rows)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: ARG002, B008
        """Columns, the same everywhere."""
        return len(self.columns)
