"""Where everything stands on the Variations page."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.drawing.marks import Mark
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.variations import words
from estimator.desktop.screens.variations.columns import (
    LEDGER_ROW,
    group_columns,
    ledger_columns,
)
from estimator.desktop.screens.variations.drawn_bar import DrawnBar
from estimator.desktop.screens.variations.side import LEAST, WIDE, CaseSide
from estimator.desktop.screens.variations.total_row import TotalRow
from estimator.desktop.widgets.choice_row import ChoiceRow
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.mark import MarkLabel
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.desktop.workshop import Workshop
from estimator.services.show_variations import VariationsView

LEDGER, GROUPS = "ledger", "groups"
LEAST_ROWS = 3
NARROW = 760  # px of the ledger
GROUP_ROW = 28


@dataclass
class Parts:
    """The page's widgets, by what they show."""

    views: ChoiceRow
    note: ElidedLabel
    new: CommandButton
    stack: QStackedWidget
    ledger: Grid
    ledger_total: TotalRow
    groups: Grid
    groups_total: TotalRow
    drawn_note: ElidedLabel
    drawn: DrawnBar
    verdict_mark: MarkLabel
    verdict: QLabel
    side: CaseSide
    left: QWidget
    head: QFrame
    below: QFrame


def lay_out(page: QWidget, workshop: Workshop) -> Parts:
    """Build the page."""
    parts = _make(workshop)
    _fill_head(parts)
    _fill_below(parts)
    left = QVBoxLayout(parts.left)
    left.setContentsMargins(0, 0, 0, 0)
    left.setSpacing(0)
    left.addWidget(parts.head)
    left.addWidget(parts.stack)
    left.addWidget(parts.below)
    left.addStretch(1)
    row = QHBoxLayout(page)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(0)
    row.addWidget(parts.left, 3)
    row.addWidget(parts.side, 2)
    return parts


def _make(workshop: Workshop) -> Parts:
    say = workshop.formats
    ledger = Grid(
        RowModel(ledger_columns(say, lambda: ""), lambda row: row.id), _("Ledger"),
        row_height=LEDGER_ROW,
    )  # fmt: skip
    groups = Grid(
        RowModel(group_columns(say), lambda row: row.id), _("By component group"),
        row_height=GROUP_ROW,
    )  # fmt: skip
    for grid in (ledger, groups):
        grid.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
    ledger.set_widths(stretch=1)
    ledger.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
    stack = QStackedWidget()
    ledger_total, groups_total = TotalRow(ledger), TotalRow(groups)
    for grid, total in ((ledger, ledger_total), (groups, groups_total)):
        stack.addWidget(_with_total(grid, total))
    return Parts(
        views=ChoiceRow("", ((LEDGER, _("Ledger")), (GROUPS, _("By component group")))),
        note=ElidedLabel(_("one record for every finding and request, whoever pays"), "second"),
        new=CommandButton(_("New variation"), "Ins", tool=True),
        stack=stack,
        ledger=ledger,
        ledger_total=ledger_total,
        groups=groups,
        groups_total=groups_total,
        drawn_note=ElidedLabel(tone="second"),
        drawn=DrawnBar(say),
        verdict_mark=MarkLabel(Mark.DONE),
        verdict=plain_label("", "strong", wrapped=True),
        side=CaseSide(say),
        left=QWidget(),
        head=QFrame(),
        below=QFrame(),
    )


def _with_total(grid: Grid, total: TotalRow) -> QWidget:
    """A grid with its totals under its last row, what is left over below them."""
    whole = QWidget()
    column = QVBoxLayout(whole)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addWidget(grid)
    column.addWidget(total)
    column.addStretch(1)
    return whole


def fit(parts: Parts, lines: int, groups: int) -> None:
    """Make both grids as tall as their rows, or as there is room for with the bar below them."""
    whole = parts.left.width() + parts.side.width()
    parts.side.setFixedWidth(min(max(whole // 3, LEAST), WIDE))
    # Where it is narrow, days stand with the opened variation alone.
    days = parts.ledger.rows.column_of("days")
    parts.ledger.setColumnHidden(days, whole - parts.side.width() < NARROW)
    total = parts.ledger_total.sizeHint().height()
    taken = parts.head.sizeHint().height() + parts.below.sizeHint().height() + total
    room = parts.left.height() - taken
    front = parts.stack.currentIndex()
    for place, (grid, rows, high) in enumerate(
        ((parts.ledger, lines, LEDGER_ROW), (parts.groups, groups, GROUP_ROW))
    ):
        head = grid.header().sizeHint().height()
        wanted = head + rows * high + 3
        least = head + LEAST_ROWS * high
        grid.setFixedHeight(max(min(wanted, room), min(wanted, least)))
        if place == front:
            parts.stack.setFixedHeight(grid.height() + total)


def show_below(parts: Parts, view: VariationsView, unspent: str, say: Formats) -> None:
    """Show the totals of both grids, the groups, the bar and its sentence."""
    uncharged = _("({sum}) not charged").format(sum=say.sum(view.uncharged))
    parts.ledger_total.set_texts(
        {
            "number": _("Agreed to date"),
            "left": say.sum(view.left),
            "sum": say.sum(view.current_sum),
            "state": uncharged if view.uncharged else "",
        }
    )
    groups = view.groups
    parts.groups.rows.set_rows(groups.lines)
    parts.groups_total.set_texts(
        {
            "group": _("In all"),
            "held": say.sum(groups.held),
            "drawn": say.sum(groups.drawn),
            "pending": say.sum(groups.pending),
            "expected": say.sum(groups.expected),
        }
    )
    parts.drawn_note.set_text(words.unspent_words(unspent))
    parts.drawn.set_drawn(view.drawn)
    mark, said = words.verdict(view.drawn, say)
    parts.verdict_mark.set_mark(mark)
    parts.verdict_mark.setAccessibleName(said)
    parts.verdict.setText(said)


def _fill_head(parts: Parts) -> None:
    parts.head.setProperty("look", "tools")
    row = QHBoxLayout(parts.head)
    row.setContentsMargins(24, 6, 16, 6)
    row.setSpacing(12)
    row.addWidget(parts.views)
    row.addWidget(parts.note, 1)
    row.addWidget(parts.new)


def _fill_below(parts: Parts) -> None:
    below = parts.below
    below.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
    title = QHBoxLayout()
    title.setSpacing(12)
    title.addWidget(plain_label(_("Contingency, drawn down"), "section"))
    title.addWidget(parts.drawn_note, 1)
    said = QHBoxLayout()
    said.setSpacing(8)
    parts.verdict_mark.setFixedWidth(18)
    said.addWidget(parts.verdict_mark, 0, Qt.AlignmentFlag.AlignTop)
    said.addWidget(parts.verdict, 1)
    column = QVBoxLayout(below)
    column.setContentsMargins(24, 8, 24, 10)
    column.setSpacing(4)
    column.addLayout(title)
    column.addWidget(parts.drawn)
    column.addLayout(said)
