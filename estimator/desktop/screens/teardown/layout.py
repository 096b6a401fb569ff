"""Where everything stands on the Teardown page."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.key_names import key_names
from estimator.desktop.language import _
from estimator.desktop.screens.teardown.cautions import CautionBox
from estimator.desktop.screens.teardown.columns import bench_columns, opening_column
from estimator.desktop.screens.teardown.disposing import Disposing
from estimator.desktop.screens.teardown.moves_pane import MovesPane
from estimator.desktop.screens.teardown.photos import BenchPhotos
from estimator.desktop.screens.teardown.receiving import Receiving
from estimator.desktop.widgets.command_button import CommandButton
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.entry_button import EntryButton
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import plain_label
from estimator.desktop.widgets.row_model import RowModel
from estimator.desktop.workshop import Workshop

LIST_WIDTH, LEAST_LIST = 224, 170
SIDE_WIDTH, LEAST_SIDE = 308, 250
TALL_ROW, BENCH_ROW, INDENT = 44, 42, 14


@dataclass
class TeardownParts:
    """The page's widgets, by what they show."""

    components: Grid
    closed: QLabel
    next: EntryButton
    title: ElidedLabel
    operation: ElidedLabel
    cautions: CautionBox
    bench: Grid
    photos: BenchPhotos
    disposing: Disposing
    receiving: Receiving
    middle: QStackedWidget
    side: QWidget
    moves: MovesPane
    waits: QLabel
    record: CommandButton
    next_revision: CommandButton


def lay_out(page: QWidget, workshop: Workshop) -> TeardownParts:
    """Build the page: components, the bench, what it moves."""
    parts = _make(workshop)
    row = QHBoxLayout(page)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(0)
    row.addWidget(_left(parts), 2)
    row.addWidget(parts.middle, 6)
    row.addWidget(parts.side, 3)
    return parts


def _make(workshop: Workshop) -> TeardownParts:
    say = workshop.formats
    components = Grid(
        RowModel([opening_column()], lambda row: row.id), _("Machine, as it opens"),
        row_height=TALL_ROW,
    )  # fmt: skip
    components.header().hide()
    components.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    bench = Grid(RowModel(bench_columns(say), lambda row: row.id), _("Bench"), row_height=BENCH_ROW)
    bench.setIndentation(INDENT)
    return TeardownParts(
        components=components,
        closed=plain_label("", "strong"),
        next=EntryButton(""),
        title=ElidedLabel(tone="title"),
        operation=ElidedLabel(tone="second"),
        cautions=CautionBox(say),
        bench=bench,
        photos=BenchPhotos(workshop),
        disposing=Disposing(),
        receiving=Receiving(),
        middle=QStackedWidget(),
        side=QWidget(),
        moves=MovesPane(say),
        waits=plain_label("", "second", wrapped=True),
        record=CommandButton(_("Record"), key_names("Ctrl+Enter"), primary=True),
        next_revision=CommandButton(""),
    )


def _left(parts: TeardownParts) -> QWidget:
    left = QFrame()
    left.setProperty("look", "left")
    left.setMinimumWidth(LEAST_LIST)
    left.setMaximumWidth(LIST_WIDTH)
    foot = QVBoxLayout()
    foot.setContentsMargins(16, 8, 12, 10)
    foot.setSpacing(2)
    foot.addWidget(parts.closed)
    foot.addWidget(ElidedLabel(_("Open next, as the exposure says:"), "second"))
    foot.addWidget(parts.next)
    head = plain_label(_("Machine, as it opens"), "head")
    head.setContentsMargins(16, 12, 0, 6)
    column = QVBoxLayout(left)
    column.setContentsMargins(0, 0, 1, 0)
    column.setSpacing(0)
    column.addWidget(head)
    column.addWidget(parts.components, 1)
    column.addLayout(foot)
    _middle(parts)
    _side(parts)
    return left


def _middle(parts: TeardownParts) -> None:
    head = QHBoxLayout()
    head.setContentsMargins(20, 10, 20, 6)
    head.addWidget(parts.title, 2)
    parts.operation.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
    head.addWidget(parts.operation, 1)
    cautions = QVBoxLayout()
    cautions.setContentsMargins(20, 0, 20, 8)
    cautions.addWidget(parts.cautions)
    bench = QWidget()
    column = QVBoxLayout(bench)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addLayout(head)
    column.addLayout(cautions)
    column.addWidget(parts.bench, 1)
    column.addWidget(parts.photos)
    column.addWidget(parts.disposing)
    scroll = QScrollArea()
    scroll.setWidgetResizable(True)
    scroll.setFrameShape(QFrame.Shape.NoFrame)
    scroll.setWidget(parts.receiving)
    scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    parts.middle.addWidget(bench)
    parts.middle.addWidget(scroll)


def _side(parts: TeardownParts) -> None:
    side = parts.side
    side.setProperty("look", "side")
    side.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
    side.setMinimumWidth(LEAST_SIDE)
    side.setMaximumWidth(SIDE_WIDTH)
    foot = QVBoxLayout()
    foot.setContentsMargins(20, 8, 20, 12)
    foot.setSpacing(8)
    foot.addWidget(parts.waits)
    foot.addWidget(parts.record)
    foot.addWidget(parts.next_revision)
    parts.next_revision.hide()
    line = QFrame()
    line.setFrameShape(QFrame.Shape.HLine)
    line.setFixedHeight(1)
    column = QVBoxLayout(side)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addWidget(parts.moves, 1)
    column.addWidget(line)
    column.addLayout(foot)
