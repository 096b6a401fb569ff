"""The price catalogue: every row found as one types, changed with checks at once, kept as editions
with who, why and what they do to open quotes."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QStackedWidget, QVBoxLayout, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.runner import WORK
from estimator.desktop.screens.catalogue.acts import CatalogueActs
from estimator.desktop.screens.catalogue.editing import RowEditing
from estimator.desktop.screens.catalogue.editions_face import EditionsFace
from estimator.desktop.screens.catalogue.guide_face import GuideFace
from estimator.desktop.screens.catalogue.rows_face import RowsFace
from estimator.desktop.telling import told
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.workshop import Workshop
from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.edition import Edition
from estimator.domain.people import CATALOGUE, roles_for
from estimator.services.catalogue_acts import Choice, chosen_rows
from estimator.services.catalogue_editions import FolderNews, edition_changes, editions
from estimator.services.show_catalogue import (
    EditionLine,
    View,
    class_seen,
    found_rows,
    view_of,
)

ROWS, EDITIONS, GUIDE = "rows", "editions", "guide"


class CataloguePage(Page):
    """Rows, editions and the guide, one at a time."""

    own_side = True

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Catalogue"))
        say = workshop.formats
        self.face_row = ChoiceRow(
            "", ((ROWS, _("Rows")), (EDITIONS, _("Editions")), (GUIDE, _("Make it our own")))
        )
        self.rows, self.editions, self.guide = RowsFace(say), EditionsFace(say), GuideFace(say)
        self.editing = RowEditing(workshop, self.rows)
        self.acts = CatalogueActs(self, workshop, self.editing, self.editions)
        self.news: FolderNews | None = None
        self._seen: tuple[str, str, ClassCatalogue | None] = ("", "", None)
        self._why_not = plain_label("", "second", wrapped=True)
        self._folder = QPushButton(_("The supplied catalogue was changed\u2026"))
        self._folder.setProperty("tool", True)
        self._stack = QStackedWidget()
        self._build()
        self._join()

    def _build(self) -> None:
        head = QHBoxLayout()
        head.setContentsMargins(24, 12, 16, 4)
        title = plain_label(self.accessibleName(), "title")
        head.addWidget(title)
        head.addSpacing(16)
        head.addWidget(self.face_row)
        head.addStretch()
        head.addWidget(self._folder)
        self._folder.hide()
        self._why_not.setContentsMargins(24, 0, 24, 4)
        for face in (self.rows, self.editions, self.guide):
            self._stack.addWidget(face)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addLayout(head)
        column.addWidget(self._why_not)
        column.addWidget(self._stack, 1)
        menu = self.rows.tools.menu
        for text, act in (
            (_("New row like this one"), self.editing.add),
            (_("Make what is listed our own\u2026"), self._make_our_own),
            (_("New class from a like one\u2026"), self.acts.new_class),
            (_("From a folder\u2026"), lambda: self.acts.ask_import(folder=True)),
            (_("From the file of a table\u2026"), lambda: self.acts.ask_import(folder=False)),
        ):
            menu.addAction(text).triggered.connect(lambda _on=False, one=act: one())
        self._writing = tuple(menu.actions())
        menu.addAction(_("To files\u2026")).triggered.connect(
            lambda _on=False: self.acts.ask_export()
        )

    def _join(self) -> None:
        rows, workshop = self.rows, self.workshop
        self.face_row.chosen.connect(lambda _key: self._show_face())
        rows.table_chosen.connect(self._find)
        rows.tools.changed.connect(self._find)
        rows.row_chosen.connect(self.editing.show)
        rows.rows.insert_asked.connect(self.editing.add)
        rows.rows.remove_asked.connect(lambda _row: self.editing.take_out())
        rows.keep.clicked.connect(self.acts.keep)
        rows.drop.clicked.connect(self.editing.drop_all)
        rows.effect.clicked.connect(self._show_draft_effect)
        self.editing.changed.connect(self._on_changed)
        self.acts.proposed.connect(self._on_proposed)
        self.editions.chosen.connect(self._read_changes)
        self.editions.effect_asked.connect(self._work_effect_out)
        self.editions.stop_asked.connect(self.acts.stop_effect)
        self.editions.back_asked.connect(self.acts.take_back)
        self._folder.clicked.connect(self._ask_folder)
        workshop.catalogue_read.connect(lambda _catalogue: self.stale())
        workshop.person_changed.connect(lambda _person: self.stale())

    # What a page answers

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count here."""
        if self.face_row.key != ROWS:
            return (("F6", _("next pane")), ("Alt+Home", _("Jobs")))
        return (
            ("Ctrl+F", _("search")),
            ("Enter", _("into the row")),
            ("Ins", _("row like this")),
            ("Del", _("take out")),
            ("Ctrl+Enter", _("keep")),
            ("F6", _("next pane")),
        )

    def panes(self) -> Sequence[QWidget]:
        """The widgets of the face in front."""
        if self.face_row.key == ROWS:
            return self.rows.panes()
        return self.editions.panes() if self.face_row.key == EDITIONS else (self.guide,)

    def take_focus(self) -> None:
        """Into the words to look for, or the first pane."""
        panes = self.panes()
        panes[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def filter_asked(self) -> None:
        """Ctrl+F: the words to look for."""
        self.face_row.choose(ROWS)
        self.rows.tools.text.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.rows.tools.text.selectAll()

    def main_action(self) -> None:
        """Keep what is being changed; on the editions work the effect out."""
        if self.face_row.key == EDITIONS:
            self._work_effect_out()
        elif self.editing.may:
            self.acts.keep()

    def unfinished(self) -> str:
        """Changes that are not kept."""
        return self.editing.unfinished()

    def show_side(self, shown: bool) -> None:
        """The form is the page's own side."""
        self.rows.side.setVisible(shown)

    # Reading

    def shown(self) -> None:
        """Catch up; an effect that was stopped meanwhile may be asked for again."""
        super().shown()
        self.acts.look_at_effect()

    def refresh(self) -> None:
        """Look through the edition that is worked with."""
        self._allow()
        self.acts.look_at_effect()
        catalogue = self.workshop.edition
        if catalogue is None:
            return
        view = self.editing.view
        if view is None or view.catalogue is not catalogue:
            self.workshop.runner.run(
                lambda _report: view_of(catalogue), self._take_view, lane=WORK,
                subject="catalogue view",
            )  # fmt: skip
        self._read_editions()
        self.acts.look_at_folder(self._take_news)

    def _take_view(self, view: View) -> None:
        self.editing.take_view(view)
        self.editing.shown = None
        self.editing.rebase()
        classes = [(one.id, one.type) for one in view.catalogue.classes.values()]
        self.rows.tools.offer_classes(classes)
        self.rows.show_tables(view.counts)
        self.guide.show_left(view.counts)
        self._find()

    def _take_news(self, news: FolderNews | None) -> None:
        self.news = news
        self._folder.setVisible(news is not None and self.editing.may)

    def _allow(self) -> None:
        """Who may only look is told so."""
        person = self.workshop.person
        may = self.editing.may
        said = _("{who} may look; changing the catalogue is for: {roles}.")
        self._why_not.setText(
            "" if may else said.format(who=person.name, roles=told(roles_for(CATALOGUE)))
        )
        self._why_not.setVisible(not may)
        for action in self._writing:
            action.setEnabled(may)
        self.rows.form.allow(may)
        self.editions.allow(may)

    def _seen_by(self, class_id: str) -> ClassCatalogue | None:
        """The catalogue as a class sees it, kept while it stays the same."""
        view = self.editing.view
        if view is None or not class_id:
            return None
        key = (view.catalogue.fingerprint, class_id)
        if self._seen[:2] != key:
            self._seen = (*key, class_seen(view.catalogue, class_id))
        return self._seen[2]

    def _find(self) -> None:
        """Show the rows that are looked for."""
        view = self.editing.view
        if view is None:
            return
        sought = self.rows.tools.sought(self.rows.table)
        found, count = found_rows(
            view, sought, self._seen_by(sought.class_id), self.editing.draft.changes
        )
        self.rows.show_rows(found, count, view.names)

    def _ask_folder(self) -> None:
        if self.news is not None:
            self.acts.ask_folder(self.news)

    # Changing

    def _on_changed(self) -> None:
        faults: Sequence[str] = [] if self.editing.draft.changes else ()
        self.rows.show_pending(self.editing.draft.changes, faults)
        self._find()

    def _on_proposed(self) -> None:
        """An act laid its changes over the rows: they are looked at before they are kept."""
        self.face_row.choose(ROWS)
        self.editing.shown = None
        self._on_changed()
        self.editing.check()
        self.rows.pending.setFocus(Qt.FocusReason.OtherFocusReason)

    def _make_our_own(self) -> None:
        view = self.editing.view
        if view is None:
            return
        sought = self.rows.tools.sought(self.rows.table)
        choice = Choice(sought.table, sought.words, sought.class_id, sought.origin)
        self.acts.our_own(chosen_rows(view.catalogue, choice))

    # Editions

    def _show_face(self) -> None:
        self._stack.setCurrentIndex((ROWS, EDITIONS, GUIDE).index(self.face_row.key))
        self.keys_changed.emit()
        if self.face_row.key == EDITIONS:
            self._read_editions()

    def _read_editions(self) -> None:
        record = self.workshop.record
        self.workshop.runner.run(
            lambda _report: editions(record), self._show_editions, subject="editions"
        )

    def _show_editions(self, found: tuple[Edition, ...]) -> None:
        lines = [
            EditionLine(one.number, one.version, one.at, one.who, one.kind, one.why, one.rows)
            for one in found
        ]
        draft = self.editing.draft
        if draft.changes:
            who = self.workshop.person.name
            lines.insert(0, EditionLine(0, "", None, who, "", draft.why, len(draft.changes)))
        self.editions.show_editions(lines)
        self.editions.allow(self.editing.may)

    def _read_changes(self, line: EditionLine | None) -> None:
        self.editions.allow(self.editing.may)
        if line is None:
            return
        if not line.number:
            self.editions.show_changes(self.editing.draft.changes)
            return
        record, number = self.workshop.record, line.number
        self.workshop.runner.run(
            lambda _report: edition_changes(record, number), self.editions.show_changes,
            subject="edition changes",
        )  # fmt: skip

    def _work_effect_out(self) -> None:
        line = self.editions.line
        if line is not None and line.number != 1:
            self.acts.work_effect_out(line)

    def _show_draft_effect(self) -> None:
        """What is being changed, and what it would do to open quotes."""
        self.face_row.choose(EDITIONS)
        draft, who = self.editing.draft, self.workshop.person.name
        line = EditionLine(0, "", None, who, "", draft.why, len(draft.changes))
        self.editions.show_editions([line])
        self.editions.list.go_to("0")
        self.acts.work_effect_out(line)
