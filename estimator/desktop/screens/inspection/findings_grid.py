"""The grid of findings, with the keys that only findings have."""

from __future__ import annotations

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemDelegate, QWidget

from estimator.desktop.screens.inspection.rows import FindingRow, NewRow
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import EDIT, RowModel

ROW_HEIGHT = 42


class FindingsGrid(Grid):
    """A Grid whose last row begins a finding.

    Del clears a cell that holds something; on one that does not, and with Ctrl anywhere, it asks
    to remove the findings chosen.

    Signals:
        add_asked(str): begin a finding, with what was typed on the last row
        removal_asked(object): ids of findings to remove
        left_cell(): the editor of a cell was closed
    """

    add_asked = Signal(str)
    removal_asked = Signal(object)
    left_cell = Signal()

    def __init__(self, model: RowModel, name: str, parent: QWidget | None = None) -> None:
        super().__init__(model, name, row_height=ROW_HEIGHT, parent=parent)
        self.insert_asked.connect(lambda: self.add_asked.emit(""))
        self.opened.connect(self._opened)
        self.remove_asked.connect(lambda _row: self.removal_asked.emit(self.chosen_ids()))

    def _opened(self, row: object) -> None:
        if isinstance(row, NewRow):
            self.add_asked.emit("")

    def closeEditor(self, editor: QWidget, hint: QAbstractItemDelegate.EndEditHint) -> None:
        """Tell that a cell was left, whatever was typed."""
        super().closeEditor(editor, hint)
        self.left_cell.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """What is typed on the last row begins a finding."""
        plain = not event.modifiers() & ~(
            Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
        )
        text = event.text()
        if event.key() == Qt.Key.Key_Delete and (not plain or self._nothing_to_clear()):
            if event.modifiers() in (
                Qt.KeyboardModifier.NoModifier,
                Qt.KeyboardModifier.ControlModifier,
            ):
                self.removal_asked.emit(self.chosen_ids())
            event.accept()
        elif (
            isinstance(self.current_row(), NewRow) and plain and text.strip() and text.isprintable()
        ):
            self.add_asked.emit(text)
            event.accept()
        else:
            super().keyPressEvent(event)

    def _nothing_to_clear(self) -> bool:
        """Whether no chosen cell holds anything that Del could take out."""
        return not any(str(self.rows.data(index, EDIT)) for index in self._chosen_cells())

    def chosen_ids(self) -> list[str]:
        """Numbers of the findings with a chosen cell, else of the one under the cursor."""
        indexes: list[QModelIndex] = list(self.selectionModel().selectedIndexes())
        rows = [self.rows.row_at(index) for index in indexes] or [self.current_row()]
        return list(dict.fromkeys(row.id for row in rows if isinstance(row, FindingRow)))
