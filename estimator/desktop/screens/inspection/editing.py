"""What is typed into the findings becomes edits of the job; what is not valid is kept."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _, ngettext
from estimator.desktop.questions import ask_words
from estimator.desktop.screens.inspection.rows import FindingRow
from estimator.desktop.screens.inspection.typed import Typed, words_for
from estimator.desktop.telling import told, told_of
from estimator.desktop.widgets.columns import CellEdit, Kept
from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Measure
from estimator.domain.finding_edits import (
    finding_of_measure,
    overruled,
    own_finding,
    with_cell,
    with_cells,
    with_finding,
    without_findings,
)
from estimator.domain.findings import Finding

DO = "override"
MOVES_FIGURES = frozenset(
    (
        "measured", "quantity", "quantity_low", "quantity_high", "metals", "cleanliness",
        "hours_on_part", "gauge_error", "new", "rebuild_limit", "service_limit",
    )
)  # fmt: skip


def field_words(key: str) -> str:
    """What a cell is called in "Undo ..."."""
    return {
        "measured": _("reading"), "reading": _("words"), "result": _("result"),
        "quantity": _("likely amount"), "quantity_low": _("low amount"),
        "quantity_high": _("high amount"), "metals": _("metals"),
        "cleanliness": _("cleanliness"), "note": _("note"), "inspector": _("inspector"),
        "date": _("date"), "kind": _("kind"), "test": _("test"), "what": _("what was looked at"),
        "component": _("component"), "part": _("parts"), "sign_of": _("sign"), "unit": _("unit"),
        "new": _("new value"), "rebuild_limit": _("rebuild limit"),
        "service_limit": _("service limit"), "gauge_error": _("gauge error"),
        "hours_on_part": _("hours on the part"),
    }.get(key, key)  # fmt: skip


def place_of(finding: str, key: str) -> str:
    """Where a cell's text is kept."""
    return f"finding/{finding}/{key}"


class FindingEdits(QObject):
    """Edits of the desk's findings.

    Signals:
        typed_changed(): `typed`, the finding as it is being typed, is another or None
        answered(): a question was answered or left
    """

    typed_changed = Signal()
    answered = Signal()

    def __init__(self, desk: Desk, over: QWidget) -> None:
        super().__init__(over)
        self._desk, self._over = desk, over
        self.typed: Finding | None = None
        self.reader: Typed | None = None

    # While a cell is being typed

    def typing(self, row: FindingRow, key: str, text: str) -> None:
        """Move gauge and header with what is being typed, as far as it is valid."""
        job, reader = self._desk.job, self.reader
        if job is None or reader is None or key not in MOVES_FIGURES:
            return
        try:
            after = with_cell(row.saved, key, reader.read(row, key, text), row.measure)
        except ValueError:
            return
        self.typed = after
        self.typed_changed.emit()
        self._desk.try_out(with_finding(job, after))

    def left(self) -> None:
        """The cell was left: what was typed is an edit by now, or is taken back."""
        if self.typed is not None:
            self.typed = None
            self.typed_changed.emit()
            if self._desk.job is not None:
                self._desk.try_out(self._desk.job)

    # Cells

    def keep(self, kept: Sequence[Kept]) -> None:
        """Keep what cannot be taken yet."""
        for one in kept:
            self._desk.keep(place_of(one.row.id, one.key), one.text, one.reason)

    def take(self, edits: Sequence[CellEdit], cat: ClassCatalogue) -> None:
        """Cells typed, pasted, filled or cleared in one act; dispositions ask for their reason."""
        job = self._desk.job
        self.typed = None
        cells = [(one.row.id, one.key, one.value) for one in edits if one.key != DO]
        if cells and job is not None:
            self._desk.edit(_name_of(cells), with_cells(job, cells, cat.measures))
        for one in edits:
            self._desk.drop(place_of(one.row.id, one.key))
        self.dispose([(one.row, one.value) for one in edits if one.key == DO])

    def kept_cells(self, rows: Mapping[str, FindingRow]) -> dict[tuple[str, str], Kept]:
        """Texts kept in cells of these rows, each with the reason why it is not taken."""
        found: dict[tuple[str, str], Kept] = {}
        for place, text in self._desk.kept.items():
            section, _slash, rest = place.partition("/")
            code, _slash, key = rest.partition("/")
            row = rows.get(code)
            if section == "finding" and row is not None and key:
                found[code, key] = Kept(row, key, text, self._reason(row, key, text))
        return found

    def _reason(self, row: FindingRow, key: str, text: str) -> str:
        try:
            if self.reader is not None:
                self.reader.read(row, key, text)
        except ValueError as error:
            return told_of(error)
        return _("Typed, and not taken yet. Enter takes it.")

    # What to do with a finding

    def dispose(self, wishes: Sequence[tuple[FindingRow, str]]) -> None:
        """Overrule the rule, with a reason; its own answer takes the estimator's word back."""
        back = [row for row, wish in wishes if wish in ("", row.rule) and row.finding.override]
        wanted = {
            row.id: wish
            for row, wish in wishes
            if wish not in ("", row.rule, row.finding.override) and row.rule
        }
        if back:
            self._overrule({row.id: "" for row in back}, "")
        if wanted:
            first = next(row for row, wish in wishes if row.id in wanted)
            self._ask_why(first, wanted)

    def _ask_why(self, first: FindingRow, wanted: dict[str, str]) -> None:
        if len(wanted) == 1:
            said = _("{finding} {title}: the rule says {rule} ({why}). You say {wish}.").format(
                finding=first.id,
                title=first.title,
                rule=words_for(first.rule).lower(),
                why=told(first.rule_reason),
                wish=words_for(wanted[first.id]).lower(),
            )
        else:
            said = _("{n} findings are overruled with one reason.").format(n=len(wanted))
        question = ask_words(
            self._over,
            _("Why not as the rule says?"),
            said,
            _("Reason; it stays on record"),
            lambda reason: self._overrule(wanted, reason),
        )
        question.finished.connect(lambda _code: self.answered.emit())

    def _overrule(self, wanted: Mapping[str, str], reason: str) -> None:
        job = self._desk.job
        if job is None:
            return
        by = self._desk.workshop.person.name
        findings = tuple(
            overruled(one, wanted[one.id], "", reason, by) if one.id in wanted else one
            for one in job.findings
        )
        name = (
            _("what to do with {finding}").format(finding=next(iter(wanted)))
            if len(wanted) == 1
            else _("what to do with {n} findings").format(n=len(wanted))
        )
        self._desk.edit(name, replace(job, findings=findings))

    # Whole findings

    def add(self, measure: Measure | None, component: str, what: str) -> str:
        """Begin a finding; answers its number, "" where none can be."""
        job, workshop = self._desk.job, self._desk.workshop
        if job is None or self._desk.locked:
            return ""
        who, today = workshop.person.name, workshop.today()
        finding = (
            finding_of_measure(job, measure, who, today)
            if measure is not None
            else own_finding(job, component, what, who, today)
        )
        self._desk.edit(
            _("finding {finding}").format(finding=finding.id), with_finding(job, finding)
        )
        return finding.id

    def remove(self, ids: Sequence[str]) -> None:
        """Take findings out; undo puts them back in their places."""
        job = self._desk.job
        if job is None or not ids:
            return
        name = (
            _("finding {finding} taken out").format(finding=ids[0])
            if len(ids) == 1
            else ngettext("{n} finding taken out", "{n} findings taken out", len(ids)).format(
                n=len(ids)
            )
        )
        self._desk.edit(name, without_findings(job, ids))

    def remove_photo(self, finding: str, photograph: str) -> None:
        """Take a photograph out; the record keeps the picture, so that undo brings it back."""
        job = self._desk.job
        row = next((one for one in job.findings if one.id == finding), None) if job else None
        if job is None or row is None:
            return
        left = tuple(one for one in row.photo if one != photograph)
        self._desk.edit(
            _("photograph {name} taken out").format(name=photograph),
            with_finding(job, replace(row, photo=left)),
        )


def _name_of(cells: Sequence[tuple[str, str, Any]]) -> str:
    code, key, _value = cells[0]
    if len(cells) == 1:
        return _("{field} of {finding}").format(field=field_words(key), finding=code)
    if len({one[1] for one in cells}) == 1:
        return _("{field} of {n} findings").format(
            field=field_words(key), n=len({one[0] for one in cells})
        )
    return _("{n} cells of findings").format(n=len(cells))
