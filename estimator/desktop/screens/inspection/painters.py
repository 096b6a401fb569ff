"""What the findings grid draws into its cells: two lines, a gauge, a pattern with its word."""

from __future__ import annotations

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QColor, QPainter

from estimator.desktop.drawing.gauge import Reading, paint_small_gauge
from estimator.desktop.drawing.patterns import paint_exposed, paint_firm, paint_provisional
from estimator.desktop.drawing.pixels import edge
from estimator.desktop.drawing.words import LEFT, RIGHT, draw_words
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter
from estimator.domain.scope import EXPOSED, FIRM, PROVISIONAL

SQUARE, SQUARE_STEP = 5, 8
SWATCH = 14
_PATTERNS = {FIRM: paint_firm, PROVISIONAL: paint_provisional, EXPOSED: paint_exposed}


def two_lines(
    first: str, second: str, tone: str, *, struck: bool = False, right: bool = False
) -> CellPainter:
    """A line over a smaller one in the colour named `tone`; `struck` is a proposal overruled."""

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        sizes, align = theme.sizes, RIGHT if right else LEFT
        high = sizes.second_line + sizes.note_line
        top = rect.center().y() - high / 2 + 0.5
        above = QRectF(rect.left(), top, rect.width(), sizes.second_line)
        below = QRectF(rect.left(), above.bottom(), rect.width(), sizes.note_line)
        font = theme.font(sizes.body, 600 if struck else 400)
        draw_words(painter, above, first, font, theme.colours.ink, align)
        colour: QColor = getattr(theme.colours, tone)
        small = theme.font(sizes.note)
        small.setStrikeOut(struck)
        draw_words(painter, below, second, small, colour, align)

    return paint


def number_with_squares(number: str, count: int) -> CellPainter:
    """The finding's number over one small square a photograph."""

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        sizes, colours = theme.sizes, theme.colours
        shift = 7 if count else 0
        place = QRectF(rect.left(), rect.top() - shift, rect.width(), rect.height())
        draw_words(painter, place, number, theme.font(sizes.second), colours.ink2)
        fits = max(1, rect.width() // SQUARE_STEP)
        for at in range(min(count, fits)):
            left = rect.left() + at * SQUARE_STEP
            edge(painter, QRectF(left, rect.center().y() + 7, SQUARE, SQUARE), 1, colours.ink2)

    return paint


def quiet_figure(text: str) -> CellPainter:
    """A limit: smaller and greyer than what was measured."""

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        font = theme.font(theme.sizes.second)
        draw_words(painter, QRectF(rect), text, font, theme.colours.ink2, RIGHT)

    return paint


def gauge(reading: Reading) -> CellPainter:
    """A small wear gauge."""

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        paint_small_gauge(painter, QRectF(rect), reading, theme)

    return paint


def slanted(text: str, tone: str = "ink3", *, right: bool = False) -> CellPainter:
    """A word that stands for a value there is none of."""

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        font = theme.font(theme.sizes.second, 400, True)
        colour: QColor = getattr(theme.colours, tone)
        draw_words(painter, QRectF(rect), text, font, colour, RIGHT if right else LEFT)

    return paint


def pattern_with_word(certainty: str, word: str) -> CellPainter:
    """The swatch of a certainty and its word."""

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        swatch = QRectF(rect.left(), round(rect.center().y() - 4), SWATCH, 10)
        draw = _PATTERNS.get(certainty)
        if draw is not None:
            draw(painter, swatch, theme)
        left = rect.left() + SWATCH + 6
        place = QRectF(left, rect.top(), max(0, rect.right() - left), rect.height())
        draw_words(painter, place, word, theme.font(theme.sizes.note), theme.colours.ink2)

    return paint
