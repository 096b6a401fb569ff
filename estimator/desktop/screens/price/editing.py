"""Editing the price in its grid: cells typed over and restored, lines of one's own."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, Signal

from estimator.desktop.language import _, ngettext
from estimator.desktop.page import Page
from estimator.desktop.questions import ask_words
from estimator.desktop.screens.price import typed
from estimator.desktop.screens.price.own_line import OwnLineCase, OwnLineForm
from estimator.desktop.telling import told_of
from estimator.desktop.widgets.columns import CellEdit, Kept, NotValid, parsed
from estimator.desktop.widgets.grid import Grid
from estimator.domain.job import Job
from estimator.domain.scope_edits import as_worked_out, typed_change, without_own_line
from estimator.services.show_price import GroupRow, PriceRow, PriceTable


class PriceEditing(QObject):
    """Turns what is typed into edits of the job. `why_not` says why nothing can be changed.

    Signals: kept(), a text was kept that is not valid yet.
    """

    kept = Signal()

    def __init__(self, page: Page, grid: Grid, why_not: Callable[[], str]) -> None:
        super().__init__(page)
        self.page, self.grid, self.model = page, grid, grid.rows
        self._why_not = why_not
        self.trying = False  # what is being typed is worked out, and is no edit yet
        grid.insert_asked.connect(self.ask_own_line)
        grid.remove_asked.connect(self._remove)
        grid.typing.connect(self._on_typing)
        grid.itemDelegate().closeEditor.connect(lambda *_args: self._typing_ended())
        grid.refused.connect(
            lambda n: page.workshop.presenter.trouble(
                _("That is more than {n} cells.").format(n=n), _("Paste fewer.")
            )
        )
        self.model.edited.connect(self._on_edited)
        self.model.kept_changed.connect(self._on_kept)

    def _who(self) -> typed.WhoTypes:
        return typed.WhoTypes(self.page.workshop.person.name, self.page.workshop.today())

    def _on_edited(self, edits: list[CellEdit]) -> None:
        job = self.page.desk.job
        if job is None:
            return
        self.trying = False
        try:
            after = typed.job_with_all(job, edits, self._who())
        except NotValid as error:
            one = edits[-1]
            self._on_kept([Kept(one.row, one.key, one.text, told_of(error))])
            return
        for edit in edits:
            self.page.desk.drop(typed.place_of(edit.row, edit.key))
        self.page.desk.edit(typed.act_name(edits), after)
        self._want_reason(edits, job)

    def _want_reason(self, edits: list[CellEdit], before: Job) -> None:
        """What was typed over wants a reason: in its cell, or asked for where there is no room for
        that column."""
        fresh = [
            one.row
            for one in edits
            if not one.row.own
            and one.value is not None
            and typed_change(before, one.row.id) is None  # the row follows what is being typed
        ]
        if not fresh:
            return
        if self.grid.isColumnHidden(self.model.column_of(typed.REASON)):
            self._ask_reason(fresh)
            return
        self.page.workshop.presenter.notice(
            _("Typed over {line}. Say why under Rests on; Del brings back what was.").format(
                line=fresh[0].id
            )
        )

    def _ask_reason(self, rows: list[PriceRow]) -> None:
        first = rows[0]
        question = ask_words(
            self.page,
            _("Typed over {line}").format(line=first.id),
            ngettext(
                "{name} is no longer as it was worked out. Del in its cell brings that back.",
                "{name} and others are no longer as they were worked out. Del in a cell brings "
                "that back.",
                len(rows),
            ).format(name=first.name),
            _("Reason, which stays on record"),
            lambda reason: self._give_reason(rows, reason),
        )
        question.finished.connect(lambda _code: self.page.take_focus())

    def _give_reason(self, rows: list[PriceRow], reason: str) -> None:
        job = self.page.desk.job
        if job is None:
            return
        for row in rows:
            job = typed.job_with(
                job, row, typed.REASON, reason[: typed.LONGEST_REASON], self._who()
            )
        self.page.desk.edit(_("reason of {line}").format(line=rows[0].id), job)

    def _on_kept(self, kept: list[Kept]) -> None:
        self.trying = False
        for one in kept:
            self.page.desk.keep(typed.place_of(one.row, one.key), one.text, one.reason)
        self.kept.emit()

    def kept_texts(self, table: PriceTable) -> dict[tuple[str, str], Kept]:
        """Texts kept of rows that are there, with the reason read again."""
        found: dict[tuple[str, str], Kept] = {}
        if not self.page.desk.kept:
            return found
        columns = [one for one in self.model.columns if one.read is not None]
        for row in table.rows:
            for column in columns:
                text = self.page.desk.kept.get(typed.place_of(row, column.key))
                if text is None or not column.can_edit(row):
                    continue
                result = parsed(column, row, text)
                reason = result.reason if isinstance(result, Kept) else _("Not taken yet.")
                found[(row.figure, column.key)] = Kept(row, column.key, text, reason)
        return found

    def _on_typing(self, row: PriceRow, key: str, text: str) -> None:
        """The header moves while a figure is typed."""
        job = self.page.desk.job
        column = self.model.columns[self.model.column_of(key)]
        result = parsed(column, row, text)
        if job is None or isinstance(result, Kept) or key == typed.REASON:
            return
        try:
            tried = typed.job_with(job, row, key, result.value, self._who())
        except NotValid:
            return
        self.trying = True
        self.page.desk.try_out(tried)

    def _typing_ended(self) -> None:
        """An editor that is left without an edit takes back what was tried."""
        if self.trying and self.page.desk.job is not None:
            self.trying = False
            self.page.desk.edit("", self.page.desk.job)

    def _remove(self, row: Any) -> None:
        job = self.page.desk.job
        if job is None or self.model.locked or not isinstance(row, PriceRow):
            return
        if row.own:
            self.page.desk.edit(
                _("line {line} taken out").format(line=row.id), without_own_line(job, row.id)
            )
        elif row.typed_why:
            self.page.desk.edit(
                _("{line} as worked out").format(line=row.id), as_worked_out(job, row.id)
            )
        else:
            self.page.workshop.presenter.notice(
                _("{line} is called in by the scope. Take it out there (Ctrl+3).").format(
                    line=row.id
                )
            )

    def ask_own_line(self, own_id: str = "") -> None:
        """The form of a new line of one's own, or of one that is there."""
        job = self.page.desk.job
        newest = self.page.desk.work or self.page.desk.priced
        if job is None or newest is None or self.model.locked:
            if note := self._why_not():
                self.page.workshop.presenter.notice(note)
            return
        row = self.grid.current_row()
        group = row.group if isinstance(row, PriceRow | GroupRow) else ""
        line = next((one for one in job.own if one.id == own_id), None)
        case = OwnLineCase(job, newest.cat, line, group, self.page.workshop.person.name)
        OwnLineForm(self.page, case, self.page.workshop.formats, self._take_own_line).open()

    def _take_own_line(self, after: Job, own_id: str) -> None:
        self.page.desk.edit(_("line {line}").format(line=own_id), after)
