"""Price lists: a new one looked at and taken in, those taken before, and the items of suppliers.

All that takes long runs beside the window, says what it is at, and can be stopped.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from PySide6.QtGui import QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import QHBoxLayout, QStackedWidget, QVBoxLayout, QWidget

from estimator.desktop.desk import Desk
from estimator.desktop.language import _
from estimator.desktop.page import Page
from estimator.desktop.screens.price_lists.items_pane import ItemsPane
from estimator.desktop.screens.price_lists.list_work import ListWork
from estimator.desktop.screens.price_lists.new_list import CHANGES, NewListPane
from estimator.desktop.screens.price_lists.taken_pane import TakenPane
from estimator.desktop.telling import told
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.workshop import Workshop
from estimator.domain.catalogue.work_rows import PartsGroup
from estimator.domain.people import CATALOGUE, roles_for
from estimator.domain.price_list.linked import PartLink
from estimator.domain.price_list.taken import TakenList
from estimator.services.link_parts import MOST_FOUND, find_items, link_part, unlink_part

NEW_LIST, LISTS, ITEMS = "new list", "lists", "items"


class PriceListsPage(Page):
    """Three views: a new list, lists taken in, items."""

    def __init__(self, workshop: Workshop, desk: Desk) -> None:
        super().__init__(workshop, desk)
        self.setAccessibleName(_("Price lists"))
        self.setAcceptDrops(True)
        self.view = ChoiceRow(
            "",
            ((NEW_LIST, _("A new list")), (LISTS, _("Lists taken in")), (ITEMS, _("Items"))),
        )
        self.work = ListWork(self, workshop)
        self.new = NewListPane(workshop, self.work)
        self.lists = TakenPane(workshop, self.work)
        self.items = ItemsPane(workshop.formats)
        self._why_not = plain_label("", "attention", wrapped=True)
        self._views = QStackedWidget()
        self._build()
        self._join()

    # Shape

    def _build(self) -> None:
        for view in (self.new, self.lists, self.items):
            self._views.addWidget(view)
        title = plain_label(self.accessibleName(), "title")
        head = QHBoxLayout()
        head.setContentsMargins(24, 0, 24, 0)
        head.addWidget(title)
        head.addSpacing(24)
        head.addWidget(self.view)
        head.addStretch()
        self._why_not.setContentsMargins(24, 0, 24, 0)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 16, 0, 0)
        column.addLayout(head)
        column.addWidget(self._why_not)
        column.addWidget(self._views, 1)

    def _join(self) -> None:
        workshop = self.workshop
        self.view.chosen.connect(lambda _key: self._change_view())
        self.new.taken.connect(self._on_taken)
        self.new.stepped.connect(self.take_focus)
        self.lists.undone.connect(lambda taken: self._changed(catalogue=bool(taken.edition)))
        self.items.sought.connect(self._search)
        self.items.link_asked.connect(self._link)
        self.items.unlink_asked.connect(self._unlink)
        workshop.catalogue_read.connect(lambda _c: self.stale())
        workshop.person_changed.connect(lambda _person: self.stale())
        workshop.record_changed.connect(
            lambda kinds: self.stale() if "price lists" in kinds else None
        )

    # What a page answers

    def keys(self) -> Sequence[tuple[str, str]]:
        """The keys that count here."""
        if self.view.key == NEW_LIST:
            return (
                ("Ctrl+N", _("choose a file")),
                ("Enter", _("take or leave a change")),
                ("Ctrl+Enter", _("take the list")),
                ("F6", _("next pane")),
            )
        if self.view.key == LISTS:
            return (("Del", _("undo the list")), ("F6", _("next pane")))
        return (("Ctrl+F", _("search")), ("Ctrl+Enter", _("link")), ("F6", _("next pane")))

    def panes(self) -> Sequence[QWidget]:
        """What F6 steps through."""
        if self.view.key == LISTS:
            return (self.view, self.lists.grid)
        return self.items.panes() if self.view.key == ITEMS else self.new.panes()

    def take_focus(self) -> None:
        """Where work begins."""
        if self.view.key == NEW_LIST and self.new.step == CHANGES:
            self.new.preview.grid.setFocus()
        else:
            (self.items.words if self.view.key == ITEMS else self.view).setFocus()

    def filter_asked(self) -> None:
        """Into the words that narrow what is shown."""
        (self.items.words if self.view.key == ITEMS else self.new.preview.words).setFocus()

    def new_asked(self) -> bool:
        """Choose the file of a new list."""
        self.view.choose(NEW_LIST)
        if self.new.tools.choose.isEnabled():
            self.new.ask_file()
        return True

    def main_action(self) -> None:
        """Take what is chosen of the list; link the item."""
        if self.view.key == ITEMS:
            self.items.link.click()
        elif self.view.key == NEW_LIST:
            self.new.main_action()

    def _change_view(self) -> None:
        self._views.setCurrentIndex((NEW_LIST, LISTS, ITEMS).index(self.view.key))
        self.keys_changed.emit()
        self.refresh()

    def refresh(self) -> None:
        """Read what the record holds."""
        self._allow()
        catalogue = self.workshop.edition or self.workshop.catalogue
        if catalogue is not None:
            self.new.fill_suppliers(catalogue)
        if self.view.key == LISTS:
            self.lists.refresh()
        elif self.view.key == ITEMS:
            if catalogue is not None:
                self.items.set_parts(catalogue.table("parts", PartsGroup))
            self._search(self.items.words.text())

    def _allow(self) -> None:
        person = self.workshop.person
        may = person.may(CATALOGUE)
        for pane in (self.new, self.lists, self.items):
            pane.allow(may)
        said = _("{who} may look; price lists are taken by: {roles}.")
        self._why_not.setText(
            "" if may else said.format(who=person.name, roles=told(roles_for(CATALOGUE)))
        )
        self._why_not.setVisible(not may)

    def unfinished(self) -> str:
        """A list looked at and not taken."""
        file = self.new.awaits
        return _("The price list {file} is not taken in yet.").format(file=file) if file else ""

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """A file may be dropped."""
        if event.mimeData().hasUrls() and self.new.tools.choose.isEnabled():
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        """Look at the first file that is dropped."""
        paths = [url.toLocalFile() for url in event.mimeData().urls() if url.isLocalFile()]
        if paths and self.new.tools.choose.isEnabled():
            event.acceptProposedAction()
            self.view.choose(NEW_LIST)
            self.new.read_file(Path(paths[0]))

    # What changed

    def _on_taken(self, taken: TakenList) -> None:
        self._changed(catalogue=bool(taken.edition))
        self.view.choose(LISTS)

    def _changed(self, *, catalogue: bool) -> None:
        """Announce it; where costs followed, the catalogue is read anew and open jobs with it."""
        self.workshop.changed(*(("price lists", "catalogue") if catalogue else ("price lists",)))

    # Items

    def _search(self, text: str) -> None:
        record = self.workshop.record
        self.workshop.runner.run(
            lambda _report: find_items(record, text),
            lambda found: self.items.show_items(found, MOST_FOUND),
            subject="supplier items",
        )

    def _link(self, item: Any, row: PartsGroup, quantity: Any) -> None:
        link = PartLink(row.id, row.needs, item.supplier, item.item.key, quantity)
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        self.work.run(
            lambda _report: link_part(record, link, who, now),
            lambda cost: self._linked(row, cost is not None),
        )

    def _unlink(self, item: Any, row: PartsGroup) -> None:
        link = PartLink(row.id, row.needs, item.supplier, item.item.key, Decimal(1))
        record, who, now = self.workshop.record, self.workshop.person, self.workshop.now()
        self.work.run(
            lambda _report: unlink_part(record, link, who, now),
            lambda _none: self._linked(row, False),
        )

    def _linked(self, row: PartsGroup, moved: bool) -> None:
        self.workshop.presenter.done(
            _("{part} costs what the item costs now.").format(part=row.id)
            if moved
            else _("Done; {part} costs what it did.").format(part=row.id)
        )
        self._changed(catalogue=moved)
