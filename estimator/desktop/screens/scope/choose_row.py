"""Choose a row of the class's catalogue to put into the scope by hand, with a reason."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.language import _
from estimator.desktop.widgets.columns import Column
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.catalogue.work_rows import CalledRow, Operation, Outwork


class RowChooser(QDialog):
    """Type part of a name, choose with the arrows, say why; `then` gets the row and the reason."""

    def __init__(
        self, parent: QWidget, rows: Sequence[CalledRow], then: Callable[[CalledRow, str], object]
    ) -> None:
        super().__init__(parent)
        self._rows, self._then = tuple(rows), then
        self.setModal(True)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(_("Put a row in by hand"))
        self.search, self.reason = QLineEdit(), QLineEdit()
        self.search.setAccessibleName(_("Part of the name or code"))
        self.search.setPlaceholderText(_("Part of the name or code"))
        self.reason.setAccessibleName(_("Reason, which stays on record"))
        self.reason.setPlaceholderText(_("Reason, which stays on record"))
        self.model = RowModel(
            (
                Column("id", _("Code"), lambda row: row.id, 80),
                Column("name", _("Name"), lambda row: row.name, 320, tip=lambda row: row.name),
                Column("kind", _("Kind"), _kind, 90, tone=lambda _row: "ink2"),
                Column(
                    "hint", _("When"), lambda row: row.hand_reason, 170, tone=lambda _row: "ink2"
                ),
            ),
            lambda row: row.id,
        )
        self.list = Grid(self.model, _("Rows of the catalogue"))
        self.list.setMinimumHeight(280)
        self.list.set_widths(1)
        self.take = QPushButton(_("Put it in"))
        self.take.setDefault(True)
        self._lay_out()
        self.search.textChanged.connect(lambda _text: self._filter())
        self.reason.textChanged.connect(lambda _text: self._enable())
        self.list.current_changed.connect(lambda _row: self._enable())
        self.list.opened.connect(lambda _row: self.reason.setFocus())
        self.take.clicked.connect(self._take)
        self._filter()

    def _lay_out(self) -> None:
        head = QLabel(self.windowTitle())
        head.setProperty("tone", "section")
        leave = QPushButton(_("Leave as it is"))
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        row = QHBoxLayout()
        row.addStretch()
        row.addWidget(leave)
        row.addWidget(self.take)
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 20, 24, 20)
        column.setSpacing(10)
        for widget in (head, self.search, self.list, self.reason):
            column.addWidget(widget)
        column.addLayout(row)
        self.setMinimumWidth(680)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Down goes from the search into the list."""
        if event.key() == Qt.Key.Key_Down and self.search.hasFocus():
            self.list.setFocus()
        else:
            super().keyPressEvent(event)

    def _filter(self) -> None:
        wanted = self.search.text().casefold().split()
        found = [
            row
            for row in self._rows
            if all(word in f"{row.id} {row.name}".casefold() for word in wanted)
        ]
        self.model.set_rows(found)
        if found and self.list.current_row() is None:
            self.list.go_to(found[0].id, "name")
        self._enable()

    def _enable(self) -> None:
        self.take.setEnabled(
            self.list.current_row() is not None and bool(self.reason.text().strip())
        )

    def _take(self) -> None:
        row = self.list.current_row()
        reason = " ".join(self.reason.text().split())
        if row is not None and reason:
            self.accept()
            self._then(row, reason)


def _kind(row: CalledRow) -> str:
    if isinstance(row, Operation):
        return _("labour")
    return _("outwork") if isinstance(row, Outwork) else _("parts")
