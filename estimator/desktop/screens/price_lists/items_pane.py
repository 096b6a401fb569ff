"""Items of all suppliers: searched as one types, linked to parts of the catalogue."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import (
    QCompleter,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.price_lists.words import item_columns
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.catalogue.work_rows import PartsGroup
from estimator.domain.price_list.taken import FoundItem

WAIT = 60  # ms after the last key


class ItemsPane(QWidget):
    """Signals:
    sought(str): other words are searched for
    link_asked(object, object, object): item, parts row, how many go into one (Decimal)
    unlink_asked(object, object): item, parts row
    """

    sought = Signal(str)
    link_asked = Signal(object, object, object)
    unlink_asked = Signal(object, object)

    def __init__(self, formats: Formats, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._say = formats
        self._parts: dict[str, PartsGroup] = {}
        self.words, self.part, self.quantity = QLineEdit(), QLineEdit(), QLineEdit("1")
        for field, name in (
            (self.words, _("Search part number or description")),
            (self.part, _("Part of the catalogue")),
            (self.quantity, _("How many go into one")),
        ):
            field.setAccessibleName(name)
            field.setPlaceholderText(name)
        self.link, self.unlink = QPushButton(_("Link")), QPushButton(_("Link no more"))
        self.model = RowModel(item_columns(formats), lambda one: f"{one.supplier}/{one.item.key}")
        self.grid = Grid(self.model, _("Items of suppliers"), row_height=26)
        self.grid.set_widths(2)
        self.why = plain_label("", "attention", wrapped=True)
        self.count = plain_label("", "second")
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.setInterval(WAIT)
        self._build()
        self._soon.timeout.connect(lambda: self.sought.emit(self.words.text()))
        self.words.textChanged.connect(lambda _text: self._soon.start())
        self.link.clicked.connect(lambda _on=False: self._ask_link())
        self.unlink.clicked.connect(lambda _on=False: self._ask_unlink())
        self.part.returnPressed.connect(self._ask_link)

    def _build(self) -> None:
        self.words.setMaximumWidth(420)
        self.part.setMaximumWidth(320)
        self.quantity.setMaximumWidth(180)
        above = QHBoxLayout()
        above.setContentsMargins(24, 8, 24, 4)
        above.addWidget(self.words, 3)
        above.addWidget(self.count)
        above.addStretch(1)
        below = QHBoxLayout()
        below.setContentsMargins(24, 4, 24, 8)
        below.addWidget(plain_label(_("The chosen item goes into"), "second"))
        for widget in (self.part, self.quantity, self.link, self.unlink):
            below.addWidget(widget)
        below.addStretch()
        self.why.setContentsMargins(24, 0, 24, 4)
        self.why.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(above)
        column.addWidget(self.grid, 1)
        column.addLayout(below)
        column.addWidget(self.why)

    def panes(self) -> Sequence[QWidget]:
        """Words, items, part."""
        return (self.words, self.grid, self.part)

    def set_parts(self, rows: Sequence[PartsGroup]) -> None:
        """The parts that an item can be linked to."""
        self._parts = {_title(row): row for row in rows}
        completer = QCompleter(list(self._parts), self)
        completer.setFilterMode(completer.filterMode().MatchContains)
        completer.setCaseSensitivity(completer.caseSensitivity().CaseInsensitive)
        self.part.setCompleter(completer)

    def show_items(self, found: list[FoundItem], most: int) -> None:
        """Show what was found."""
        self.model.set_rows(found)
        text = ngettext("{n} item", "{n} items", len(found)).format(n=self._say.number(len(found)))
        if len(found) >= most:
            text = _("the first {n}").format(n=self._say.number(most))
        self.count.setText(text)

    def allow(self, may: bool) -> None:
        """Whether items may be linked."""
        for widget in (self.part, self.quantity, self.link, self.unlink):
            widget.setEnabled(may)

    def _row(self) -> PartsGroup | None:
        """The part that is typed, by its title or its code where one row alone has it."""
        text = self.part.text().strip()
        if text in self._parts:
            return self._parts[text]
        same = [row for row in self._parts.values() if row.id.casefold() == text.casefold()]
        return same[0] if len(same) == 1 else None

    def _chosen(self) -> tuple[FoundItem, PartsGroup] | None:
        item, row = self.grid.current_row(), self._row()
        if item is None:
            self._say_why(_("Choose an item first."))
        elif row is None:
            self._say_why(_("Choose a part of the catalogue by its code or name."))
        else:
            self._say_why("")
            return item, row
        return None

    def _ask_link(self) -> None:
        chosen = self._chosen()
        if chosen is None:
            return
        try:
            quantity: Decimal = self._say.read_number(self.quantity.text().strip() or "1")
        except ValueError as error:
            self._say_why(str(error))
            return
        self.link_asked.emit(*chosen, quantity)

    def _ask_unlink(self) -> None:
        chosen = self._chosen()
        if chosen is not None:
            self.unlink_asked.emit(*chosen)

    def _say_why(self, text: str) -> None:
        self.why.setText(text)
        self.why.setVisible(bool(text))


def _title(row: PartsGroup) -> str:
    needs = f" ({';'.join(row.needs)})" if row.needs else ""
    return f"{row.id} {row.name}{needs}"
