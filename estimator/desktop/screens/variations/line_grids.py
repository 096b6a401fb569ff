"""Grids of the form: price lines, lines measured again, ways. What is typed becomes another row;
nothing is refused here, since what a row comes to stands in its last column."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations import words
from estimator.desktop.screens.variations.typed_lines import (
    LineText,
    MeasureText,
    WayText,
    is_blank,
    line_of,
    measure_of,
)
from estimator.desktop.widgets.columns import CellEdit, Column
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.domain.contract.variation import WAYS
from estimator.domain.scope_line import LABOUR, OUTWORK, PARTS
from estimator.services.write_contract import Here

ROW, SHOWN = 26, 4
MOST = 60  # rows; more is another variation


class RowsGrid(QWidget):
    """A grid whose rows are written into; Ins adds one, Ctrl+Del takes one out.

    Signals: changed()
    """

    changed = Signal()

    def __init__(
        self, name: str, columns: Sequence[Column], blank: Callable[[str], Any], shown: int = SHOWN
    ) -> None:
        super().__init__()
        self._blank = blank
        self._rows: tuple[Any, ...] = ()
        self.grid = Grid(RowModel(columns, lambda row: row.id), name, row_height=ROW)
        self.grid.set_widths(stretch=[c.key for c in columns].index("what"))
        head = self.grid.header().sizeHint().height()
        self.grid.setFixedHeight(head + ROW * shown + 4)
        self.add = CommandButton(_("Add a line"), "Ins", tool=True)
        self.remove = CommandButton(_("Take it out"), "Ctrl+Del", tool=True)
        self.sum = plain_label("", "strong")
        self.grid.rows.edited.connect(self._on_edited)
        self.grid.insert_asked.connect(self.insert)
        self.grid.rows_wanted.connect(self._add_rows)
        self.add.clicked.connect(self.insert)
        self.remove.clicked.connect(self.take_out)
        keys = QShortcut(QKeySequence("Ctrl+Del"), self.grid)
        keys.setContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        keys.activated.connect(self.take_out)
        foot = QHBoxLayout()
        foot.setSpacing(8)
        foot.addWidget(self.add)
        foot.addWidget(self.remove)
        foot.addStretch()
        foot.addWidget(self.sum)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(self.grid)
        column.addLayout(foot)

    @property
    def rows(self) -> tuple[Any, ...]:
        """The rows as typed."""
        return self._rows

    def set_rows(self, rows: tuple[Any, ...]) -> None:
        """Show these rows."""
        self._rows = rows
        self.grid.rows.set_rows(rows)

    def insert(self) -> None:
        """Add a row at the end and go there."""
        if len(self._rows) >= MOST:
            return
        number = max((int(row.id) for row in self._rows), default=0) + 1
        self.set_rows((*self._rows, self._blank(str(number))))
        self.grid.go_to(str(number), self.grid.rows.columns[0].key)
        self.grid.setFocus()
        self.changed.emit()

    def _add_rows(self, count: int) -> None:
        """A paste has more lines than there are rows."""
        last = max((int(row.id) for row in self._rows), default=0)
        more = min(count, MOST - len(self._rows))
        fresh = tuple(self._blank(str(last + n)) for n in range(1, more + 1))
        self.set_rows((*self._rows, *fresh))

    def take_out(self) -> None:
        """Take out the row one is on."""
        row = self.grid.current_row()
        if row is not None:
            self.set_rows(tuple(one for one in self._rows if one.id != row.id))
            self.changed.emit()

    def _on_edited(self, edits: list[CellEdit]) -> None:
        rows = {row.id: row for row in self._rows}
        for edit in edits:
            if edit.row.id in rows:
                rows[edit.row.id] = replace(rows[edit.row.id], **{edit.key: edit.value})
        self.set_rows(tuple(rows.values()))
        self.changed.emit()


def kind_words() -> dict[str, str]:
    """Kinds of lines."""
    return {PARTS: _("Parts"), LABOUR: _("Labour"), OUTWORK: _("Outwork")}


def _code(words_: Mapping[str, str], text: str) -> str:
    """The code whose words these are; the text itself where they are nobody's."""
    wanted = text.strip().casefold()
    for code, word in words_.items():
        if wanted in (word.casefold(), code.casefold()):
            return code
    return text.strip()


def _text(title: str, key: str, width: int, *, right: bool = False, **more: Any) -> Column:
    """A column of free text."""
    return Column(
        key, title, lambda row: str(getattr(row, key)), width, right=right,
        read=lambda _row, text: text, **more,
    )  # fmt: skip


def _choice(
    title: str, key: str, width: int, words_: Mapping[str, str],
    editable: Callable[[Any], bool] = lambda _row: True,
) -> Column:  # fmt: skip
    """A column of words to pick from."""

    def shown(row: Any) -> str:
        value = str(getattr(row, key))
        return words_.get(value, value) if editable(row) else DASH

    return Column(
        key, title, shown, width, read=lambda _row, text: _code(words_, text), editable=editable,
        choices=lambda _row: list(words_.values()), tip=shown,
    )  # fmt: skip


def price_lines(here: Here, say: Formats) -> RowsGrid:
    """The grid of price lines, each at the quote's own rates."""
    cat, currency = here.work.cat, here.contract.currency
    trades = {code: row.name for code, row in cat.trades.items()}
    markups = {code: f"{code}: {row.name}" for code, row in cat.markups.items()}
    known = {currency: currency} | {code: code for code in here.job.exchange_rates}

    def bought(row: LineText) -> bool:
        return row.kind != LABOUR

    def price(row: LineText) -> str:
        line, _reason = line_of(row, here, say)
        return DASH if line is None else say.number(line.amount.amount)

    def why(row: LineText) -> str:
        return line_of(row, here, say)[1]

    columns = (
        _choice(_("Kind"), "kind", 88, kind_words()),
        _text(_("What"), "what", 150),
        _text(_("Quantity"), "quantity", 74, right=True),
        _choice(_("Trade"), "trade", 122, trades, lambda row: not bought(row)),
        _text(_("Cost of one"), "cost", 84, right=True, editable=bought),
        _choice(_("Currency"), "currency", 74, known, bought),
        _choice(_("Mark-up"), "markup", 110, markups, bought),
        Column(
            "price",
            _("Price"),
            price,
            80,
            right=True,
            strong=lambda _row: True,
            tip=why,
            tone=lambda row: "attn_text" if why(row) and not is_blank(row) else "ink",
        ),
    )
    return RowsGrid(_("Price lines"), columns, lambda name: LineText(name, currency=currency))


def measured_lines(here: Here, say: Formats) -> RowsGrid:
    """The grid of lines of the quote measured again."""
    lines = {one.id: f"{one.id} {one.line.row.name}" for one in here.work.lines}

    def side(row: MeasureText, name: str) -> str:
        one, _reason = measure_of(row, here, say)
        return DASH if one is None else say.sum(getattr(one, name))

    def change(row: MeasureText) -> str:
        one, _reason = measure_of(row, here, say)
        return DASH if one is None else words.signed(one.change, say)

    columns = (
        Column(
            "row_id", _("Line"), lambda row: row.row_id, 96,
            read=lambda _row, text: text.strip().partition(" ")[0],
            choices=lambda _row: list(lines.values()),
        ),
        Column("what", _("Line of the quote"), lambda row: lines.get(row.row_id, DASH), 200,
               tip=lambda row: measure_of(row, here, say)[1]),
        _text(_("New quantity"), "quantity", 100, right=True),
        Column("before", _("Was"), lambda row: side(row, "before"), 84, right=True),
        Column("after", _("Is"), lambda row: side(row, "after"), 84, right=True),
        Column("change", _("Change"), change, 84, right=True, strong=lambda _row: True),
    )  # fmt: skip
    return RowsGrid(_("Lines measured again"), columns, MeasureText)


def way_lines() -> RowsGrid:
    """The grid of ways offered."""
    ways = {way: words.way_words()[way] for way in WAYS}
    columns = (
        _choice(_("Way"), "way", 110, ways),
        _text(_("What is done"), "what", 170),
        _text(_("Price"), "price", 84, right=True),
        _text(_("Days"), "days", 60, right=True),
        _text(_("Warranty"), "warranty", 120),
        _text(_("Note"), "note", 120),
    )
    return RowsGrid(_("Ways offered"), columns, WayText, shown=3)
