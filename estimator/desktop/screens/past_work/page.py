"""Past teardowns and closed jobs: typed in bulk, pasted from a spreadsheet, or taken from a file.

The exposure learns from them. What is typed stays until it is taken, with every fault marked. How
the quotes of closed jobs held is shown in their place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFileDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSplitter,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.desk import Desk
from estimator.desktop.key_names import key_names
from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.questions import ask
from estimator.desktop.screens.past_work.calibration import CalibrationView
from estimator.desktop.screens.past_work.rows import (
    TypedRow,
    kept_columns,
    titles,
    typed_columns,
)
from estimator.desktop.telling import told, told_fault
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.columns import CellEdit, Kept
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.desktop.workshop import Workshop
from estimator.domain.people import PAST, roles_for
from estimator.domain.problem import Place
from estimator.services.errors import Refused
from estimator.services.past_work import (
    closed_jobs,
    export_closed_jobs,
    export_outcomes,
    import_closed_jobs,
    import_outcomes,
    outcomes,
    remove_closed_job,
    remove_outcome,
)
from estimator.services.show_calibration import show_calibration
from estimator.services.type_past_work import CLOSED, COLUMNS, OUTCOMES, add_typed

BLANK_ROWS = 40
HEADER_ROW = 1
HELD = "how quotes held"  # shown in the place of rows

_LIST: dict[str, Any] = {OUTCOMES: outcomes, CLOSED: closed_jobs}
_IMPORT: dict[str, Any] = {OUTCOMES: import_outcomes, CLOSED: import_closed_jobs}
_EXPORT: dict[str, Any] = {OUTCOMES: export_outcomes, CLOSED: export_closed_jobs}
_REMOVE: dict[str, Any] = {OUTCOMES: remove_outcome, CLOSED: remove_closed_job}


class PastWorkPage(Page):
    """Rows being typed above, rows the record holds below."""

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Past teardowns and closed jobs"))
        self.kind_row = ChoiceRow(
            "",
            (
                (OUTCOMES, _("Teardown outcomes")),
                (CLOSED, _("Closed jobs")),
                (HELD, _("How quotes held")),
            ),
        )
        self.kind_row.chosen.connect(lambda _key: self._change_kind())
        self._typed: dict[str, list[TypedRow]] = {kind: _blank(kind) for kind in COLUMNS}
        self._kept: dict[str, dict[tuple[str, str], Kept]] = {kind: {} for kind in COLUMNS}
        # What the record refused, by cell: only marks, tried again with the next attempt.
        self._marks: dict[str, dict[tuple[str, str], Kept]] = {kind: {} for kind in COLUMNS}
        say = workshop.formats
        self.entry_model = RowModel(typed_columns(OUTCOMES, say), lambda row: str(row.number))
        self.entry = Grid(self.entry_model, _("Rows being typed"), row_height=28)
        self.list_model = RowModel(kept_columns(OUTCOMES, say), lambda kept: kept.id)
        self.list = Grid(self.list_model, _("Rows in the record"), row_height=28)
        self.entry_model.edited.connect(self._on_edited)
        self.entry_model.kept_changed.connect(self._on_kept)
        self.entry.rows_wanted.connect(self._add_rows)
        self.entry.refused.connect(self._too_many)
        self.list.remove_asked.connect(self._ask_remove)
        self._count = QLabel()
        self._count.setProperty("tone", "second")
        self._why_not = QLabel()
        self._why_not.setProperty("tone", "attention")
        self._why_not.setTextFormat(Qt.TextFormat.PlainText)
        self._why_not.setWordWrap(True)
        self._why_not.setContentsMargins(24, 8, 24, 0)
        self._why_not.hide()
        self.calibration = CalibrationView(say)
        self._stack = QStackedWidget()
        self._build()
        workshop.record_changed.connect(lambda kinds: self.stale() if "outcomes" in kinds else None)
        workshop.person_changed.connect(lambda _person: self.stale())

    def _build(self) -> None:
        title = QLabel(self.accessibleName())
        title.setProperty("tone", "title")
        words = QLabel(
            _(
                "What earlier strip-downs showed, and what finished jobs came to: "
                "the chances of wear learn from it."
            )
        )
        words.setProperty("tone", "second")
        words.setWordWrap(True)
        tools = QFrame()
        tools.setProperty("look", "tools")
        row = QHBoxLayout(tools)
        row.setContentsMargins(24, 8, 24, 8)
        row.addWidget(self.kind_row)
        row.addStretch()
        self.buttons = []
        for text, act in (
            (_("From a file\u2026"), self._import),
            (_("To a file\u2026"), self._export),
            (_("Take what is typed") + "   " + key_names("Ctrl+Enter"), self.main_action),
        ):
            button = QPushButton(text)
            button.setProperty("tool", True)
            button.clicked.connect(lambda _on=False, one=act: one())
            row.addWidget(button)
            self.buttons.append(button)
        self.buttons[-1].setProperty("primary", True)
        split = QSplitter()
        split.setOrientation(split.orientation().Vertical)
        for head, grid in (
            (_("Type or paste here, a row each"), self.entry),
            (_("In the record"), self.list),
        ):
            box = QWidget()
            column = QVBoxLayout(box)
            column.setContentsMargins(0, 8, 0, 0)
            label = QLabel(head)
            label.setProperty("tone", "section")
            label.setContentsMargins(24, 0, 0, 0)
            column.addWidget(label)
            column.addWidget(grid, 1)
            split.addWidget(box)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 16, 0, 0)
        column.setSpacing(4)
        for label in (title, words):
            label.setContentsMargins(24, 0, 24, 0)
            column.addWidget(label)
        column.addWidget(tools)
        column.addWidget(self._why_not)
        for face in (split, self.calibration):
            self._stack.addWidget(face)
        column.addWidget(self._stack, 1)
        self._count.setContentsMargins(24, 4, 24, 6)
        column.addWidget(self._count)

    # What a page answers

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count here."""
        if self.showing_held:
            return (("F6", _("next pane")),)
        return (
            ("Ctrl+V", _("paste a table")),
            ("Ctrl+D", _("as above")),
            ("Ctrl+Enter", _("take what is typed")),
            ("Del", _("remove")),
            ("F6", _("next pane")),
        )

    def panes(self) -> Sequence[QWidget]:
        """Rows being typed, rows in the record; the tables of how quotes held."""
        return self.calibration.panes() if self.showing_held else (self.entry, self.list)

    def take_focus(self) -> None:
        """Into the rows being typed, or the first table of how quotes held."""
        first = self.panes()[0]
        (first if first.isVisible() else self.kind_row).setFocus()

    @property
    def kind(self) -> str:
        """Which kind of past work is shown."""
        return CLOSED if self.showing_held else self.kind_row.key

    @property
    def showing_held(self) -> bool:
        """Whether it is shown how quotes held, in the place of rows."""
        return self.kind_row.key == HELD

    def _change_kind(self) -> None:
        self._stack.setCurrentIndex(int(self.showing_held))
        say = self.workshop.formats
        self.keys_changed.emit()
        # No row of one kind may ever stand under the columns of the other.
        self.entry_model.set_kept({})
        self.entry_model.set_rows([])
        self.list_model.set_rows([])
        self.entry_model.set_columns(typed_columns(self.kind, say))
        self.list_model.set_columns(kept_columns(self.kind, say))
        self.refresh()

    def refresh(self) -> None:
        """Read what the record holds."""
        record, kind = self.workshop.record, self.kind
        self._show_why_not()
        self._count.setVisible(not self.showing_held)
        if self.showing_held:
            self.workshop.runner.run(
                lambda _report: show_calibration(record),
                self.calibration.show_calibration,
                subject="calibration",
            )
            return
        self.entry_model.set_rows(self._typed[kind])
        self._show_faults(kind)
        self.entry.set_widths(0)
        self.list.set_widths(0)
        self.workshop.runner.run(
            lambda _report: _LIST[kind](record),
            lambda rows: self._show(kind, rows),
            subject="past work",
        )

    def _show_why_not(self) -> None:
        """Who may only look cannot take anything in, and is told so."""
        person = self.workshop.person
        may = person.may(PAST)
        self.entry_model.locked = not may
        take_in, _write_out, take_typed = self.buttons
        take_in.setEnabled(may)
        take_typed.setEnabled(may)
        for button in self.buttons:
            button.setVisible(not self.showing_held)
        said = _("{who} may look; keeping past work is for: {roles}.")
        self._why_not.setText(
            "" if may else said.format(who=person.name, roles=told(roles_for(PAST)))
        )
        self._why_not.setVisible(not may)

    def _show(self, kind: str, rows: list[Any]) -> None:
        if kind != self.kind or self.showing_held:
            return
        self.list_model.set_rows(rows)
        self._count.setText(
            ngettext("{n} row in the record", "{n} rows in the record", len(rows)).format(
                n=self.workshop.formats.number(len(rows))
            )
        )

    # Typing

    def _on_edited(self, edits: list[CellEdit]) -> None:
        rows = self._typed[self.kind]
        names = COLUMNS[self.kind]
        for edit in edits:
            at = edit.row.number
            rows[at] = rows[at].with_text(names.index(edit.key), edit.value)
            self._kept[self.kind].pop((str(at), edit.key), None)
            # A fault may lie in the way cells of a row go together: all of it is looked at anew.
            marks = self._marks[self.kind]
            for place in [place for place in marks if place[0] == str(at)]:
                del marks[place]
        if not rows[-1].blank:
            self._lengthen(BLANK_ROWS)
        self.entry_model.set_rows(rows)
        self._show_faults(self.kind)

    def _lengthen(self, count: int) -> None:
        rows, width = self._typed[self.kind], len(COLUMNS[self.kind])
        rows += [TypedRow(len(rows) + n, ("",) * width) for n in range(count)]

    def _add_rows(self, count: int) -> None:
        """Room for a paste that is longer than the blank rows."""
        self._lengthen(count + BLANK_ROWS)
        self.entry_model.set_rows(self._typed[self.kind])

    def _too_many(self, most: str) -> None:
        self.workshop.presenter.trouble(
            _("That is more than {n} cells; nothing was pasted.").format(n=most),
            _("Take so long a table from a file."),
        )

    def _on_kept(self, kept: list[Kept]) -> None:
        for one in kept:
            self._kept[self.kind][(str(one.row.number), one.key)] = one

    def _show_faults(self, kind: str) -> None:
        if kind == self.kind:
            self.entry_model.set_kept(self._marks[kind] | self._kept[kind])

    def _filled(self, kind: str) -> list[TypedRow]:
        return [row for row in self._typed[kind] if not row.blank]

    def unfinished(self) -> str:
        """Rows typed and not taken."""
        count = sum(len(self._filled(kind)) or len(self._kept[kind]) for kind in COLUMNS)
        if not count:
            return ""
        return ngettext(
            "{n} row of past work is typed and not taken yet.",
            "{n} rows of past work are typed and not taken yet.",
            count,
        ).format(n=count)

    def main_action(self) -> None:
        """Take every row that is typed, or none."""
        if self.showing_held:
            return
        kind = self.kind
        if self._kept[kind]:
            first = min(self._kept[kind].values(), key=lambda one: one.row.number)
            self.workshop.presenter.trouble(_("Some cells cannot be taken yet."), first.reason)
            self.entry.go_to(str(first.row.number), first.key)
            return
        typed = self._filled(kind)
        if not typed:
            self.workshop.presenter.notice(_("Nothing is typed yet."))
            return
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        self._marks[kind] = {}
        self._show_faults(kind)
        self.workshop.runner.run(
            lambda _report: add_typed(record, kind, [row.texts for row in typed], who, now),
            lambda count: self._taken(kind, typed, count),
            failed=lambda error: self._refused(kind, typed, error),
            subject="take typed",
        )

    def _taken(self, kind: str, taken: list[TypedRow], count: int) -> None:
        """What was taken leaves; what was typed meanwhile stays."""
        sent = {row.number: row for row in taken}
        blank = ("",) * len(COLUMNS[kind])
        self._typed[kind] = [
            TypedRow(row.number, blank) if sent.get(row.number) == row else row
            for row in self._typed[kind]
        ]
        self._done(count)

    def _done(self, count: int) -> None:
        self.workshop.presenter.done(
            ngettext("{n} row taken.", "{n} rows taken.", count).format(n=count)
        )
        self.workshop.changed("outcomes")

    def _refused(self, kind: str, typed: list[TypedRow], error: Exception) -> None:
        """Mark each fault in its cell, in the first of the row where it names none, and tell of
        them by the numbers that the rows have here."""
        if not isinstance(error, Refused):
            self.workshop.presenter.error(error)
            return
        told = []
        for problem in error.problems:
            place = (problem.place.row or 0) - HEADER_ROW - 1
            if not 0 <= place < len(typed):
                told.append(problem)
                continue
            row, names = typed[place], COLUMNS[kind]
            name = problem.place.column if problem.place.column in names else names[0]
            reason = told_fault(problem)
            mark = Kept(row, name, row.texts[names.index(name)], reason)
            self._marks[kind].setdefault((str(row.number), name), mark)
            told.append(replace(problem, place=Place(row=row.number + 1, column=titles()[name])))
        self._show_faults(kind)
        self.workshop.presenter.error(Refused(_("Nothing was taken"), told))
        marks = self._marks[kind].values()
        if marks and kind == self.kind:
            first = min(marks, key=lambda one: one.row.number)
            self.entry.go_to(str(first.row.number), first.key)

    # Files and removal

    def _import(self) -> None:
        name, _kind = QFileDialog.getOpenFileName(self, _("Take a table"), "", "CSV (*.csv)")
        if name:
            self.take_file(Path(name))

    def take_file(self, path: Path) -> None:
        """Take a CSV table, all of it or nothing."""
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        kind = self.kind
        self.workshop.runner.run(
            lambda _report: _IMPORT[kind](record, path, who, now),
            self._done,
            says=_("Reading the table"),
        )

    def _export(self) -> None:
        name, _kind = QFileDialog.getSaveFileName(self, _("Write a table"), "", "CSV (*.csv)")
        if name:
            record, kind = self.workshop.record, self.kind
            self.workshop.runner.run(
                lambda _report: _EXPORT[kind](record, Path(name), replace_file=True),
                lambda path: self.workshop.presenter.done(
                    _("Written to {path}.").format(path=path)
                ),
            )

    def _ask_remove(self, kept: Any) -> None:
        if not self.workshop.person.may(PAST):
            return
        ask(
            self,
            _("Remove this row?"),
            _("The chances learn from it no more. The log keeps what it said."),
            [_("Leave it"), _("Remove")],
            lambda answer: self._remove(kept) if answer == 1 else None,
        )

    def _remove(self, kept: Any) -> None:
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        kind = self.kind
        self.workshop.runner.run(
            lambda _report: _REMOVE[kind](record, kept, who, now),
            lambda _done: self.workshop.changed("outcomes"),
        )


def _blank(kind: str) -> list[TypedRow]:
    return [TypedRow(number, ("",) * len(COLUMNS[kind])) for number in range(BLANK_ROWS)]
