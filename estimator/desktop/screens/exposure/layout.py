"""Where everything stands on the Exposure page."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.columns import held_columns, unseen_columns
from estimator.desktop.screens.exposure.group_bars import GroupBars
from estimator.desktop.widgets.cost_curve import CostCurve
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.services.show_exposure import HIGHEST, LOWEST

PAD, SIDE_WIDTH, SHARES_WIDTH = 24, 256, 312


@dataclass
class ExposureParts:
    """The page's widgets, by what they show."""

    body: QWidget
    state: QLabel
    less: QPushButton
    more: QPushButton
    confidence: QLabel
    curve: CostCurve
    held_title: QLabel
    held: QLabel
    held_note: QLabel
    others: Grid
    bars: GroupBars
    share_note: ElidedLabel
    unseen: Grid
    unseen_note: ElidedLabel


def lay_out(page: QWidget, formats: Formats, here: Callable[[], Decimal]) -> ExposureParts:
    """Build the page; `here` is the confidence that is shown now."""
    parts = _make(formats, here)
    column = QVBoxLayout(page)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    parts.state.setContentsMargins(PAD, 8, PAD, 0)
    column.addWidget(parts.state)
    body = QVBoxLayout(parts.body)
    body.setContentsMargins(0, 0, 0, 0)
    body.setSpacing(0)
    body.addLayout(_head(parts))
    above = QHBoxLayout()
    above.setSpacing(0)
    above.addWidget(parts.curve, 1)
    above.addLayout(_side(parts))
    body.addLayout(above, 1)
    body.addWidget(_rule())
    below = QHBoxLayout()
    below.setSpacing(0)
    below.addLayout(_shares(parts))
    below.addWidget(_rule(upright=True))
    below.addLayout(_unseen(parts), 1)
    body.addLayout(below, 1)
    column.addWidget(parts.body, 1)
    return parts


def _make(formats: Formats, here: Callable[[], Decimal]) -> ExposureParts:
    held_rows = RowModel(held_columns(formats, here), lambda row: f"{row.confidence:f}")
    unseen_rows = RowModel(unseen_columns(formats), lambda row: row.part)
    less, more = QPushButton("\u2212"), QPushButton("+")
    for button, name in ((less, _("Confidence by 1 less")), (more, _("Confidence by 1 more"))):
        button.setProperty("tool", True)
        button.setAccessibleName(name)
        button.setToolTip(name)
        button.setFixedWidth(36)
    confidence = _label(DASH, "strong")
    confidence.setAlignment(Qt.AlignmentFlag.AlignCenter)
    confidence.setMinimumWidth(52)
    bars = GroupBars(formats)
    bars.setAccessibleName(_("What makes up the contingency"))
    note = _label("", "note")
    note.setWordWrap(True)
    return ExposureParts(
        body=QWidget(),
        state=_label("", "attention"),
        less=less,
        more=more,
        confidence=confidence,
        curve=CostCurve(LOWEST, HIGHEST),
        held_title=_label(_("Contingency"), "second"),
        held=_label(DASH, "headline"),
        held_note=note,
        others=Grid(held_rows, _("At other confidence")),
        bars=bars,
        share_note=ElidedLabel(tone="second"),
        unseen=Grid(unseen_rows, _("What is not seen")),
        unseen_note=ElidedLabel(tone="second"),
    )


def _head(parts: ExposureParts) -> QHBoxLayout:
    words = QVBoxLayout()
    words.setSpacing(0)
    words.addWidget(_label(_("Final cost to the customer"), "section"))
    words.addWidget(
        ElidedLabel(
            _("chance, in our judgement, that the final sum is at or under each figure"), "second"
        )
    )
    row = QHBoxLayout()
    row.setContentsMargins(PAD, 12, PAD, 0)
    row.setSpacing(6)
    row.addLayout(words, 1)
    row.addWidget(_label(_("Confidence"), "second"))
    for widget in (parts.less, parts.confidence, parts.more):
        row.addWidget(widget)
    return row


def _side(parts: ExposureParts) -> QVBoxLayout:
    column = QVBoxLayout()
    column.setContentsMargins(0, 10, PAD, 12)
    column.setSpacing(2)
    for widget in (parts.held_title, parts.held, parts.held_note):
        column.addWidget(widget)
    column.addSpacing(8)
    column.addWidget(_label(_("At other confidence"), "head"))
    parts.others.setFixedWidth(SIDE_WIDTH)
    parts.others.header().hide()
    parts.others.set_widths(2)
    parts.others.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    parts.others.setFixedHeight(5 * 24 + 4)
    column.addWidget(parts.others)
    column.addStretch()
    return column


def _shares(parts: ExposureParts) -> QVBoxLayout:
    parts.bars.setContentsMargins(0, 0, 0, 0)
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setWidget(parts.bars)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    area.setMinimumWidth(SHARES_WIDTH - PAD)
    area.setMaximumWidth(SHARES_WIDTH - PAD)
    column = QVBoxLayout()
    column.setContentsMargins(PAD - 8, 10, 8, 6)
    column.setSpacing(0)
    column.addWidget(_indented(_label(_("What makes up the contingency"), "section")))
    column.addWidget(_indented(parts.share_note))
    column.addWidget(area, 1)
    column.addWidget(_indented(ElidedLabel(_("Shares add up; whiskers do not."), "note")))
    parts.bars.row_chosen.connect(lambda _key: _follow(area, parts.bars))
    return column


def _follow(area: QScrollArea, bars: GroupBars) -> None:
    rect = bars.here_rect()
    area.ensureVisible(0, rect.center().y(), 0, rect.height())


def _unseen(parts: ExposureParts) -> QVBoxLayout:
    words = QVBoxLayout()
    words.setContentsMargins(20, 10, PAD, 6)
    words.setSpacing(0)
    words.addWidget(_label(_("What is not seen"), "section"))
    words.addWidget(parts.unseen_note)
    parts.unseen.set_widths(-1)
    parts.unseen.header().setStretchLastSection(True)
    parts.unseen.setSortingEnabled(True)
    parts.unseen.header().setSortIndicatorClearable(True)
    parts.unseen.sortByColumn(-1, Qt.SortOrder.AscendingOrder)
    column = QVBoxLayout()
    column.setSpacing(0)
    column.addLayout(words)
    column.addWidget(parts.unseen, 1)
    return column


def _indented(widget: QWidget) -> QWidget:
    widget.setContentsMargins(8, 0, 0, 0)
    return widget


def _rule(*, upright: bool = False) -> QFrame:
    line = QFrame()
    line.setFrameShape(QFrame.Shape.VLine if upright else QFrame.Shape.HLine)
    if upright:
        line.setFixedWidth(1)
    else:
        line.setFixedHeight(1)
    return line


def _label(text: str, tone: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setProperty("tone", tone)
    return label
