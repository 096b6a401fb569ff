"""The right side of the scope: ways of putting a part right, and how far to go with the machine."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.drawing.bars import CertaintyParts, RangeValues
from estimator.desktop.drawing.marks import Mark
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _, ngettext
from estimator.desktop.screens.scope import words
from estimator.desktop.screens.scope.option_table import Option, OptionTable
from estimator.desktop.trade_words import level_word
from estimator.desktop.widgets.certainty_bar import CertaintyBar
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.mark import MarkLabel
from estimator.desktop.widgets.range_strip import RangeStrip
from estimator.services.show_options import LevelColumn, WayColumn
from estimator.services.show_scope import PART, ScopeHead, ScopeRow

BAR = 10


class ScopeSide(QScrollArea):
    """Signals: way_chosen(str), level_chosen(str), keep_one(), keep_both(), again_asked()."""

    way_chosen = Signal(str)
    level_chosen = Signal(str)
    keep_one = Signal()
    keep_both = Signal()
    again_asked = Signal()

    def __init__(self, say: Formats) -> None:
        super().__init__()
        self._say = say
        self.setProperty("look", "side")
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setAccessibleName(_("Options side by side"))
        self.title, self.note = _label("section"), _label("second")
        self.ways = OptionTable(_("Ways"))
        self.after = _label("note")
        self.keep_row = QWidget()
        self.one = CommandButton(_("Keep one"), "Alt+1", tool=True)
        self.both = CommandButton(_("Keep both"), "Alt+2", tool=True)
        self.cautions = QVBoxLayout()
        self.level_title, self.level_note = _label("section"), _label("second")
        self.levels = OptionTable(_("The machine"))
        self.again = QPushButton(_("Work out again"))
        self.again.setProperty("look", "quiet")
        self._build()

    def _build(self) -> None:
        self.level_title.setText(_("The machine: how far to go"))
        row = QHBoxLayout(self.keep_row)
        row.setContentsMargins(0, 4, 0, 4)
        row.addWidget(self.one)
        row.addWidget(self.both)
        row.addStretch()
        body = QWidget()
        body.setProperty("look", "side")
        column = QVBoxLayout(body)
        column.setContentsMargins(20, 14, 20, 14)
        column.setSpacing(4)
        for widget in (self.title, self.note, self.keep_row, self.ways, self.after):
            column.addWidget(widget)
        column.addLayout(self.cautions)
        column.addSpacing(14)
        for widget in (self.level_title, self.level_note, self.levels):
            column.addWidget(widget)
        column.addWidget(self.again, 0, Qt.AlignmentFlag.AlignLeft)
        column.addStretch()
        self.setWidget(body)
        self.ways.chosen.connect(self.way_chosen)
        self.levels.chosen.connect(self.level_chosen)
        self.one.clicked.connect(self.keep_one)
        self.both.clicked.connect(self.keep_both)
        self.again.clicked.connect(self.again_asked)
        self.again.hide()

    # The selected row

    def show_row(self, row: ScopeRow | ScopeHead | None, note: str) -> None:
        """Name the row and what can be said at once; ways come by `show_ways`."""
        part = isinstance(row, ScopeRow) and row.kind == PART
        self.title.setText(row.name if row is not None else _("Nothing is selected"))
        self.note.setText(note)
        self.note.setVisible(bool(note))
        self.ways.setVisible(False)
        self.after.setVisible(False)
        twice = isinstance(row, ScopeRow) and row.twice is not None
        self.keep_row.setVisible(twice)
        self._show_cautions(row if isinstance(row, ScopeRow) else None)
        self.ways.setAccessibleName(
            _("Ways of {part}").format(part=row.name) if part and row else ""
        )

    def _show_cautions(self, row: ScopeRow | None) -> None:
        while (item := self.cautions.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                widget.hide()
                widget.deleteLater()
        for caution in row.cautions if row is not None else ():
            line = QWidget()
            box = QHBoxLayout(line)
            box.setContentsMargins(0, 4, 0, 0)
            mark = MarkLabel(Mark.TAKE_CARE)
            mark.setAccessibleName(_("Caution"))
            mark.setFixedWidth(18)
            text = _label("second")
            text.setText(f"{caution.hazard}: {caution.text}")
            box.addWidget(mark, 0, Qt.AlignmentFlag.AlignTop)
            box.addWidget(text, 1)
            self.cautions.addWidget(line)

    def show_ways(self, columns: Sequence[WayColumn], confidence: str, locked: bool) -> None:
        """Ways of the selected part in columns."""
        say = self._say
        options = [
            Option(one.option.way, words.way_word(one.option.way), one.option.chosen)
            for one in columns
        ]
        full = max((one.option.high.minor for one in columns), default=1)
        at = _("Price at {share}")
        rows = (
            (at.format(share=confidence), [say.sum(c.option.net) for c in columns]),
            (_("Held for it"), [say.sum(c.option.contingency) for c in columns]),
            (_("Chance of this way"), [self._chance(c) for c in columns]),
            (_("This way"), [self._range(c, full) for c in columns]),
            (_("Hours here"), [self._hours(c) for c in columns]),
            (_("Days added"), [say.number(c.option.added_days) for c in columns]),
            (_("Lead"), [words.lead_words(c, say) for c in columns]),
            (_("Old unit"), [words.old_unit_words(c, say) for c in columns]),
            (_("Warranty"), [words.warranty_words(c, say) or DASH for c in columns]),
            (_("Still open"), [self._still_open(c) for c in columns]),
        )  # fmt: skip
        count = len(columns)
        told = ngettext("{n} way is offered", "{n} ways side by side", count).format(n=count)
        self.note.setText("\n".join((*self.note.text().split("\n")[:-1], told)))
        self.note.setVisible(True)
        self.ways.set_options(options, rows, locked)
        self.ways.setVisible(bool(columns))
        self.after.setText(_("This way: its own cost, low to high, on one scale."))
        self.after.setVisible(bool(columns))

    def _range(self, column: WayColumn, full: int) -> QWidget:
        option, say = column.option, self._say
        strip = RangeStrip()
        strip.set_values(
            RangeValues(option.low.minor, option.likely.minor, option.high.minor, full)
        )
        said = f" {DASH} ".join(say.sum(one) for one in (option.low, option.likely, option.high))
        strip.say(_("This way"), said)
        strip.setToolTip(said)
        return strip

    def _chance(self, column: WayColumn) -> str:
        """How often it is this way, if the part is found worn."""
        share = column.option.share
        return DASH if share is None else self._say.percent(share)

    def _hours(self, column: WayColumn) -> str:
        return DASH if column.hours is None else self._say.number(column.hours)

    def _still_open(self, column: WayColumn) -> str:
        if column.open_chance is None:
            return _("no")
        return _("until seen, {share}").format(share=self._say.percent(column.open_chance))

    # The machine

    def show_levels(
        self, columns: Sequence[LevelColumn] | None, note: str, locked: bool, again: bool = False
    ) -> None:
        """Rebuild levels in columns; None while they are worked out, or, to be asked for `again`,
        where that was stopped."""
        self.level_note.setText(note)
        self.level_note.setVisible(bool(note))
        self.levels.setVisible(bool(columns))
        self.again.setVisible(again)
        if not columns:
            return
        say = self._say
        full = max(one.whole for one in columns)
        options = [Option(c.option.level, level_word(c.option.level), c.chosen) for c in columns]
        share = say.percent(columns[0].confidence)
        rows = (
            (_("At {share}").format(share=share), [say.sum(c.option.net) for c in columns]),
            (_("How sure"), [self._bar(c, full) for c in columns]),
            (_("Finish, half / {share}").format(share=share), [self._finish(c) for c in columns]),
            (_("Life wanted, h"), [say.number(c.life_wanted) for c in columns]),
            (_("Of a new machine"), [self._of_new(c) for c in columns]),
            (_("Left as it is"), ["; ".join(c.option.leaves_out) or _("nothing") for c in columns]),
            (_("Safety items"), [_safety(c) for c in columns]),
        )  # fmt: skip
        self.levels.set_options(options, rows, locked)

    def _bar(self, column: LevelColumn, full: int) -> QWidget:
        option = column.option
        bar = CertaintyBar(BAR)
        bar.set_parts(
            CertaintyParts(
                option.firm.minor, option.provisional.minor, option.contingency.minor, full=full
            )
        )
        sums = (
            (_("firm"), option.firm),
            (_("provisional"), option.provisional),
            (_("exposed"), option.contingency),
        )
        said = ", ".join(f"{word} {self._say.sum(one)}" for word, one in sums)
        bar.say(_("How sure"), said)
        bar.setToolTip(said)
        return bar

    def _finish(self, column: LevelColumn) -> str:
        say, option = self._say, column.option
        return f"{say.day(option.ready_likely)} / {say.day(option.ready_covered)}"

    def _of_new(self, column: LevelColumn) -> str:
        return _("{share} of {price}").format(
            share=self._say.percent(column.option.share_of_new),
            price=self._say.sum(column.new_price),
        )


def _safety(column: LevelColumn) -> str:
    parts = []
    if column.safety_done:
        parts.append(_("done: {items}").format(items=", ".join(column.safety_done)))
    if column.safety_left:
        parts.append(_("left: {items}").format(items=", ".join(column.safety_left)))
    return "; ".join(parts) or _("none found")


def _label(tone: str) -> QLabel:
    label = QLabel()
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setProperty("tone", tone)
    label.setWordWrap(True)
    return label
