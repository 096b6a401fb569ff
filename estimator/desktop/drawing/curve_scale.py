"""What the curve of the final cost shows, and where each amount and chance lies on it.

Amounts are whole minor units on the level axis, chances from 0 to 1 on the upright one.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import QPointF, QRectF

LEFT_ROOM = 48
_RIGHT_ROOM = 12
_TOP_ROOM = 44
_FOOT_ROOM = 30
_STEPS = (1, 2, 5)


@dataclass(frozen=True)
class Flag:
    """A named point on the curve, such as 5 in 10, with its figure ready to be shown."""

    chance: Decimal
    amount: int
    name: str
    figure: str


@dataclass(frozen=True)
class Before:
    """The curve that stood before something was resolved: its points, and its figure at a
    confidence in words."""

    points: Sequence[tuple[int, float]]
    words: Callable[[Decimal], str]


@dataclass(frozen=True)
class CostCurveData:
    """What the curve shows.

    `points` rise in amount and chance. `base` is the priced work: its amount and lines of
    words. `amount_words` puts an axis figure into words, `chance_words` a chance, and
    `handle_words` the confidence that the handle stands at. `before` is drawn as a ghost.
    """

    points: Sequence[tuple[int, float]]
    confidence: Decimal
    base: int
    base_words: Sequence[str]
    flags: Sequence[Flag]
    amount_words: Callable[[int], str]
    chance_words: Callable[[Decimal], str]
    handle_words: Callable[[Decimal], str]
    mean: int | None = None
    mean_words: str = ""
    before: Before | None = None


@dataclass(frozen=True)
class CurveScale:
    """Turns amounts and chances into pixels of the plotting area, and back."""

    plot: QRectF
    low: int
    high: int

    def x(self, amount: float) -> float:
        """Pixels from the widget's left."""
        share = (amount - self.low) / max(1, self.high - self.low)
        return self.plot.left() + share * self.plot.width()

    def y(self, chance: float) -> float:
        """Pixels from the widget's top."""
        return self.plot.bottom() - chance * self.plot.height()

    def amount(self, x: float) -> float:
        """The amount at a pixel, which may lie outside the scale."""
        share = (x - self.plot.left()) / max(1.0, self.plot.width())
        return self.low + share * (self.high - self.low)


def curve_scale(rect: QRectF, data: CostCurveData) -> CurveScale:
    """The scale for a rectangle: from a little below the first amount to the last, of the curve
    before too."""
    plot = rect.adjusted(LEFT_ROOM, _TOP_ROOM, -_RIGHT_ROOM, -_FOOT_ROOM)
    earlier = data.before.points if data.before is not None else ()
    amounts = [amount for amount, _chance in (*data.points, *earlier)] or [data.base]
    low, high = min([*amounts, data.base]), max([*amounts, data.base])
    room = max(1, (high - low) // 12)
    return CurveScale(plot, low - room if low - room > 0 or low <= 0 else 0, high)


def amount_at(points: Sequence[tuple[int, float]], chance: float) -> float:
    """Where the curve reaches a chance, between its points on a straight line."""
    if not points:
        return 0.0
    place = bisect_left([height for _amount, height in points], chance)
    if place == 0:
        return float(points[0][0])
    if place == len(points):
        return float(points[-1][0])
    (left, low), (right, high) = points[place - 1], points[place]
    return left + (right - left) * (chance - low) / (high - low) if high > low else float(right)


def chance_at(points: Sequence[tuple[int, float]], amount: float) -> float:
    """How high the curve stands at an amount."""
    if not points:
        return 0.0
    place = bisect_left([sum_ for sum_, _chance in points], amount)
    if place == 0:
        return points[0][1]
    if place == len(points):
        return points[-1][1]
    (left, low), (right, high) = points[place - 1], points[place]
    return low + (high - low) * (amount - left) / (right - left) if right > left else high


def axis_step(span: int, width: float, label_width: Callable[[int], float]) -> int:
    """The smallest of 1, 2 or 5 times a power of ten whose labels keep clear of each other."""
    power = 1
    while True:
        for digit in _STEPS:
            step = digit * power
            if step / max(1, span) * width >= label_width(step) + 24:
                return step
        power *= 10


def handle_point(data: CostCurveData, scale: CurveScale) -> QPointF:
    """The middle of the handle."""
    chance = float(data.confidence)
    return QPointF(scale.x(amount_at(data.points, chance)), scale.y(chance))
