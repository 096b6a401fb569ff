"""What tables paint into a cell besides plain words; each takes the cell's rectangle.

A delegate's paint calls one of these after the row's ground is drawn. Patterns are measured
from the cell's corner, so that a table may scroll by moving pixels.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter

from estimator.desktop.drawing.bars import (
    CertaintyParts,
    RangeValues,
    Share,
    paint_certainty,
    paint_range,
    paint_share,
)
from estimator.desktop.drawing.gauge import Reading, paint_small_gauge
from estimator.desktop.drawing.marks import (
    TABLE_MARK,
    Mark,
    mark_text_colour,
    paint_mark,
    paint_small_path,
    small_path_width,
)
from estimator.desktop.drawing.pixels import edge, fill, horizontal
from estimator.desktop.drawing.words import LEFT, RIGHT, draw_words, words_width
from estimator.desktop.theme import Theme

CELL_PAD = 8
_BAR = 10


def paint_row_ground(
    painter: QPainter,
    rect: QRectF,
    theme: Theme,
    selected: bool = False,
    hovered: bool = False,
    locked: bool = False,
    first_column: bool = False,
) -> None:
    """The ground of one cell: its state, its hairline and, at the left, the bar of ink."""
    colours = theme.colours
    ground = colours.surface
    if selected:
        ground = colours.select
    elif hovered:
        ground = colours.hover
    elif locked:
        ground = colours.sunken
    fill(painter, rect, ground)
    horizontal(painter, rect.bottom() - 0.5, rect.left(), rect.right(), 1, colours.line)
    if selected and first_column:
        fill(painter, QRectF(rect.left(), rect.top(), 4, rect.height()), colours.ink)


def paint_cell_focus(painter: QPainter, rect: QRectF, theme: Theme) -> None:
    """The keyboard's cell: a ring of ink inside it."""
    edge(painter, rect.adjusted(1, 1, -1, -1), 2, theme.colours.focus)


def _padded(rect: QRectF) -> QRectF:
    return rect.adjusted(CELL_PAD, 0, -CELL_PAD, 0)


def paint_certainty_cell(
    painter: QPainter, rect: QRectF, parts: CertaintyParts, theme: Theme
) -> None:
    """A certainty bar; give all rows the same `full`, then length is money down the column."""
    bar = _padded(rect)
    bar = QRectF(bar.left(), rect.center().y() - _BAR / 2, bar.width(), _BAR)
    paint_certainty(painter, bar, parts, theme, rect.topLeft())


def paint_gauge_cell(painter: QPainter, rect: QRectF, reading: Reading, theme: Theme) -> None:
    """A small wear gauge."""
    paint_small_gauge(painter, _padded(rect), reading, theme)


def paint_range_cell(painter: QPainter, rect: QRectF, values: RangeValues, theme: Theme) -> None:
    """Low, likely and high on the column's scale."""
    paint_range(painter, _padded(rect), values, theme, rect.topLeft())


def paint_share_cell(painter: QPainter, rect: QRectF, share: Share, theme: Theme) -> None:
    """A share of the contingency with its whisker."""
    bar = _padded(rect)
    bar = QRectF(bar.left(), rect.center().y() - 6, bar.width(), 12)
    paint_share(painter, bar, share, theme, rect.topLeft())


def paint_path_cell(
    painter: QPainter, rect: QRectF, here: int, steps: int, words: str, theme: Theme
) -> bool:
    """The small path and the area's name after it; True where the name was cut."""
    inside = _padded(rect)
    paint_small_path(painter, QPointF(inside.left(), rect.center().y() - 6), here, steps, theme)
    left = inside.left() + small_path_width(steps) + 12
    place = QRectF(left, rect.top(), max(0.0, inside.right() - left), rect.height())
    font = theme.font(theme.sizes.body)
    return draw_words(painter, place, words, font, theme.colours.ink)


def paint_mark_cell(
    painter: QPainter,
    rect: QRectF,
    mark: Mark | None,
    words: str,
    theme: Theme,
    bold: bool = False,
    ground: QColor | None = None,
) -> bool:
    """A mark and words in its colour; without a mark the words keep their place."""
    inside = _padded(rect)
    if mark is not None:
        corner = QPointF(inside.left() + 1, round(rect.center().y() - TABLE_MARK / 2))
        paint_mark(painter, corner, mark, theme, TABLE_MARK, ground)
    left = inside.left() + TABLE_MARK + 8
    place = QRectF(left, rect.top(), max(0.0, inside.right() - left), rect.height())
    colour = mark_text_colour(mark, theme) if mark is not None else theme.colours.ink
    font = theme.font(theme.sizes.body, 600 if bold else 400)
    return draw_words(painter, place, words, font, colour)


def paint_two_lines(
    painter: QPainter,
    rect: QRectF,
    title: str,
    second: str,
    theme: Theme,
    bold: bool = False,
    second_colour: QColor | None = None,
) -> bool:
    """A title over a second line in a colour of its own; True where either was cut."""
    inside, sizes, colours = _padded(rect), theme.sizes, theme.colours
    high = sizes.second_line + sizes.note_line
    top = rect.center().y() - high / 2
    first = QRectF(inside.left(), top, inside.width(), sizes.second_line)
    below = QRectF(inside.left(), first.bottom(), inside.width(), sizes.note_line)
    cut = draw_words(
        painter, first, title, theme.font(sizes.body, 600 if bold else 400), colours.ink
    )
    note = theme.font(sizes.note)
    cut_below = draw_words(painter, below, second, note, second_colour or colours.ink3)
    return cut or cut_below


def paint_figure(
    painter: QPainter,
    rect: QRectF,
    figure: str,
    theme: Theme,
    bold: bool = False,
    before: str = "",
    expired: bool = False,
    colour: QColor | None = None,
) -> bool:
    """A right-aligned figure; an older one struck out at its left, a triangle if expired."""
    inside, sizes, colours = _padded(rect), theme.sizes, theme.colours
    font = theme.font(sizes.body, 600 if bold or before else 400)
    cut = draw_words(painter, inside, figure, font, colour or colours.ink, RIGHT)
    left = inside.right() - words_width(figure, font)
    if expired:
        left -= TABLE_MARK + 7
        corner = QPointF(left, round(rect.center().y() - TABLE_MARK / 2))
        paint_mark(painter, corner, Mark.NEEDS_YOU, theme, TABLE_MARK)
    if before:
        struck = theme.font(sizes.second)
        struck.setStrikeOut(True)
        wide = words_width(before, struck)
        if left - 12 - wide >= inside.left():
            place = QRectF(left - 12 - wide, rect.top(), wide, rect.height())
            draw_words(painter, place, before, struck, colours.ink3, LEFT)
    return cut
