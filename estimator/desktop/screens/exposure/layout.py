"""Where everything stands on the Exposure page."""

from __future__ import annotations

from dataclasses import dataclass

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

from estimator.desktop.desk import Desk
from estimator.desktop.formats import DASH
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.group_bars import GroupBars
from estimator.desktop.screens.exposure.lower import LowerPanes
from estimator.desktop.screens.exposure.words import curve_words
from estimator.desktop.widgets.cost_curve import CostCurve
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.services.show_exposure import HIGHEST, LOWEST

PAD, SIDE_WIDTH = 24, 256
SHARES_WIDTH, SHARES_NARROW, NARROW_BELOW = 288, 248, 900
LEAST_OTHERS = 2 * 24 + 4
UPPER, LEAST_UPPER, MOST_UPPER = 0.43, 188, 360  # of the page's height; px


@dataclass
class ExposureParts:
    """The page's widgets, by what they show."""

    body: QWidget
    upper: QWidget
    state: QLabel
    charts: QPushButton
    before_row: QWidget
    before: ElidedLabel
    dismiss: QPushButton
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
    shares: QWidget
    lower: LowerPanes

    @property
    def unseen(self) -> Grid:
        """The parts nobody has seen."""
        return self.lower.unseen.grid

    def fit(self, width: int, height: int) -> None:
        """Share the page out: the same whichever pane is in front, with room for its rows."""
        self.shares.setFixedWidth(SHARES_NARROW if width < NARROW_BELOW else SHARES_WIDTH)
        self.upper.setFixedHeight(min(max(int(height * UPPER), LEAST_UPPER), MOST_UPPER))


def lay_out(page: QWidget, desk: Desk) -> ExposureParts:
    """Build the page."""
    parts = _make(page, desk)
    column = QVBoxLayout(page)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    parts.state.setContentsMargins(PAD, 8, PAD, 0)
    column.addWidget(parts.state)
    body = QVBoxLayout(parts.body)
    body.setContentsMargins(0, 0, 0, 0)
    body.setSpacing(0)
    body.addLayout(_head(parts))
    body.addWidget(parts.before_row)
    above = QHBoxLayout(parts.upper)
    above.setContentsMargins(0, 0, 0, 0)
    above.setSpacing(0)
    above.addWidget(parts.curve, 1)
    above.addLayout(_side(parts))
    body.addWidget(parts.upper)
    body.addWidget(_rule())
    below = QHBoxLayout()
    below.setSpacing(0)
    _shares(parts)
    below.addWidget(parts.shares)
    below.addWidget(_rule(upright=True))
    below.addWidget(parts.lower, 1)
    body.addLayout(below, 1)
    column.addWidget(parts.body, 1)
    return parts


def _make(page: QWidget, desk: Desk) -> ExposureParts:
    formats = desk.workshop.formats
    held_rows = RowModel((), lambda row: f"{row.confidence:f}")
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
    before, dismiss = ElidedLabel(tone="strong"), QPushButton(_("Dismiss"))
    dismiss.setProperty("look", "quiet")
    dismiss.setToolTip(_("Esc"))
    dismiss.setAccessibleName(_("Dismiss what was before"))
    charts = QPushButton(_("Charts"))
    charts.setProperty("tool", True)
    charts.setAccessibleName(_("Copy or save a chart"))
    return ExposureParts(
        body=QWidget(),
        upper=QWidget(),
        state=_label("", "attention"),
        charts=charts,
        before_row=_before(before, dismiss),
        before=before,
        dismiss=dismiss,
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
        shares=QWidget(),
        lower=LowerPanes(desk, page),
    )


def _before(words: QWidget, dismiss: QWidget) -> QWidget:
    whole = QWidget()
    row = QHBoxLayout(whole)
    row.setContentsMargins(PAD, 4, PAD, 0)
    row.setSpacing(8)
    row.addWidget(words, 1)
    row.addWidget(dismiss)
    whole.hide()
    return whole


def _head(parts: ExposureParts) -> QHBoxLayout:
    words = QVBoxLayout()
    words.setSpacing(0)
    words.addWidget(_label(_("Final cost to the customer"), "section"))
    words.addWidget(ElidedLabel(curve_words(), "second"))
    row = QHBoxLayout()
    row.setContentsMargins(PAD, 12, PAD, 0)
    row.setSpacing(6)
    row.addLayout(words, 1)
    row.addWidget(parts.charts)
    row.addSpacing(12)
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
    parts.others.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    parts.others.setMinimumHeight(LEAST_OTHERS)
    parts.others.setMaximumHeight(5 * 24 + 4)
    column.addWidget(parts.others, 5)
    column.addStretch(1)
    return column


def _shares(parts: ExposureParts) -> None:
    parts.bars.setContentsMargins(0, 0, 0, 0)
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setWidget(parts.bars)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    column = QVBoxLayout(parts.shares)
    column.setContentsMargins(PAD - 8, 10, 8, 6)
    column.setSpacing(0)
    column.addWidget(_indented(ElidedLabel(_("What makes up the contingency"), "section")))
    column.addWidget(_indented(parts.share_note))
    column.addWidget(area, 1)
    column.addWidget(_indented(ElidedLabel(_("Shares add up; whiskers do not."), "note")))
    parts.bars.row_chosen.connect(lambda _key: _follow(area, parts.bars))


def _follow(area: QScrollArea, bars: GroupBars) -> None:
    rect = bars.here_rect()
    area.ensureVisible(0, rect.center().y(), 0, rect.height())


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
