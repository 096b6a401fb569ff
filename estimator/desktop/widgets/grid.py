"""The one grid: moves, edits, copies and pastes by keyboard as a spreadsheet does.

It shows a `RowModel`, flat or under heads that fold. What is typed, pasted, filled or cleared
leaves by the model's `edited`, one list for one act.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import (
    QEvent,
    QItemSelection,
    QItemSelectionModel,
    QModelIndex,
    QRect,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QFocusEvent,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QPainter,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTreeView, QWidget

from estimator.desktop.drawing.words import words_width
from estimator.desktop.theme import current_theme
from estimator.desktop.widgets.cell_delegate import ROW_BAR, CellDelegate, paint_caret
from estimator.desktop.widgets.columns import Column
from estimator.desktop.widgets.row_model import EDIT, Index, RowModel

TITLE_PAD, TITLE_WEIGHT = 8, 600  # as the style sheet dresses a head
MOST_PASTED = 20_000  # cells; more is a slip of the hand


def title_width(column: Column) -> int:
    """Pixels that a column needs for its title not to be cut."""
    theme = current_theme()
    font = theme.font(theme.sizes.note, TITLE_WEIGHT)
    return max(words_width(line, font) for line in column.title.split("\n")) + 2 * TITLE_PAD


class Grid(QTreeView):
    """A grid of cells over a RowModel.

    Signals:
        current_changed(object): the row under the cursor, or None
        opened(object): Enter or a double click on a row whose cell takes no text
        insert_asked(), remove_asked(object): Ins, and Del on a cell that takes no text
        typing(object, str, str): row, column key and text while a cell is being edited
        refused(str): a paste that cannot be taken, in words
        rows_wanted(int): a paste has so many more lines than there are rows; whoever can adds some
    """

    current_changed = Signal(object)
    opened = Signal(object)
    insert_asked = Signal()
    remove_asked = Signal(object)
    typing = Signal(object, str, str)
    refused = Signal(str)
    rows_wanted = Signal(int)

    def __init__(
        self, model: RowModel, name: str, *, row_height: int = 24, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.rows = model
        self._open_heads: set[str] | None = None  # None: all are open
        self.setAccessibleName(name)
        self.setModel(model)
        self.setItemDelegate(CellDelegate(row_height, self))
        self.setUniformRowHeights(True)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectItems)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.AnyKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        self.setIndentation(18)
        self.setRootIsDecorated(False)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setTabKeyNavigation(False)
        header = self.header()
        header.setStretchLastSection(False)
        header.setSectionsMovable(False)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setAccessibleName(name)
        self.set_widths()
        model.refilled.connect(self._refilled)
        self.doubleClicked.connect(self._double_clicked)
        self.collapsed.connect(lambda index: self._folded(index, False))
        self.expanded.connect(lambda index: self._folded(index, True))

    # Shape

    def set_widths(self, stretch: int = 0) -> None:
        """Columns at their widths, or as wide as their titles where those need more in the language
        in use; the one numbered `stretch` takes what is left."""
        shown = not self.header().isHidden()
        for number, column in enumerate(self.rows.columns):
            title = title_width(column) if shown else 0
            mode = QHeaderView.ResizeMode
            self.header().setSectionResizeMode(
                number, mode.Stretch if number == stretch else mode.Interactive
            )
            self.setColumnWidth(number, max(column.width, title))

    def fold_all(self, open_ids: set[str] | None) -> None:
        """Fold every head but those named; None opens all."""
        self._open_heads = None if open_ids is None else set(open_ids)
        self._refilled()

    def _folded(self, index: QModelIndex, is_open: bool) -> None:
        row = self.rows.row_at(index)
        if row is None:
            return
        if self._open_heads is None:
            if is_open:
                return
            self._open_heads = {self.rows.id_of(head) for head in self._heads()}
        name = self.rows.id_of(row)
        if is_open:
            self._open_heads.add(name)
        else:
            self._open_heads.discard(name)

    def _heads(self) -> list[Any]:
        top = QModelIndex()
        indexes = [self.rows.index(n, 0, top) for n in range(self.rows.rowCount())]
        return [self.rows.row_at(index) for index in indexes if self.rows.is_head(index)]

    def _refilled(self) -> None:
        self.setRootIsDecorated(bool(self._heads()))
        opened = self._open_heads
        for number in range(self.rows.rowCount()):
            index = self.rows.index(number, 0, QModelIndex())
            if self.rows.is_head(index):
                row = self.rows.row_at(index)
                self.setExpanded(index, opened is None or self.rows.id_of(row) in opened)

    def drawBranches(self, painter: QPainter, rect: QRect, index: Index) -> None:
        """The ground goes on to the left edge; heads have a caret."""
        theme = current_theme()
        here = self.currentIndex()
        same_row = here.isValid() and here.row() == index.row() and here.parent() == index.parent()
        colours = theme.colours
        is_head = self.rows.is_head(index)
        ground = colours.surface
        if same_row:
            ground = colours.select
        elif is_head or self.rows.locked:
            ground = colours.sunken
        painter.fillRect(rect, ground)
        painter.fillRect(rect.left(), rect.bottom(), rect.width(), 1, colours.line)
        if same_row:
            painter.fillRect(rect.left(), rect.top(), ROW_BAR, rect.height(), colours.ink)
        if is_head:
            paint_caret(painter, rect, theme, open_=self.isExpanded(index))

    # Where the cursor is

    def current_row(self) -> Any:
        """The row under the cursor; None where there is none."""
        return self.rows.row_at(self.currentIndex())

    def current_key(self) -> str:
        """Key of the column under the cursor."""
        index = self.currentIndex()
        return self.rows.columns[index.column()].key if index.isValid() else ""

    def go_to(self, row_id: str, key: str = "") -> bool:
        """Put the cursor on a row; False where it is not shown."""
        column = self.rows.column_of(key) if key else max(self.currentIndex().column(), 0)
        index = self.rows.index_of(row_id, column)
        if index is None:
            return False
        if index.parent().isValid():
            self.setExpanded(index.parent(), True)
        self.setCurrentIndex(index)
        self.scrollTo(index)
        return True

    def edit_at(self, row_id: str, key: str) -> bool:
        """Open the editor of a cell; False where it takes no text."""
        if not self.go_to(row_id, key):
            return False
        return bool(
            self.edit(
                self.currentIndex(), self.EditTrigger.AllEditTriggers, QEvent(QEvent.Type.None_)
            )
        )

    def currentChanged(self, current: Index, previous: Index) -> None:
        """Tell which row the cursor stands on."""
        super().currentChanged(current, previous)
        for index in (current, previous):
            self._repaint_row(index)
        self.current_changed.emit(self.rows.row_at(current))

    def _repaint_row(self, index: Index) -> None:
        if index.isValid():
            rect = self.visualRect(index)
            self.viewport().update(0, rect.top(), self.viewport().width(), rect.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The row one is on stays in sight in a grid that becomes lower."""
        here = self.currentIndex()
        bottom = self.visualRect(here).bottom() if here.isValid() else 0
        super().resizeEvent(event)
        if event.size().height() < bottom <= event.oldSize().height():
            self.scrollTo(here)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """A grid that is entered has a cursor."""
        super().focusInEvent(event)
        if not self.currentIndex().isValid() and self.rows.rowCount():
            self.setCurrentIndex(self.rows.index(0, 0, QModelIndex()))

    # Keys

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The keys of a spreadsheet."""
        act = self._act_for(event)
        if act is None:
            super().keyPressEvent(event)
        else:
            act()
            event.accept()

    def _act_for(self, event: QKeyEvent) -> Callable[[], object] | None:
        for sequence, act in (
            (QKeySequence.StandardKey.Copy, self.copy),
            (QKeySequence.StandardKey.Cut, self.cut),
            (QKeySequence.StandardKey.Paste, self.paste),
        ):
            if event.matches(sequence):
                return act
        key, control = event.key(), event.modifiers() & Qt.KeyboardModifier.ControlModifier
        if control and key == Qt.Key.Key_D:
            return self.fill_down
        if event.modifiers() & ~(
            Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
        ):
            return None
        plain: dict[int, Callable[[], object]] = {
            Qt.Key.Key_Insert: self.insert_asked.emit,
            Qt.Key.Key_Delete: self._delete,
            Qt.Key.Key_Return: self._enter,
            Qt.Key.Key_Enter: self._enter,
        }
        if key in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
            forward = key == Qt.Key.Key_Tab
            return (lambda: self._to_field(forward)) if self._field_after(forward) else None
        return plain.get(key)

    def _enter(self) -> None:
        index = self.currentIndex()
        row = self.rows.row_at(index)
        if row is None:
            return
        if self.rows.is_head(index):
            self.setExpanded(
                index.siblingAtColumn(0), not self.isExpanded(index.siblingAtColumn(0))
            )
        elif self.rows.flags(index) & Qt.ItemFlag.ItemIsEditable:
            self.next_row()
        else:
            self.opened.emit(row)

    def next_row(self) -> None:
        """Go down a row in the same column."""
        below = self.indexBelow(self.currentIndex())
        if below.isValid():
            self.setCurrentIndex(below.siblingAtColumn(self.currentIndex().column()))

    def _delete(self) -> None:
        cells = self._chosen_cells()
        if cells:
            self._set_cells([(index, "") for index in cells])
        elif (row := self.current_row()) is not None:
            self.remove_asked.emit(row)

    def _chosen_cells(self) -> list[QModelIndex]:
        editable = Qt.ItemFlag.ItemIsEditable
        return [i for i in self.selectionModel().selectedIndexes() if self.rows.flags(i) & editable]

    def _field_after(self, forward: bool) -> QModelIndex | None:
        """The next cell of the row that takes text; None at the row's end, so that Tab leaves."""
        index = self.currentIndex()
        if not index.isValid():
            return None
        last = len(self.rows.columns)
        places = range(index.column() + 1, last) if forward else range(index.column() - 1, -1, -1)
        for column in places:
            sibling = index.siblingAtColumn(column)
            if self.rows.flags(sibling) & Qt.ItemFlag.ItemIsEditable and not self.isColumnHidden(
                column
            ):
                return sibling
        return None

    def _to_field(self, forward: bool) -> None:
        if (index := self._field_after(forward)) is not None:
            self.setCurrentIndex(index)

    def _double_clicked(self, index: QModelIndex) -> None:
        if not self.rows.flags(index) & Qt.ItemFlag.ItemIsEditable and not self.rows.is_head(index):
            self.opened.emit(self.rows.row_at(index))

    # Spreadsheets

    def copy(self) -> None:
        """Put the chosen cells on the clipboard, as text in columns."""
        QGuiApplication.clipboard().setText(self.chosen_text())

    def chosen_text(self) -> str:
        """The chosen cells as lines with tabs; formula signs are disarmed."""
        cells: dict[tuple[int, int], str] = {}
        order: dict[tuple[int, int], int] = {}
        for index in sorted(self.selectionModel().selectedIndexes(), key=self._place_on_screen):
            row = order.setdefault((index.internalId(), index.row()), len(order))
            cells[(row, index.column())] = disarmed(str(self.rows.data(index, EDIT)))
        if not cells:
            return ""
        columns = sorted({column for _row, column in cells})
        return "\n".join(
            "\t".join(cells.get((row, column), "") for column in columns)
            for row in range(len(order))
        )

    def _place_on_screen(self, index: QModelIndex) -> tuple[int, int, int]:
        parent = index.parent()
        top = parent.row() if parent.isValid() else index.row()
        return (top, index.row() if parent.isValid() else -1, index.column())

    def cut(self) -> None:
        """Copy, then clear what takes text."""
        self.copy()
        self._set_cells([(index, "") for index in self._chosen_cells()])

    def paste(self) -> None:
        """Put text in columns over the cells from the cursor on, as one act."""
        text = QGuiApplication.clipboard().text().replace("\0", "")
        lines = [line.split("\t") for line in text.rstrip("\r\n").splitlines()]
        if sum(len(line) for line in lines) > MOST_PASTED:
            self.refused.emit(f"{MOST_PASTED:,}")
            return
        if len(lines) == 1 and len(lines[0]) == 1:
            self._set_cells([(index, lines[0][0]) for index in self._chosen_cells()])
            return
        self._want_rows(len(lines))
        target, cells = self.currentIndex(), []
        for line in lines:
            if not target.isValid():
                break
            for offset, cell in enumerate(line):
                index = target.siblingAtColumn(target.column() + offset)
                if index.isValid() and self.rows.flags(index) & Qt.ItemFlag.ItemIsEditable:
                    cells.append((index, cell))
            below = self.indexBelow(target)
            target = below.siblingAtColumn(target.column()) if below.isValid() else QModelIndex()
        self._set_cells(cells)

    def _want_rows(self, lines: int) -> None:
        below = 0
        index = self.currentIndex()
        while index.isValid() and below < lines:
            below, index = below + 1, self.indexBelow(index)
        if below < lines:
            self.rows_wanted.emit(lines - below)

    def fill_down(self) -> None:
        """Give the chosen cells what stands above the topmost of them (or above the cursor)."""
        chosen = sorted(self._chosen_cells(), key=self._place_on_screen)
        if not chosen:
            return
        cells = []
        for column in {index.column() for index in chosen}:
            mine = [index for index in chosen if index.column() == column]
            source = mine[0] if len(mine) > 1 else self.indexAbove(mine[0])
            if source.isValid():
                source = source.siblingAtColumn(column)
                text = str(self.rows.data(source, EDIT))
                cells += [(index, text) for index in mine if index != source]
        self._set_cells(cells)

    def _set_cells(self, cells: list[tuple[QModelIndex, str]]) -> None:
        self.rows.begin_batch()
        for index, text in cells:
            self.rows.setData(index, text, EDIT)
        self.rows.end_batch()

    def select_rows(self, row_ids: set[str]) -> None:
        """Choose whole rows."""
        selection = QItemSelection()
        for row_id in row_ids:
            if (index := self.rows.index_of(row_id)) is not None:
                last = index.siblingAtColumn(len(self.rows.columns) - 1)
                selection.select(index, last)
        self.selectionModel().select(selection, QItemSelectionModel.SelectionFlag.ClearAndSelect)


def disarmed(text: str) -> str:
    """Text that no spreadsheet takes for a formula."""
    bare = text.replace("\t", " ").replace("\r", " ").replace("\n", " ")
    risky = bare[:1] in ("=", "+", "-", "@") and not _is_number(bare)
    return f"'{bare}" if risky else bare


def _is_number(text: str) -> bool:
    return text.lstrip("+-").replace(".", "").replace(",", "").replace("\u00a0", "").isdigit()
