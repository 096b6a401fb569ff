"""How quotes held: what can be said, the reliability diagram, and the figures it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from estimator.desktop.drawing.calibration_chart import ReliabilityPoint, ReliabilityWords
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.past_work.calibration_words import (
    flat_words,
    held_words,
    inside_columns,
    mean_words,
    notes,
    point_words,
    score_columns,
    verdict_words,
)
from estimator.desktop.widgets.grid import Grid
from estimator.desktop.widgets.plain_label import heading_label, plain_label
from estimator.desktop.widgets.reliability_diagram import ReliabilityDiagram
from estimator.desktop.widgets.row_model import RowModel
from estimator.services.show_calibration import CalibrationShown

ROW, ROWS_ROOM = 28, 32  # height of a row; of a table's head and edges


class CalibrationView(QScrollArea):
    """Shows a CalibrationShown; the arrows move in its two tables."""

    def __init__(self, formats: Formats, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._formats = say = formats
        self.setAccessibleName(_("How quotes held"))
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.verdict = plain_label("", "section", wrapped=True)
        self.flat = plain_label("", wrapped=True)
        self.held = plain_label("", "second", wrapped=True)
        self.mean = plain_label("", "second", wrapped=True)
        words = ReliabilityWords(
            _("Share of jobs it was quoted to hold in"),
            _("Share it held in"),
            say.percent,
        )
        self.diagram = ReliabilityDiagram(words)
        self.inside_model = RowModel(inside_columns(say), lambda row: str(row.stated))
        self.inside = Grid(
            self.inside_model, _("Jobs that stayed inside what was quoted"), row_height=ROW
        )
        self.score_model = RowModel(score_columns(say), lambda row: str(row.stated))
        self.scores = Grid(
            self.score_model, _("By how much quotes missed, percent of base"), row_height=ROW
        )
        self._below = QWidget()
        self._note = plain_label(notes(), "note", wrapped=True)
        self._build()

    def _build(self) -> None:
        body = QWidget()
        column = QVBoxLayout(body)
        column.setContentsMargins(24, 12, 24, 12)
        column.setSpacing(6)
        for label in (self.verdict, self.flat, self.held, self.mean):
            column.addWidget(label)
        figures, picture = QVBoxLayout(), QVBoxLayout()
        for grid in (self.inside, self.scores):
            figures.addWidget(_heading(grid.accessibleName()))
            figures.addWidget(grid)
            grid.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
            grid.set_widths(-1)
        picture.addWidget(_heading(_("Held against stated")))
        picture.addWidget(self.diagram)
        for one in (figures, picture):
            one.setSpacing(4)
            one.addStretch(1)
        side_by_side = QHBoxLayout(self._below)
        side_by_side.setContentsMargins(0, 0, 0, 0)
        side_by_side.setSpacing(24)
        side_by_side.addLayout(picture)
        side_by_side.addLayout(figures, 1)
        column.addWidget(self._below)
        column.addWidget(self._note)
        column.addStretch(1)
        self.setWidget(body)

    def panes(self) -> Sequence[QWidget]:
        """The two tables, where there are figures."""
        return (self.inside, self.scores)

    def show_calibration(self, shown: CalibrationShown) -> None:
        """Show how quotes held."""
        say, found = self._formats, shown.calibration
        for label, text in (
            (self.verdict, verdict_words(shown, say)),
            (self.flat, flat_words(shown)),
            (self.held, held_words(shown, say)),
            (self.mean, mean_words(shown, say)),
        ):
            _put(label, text)
        for widget in (self._below, self._note):
            widget.setVisible(bool(found.jobs))
        self.diagram.set_points(
            [ReliabilityPoint(r.stated, r.share, r.low, r.high) for r in found.reliability]
        )
        self.diagram.say(
            _("Held against stated"), "; ".join(point_words(r, say) for r in found.reliability)
        )
        _fill(self.inside, self.inside_model, found.reliability)
        _fill(self.scores, self.score_model, found.scores)


def _heading(text: str) -> QLabel:
    label = heading_label(text)
    label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
    return label


def _put(label: QLabel, text: str) -> None:
    label.setText(text)
    label.setVisible(bool(text))


def _fill(grid: Grid, model: RowModel, rows: Sequence[Any]) -> None:
    model.set_rows(list(rows))
    grid.setFixedHeight(ROWS_ROOM + ROW * max(len(rows), 1))
