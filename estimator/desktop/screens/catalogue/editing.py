"""The row that is chosen and what is being changed: typed into the form, checked at once, and the
whole catalogue as it would be checked beside it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import QObject, QTimer, Signal

from estimator.desktop.language import _
from estimator.desktop.runner import WORK
from estimator.desktop.screens.catalogue.draft import Draft
from estimator.desktop.screens.catalogue.rows_face import RowsFace
from estimator.desktop.telling import told, told_of
from estimator.desktop.workshop import Workshop
from estimator.domain.catalogue.changes import RowChange, file_of, key_of, rows_of, same
from estimator.domain.catalogue.rows import Row
from estimator.domain.problem import Place, Problem
from estimator.services.catalogue_rows import cells_of, row_of_cells
from estimator.services.keep_catalogue import faults_after
from estimator.services.show_catalogue import ADDED, TAKEN_OUT, ShownRow, View

WAIT_TO_CHECK = 250  # ms after the last key


class RowEditing(QObject):
    """Signals: changed(): rows are being changed otherwise than before."""

    changed = Signal()

    def __init__(self, workshop: Workshop, face: RowsFace) -> None:
        super().__init__(face)
        self._workshop, self._face = workshop, face
        self.draft = Draft()
        self.view: View | None = None
        self.shown: ShownRow | None = None
        self._being: Row | None = None  # the chosen row as the draft has it
        self.faults: tuple[Problem, ...] = ()
        self._codes: dict[str, list[str]] = {}
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT_TO_CHECK)
        self._soon.timeout.connect(self.check)
        face.form.changed.connect(self._on_typed)
        face.drop_asked.connect(self.drop)

    @property
    def may(self) -> bool:
        """Whether the person here may change the catalogue."""
        from estimator.domain.people import CATALOGUE

        return self._workshop.person.may(CATALOGUE)

    def take_view(self, view: View) -> None:
        """Another edition is looked through."""
        self.view = view
        self._codes = {
            table: list(dict.fromkeys(str(getattr(row, "id", "")) for row in rows))
            for table, rows in view.catalogue.tables.items()
            if rows and hasattr(rows[0], "id")
        }

    def show(self, shown: ShownRow | None) -> None:
        """Put the chosen row into the form; the one that is in it already stays as it is typed."""
        face = self._face
        before, self.shown = self.shown, shown
        face.show_title(shown)
        if shown is None or self.view is None:
            face.form.clear()
            return
        typing = before is not None and before.id == shown.id and before.table == shown.table
        if typing and (self._being is shown.row or self._typed_for(shown) is not None):
            self._being = shown.row
            return
        self._being = shown.row
        cells = self._typed_for(shown) or cells_of(shown.row)
        face.form.show_row(shown.table, cells, self.view.names, self._codes)
        face.form.allow(self.may and shown.state != TAKEN_OUT)
        self._mark()

    def _typed_for(self, shown: ShownRow) -> Any:
        return self.draft.typed.get(self._name(shown))

    @staticmethod
    def _name(shown: ShownRow) -> tuple[str, object]:
        if shown.before is not None:
            return shown.table, key_of(shown.table, shown.before)
        return shown.table, shown.id

    def _on_typed(self) -> None:
        """Cells that make a row are a change at once; others stay in their fields, with why not."""
        shown, form = self.shown, self._face.form
        if shown is None or not self.may:
            return
        cells = form.cells
        row, problems = row_of_cells(shown.table, cells, self._place(shown))
        if row is None:
            self.draft.typed[self._name(shown)] = cells
            form.mark(problems)
            self.changed.emit()
            return
        self.draft.typed.pop(self._name(shown), None)
        if not same(row, self._being):
            being, self._being = self._being, row
            self.draft.put(shown.table, shown.before, row, being)
        form.mark(())
        self.changed.emit()
        self._soon.start()

    @staticmethod
    def _place(shown: ShownRow) -> Place:
        return shown.before.place if shown.before is not None else Place(file_of(shown.table))

    def _mark(self) -> None:
        """Faults of the chosen row at its fields: its cells, then what the whole check found."""
        shown, form = self.shown, self._face.form
        if shown is None:
            return
        typed = self._typed_for(shown)
        if typed is not None:
            form.mark(row_of_cells(shown.table, typed, self._place(shown))[1])
            return
        place = self._place(shown)
        here = [one for one in self.faults if shown.before is not None
                and (one.place.file, one.place.row) == (place.file, place.row)]  # fmt: skip
        form.mark(here)

    def check(self) -> None:
        """Check the catalogue as it would be, off the window's thread."""
        view, changes = self.view, self.draft.changes
        self._soon.stop()
        if view is None or not changes:
            self._checked(())
            return
        self._workshop.runner.run(
            lambda _report: tuple(faults_after(view.catalogue, changes)),
            self._checked, lane=WORK, subject="catalogue check",
            failed=self._not_checked,
        )  # fmt: skip

    def _checked(self, faults: Sequence[Problem]) -> None:
        self.faults = tuple(faults)
        self._face.show_pending(self.draft.changes, [told(one.said) for one in faults])
        self._mark()

    def _not_checked(self, error: Exception) -> None:
        self._face.show_pending(self.draft.changes, [told_of(error)])

    # Rows put in and taken out

    def add(self) -> None:
        """A new row like the one that is chosen, which its code is still to be given."""
        shown = self.shown
        if shown is None or not self.may:
            return
        cells = cells_of(shown.row) | {"origin": "own", "source": ""}
        row, _problems = row_of_cells(shown.table, cells)
        if row is not None:
            self.draft.put(shown.table, None, row, None)
            self.changed.emit()
            self.check()
            place = len(self.draft) - 1
            self._face.rows.go_to(f"new/{place}")
            self._face.into_form()

    def take_out(self) -> None:
        """Take the chosen row out; one that is being added is dropped."""
        shown = self.shown
        if shown is None or not self.may:
            return
        if shown.state == ADDED:
            self.drop(next(one for one in self.draft.changes if one.after is shown.row))
            return
        self.draft.put(shown.table, shown.before, None, None)
        self._being = None
        self.changed.emit()
        self.check()

    def drop(self, change: RowChange) -> None:
        """Leave a row as it was."""
        self.draft.drop(change)
        self.shown = None
        self.changed.emit()
        self.check()

    def drop_all(self) -> None:
        """Change nothing."""
        self.draft.clear()
        self.shown = None
        self.changed.emit()
        self.check()

    def rebase(self) -> None:
        """After another edition came: what it has already is no change any more."""
        view = self.view
        if view is None:
            return
        there = {
            table: {key_of(table, row): row for row in rows_of(view.catalogue, table)}
            for table in {one.table for one in self.draft.changes}
        }
        for change in self.draft.changes:
            if same(there[change.table].get(key_of(change.table, change.row)), change.after):
                self.draft.drop(change)
        self.check()

    def unfinished(self) -> str:
        """What is typed and not kept, in words."""
        if not len(self.draft) and not self.draft.typed:
            return ""
        return _("Changes of the catalogue are not kept yet.")
