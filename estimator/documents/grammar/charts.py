"""Charts drawn as vectors on the page: what each group puts in, and the curve of the final cost.

They read in grey: what is held is dotted, a sum below nothing is an empty frame, base a solid line
and the mean a short tick. Text is set in the embedded faces.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log10
from typing import Any

from reportlab.lib.colors import white
from reportlab.platypus import Flowable

from estimator.documents.grammar.certainty_bar import (
    CONTINGENCY_PART,
    draw_dots,
    draw_outline,
    draw_part,
)
from estimator.documents.grammar.fonts import REGULAR, SEMIBOLD, clean, runs, width
from estimator.documents.grammar.look import CONTINGENCY_LINE, FIRM, INK, INK2, INK3, LINE2
from estimator.documents.grammar.page import fitted

_LEAST = 2.0  # a bar shorter than this would lose its pattern
_LEFT, _BELOW, _ABOVE = 30.0, 16.0, 14.0  # room of a curve for its scales and its topmost label
_SIZE = 7.6  # of the type in a chart
_SQUARE = 4.0
_STEPS = (1.0, 2.0, 2.5, 5.0)
_QUARTERS = (0.0, 0.25, 0.5, 0.75, 1.0)


class SumBar(Flowable):  # type: ignore[misc]
    """One sum of a column, to the scale of all of them: `least` (nothing or below) to `most`.

    A sum below nothing runs to the left of the line, as an empty frame.
    """

    def __init__(self, amount: float, least: float, most: float, *, height: float = 7) -> None:
        super().__init__()
        self.amount, self.least, self.most = amount, min(least, 0.0), max(most, 0.0)
        self.height = height

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as the column."""
        self.width = available_width
        return self.width, self.height

    def draw(self) -> None:
        """Draw the bar from where nothing is."""
        span = self.most - self.least
        if not span or not self.amount:
            return
        nothing = self.width * -self.least / span
        length = max(self.width * abs(self.amount) / span, _LEAST)
        if self.amount > 0:
            box = (nothing, 0.0, min(length, max(self.width - nothing, _LEAST)), self.height)
            draw_part(self.canv, CONTINGENCY_PART, box)
        else:
            length = min(length, max(nothing, _LEAST))
            draw_outline(self.canv, (nothing - length, 0.0, length, self.height))


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on the curve: the final cost there, the share of outcomes below, and its label."""

    cost: float
    share: float
    label: str


class CostCurve(Flowable):  # type: ignore[misc]
    """Share of outcomes (upwards) in which the final cost comes to no more than the sum below.

    `points` rise in both; `held` is the confidence asked for, with the area below the curve up to
    it dotted; `others` are further confidences. `base` and `mean` are (cost, label). `scale` writes
    a cost of the axis with so many decimals. Raises ValueError on fewer than two points.
    """

    def __init__(
        self,
        points: Sequence[tuple[float, float]],
        held: Mark,
        base: tuple[float, str],
        mean: tuple[float, str],
        others: Sequence[Mark],
        scale: Any,
        *,
        height: float = 190,
    ) -> None:
        super().__init__()
        if len(points) < 2:  # noqa: PLR2004
            raise ValueError("a curve needs two points at least")
        self.points, self.held, self.base, self.mean = list(points), held, base, mean
        self.others, self.scale, self.height = list(others), scale, height
        costs = [*(cost for cost, _ in points), held.cost, base[0], mean[0]]
        low, high = min(costs), max(costs)
        margin = (high - low or abs(high) or 1.0) * 0.02
        self.low, self.high = low - margin, high + margin
        self._taken: list[tuple[float, float, float]] = []  # (left, foot, right) of each label

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as the column."""
        self.width = available_width
        return self.width, self.height

    def _x(self, cost: float) -> float:
        room = self.width - _LEFT
        return _LEFT + room * (cost - self.low) / (self.high - self.low)

    def _y(self, share: float) -> float:
        return _BELOW + (self.height - _BELOW - _ABOVE) * share

    def draw(self) -> None:
        """Draw ground, scales, curve, then the marks with their labels."""
        canvas = self.canv
        self._taken = []
        canvas.saveState()
        self._area()
        self._scales()
        self._curve()
        self._lines()
        for mark in self.others:
            self._square(mark)
        canvas.restoreState()

    def _area(self) -> None:
        """What is held: below the curve, up to the confidence asked for."""
        canvas, end = self.canv, self.held.cost
        inside = [(cost, share) for cost, share in self.points if cost < end]
        if not inside:
            return
        inside.append((end, self.held.share))
        path = canvas.beginPath()
        path.moveTo(self._x(inside[0][0]), self._y(0))
        for cost, share in inside:
            path.lineTo(self._x(cost), self._y(share))
        path.lineTo(self._x(end), self._y(0))
        path.close()
        canvas.saveState()
        canvas.clipPath(path, stroke=0, fill=0)
        left = self._x(inside[0][0])
        draw_dots(canvas, (left, self._y(0), self._x(end) - left, self._y(1) - self._y(0)))
        canvas.restoreState()

    def _scales(self) -> None:
        canvas = self.canv
        canvas.setStrokeColor(LINE2)
        for share in _QUARTERS:
            y = self._y(share)
            canvas.setLineWidth(0.8 if share == 0 else 0.4)
            canvas.line(_LEFT, y, self.width, y)
            text = f"{share * 100:g}\u202f%"
            self._write(text, _LEFT - 5 - width(text, REGULAR, _SIZE), y - 2.6, REGULAR, INK3)
        canvas.setLineWidth(0.5)
        for cost, text in self._ticks():
            x, wide = self._x(cost), width(text, REGULAR, _SIZE)
            canvas.line(x, self._y(0), x, self._y(0) - 3)
            self._write(text, min(x - wide / 2, self.width - wide), 2, REGULAR, INK3)

    def _ticks(self) -> list[tuple[float, str]]:
        """Round costs, as many as can be written beside each other."""
        for wanted in range(7, 0, -1):
            step = _round_step((self.high - self.low) / wanted)
            digits = max(0, -floor(log10(step)) + (1 if _needs_half(step) else 0))
            count = range(ceil(self.low / step), floor(self.high / step) + 1)
            found = [(number * step, str(self.scale(number * step, digits))) for number in count]
            widest = max((width(text, REGULAR, _SIZE) for _, text in found), default=0.0)
            if (widest + 10) * len(found) <= self.width - _LEFT:
                return found
        return []

    def _curve(self) -> None:
        canvas = self.canv
        path = canvas.beginPath()
        path.moveTo(self._x(self.points[0][0]), self._y(self.points[0][1]))
        for cost, share in self.points[1:]:
            path.lineTo(self._x(cost), self._y(share))
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(1.4)
        canvas.setLineJoin(1)
        canvas.drawPath(path, stroke=1, fill=0)

    def _lines(self) -> None:
        """Base, mean and confidence: each label in a band of its own, so that none meets another
        however near the lines are."""
        canvas, bottom, top = self.canv, self._y(0), self._y(1)
        x = self._x(self.base[0])
        canvas.setStrokeColor(FIRM)
        canvas.setLineWidth(1.2)
        canvas.line(x, bottom, x, top)
        self._label(self.base[1], x, top - 9, INK)
        x = self._x(self.mean[0])
        canvas.setStrokeColor(INK)
        canvas.line(x, bottom, x, bottom + 12)
        self._label(self.mean[1], x, bottom + 4, INK)
        x, y = self._x(self.held.cost), self._y(self.held.share)
        canvas.setStrokeColor(CONTINGENCY_LINE)
        canvas.line(x, bottom, x, top + 2)
        canvas.setFillColor(CONTINGENCY_LINE)
        canvas.setStrokeColor(INK)
        canvas.circle(x, y, 3.4, stroke=1, fill=1)
        self._label(self.held.label, x, top + 4.5, INK, SEMIBOLD)

    def _square(self, mark: Mark) -> None:
        """Another confidence: an open square on the curve, its label to the left and above or to
        the right and below; without one where either place is taken."""
        canvas, x, y = self.canv, self._x(mark.cost), self._y(mark.share)
        canvas.setStrokeColor(INK)
        canvas.setFillColor(white)
        canvas.setLineWidth(0.9)
        canvas.rect(x - _SQUARE / 2, y - _SQUARE / 2, _SQUARE, _SQUARE, stroke=1, fill=1)
        wide = width(clean(mark.label), REGULAR, _SIZE)
        for left, foot in ((x - wide - 5, y + 2), (x + 5, y - _SIZE)):
            if self._is_free(left, foot, wide):
                self._write(mark.label, left, foot, REGULAR, INK2)
                return

    def _is_free(self, x: float, y: float, wide: float) -> bool:
        """Whether a label of that width would stand inside the chart and clear of the others."""
        inside = x >= _LEFT and x + wide <= self.width and self._y(0) <= y <= self._y(1)
        return inside and not any(
            x < right + 2 and left < x + wide + 2 and abs(y - foot) < _SIZE
            for left, foot, right in self._taken
        )

    def _label(self, text: str, x: float, y: float, colour: Any, face: str = REGULAR) -> None:
        """Text to the right of a line, or to the left of it where there is more room."""
        right, left = self.width - x - 4, x - _LEFT - 4
        wide = width(clean(text), face, _SIZE)
        if wide > right and left > right:
            text = fitted(text, face, _SIZE, left)
            self._write(text, x - 4 - width(text, face, _SIZE), y, face, colour)
        else:
            self._write(fitted(text, face, _SIZE, right), x + 4, y, face, colour)

    def _write(self, text: str, x: float, y: float, face: str, colour: Any) -> None:
        """Text on a white ground, so that no line runs through it."""
        canvas, wide = self.canv, width(text, face, _SIZE)
        self._taken.append((x, y, x + wide))
        canvas.setFillColor(white)
        canvas.rect(x - 1, y - 1.6, wide + 2, _SIZE, stroke=0, fill=1)
        canvas.setFillColor(colour)
        for name, part in runs(text, face):
            canvas.setFont(name, _SIZE)
            canvas.drawString(x, y, part)
            x += canvas.stringWidth(part, name, _SIZE)


def _round_step(least: float) -> float:
    """The smallest of 1, 2, 2.5, 5 times a power of ten that is no less than `least`."""
    power = 10.0 ** floor(log10(least))
    return next((one * power for one in _STEPS if one * power >= least), 10 * power)


def _needs_half(step: float) -> bool:
    return round(step / 10.0 ** floor(log10(step)), 6) == 2.5  # noqa: PLR2004 - 2.5 of the steps
