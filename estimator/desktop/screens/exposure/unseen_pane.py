"""What nobody has seen: the parts, filtered by what is typed."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit

from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.exposure.columns import LEFT_OUT, RANGE, unseen_columns
from estimator.desktop.screens.exposure.pane import GridPane
from estimator.desktop.widgets.axis_header import AxisHeader
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.services.show_unseen import UnseenRow, holding, range_marks

WAIT = 80  # ms after the last key


class UnseenPane(GridPane):
    """Signals: part_chosen(str): the part under the cursor"""

    part_chosen = Signal(str)

    def __init__(self, formats: Formats) -> None:
        self._formats = formats
        self._rows: tuple[UnseenRow, ...] = ()
        self._cost: bool | None = None
        grid = Grid(RowModel((), lambda row: row.part), _("What is not seen"))
        self._header = AxisHeader(grid)
        grid.setHeader(self._header)
        super().__init__(grid, LEFT_OUT)
        self._header.setAccessibleName(_("What is not seen"))
        self.filter = QLineEdit()
        self.filter.setAccessibleName(_("Filter parts"))
        self.filter.setPlaceholderText(_("Filter parts"))
        self.filter.setClearButtonEnabled(True)
        self.filter.setProperty("look", "tool")
        self.filter.setMinimumWidth(64)
        self.filter.setMaximumWidth(200)
        self.filter.installEventFilter(self)
        self.tools = (self.filter,)
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._soon.timeout.connect(self.show_rows)
        self.filter.textChanged.connect(lambda _text: self._soon.start())
        self.filter.returnPressed.connect(self._into_rows)

    def set_rows(self, rows: tuple[UnseenRow, ...], *, cost: bool) -> None:
        """Show other parts; `cost` tells whether the workshop's own cost may be seen."""
        self._rows = rows
        if cost != self._cost:
            self._cost = cost
            self.grid.rows.set_columns(unseen_columns(self._formats, cost=cost))
            self.dress()
        section = self.grid.rows.column_of(RANGE)
        number = self._formats.number
        self._header.set_axis(
            section, tuple((at, number(mark) + unit) for at, mark, unit in range_marks(rows))
        )
        self.show_rows()

    def show_rows(self) -> None:
        """The parts that pass the filter."""
        shown = holding(self._rows, self.filter.text())
        self.fill(shown)
        count = len(shown)
        if count != len(self._rows):
            text = ngettext("{n} of {all} parts", "{n} of {all} parts", count)
        else:
            text = ngettext(
                "{n} part nobody has seen, the largest share first; sums if found worn",
                "{n} parts nobody has seen, the largest share first; sums if found worn",
                count,
            )
        self.note.set_text(text.format(n=count, all=len(self._rows)))

    def go_to(self, part: str) -> bool:
        """Put the cursor on a part, past the filter; False where it is no open part."""
        if self.grid.rows.index_of(part) is None and self.filter.text():
            self.filter.clear()
            self.show_rows()
        return self.grid.go_to(part)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Down goes from the filter to the parts; Esc empties it."""
        if watched is self.filter and event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if event.key() == Qt.Key.Key_Down:
                self._into_rows()
                return True
            if event.key() == Qt.Key.Key_Escape and self.filter.text():
                self.filter.clear()
                return True
        return super().eventFilter(watched, event)

    def _into_rows(self) -> None:
        self._soon.stop()
        self.show_rows()
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def on_current(self, row: Any) -> None:
        """Why it may be worn."""
        if isinstance(row, UnseenRow):
            self.why_asked.emit(f"chance/{row.part}")
            self.part_chosen.emit(row.part)
