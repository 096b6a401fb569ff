"""Inspection: the machine's components, the findings, and their photographs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.screens.inspection.chooser import MeasureChooser
from estimator.desktop.screens.inspection.columns import AMOUNTS, LIMITS, READINGS, WORDS
from estimator.desktop.screens.inspection.editing import FindingEdits, field_words
from estimator.desktop.screens.inspection.findings_pane import FindingsPane
from estimator.desktop.screens.inspection.rows import FindingRow, NewRow, Rows
from estimator.desktop.screens.inspection.tree import NARROW, WIDE, MachinePane
from estimator.desktop.screens.inspection.typed import Typed
from estimator.desktop.widgets.grid import MOST_PASTED
from estimator.desktop.workshop import Workshop
from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Measure
from estimator.domain.component_tree import seen_of_all
from estimator.domain.disposition import READINGS as READ_KINDS
from estimator.domain.finding_edits import next_finding_id
from estimator.domain.findings import DISPOSITIONS
from estimator.domain.job import Job
from estimator.domain.people import FIND
from estimator.services.work_out import class_catalogue

NARROW_BELOW = 880
# Where a new finding is begun, by what its measure is.
BEGINS_AT = {"oil": (AMOUNTS, "metals"), **dict.fromkeys(READ_KINDS, (READINGS, "measured"))}


class InspectionPage(Page):
    """What was found, component by component, and what nobody has seen."""

    short_header = True

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Inspection"))
        self._rows = Rows()
        self._by_id: dict[str, FindingRow] = {}
        self._reader: Typed | None = None
        self._component = self._words = ""
        self._tree_of: tuple[Job, ClassCatalogue] | None = None
        self.machine = MachinePane()
        self.pane = FindingsPane(workshop)
        self.grid, self.photos = self.pane.grid, self.pane.photos
        self.edits = FindingEdits(desk, self)
        self.chooser = MeasureChooser(self)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addWidget(self.machine)
        whole.addWidget(self.pane, 1)
        self.machine.setFixedWidth(WIDE)
        self._join()
        self.connect_to_desk()
        workshop.catalogue_read.connect(lambda _catalogue: self.stale())

    def _join(self) -> None:
        self.machine.chosen.connect(self._choose_component)
        self.machine.filtered.connect(self._choose_words)
        self.pane.finding_asked.connect(self.ask_finding)
        self.pane.model.edited.connect(self._take)
        self.pane.model.kept_changed.connect(self._keep)
        self.grid.current_changed.connect(self._moved)
        self.grid.typing.connect(self._typing)
        self.grid.left_cell.connect(self.edits.left)
        self.grid.add_asked.connect(self.ask_finding)
        self.grid.removal_asked.connect(self._remove)
        self.grid.refused.connect(self._refused)
        self.edits.typed_changed.connect(self._show_rows)
        self.edits.answered.connect(self.take_focus)
        self.photos.added.connect(self.desk.reread)
        self.photos.removal_asked.connect(self._remove_photo)
        self.chooser.measure_chosen.connect(self._add_measure)
        self.chooser.own_chosen.connect(self._add_own)
        self.chooser.left.connect(self.grid.setFocus)
        for place, disposition in enumerate(DISPOSITIONS, start=1):
            self._key(f"Alt+{place}", partial(self.dispose, disposition))
        self._key("Ctrl+PgDown", lambda: self.pane.show_view(self.pane.view + 1))
        self._key("Ctrl+PgUp", lambda: self.pane.show_view(self.pane.view - 1))

    def _key(self, keys: str, act: Callable[[], object]) -> None:
        shortcut = QShortcut(QKeySequence(keys), self)
        shortcut.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        shortcut.activated.connect(act)

    # Showing

    def _cat(self) -> ClassCatalogue | None:
        job, catalogue = self.desk.job, self.workshop.catalogue
        if job is None or catalogue is None:
            return None
        return class_catalogue(catalogue, job.machine.class_id)

    def refresh(self) -> None:
        """Show the desk's findings."""
        job, cat = self.desk.job, self._cat()
        if job is None:
            return
        if cat is not None and (self._reader is None or self._reader.cat is not cat):
            self._reader = self.edits.reader = Typed(self.workshop.formats, cat)
            self.pane.set_reader(self._reader)
        self.pane.set_locked(self.desk.why_not(FIND))
        self._show_rows()
        if cat is not None:
            self._show_tree(job, cat)
        self._show_photos()

    def _show_rows(self) -> None:
        job, cat = self.desk.job, self._cat()
        rows: list[FindingRow | NewRow] = []
        if job is not None and cat is not None:
            made = self._rows.of(job, cat, self.edits.typed)
            self._by_id = {row.id: row for row in made}
            rows += [row for row in made if self._fits(row)]
            if not self.desk.locked:
                rows.append(NewRow(next_finding_id(job)))
            group, component = cat.groups.get(self._component), cat.components.get(self._component)
            where = group.name if group else component.name if component else ""
            self.pane.title.set_text(
                _("Findings: {where}").format(where=where) if where else _("All findings")
            )
        self.pane.show_rows(rows, self.edits.kept_cells(self._by_id))
        self._show_note()

    def _fits(self, row: FindingRow) -> bool:
        if self._component and self._component not in (row.component, row.group):
            return False
        return all(word in row.searched for word in self._words.casefold().split())

    def _show_note(self) -> None:
        """Above the grid: why nothing can be changed, or why typed text is not taken."""
        job = self.desk.job
        if job is None:
            return
        words = ""
        if self.desk.locked:
            words = self.desk.why_not(FIND)
        elif self.workshop.catalogue is not None and self._cat() is None:
            words = _("The catalogue has no machine class {name}. Choose one on Enquiry.").format(
                name=job.machine.class_id or "\u2013"
            )
        else:
            words = self._kept_words()
        self.pane.set_note(words)

    def _kept_words(self) -> str:
        """Why text in the finding one is on is not taken, else where there is such text."""
        kept = self.edits.kept_cells(self._by_id)
        for (code, key), one in kept.items():
            if code == self.place() or len(kept) == 1:
                return _("{finding}, {field}, \u201c{text}\u201d is not taken yet: {why}").format(
                    finding=code, field=field_words(key), text=one.text, why=one.reason
                )
        if not kept:
            return ""
        where = ", ".join(f"{code} ({field_words(key)})" for code, key in list(kept)[:4])
        return _("Typed text is not taken yet: {where}. Go there to see why.").format(where=where)

    def _show_tree(self, job: Job, cat: ClassCatalogue) -> None:
        if self._tree_of == (job, cat):
            return
        self._tree_of = (job, cat)
        judged = {row.id: row.judged for row in self._by_id.values() if row.judged}
        self.machine.show_tree(seen_of_all(job, cat, judged))

    def _show_photos(self) -> None:
        job, row = self.desk.job, self.grid.current_row()
        if job is None:
            return
        finding = row.finding if isinstance(row, FindingRow) else None
        self.photos.show_finding(
            job.number,
            finding.id if finding else "",
            finding.photo if finding else (),
            locked=self.desk.locked,
        )

    # What the user does

    def _choose_component(self, code: str) -> None:
        self._component = code
        self._show_rows()

    def _choose_words(self, words: str) -> None:
        self._words = words
        self._show_rows()

    def _moved(self, row: object) -> None:
        finding = row if isinstance(row, FindingRow) else None
        self.why_asked.emit(f"finding/{finding.id}" if finding else None)
        if finding is not None:
            self.place_changed.emit(finding.id)
        self._show_note()
        self._show_photos()

    def _take(self, edits: list) -> None:  # type: ignore[type-arg]
        cat = self._cat()
        if cat is not None:
            self.edits.take(edits, cat)
            self._show_note()

    def _keep(self, kept: list) -> None:  # type: ignore[type-arg]
        self.edits.keep(kept)
        self._show_note()

    def _typing(self, row: object, key: str, text: str) -> None:
        if isinstance(row, FindingRow):
            self.edits.typing(row, key, text)

    def dispose(self, disposition: str) -> None:
        """Overrule the rule for the findings chosen; its own answer takes that back."""
        if self.desk.locked:
            return
        rows = [self._by_id[one] for one in self.grid.chosen_ids() if one in self._by_id]
        self.edits.dispose([(row, disposition) for row in rows])

    def ask_finding(self, text: str = "") -> None:
        """Open the list of what can be measured."""
        job, cat = self.desk.job, self._cat()
        if job is None or cat is None or self.desk.locked:
            return
        row = self.grid.current_row()
        here = row.component if isinstance(row, FindingRow) else ""
        component = self._component if self._component in cat.components else here
        self.chooser.ask(job, cat, text, component)

    def _add_measure(self, measure: Measure) -> None:
        code = self.edits.add(measure, measure.component, "")
        self._begin_at(code, *BEGINS_AT.get(measure.kind, (WORDS, "result")))

    def _add_own(self, component: str) -> None:
        cat = self._cat()
        name = cat.components[component].name if cat is not None else component
        self._begin_at(self.edits.add(None, component, name), LIMITS, "what")

    def _begin_at(self, code: str, view: int, key: str) -> None:
        if code:
            self.go_to(code)
            self.pane.begin_at(code, view, key)

    def _remove(self, ids: list[str]) -> None:
        if not self.desk.locked:
            self.edits.remove(ids)

    def _remove_photo(self, name: str) -> None:
        row = self.grid.current_row()
        if isinstance(row, FindingRow):
            self.edits.remove_photo(row.id, name)

    def _refused(self, _count: str) -> None:
        self.workshop.presenter.trouble(
            _("More than {most} cells were pasted; none was taken.").format(
                most=self.workshop.formats.number(MOST_PASTED)
            )
        )

    # What the window asks

    def keys(self) -> Sequence[tuple[str, str]]:
        """Keys of this page."""
        return (
            ("Tab", _("next field")),
            ("Enter", _("next row")),
            ("Ctrl+D", _("as above")),
            ("Alt+1 \u2026 5", _("reuse, recondition, exchange, replace, open")),
            ("Ctrl+PgDn", _("other columns")),
        )

    def take_focus(self) -> None:
        """Work begins in the grid."""
        self.grid.setFocus(Qt.FocusReason.OtherFocusReason)

    def go_to(self, place: str) -> None:
        """Put the cursor on a finding, given by its number or as a cell's place."""
        code = place.removeprefix("finding/").split("/")[0]
        if code in self._by_id and not self._fits(self._by_id[code]):
            self.machine.filter.clear()
            self.machine.go_to("")
        self.grid.go_to(code)

    def place(self) -> str:
        """The finding one is on."""
        row = self.grid.current_row()
        return row.id if isinstance(row, FindingRow) else ""

    def explain_here(self) -> None:
        """The finding one is on."""
        self._moved(self.grid.current_row())

    def filter_asked(self) -> None:
        """Ctrl+F: the filter over the tree."""
        self.machine.filter.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.machine.filter.selectAll()

    def main_action(self) -> None:
        """Ctrl+Enter: a new finding."""
        self.ask_finding()

    def panes(self) -> Sequence[QWidget]:
        """Grid, photographs, tree."""
        return (self.grid, self.photos.strip, self.machine.tree)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Narrow windows have a narrower tree."""
        super().resizeEvent(event)
        self.machine.setFixedWidth(NARROW if event.size().width() < NARROW_BELOW else WIDE)
