"""Rows of shares: a name, a dotted bar with its whisker, a figure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.bars import Share, paint_share
from estimator.desktop.drawing.words import RIGHT, draw_words, words_width
from estimator.desktop.theme import Theme

ROW_HEIGHT = 27
_BAR = 12
_PAD = 8
_NAMES = 0.62  # of the room beside the figures


@dataclass(frozen=True)
class Contribution:
    """One row: `key` is handed back when the row is chosen; `figure` is ready to be shown."""

    key: object
    name: str
    figure: str
    share: Share
    spoken: str = ""


def figures_width(rows: Sequence[Contribution], theme: Theme) -> int:
    """Room that the widest figure needs."""
    font = theme.font(theme.sizes.body, 600)
    return max((words_width(row.figure, font) for row in rows), default=0)


def names_width(rows: Sequence[Contribution], theme: Theme) -> int:
    """Room that the longest name needs, with what stands around it."""
    font = theme.font(theme.sizes.second)
    return max((words_width(row.name, font) for row in rows), default=0) + 2 * _PAD


def paint_share_row(
    painter: QPainter,
    rect: QRectF,
    row: Contribution,
    theme: Theme,
    figures: int,
    names: float | None = None,
) -> bool:
    """Draw a row into its rectangle; `figures` is the width of the widest figure, `names` that of
    the names. True where the name was cut."""
    colours = theme.colours
    if names is None:
        names = max(60.0, (rect.width() - figures) * _NAMES)
    box = QRectF(rect.left() + _PAD, rect.top(), names - 2 * _PAD, rect.height())
    cut = draw_words(painter, box, row.name, theme.font(theme.sizes.second), colours.ink)
    figure = QRectF(rect.left(), rect.top(), rect.width() - _PAD, rect.height())
    font = theme.font(theme.sizes.body, 600)
    draw_words(painter, figure, row.figure, font, colours.ink, RIGHT)
    room = rect.width() - names - figures - 3 * _PAD
    left = rect.left() + names
    bar = QRectF(left, rect.center().y() - _BAR / 2, max(4.0, room), _BAR)
    paint_share(painter, bar, row.share, theme)
    return cut
