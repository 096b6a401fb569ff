"""How often a job finishes in each week: dotted up to the chosen confidence, outlined past it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.patterns import ORIGIN, paint_exposed, paint_spare
from estimator.desktop.drawing.pixels import horizontal
from estimator.desktop.drawing.words import CENTRE, draw_words, words_width
from estimator.desktop.theme import Theme

_LABEL = 16


@dataclass(frozen=True)
class Week:
    """One bar: its height on any scale, the words above it and the words at its foot."""

    height: float
    words: str
    foot: str
    within: bool


def paint_weeks(
    painter: QPainter,
    rect: QRectF,
    weeks: Sequence[Week],
    theme: Theme,
    origin: QPointF = ORIGIN,
) -> None:
    """Draw the bars; words at the foot are left out where they would touch the last ones."""
    if not weeks:
        return
    colours, font = theme.colours, theme.font(theme.sizes.note)
    step = rect.width() / len(weeks)
    tallest = max(week.height for week in weeks) or 1.0
    base = rect.bottom() - _LABEL - 4
    room = base - rect.top() - _LABEL - 4
    foot_end = rect.left() - 8
    for place, week in enumerate(weeks):
        middle = rect.left() + (place + 0.5) * step
        high = max(2.0, week.height / tallest * room) if week.height > 0 else 0.0
        bar = QRectF(middle - step * 0.44, base - high, step * 0.88, high)
        if high and week.within:
            paint_exposed(painter, bar, theme, origin)
        elif high:
            paint_spare(painter, bar, theme)
        above = QRectF(middle - step / 2, base - high - _LABEL - 2, step, _LABEL)
        draw_words(painter, above, week.words, font, colours.ink2, CENTRE)
        wide = words_width(week.foot, font)
        left = min(max(rect.left(), middle - wide / 2), rect.right() - wide)
        if week.foot and left >= foot_end + 8:
            box = QRectF(left, base + 4, wide, _LABEL)
            draw_words(painter, box, week.foot, font, colours.ink3, CENTRE)
            foot_end = left + wide
    horizontal(painter, base, rect.left(), rect.right(), 1, colours.ink2)
