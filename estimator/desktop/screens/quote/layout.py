"""Where everything stands on the Quote page."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.quote.columns import (
    difference_columns,
    look_at_columns,
    revision_columns,
)
from estimator.desktop.screens.quote.preview import Preview
from estimator.desktop.widgets.elided_label import ElidedLabel
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.row_model import RowModel
from estimator.desktop.workshop import Workshop

LEAST_LEFT, LEFT_WIDTH = 300, 416
TALL_ROW, MOST_REVISIONS, MOST_THINGS = 44, 4, 4


@dataclass
class QuoteParts:
    """The page's widgets, by what they show."""

    state: QLabel
    issue: QPushButton
    propose: QPushButton
    withdraw: QPushButton
    accept: QPushButton
    revise: QPushButton
    history: QPushButton
    beside_new: QPushButton
    stop: QPushButton
    revisions: Grid
    look_title: QLabel
    things: Grid
    changes_title: ElidedLabel
    changes_note: QLabel
    changes: Grid
    preview: Preview


def lay_out(page: QWidget, workshop: Workshop) -> QuoteParts:
    """Build the page."""
    parts = _make(workshop)
    left = QWidget()
    left.setMinimumWidth(LEAST_LEFT)
    left.setMaximumWidth(LEFT_WIDTH)
    column = QVBoxLayout(left)
    column.setContentsMargins(0, 12, 0, 0)
    column.setSpacing(4)
    column.addLayout(_head(parts))
    column.addWidget(parts.revisions)
    column.addSpacing(6)
    column.addWidget(_padded(parts.look_title))
    column.addWidget(parts.things)
    column.addSpacing(6)
    column.addWidget(_padded(parts.changes_title))
    column.addWidget(_padded(parts.changes_note))
    column.addWidget(parts.changes, 1)
    column.addStretch()
    line = QFrame()
    line.setFrameShape(QFrame.Shape.VLine)
    line.setFixedWidth(1)
    row = QHBoxLayout(page)
    row.setContentsMargins(0, 0, 0, 0)
    row.setSpacing(0)
    row.addWidget(left, 2)
    row.addWidget(line)
    row.addWidget(parts.preview, 3)
    return parts


def fit_rows(grid: Grid, count: int, most: int) -> None:
    """Make a list without a head as tall as its rows, up to `most` of them."""
    grid.setVisible(bool(count))
    grid.setFixedHeight(min(count, most) * TALL_ROW + 2)


def _make(workshop: Workshop) -> QuoteParts:
    formats: Formats = workshop.formats
    revisions = _list(RowModel(revision_columns(), lambda row: row.id), _("Revisions"))
    things = _list(RowModel(look_at_columns(), lambda row: row.id), _("To mend and to look at"))
    changes = Grid(RowModel(difference_columns(formats), lambda row: row.id), _("What changed"))
    issue = QPushButton(_("Issue\u2026"))
    issue.setProperty("primary", True)
    revise = QPushButton()
    revise.setProperty("primary", True)
    note = _label("", "second")
    note.setWordWrap(True)
    history = QPushButton(_("History"))
    history.setProperty("look", "quiet")
    beside_new = QPushButton(_("Rebuild or new\u2026"))
    beside_new.setProperty("look", "quiet")
    state = _label("", "second")
    state.setWordWrap(True)
    return QuoteParts(
        state=state,
        issue=issue,
        propose=QPushButton(_("Propose for release")),
        withdraw=QPushButton(_("Take back")),
        accept=QPushButton(_("Record acceptance\u2026")),
        revise=revise,
        history=history,
        beside_new=beside_new,
        stop=QPushButton(_("Stop")),
        revisions=revisions,
        look_title=_label("", "section"),
        things=things,
        changes_title=ElidedLabel(tone="section"),
        changes_note=note,
        changes=changes,
        preview=Preview(workshop),
    )


def _list(model: RowModel, name: str) -> Grid:
    grid = Grid(model, name, row_height=TALL_ROW)
    grid.header().hide()
    grid.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    grid.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
    return grid


def _head(parts: QuoteParts) -> QVBoxLayout:
    buttons = QHBoxLayout()
    buttons.setSpacing(8)
    for button in (
        parts.accept,
        parts.issue,
        parts.propose,
        parts.withdraw,
        parts.revise,
        parts.stop,
    ):
        button.setAccessibleName(button.text())
        buttons.addWidget(button)
    buttons.addStretch()
    column = QVBoxLayout()
    column.setContentsMargins(24, 0, 16, 6)
    column.setSpacing(6)
    title = QHBoxLayout()
    title.addWidget(_label(_("Quote"), "section"))
    title.addStretch()
    title.addWidget(parts.beside_new)
    title.addWidget(parts.history)
    column.addLayout(title)
    column.addWidget(parts.state)
    column.addLayout(buttons)
    return column


def _padded(widget: QWidget) -> QWidget:
    widget.setContentsMargins(24, 0, 16, 0)
    return widget


def _label(text: str, tone: str) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setProperty("tone", tone)
    return label
