"""A new list: its file, how it is read, what it changes, and taking it.

Nothing of a list is taken before somebody has seen what it changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFileDialog, QStackedWidget, QVBoxLayout, QWidget

from estimator.desktop.language import _
from estimator.desktop.runner import WORK
from estimator.desktop.screens.price_lists.list_tools import ListTools
from estimator.desktop.screens.price_lists.list_work import ListWork
from estimator.desktop.screens.price_lists.mapping_form import MappingForm
from estimator.desktop.screens.price_lists.preview_pane import PreviewPane
from estimator.desktop.telling import told
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.workshop import Workshop
from estimator.domain.catalogue.catalogue import Catalogue
from estimator.services.preview_price_list import (
    ListFile,
    ListPreview,
    ListWish,
    list_suppliers,
    open_list_file,
    preview_price_list,
)
from estimator.services.price_list_effect import effect_of
from estimator.services.take_price_list import Taken, take_price_list

NOTHING, COLUMNS, CHANGES = 0, 1, 2  # what is shown of a list


class NewListPane(QWidget):
    """Signals:
    taken(object): a list was taken in (TakenList)
    stepped(): something else of the list is shown: the focus belongs there
    """

    taken = Signal(object)
    stepped = Signal()

    def __init__(self, workshop: Workshop, work: ListWork) -> None:
        super().__init__()
        self._workshop, self._work = workshop, work
        self.tools = ListTools(workshop.formats)
        self.form, self.preview = MappingForm(workshop.formats), PreviewPane(workshop.formats)
        self._steps = QStackedWidget()
        self._file: ListFile | None = None
        self._found: ListPreview | None = None
        self._may = True
        for step in (_empty(), self.form, self.preview):
            self._steps.addWidget(step)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.tools)
        column.addWidget(self._steps, 1)
        self._join()

    def _join(self) -> None:
        tools = self.tools
        tools.choose.clicked.connect(lambda _on=False: self.ask_file())
        tools.columns.clicked.connect(lambda _on=False: self.show_columns())
        tools.take.clicked.connect(lambda _on=False: self.main_action())
        tools.stop.clicked.connect(lambda _on=False: self._work.stop())
        tools.supplier.currentIndexChanged.connect(lambda _n: self._read_again(anew=True))
        tools.extent.chosen.connect(lambda _key: self._read_again())
        tools.day_changed.connect(self._read_again)
        self.form.changed.connect(self._on_columns)
        self.preview.chosen_changed.connect(self._reckon_effect)
        self._work.said.connect(tools.busy.setText)
        self._work.turned.connect(self._on_work)

    # What the page asks

    @property
    def step(self) -> int:
        """What is shown: NOTHING, COLUMNS or CHANGES."""
        return self._steps.currentIndex()

    @property
    def awaits(self) -> str:
        """File of a list that was looked at and not taken; "" for none."""
        read = self._found is not None and self._found.comparison is not None
        return self._found.file if self._found is not None and read else ""

    def panes(self) -> Sequence[QWidget]:
        """What F6 steps through."""
        first = self.tools.supplier
        if self.step == CHANGES:
            return (first, *self.preview.panes())
        return (first, *self.form.panes()) if self.step == COLUMNS else (first,)

    def fill_suppliers(self, catalogue: Catalogue) -> None:
        """Offer the suppliers of parts, once."""
        if not self.tools.supplier.count():
            self.tools.fill_suppliers(list_suppliers(catalogue))

    def allow(self, may: bool) -> None:
        """Whether lists may be taken."""
        self._may, found = may, self._found
        self.tools.take.setEnabled(may and bool(self.awaits) and not self._work.is_busy)
        self.tools.columns.setEnabled(found is not None and found.table is not None)
        self.tools.allow(may)
        self.form.setEnabled(may)

    def _on_work(self, looks: bool) -> None:
        self.tools.stop.setVisible(looks)
        self.allow(self._may)

    def main_action(self) -> None:
        """Take what is chosen; where the columns are shown and were changed, see what follows."""
        if not self.tools.take.isEnabled():
            return
        if self._anew_by_columns():
            return
        self._take()

    # Looking

    def ask_file(self) -> None:
        """Ask for the file of a list."""
        dialog = QFileDialog(self, _("Choose a price list"))
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
        dialog.setNameFilters(
            [_("Price lists") + " (*.xlsx *.xlsm *.csv *.txt)", _("All files") + " (*)"]
        )
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.fileSelected.connect(lambda name: self.read_file(Path(name)))
        dialog.open()

    def read_file(self, path: Path) -> None:
        """Look at a list; nothing of it is taken."""
        self._file = self._found = None
        self.tools.clear_day()
        self._work.run(lambda _report: open_list_file(path), self.opened, looks=True)

    def opened(self, file: ListFile) -> None:
        """Look at a list whose file has been read."""
        self._file = file
        self._read(self._wish())

    def _wish(self) -> ListWish:
        return ListWish(self.tools.supplier_id, self.tools.is_full, price_date=self.tools.day)

    def _read_again(self, anew: bool = False) -> None:
        """The same file, as it is wanted now."""
        if self._file is None:
            return
        mapping = None if anew or self._found is None else self._found.mapping
        self._read(replace(self._wish(), mapping=mapping))

    def _read(self, wish: ListWish) -> None:
        file, workshop = self._file, self._workshop
        catalogue = workshop.edition or workshop.catalogue
        if file is None or catalogue is None:
            workshop.presenter.notice(_("The catalogue is still being read."))
            return
        record, today = workshop.record, workshop.today()
        self._work.run(
            lambda report: preview_price_list(record, catalogue, file, wish, today, report),
            self._show,
            looks=True,
        )

    def _show(self, found: ListPreview) -> None:
        """Changes where the list could be read, else the columns and what is wrong."""
        self._found = found
        if found.table is None:
            self._steps.setCurrentIndex(NOTHING)
            self._tell_faults(found)
        elif found.comparison is None:
            self.form.show_preview(found)
            self._steps.setCurrentIndex(COLUMNS)
        else:
            self.preview.show_preview(found)
            self._steps.setCurrentIndex(CHANGES)
            self._reckon_effect()
        self.tools.show_day(found.price_date)
        self.allow(self._may)
        self.stepped.emit()

    def _tell_faults(self, found: ListPreview) -> None:
        first = found.faults[0]
        self._workshop.presenter.trouble(
            f"{told(first.place.said)}: {told(first.message)}", told(first.remedy)
        )

    def show_columns(self) -> None:
        """The columns of a list that is looked at, or what it changes again."""
        if self._found is None or self._anew_by_columns():
            return
        if self.step == COLUMNS and self._found.comparison is not None:
            self._steps.setCurrentIndex(CHANGES)
            return
        self.form.show_preview(self._found)
        self._steps.setCurrentIndex(COLUMNS)
        self.form.head_row.setFocus()

    def _anew_by_columns(self) -> bool:
        """Read a list by the percentages that were typed beside its columns; False for none."""
        if self.step != COLUMNS or not self.form.has_new_shares:
            return False
        self._on_columns()
        return True

    def _on_columns(self) -> None:
        mapping = self.form.mapping
        if not mapping.lacking:
            self._read(replace(self._wish(), mapping=mapping))

    def _reckon_effect(self) -> None:
        found, workshop = self._found, self._workshop
        catalogue = workshop.edition or workshop.catalogue
        if found is None or catalogue is None:
            return
        chosen = frozenset(self.preview.chosen)
        workshop.runner.run(
            lambda _report: effect_of(found, catalogue, chosen),
            self.preview.show_effect,
            lane=WORK,
            subject="price list effect",
        )

    # Taking

    def _take(self) -> None:
        found, workshop = self._found, self._workshop
        if found is None or found.comparison is None:
            return
        record, who, now = workshop.record, workshop.person, workshop.now()
        chosen = frozenset(self.preview.chosen)
        self._work.run(
            lambda _report: take_price_list(record, found, chosen, who, now), self._taken
        )

    def _taken(self, taken: Taken) -> None:
        self._file = self._found = None
        self._steps.setCurrentIndex(NOTHING)
        self.tools.clear_day()
        self.allow(self._may)
        self._workshop.presenter.done(
            _("{file} is taken in as list {n}.").format(file=taken.taken.file, n=taken.taken.number)
        )
        self.taken.emit(taken.taken)


def _empty() -> QWidget:
    """What is said before there is a list."""
    hint = plain_label(
        _(
            "Choose the supplier and the file of the list, or drop the file here: a workbook "
            "(.xlsx) or CSV. You see every change before any of it is taken."
        ),
        "second",
        wrapped=True,
    )
    made = QWidget()
    column = QVBoxLayout(made)
    column.setContentsMargins(24, 16, 24, 16)
    column.addWidget(hint)
    column.addStretch(1)
    return made
