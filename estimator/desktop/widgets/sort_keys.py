"""Sorting a grid by the column the cursor is in, without the pointer."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence

from estimator.desktop.language import _
from estimator.desktop.widgets.grid import Grid

SORT_KEY = "Ctrl+Shift+O"


def sort_by_keyboard(grid: Grid, as_given: Callable[[], None]) -> QAction:
    """Let heads be clicked, and `SORT_KEY` sort by the column of the cursor: rising, falling, then
    as the rows are given, which `as_given` does. The action stands in the grid's context menu."""
    header = grid.header()
    grid.setSortingEnabled(True)
    header.setSectionsClickable(True)
    header.setSortIndicatorClearable(True)
    grid.sortByColumn(-1, Qt.SortOrder.AscendingOrder)
    header.sortIndicatorChanged.connect(lambda column, _order: as_given() if column < 0 else None)
    action = QAction(_("Sort by this column"), grid)
    action.setShortcut(QKeySequence(SORT_KEY))
    action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
    action.triggered.connect(lambda _on=False: _sort_on(grid))
    grid.addAction(action)
    grid.setContextMenuPolicy(Qt.ContextMenuPolicy.ActionsContextMenu)
    return action


def _sort_on(grid: Grid) -> None:
    column = max(grid.currentIndex().column(), 0)
    before = grid.rows.sorted_by
    rising, falling = Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder
    if before is None or before[0] != column:
        grid.sortByColumn(column, rising)
    elif before[1] == rising:
        grid.sortByColumn(column, falling)
    else:
        grid.sortByColumn(-1, rising)
