"""What the panes at the lower right of the Exposure page share: a line of words above a grid."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.grid import Grid, title_width
from estimator.desktop.widgets.sort_keys import sort_by_keyboard

LEFT, RIGHT, SCROLL_BAR = 12, 24, 14
TWO_LINES = 40  # px of a head whose titles stand on two lines


class GridPane(QWidget):
    """A note, a grid, and a line under it; `tools` stand beside the switch while the pane is in
    front. The first column takes what room there is; those named in `left_out` go where there is
    none, the first to go first.

    Signals: why_asked(object): a figure's name, or (name, reasons)
    """

    why_asked = Signal(object)

    def __init__(self, grid: Grid, left_out: Sequence[str] = ()) -> None:
        super().__init__()
        self.grid = grid
        self._left_out = tuple(left_out)
        self.note = ElidedLabel(tone="second")
        self.head = QHBoxLayout()
        self.head.setContentsMargins(LEFT + 8, 0, RIGHT, 4)
        self.head.setSpacing(12)
        self.head.addWidget(self.note, 1)
        self.tools: tuple[QWidget, ...] = ()
        self._filling = False
        self.foot = QHBoxLayout()
        self.foot.setContentsMargins(LEFT + 8, 3, RIGHT, 4)
        self.foot.setSpacing(12)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(self.head)
        column.addWidget(grid, 1)
        column.addLayout(self.foot)
        grid.current_changed.connect(self._on_current_changed)
        sort_by_keyboard(grid, self.show_rows)
        self.dress()

    def dress(self) -> None:
        """The grid has other columns: their widths, and a head as high as its titles."""
        self.grid.set_widths(0)
        two = any("\n" in one.title for one in self.grid.rows.columns)
        self.grid.header().setMinimumHeight(TWO_LINES if two else 0)
        self.fit_columns()

    def show_rows(self) -> None:
        """Give the grid its rows again, as they stand."""

    def fill(self, rows: Sequence[Any]) -> None:
        """Show rows; the cursor stays on the row it is on, wherever that stands now."""
        grid, here = self.grid, self.grid.current_row()
        self._filling = True
        grid.rows.set_rows(rows)
        if here is not None and not grid.currentIndex().isValid():
            grid.go_to(grid.rows.id_of(here))
        self._filling = False
        if here is not None and grid.hasFocus():
            self.on_current(grid.current_row())

    def on_current(self, row: Any) -> None:
        """The cursor stands on a row, or its row says something else."""

    def _on_current_changed(self, row: Any) -> None:
        if not self._filling:
            self.on_current(row)

    def fit_columns(self) -> None:
        """Leave out what there is no room for; the tip of the row tells it."""
        columns = self.grid.rows.columns
        widths = {one.key: max(one.width, title_width(one)) for one in columns}
        room = self.grid.width() - SCROLL_BAR - sum(widths.values())
        hidden = set()
        for key in self._left_out:
            if room < 0 and key in widths:
                hidden.add(key)
                room += widths[key]
        for number, column in enumerate(columns):
            self.grid.setColumnHidden(number, column.key in hidden)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fewer columns where it is narrow."""
        super().resizeEvent(event)
        self.fit_columns()
