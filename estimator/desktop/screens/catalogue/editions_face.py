"""The editions: who made which when and why, what it changed, what it does to open quotes."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QSplitter, QVBoxLayout, QWidget

from estimator.desktop.formats import Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.catalogue.columns import (
    difference_columns,
    edition_columns,
    effect_columns,
    field_lines,
)
from estimator.desktop.telling import told
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.catalogue.changes import RowChange
from estimator.domain.catalogue.edition import FOLDER
from estimator.domain.fixed_words import fixed
from estimator.services.catalogue_effect import JobEffect
from estimator.services.show_catalogue import EditionLine

_ROW_HIGH = 26
MOST_LINES = 3_000


class EditionsFace(QWidget):
    """Signals: chosen(object): an EditionLine; effect_asked(), stop_asked(), back_asked()."""

    chosen = Signal(object)
    effect_asked = Signal()
    stop_asked = Signal()
    back_asked = Signal()

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.list_model = RowModel(edition_columns(say), lambda one: str(one.number))
        self.list = Grid(self.list_model, _("Editions"), row_height=_ROW_HIGH)
        self.difference_model = RowModel(difference_columns(), lambda one: one.id)
        self.difference = Grid(self.difference_model, _("What it changed"), row_height=_ROW_HIGH)
        self.effect_model = RowModel(
            effect_columns(say, lambda state: told(fixed(state))), lambda one: one.number
        )
        self.effects = Grid(self.effect_model, _("Open quotes"), row_height=_ROW_HIGH)
        self.changed_title = plain_label("", "section", wrapped=True)
        self.effect_title = plain_label(_("Effect on open quotes"), "section", wrapped=True)
        self.effect = QPushButton(_("Work the effect out"))
        self.stop = QPushButton(_("Stop"))
        self.back = QPushButton(_("Take back\u2026"))
        self._build()
        self.list.current_changed.connect(self._on_chosen)
        self.effect.clicked.connect(self.effect_asked)
        self.stop.clicked.connect(self.stop_asked)
        self.back.clicked.connect(self.back_asked)

    def _build(self) -> None:
        split = QSplitter(Qt.Orientation.Vertical)
        split.setChildrenCollapsible(False)
        for head, grid, buttons in (
            (plain_label(_("Editions"), "section"), self.list, (self.back,)),
            (self.changed_title, self.difference, ()),
            (self.effect_title, self.effects, (self.stop, self.effect)),
        ):
            box = QWidget()
            column = QVBoxLayout(box)
            column.setContentsMargins(0, 8, 0, 0)
            row = QHBoxLayout()
            row.setContentsMargins(24, 0, 16, 0)
            row.addWidget(head, 1)
            for button in buttons:
                button.setProperty("tool", True)
                row.addWidget(button)
            column.addLayout(row)
            column.addWidget(grid, 1)
            split.addWidget(box)
        self.list.set_widths(5)
        self.difference.set_widths(4)
        self.effects.set_widths(6)
        self.stop.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(split)

    def panes(self) -> Sequence[QWidget]:
        """The editions, the difference, the open quotes."""
        return (self.list, self.difference, self.effects)

    @property
    def line(self) -> EditionLine | None:
        """The edition that is chosen."""
        row = self.list.current_row()
        return row if isinstance(row, EditionLine) else None

    def show_editions(self, lines: Sequence[EditionLine]) -> None:
        """The editions, the newest first."""
        self.list_model.set_rows(lines)
        if self.line is None and lines:
            self.list.setCurrentIndex(self.list_model.index(0, 0))
        self._on_chosen(self.line)

    def show_changes(self, changes: tuple[RowChange, ...]) -> None:
        """What the chosen edition changed."""
        lines = field_lines(changes, MOST_LINES)
        self.difference_model.set_rows(lines)
        self.changed_title.setText(
            ngettext("{n} row changed", "{n} rows changed", len(changes)).format(
                n=self._say.number(len(changes))
            )
        )

    def show_effect(self, effects: tuple[JobEffect, ...] | None) -> None:
        """What it does to open quotes; None before that was worked out."""
        self.effect_model.set_rows(effects or ())
        self.stop.hide()
        if effects is None:
            self.effect_title.setText(_("Effect on open quotes"))
            return
        moving = sum(one.moves for one in effects)
        said = _("{moving} of {count} open quotes move; what was issued keeps its edition")
        self.effect_title.setText(
            said.format(moving=self._say.number(moving), count=self._say.number(len(effects)))
        )

    def show_working(self, what: str) -> None:
        """How far it is."""
        self.effect_title.setText(_("Working out {what}").format(what=what))
        self.stop.show()

    def allow(self, may: bool) -> None:
        """Whether an edition may be taken back."""
        line = self.line
        self.back.setEnabled(may and line is not None and line.number > 1 and line.kind != FOLDER)

    def _on_chosen(self, line: EditionLine | None) -> None:
        self.show_changes(())
        self.show_effect(None)
        self.effect.setEnabled(line is not None and line.number != 1)
        self.chosen.emit(line)
