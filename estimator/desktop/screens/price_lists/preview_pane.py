"""What a list changes: by kind, each to be taken or left, and what follows for the parts."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.price_lists.words import (
    FAULTS,
    Row,
    change_columns,
    cost_columns,
    fault_columns,
    kind_words,
    percent,
)
from estimator.desktop.telling import told
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.price_list.compare import KINDS, Change
from estimator.services.preview_price_list import ListPreview
from estimator.services.price_list_effect import Effect

MOST_ROWS = 2_000  # shown at once; the filter narrows what is more
ALL = ""


class PreviewPane(QWidget):
    """Signals: chosen_changed(): other changes are to be taken now."""

    chosen_changed = Signal()

    def __init__(self, formats: Formats, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._say, self._found = formats, None
        self.chosen: set[str] = set()
        self.summary = plain_label("", "second", wrapped=True)
        self.kind = QComboBox()
        self.kind.setAccessibleName(_("Kind of change"))
        self.words = QLineEdit()
        self.words.setAccessibleName(_("Filter by part number or description"))
        self.words.setPlaceholderText(_("Part number or description"))
        self.take_all, self.leave_all = QPushButton(_("Take these")), QPushButton(_("Leave these"))
        self.model = RowModel(change_columns(formats), lambda row: row.change.key)
        self.grid = Grid(self.model, _("Changes"), row_height=26)
        self.fault_model = RowModel(fault_columns(), lambda one: str(id(one)))
        self.faults = Grid(self.fault_model, _("Faults and notes"), row_height=26)
        self.more = plain_label("", "second")
        self.effect = plain_label("", "section", wrapped=True)
        self.cost_model = RowModel(
            cost_columns(formats), lambda one: f"{one.before.id}/{';'.join(one.before.needs)}"
        )
        self.costs = Grid(self.cost_model, _("Parts whose cost follows"), row_height=26)
        self._build()
        self.kind.currentIndexChanged.connect(lambda _n: self._show_rows())
        self.words.textChanged.connect(lambda _text: self._show_rows())
        self.grid.opened.connect(self._turn)
        self.take_all.clicked.connect(lambda _on=False: self._set_all(True))
        self.leave_all.clicked.connect(lambda _on=False: self._set_all(False))

    _found: ListPreview | None

    def _build(self) -> None:
        self.kind.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.words.setMaximumWidth(300)
        tools = QHBoxLayout()
        tools.setContentsMargins(24, 4, 24, 4)
        for widget in (self.kind, self.words, self.take_all, self.leave_all):
            tools.addWidget(widget)
        tools.addStretch()
        tools.addWidget(self.more)
        above, below = QWidget(), QWidget()
        column = QVBoxLayout(above)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(tools)
        column.addWidget(self.grid, 1)
        column.addWidget(self.faults, 1)
        self.faults.hide()
        under = QVBoxLayout(below)
        under.setContentsMargins(0, 4, 0, 0)
        self.effect.setContentsMargins(24, 0, 24, 0)
        under.addWidget(self.effect)
        under.addWidget(self.costs, 1)
        split = QSplitter(Qt.Orientation.Vertical)
        split.addWidget(above)
        split.addWidget(below)
        split.setStretchFactor(0, 3)
        split.setStretchFactor(1, 1)
        self.summary.setContentsMargins(24, 4, 24, 0)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.summary)
        whole.addWidget(split, 1)
        self.grid.set_widths(3)
        self.faults.set_widths(3)
        self.costs.set_widths(1)

    def panes(self) -> Sequence[QWidget]:
        """Kinds, changes, parts."""
        middle = self.faults if self.faults.isVisible() else self.grid
        return (self.kind, middle, self.costs)

    def show_preview(self, found: ListPreview) -> None:
        """Show what a list changes; outliers and traps are left until somebody takes them."""
        assert found.comparison is not None
        self._found = found
        self.chosen = set(found.comparison.usual())
        counts = found.comparison.counts()
        words = kind_words()
        self.kind.blockSignals(True)
        self.kind.clear()
        self.kind.addItem(self._counted(_("All changes"), len(found.comparison.changes)), ALL)
        for kind in KINDS:
            if counts[kind]:
                self.kind.addItem(self._counted(words[kind], counts[kind]), kind)
        if found.problems:
            self.kind.addItem(self._counted(words[FAULTS], len(found.problems)), FAULTS)
        self.kind.blockSignals(False)
        self.summary.setText(self._summary(found))
        self.fault_model.set_rows(list(found.problems))
        self._show_rows()

    def _counted(self, words: str, count: int) -> str:
        return f"{words}: {self._say.number(count)}"

    def _summary(self, found: ListPreview) -> str:
        assert found.comparison is not None
        say = self._say
        parts = [
            _("{file}, prices of {day}: {rows} rows, {same} as they were, {left} left out.").format(
                file=found.file, day=say.day(found.price_date), rows=say.number(found.rows),
                same=say.number(found.comparison.same), left=say.number(found.left_out))
        ]  # fmt: skip
        if found.comparison.moved is not None:
            parts.append(
                _("In the middle prices move by {percent}.").format(
                    percent=percent(found.comparison.moved, say)
                )
            )
        if found.already:
            parts.append(_("This very file was taken in as list {n}.").format(n=found.already))
        if found.remembered:
            parts.append(_("Read as this supplier's lists were before."))
        return " ".join(parts)

    def _rows(self) -> list[Change]:
        """The changes of the kind and words that are wanted."""
        if self._found is None or self._found.comparison is None:
            return []
        kind, words = self.kind.currentData(), self.words.text().casefold().split()
        order = {one: n for n, one in enumerate(KINDS)}
        some = [
            one for one in self._found.comparison.changes
            if (not kind or one.kind == kind)
            and (not words or all(w in one.item.said.casefold() or w in one.key.casefold()
                                  for w in words))
        ]  # fmt: skip
        return some if kind else sorted(some, key=lambda one: order[one.kind])

    def _show_rows(self) -> None:
        shows_faults = self.kind.currentData() == FAULTS
        self.faults.setVisible(shows_faults)
        self.grid.setVisible(not shows_faults)
        for widget in (self.take_all, self.leave_all, self.words):
            widget.setEnabled(not shows_faults)
        if shows_faults:
            self.more.setText("")
            return
        rows = self._rows()
        self.model.set_rows([Row(one, one.key in self.chosen) for one in rows[:MOST_ROWS]])
        left = len(rows) - MOST_ROWS
        self.more.setText(
            _("{n} more: narrow them down").format(n=self._say.number(left)) if left > 0 else ""
        )

    def _turn(self, row: Row) -> None:
        """Take a change that is left, leave one that is taken."""
        self.chosen ^= {row.change.key}
        self._show_rows()
        self.grid.next_row()
        self.chosen_changed.emit()

    def _set_all(self, take: bool) -> None:
        keys = {one.key for one in self._rows()}
        self.chosen = self.chosen | keys if take else self.chosen - keys
        self._show_rows()
        self.chosen_changed.emit()

    def show_effect(self, effect: Effect) -> None:
        """Show what follows for the parts of the catalogue."""
        self.cost_model.set_rows(list(effect.costs))
        self.costs.setVisible(bool(effect.costs))
        count = len(effect.costs)
        if not count:
            self.effect.setText(_("No part of the catalogue is linked to what changes."))
            return
        text = ngettext(
            "The cost of {n} part follows.", "The costs of {n} parts follow.", count
        ).format(n=self._say.number(count))
        if effect.total is not None and effect.total:
            moved = self._say.money(effect.total, whole=False)
            text += " " + _("One of each, together: {sum}.").format(sum=told(moved))
        if effect.moved:
            text += " " + _("{n} links go over to what took the item's place.").format(
                n=self._say.number(len(effect.moved))
            )
        self.effect.setText(text)
