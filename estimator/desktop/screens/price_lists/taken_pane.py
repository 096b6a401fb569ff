"""Lists taken in, the newest first, each with what it changed; the last of a supplier is undone."""

from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from estimator.desktop.language import _
from estimator.desktop.questions import ask
from estimator.desktop.screens.price_lists.list_work import ListWork
from estimator.desktop.screens.price_lists.words import list_columns
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.desktop.workshop import Workshop
from estimator.domain.price_list.taken import TakenList
from estimator.services.take_price_list import price_lists, undo_price_list


class TakenPane(QWidget):
    """Signals: undone(object): a list was undone (TakenList)."""

    undone = Signal(object)

    def __init__(self, workshop: Workshop, work: ListWork) -> None:
        super().__init__()
        self._workshop, self._work = workshop, work
        self.model = RowModel(list_columns(workshop.formats), lambda one: str(one.number))
        self.grid = Grid(self.model, _("Lists taken in"), row_height=28)
        self.grid.set_widths(2)
        self.undo = QPushButton(_("Undo the chosen list"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.grid, 1)
        row = QHBoxLayout()
        row.setContentsMargins(24, 4, 24, 8)
        row.addWidget(self.undo)
        row.addStretch()
        column.addLayout(row)
        self.undo.clicked.connect(lambda _on=False: self._ask_undo())
        self.grid.remove_asked.connect(lambda _row: self._ask_undo())

    def refresh(self) -> None:
        """Read the lists from the record."""
        record = self._workshop.record
        self._workshop.runner.run(
            lambda _report: price_lists(record),
            lambda rows: self.model.set_rows(list(rows)),
            subject="price lists",
        )

    def allow(self, may: bool) -> None:
        """Whether a list may be undone."""
        self.undo.setEnabled(may)

    def _ask_undo(self) -> None:
        chosen: TakenList | None = self.grid.current_row()
        if chosen is None or not self.undo.isEnabled():
            return
        ask(
            self,
            _("Undo list {n}?").format(n=chosen.number),
            _(
                "The items of {supplier} and the costs of parts become what they were before it."
            ).format(supplier=chosen.supplier),
            [_("Leave it"), _("Undo")],
            lambda answer: self._undo(chosen) if answer == 1 else None,
        )

    def _undo(self, chosen: TakenList) -> None:
        workshop = self._workshop
        record, who, now = workshop.record, workshop.person, workshop.now()
        self._work.run(
            lambda _report: undo_price_list(record, chosen.number, who, now), self._undone
        )

    def _undone(self, taken: TakenList) -> None:
        self._workshop.presenter.done(_("List {n} is undone.").format(n=taken.number))
        self.undone.emit(taken)
