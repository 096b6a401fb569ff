"""The middle of the page: the findings grid with its tools, and the photographs under it."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from estimator.desktop.language import _
from estimator.desktop.screens.inspection.columns import READINGS, columns, views
from estimator.desktop.screens.inspection.findings_grid import FindingsGrid
from estimator.desktop.screens.inspection.photos import PhotoPanel
from estimator.desktop.screens.inspection.rows import FindingRow, NewRow
from estimator.desktop.screens.inspection.typed import Typed
from estimator.desktop.widgets.columns import Kept
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.row_model import RowModel
from estimator.desktop.widgets.segmented import Segmented
from estimator.desktop.workshop import Workshop

NARROW_BELOW = 690


class FindingsPane(QFrame):
    """Shows rows; knows no job.

    Signals: finding_asked(): the user wants to begin one.
    """

    finding_asked = Signal()

    def __init__(self, workshop: Workshop, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._reader: Typed | None = None
        self._narrow = False
        self.view = READINGS
        self.title = ElidedLabel(tone="section")
        self.switch = Segmented(views(), _("Columns of the findings"))
        self.add_button = CommandButton(_("New finding"), _("Ins"), tool=True)
        self.note = QLabel()
        self.model = RowModel((), lambda row: row.id)
        self.grid = FindingsGrid(self.model, _("Findings"))
        self.photos = PhotoPanel(workshop)
        self.switch.chosen.connect(self.show_view)
        self.add_button.clicked.connect(lambda _on=False: self.finding_asked.emit())
        self._lay_out()

    def _lay_out(self) -> None:
        self.note.setProperty("tone", "attention")
        self.note.setTextFormat(Qt.TextFormat.PlainText)
        self.note.setWordWrap(True)
        self.note.setContentsMargins(20, 6, 20, 6)
        tools = QFrame()
        tools.setProperty("look", "tools")
        row = QHBoxLayout(tools)
        row.setContentsMargins(20, 8, 20, 8)
        row.setSpacing(12)
        row.addWidget(self.title, 1)
        row.addStretch()
        row.addWidget(self.switch)
        row.addWidget(self.add_button)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(tools)
        column.addWidget(self.note)
        column.addWidget(self.grid, 1)
        column.addWidget(self.photos)

    def set_reader(self, reader: Typed) -> None:
        """Read and show the findings of another class from now on."""
        self._reader = reader
        self._set_columns()

    def show_rows(
        self,
        rows: Sequence[FindingRow | NewRow],
        kept: dict[tuple[str, str], Kept],
    ) -> None:
        """Show rows; the cursor stays with its finding, or goes to the first."""
        here = self.grid.current_row()
        self.model.set_rows(rows)
        self.model.set_kept(kept)
        if self.grid.current_row() is not None or not rows:
            return
        if isinstance(here, FindingRow) and self.grid.go_to(here.id):
            return
        self.grid.go_to(rows[0].id, "measured" if self.view == READINGS else "")

    def set_note(self, words: str) -> None:
        """Say something above the grid; "" takes it away."""
        self.note.setText(words)
        self.note.setVisible(bool(words))

    def set_locked(self, why_not: str) -> None:
        """Show what cannot be changed, and why; "" where it can."""
        self.model.locked = bool(why_not)
        self.add_button.set_available(why_not)

    def show_view(self, view: int) -> None:
        """Show other columns of the findings."""
        self.view = view % len(views())
        self.switch.set_place(self.view)
        self._set_columns()

    def begin_at(self, code: str, view: int, key: str) -> None:
        """Open a cell of a finding, in the view that has it."""
        if self.view != view:
            self.show_view(view)
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)
        self.grid.edit_at(code, key)

    def _set_columns(self) -> None:
        if self._reader is None:
            return
        here, key = self.grid.current_row(), self.grid.current_key()
        made = columns(self.view, self._reader, narrow=self._narrow)
        self.model.set_columns(made)
        self.grid.set_widths(1)
        if here is not None:
            known = key if any(column.key == key for column in made) else made[2].key
            self.grid.go_to(here.id, known)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Where there is little room the three limits share a column."""
        super().resizeEvent(event)
        narrow = event.size().width() < NARROW_BELOW
        if narrow != self._narrow:
            self._narrow = narrow
            self.title.setVisible(not narrow)  # the tree says it too
            if self.view == READINGS:
                self._set_columns()
