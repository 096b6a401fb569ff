"""Small vector charts of the page that lays a rebuild beside a new machine; they read in grey."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from reportlab.lib.colors import white
from reportlab.platypus import Flowable

from estimator.documents.grammar.certainty_bar import draw_part
from estimator.documents.grammar.fonts import REGULAR, SEMIBOLD, clean, runs, width
from estimator.documents.grammar.look import FIRM, INK, INK2, INK3, LINE2
from estimator.documents.grammar.page import fitted

_SIZE = 7.6
_LEAST = 2.0


def write(canvas: Any, text: str, x: float, y: float, face: str = REGULAR) -> None:
    """Text from `x` to the right, each run in a face that can write it."""
    for name, part in runs(clean(text), face):
        canvas.setFont(name, _SIZE)
        canvas.drawString(x, y, part)
        x += width(part, name, _SIZE)


class RatioBar(Flowable):  # type: ignore[misc]
    """Parts of the rebuild's price on a track as long as the price of a new machine.

    `parts` are (kind of certainty, share of the new price); `usual` the shares between which a
    rebuild usually lies, drawn as a bracket with its words below.
    """

    _BAR, _BELOW = 13.0, 16.0

    def __init__(
        self, parts: Sequence[tuple[str, float]], usual: tuple[float, float], words: str
    ) -> None:
        super().__init__()
        self.parts, self.usual, self.words = list(parts), usual, words
        self.whole = max(1.0, sum(share for _, share in self.parts), usual[1])

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as the column."""
        self.width, self.height = available_width, self._BAR + self._BELOW
        return self.width, self.height

    def draw(self) -> None:
        """Draw track, parts, the bracket and its words."""
        canvas, foot = self.canv, self._BELOW
        canvas.saveState()
        canvas.setStrokeColor(INK3)
        canvas.setLineWidth(0.7)
        canvas.setFillColor(white)
        canvas.rect(0.35, foot + 0.35, self._x(1.0) - 0.7, self._BAR - 0.7, stroke=1, fill=1)
        x = 0.0
        for kind, share in self.parts:
            long = max(self._x(share), _LEAST) if share > 0 else 0.0
            if long:
                draw_part(canvas, kind, (x, foot, min(long, self.width - x), self._BAR))
            x += long
        self._bracket()
        canvas.restoreState()

    def _x(self, share: float) -> float:
        return self.width * share / self.whole

    def _bracket(self) -> None:
        canvas = self.canv
        left, right = self._x(self.usual[0]), self._x(self.usual[1])
        y = self._BELOW - 4
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(0.9)
        canvas.lines(
            [(left, y, right, y), (left, y - 2, left, y + 3), (right, y - 2, right, y + 3)]
        )
        words = fitted(self.words, REGULAR, _SIZE, self.width)
        wide = width(words, REGULAR, _SIZE)
        canvas.setFillColor(INK2)
        write(canvas, words, min(max((left + right - wide) / 2, 0), self.width - wide), 0.8)


@dataclass(frozen=True, slots=True)
class Range:
    """Low, likely and high of one way, with how each is written."""

    name: str
    low: float
    likely: float
    high: float
    low_text: str
    likely_text: str
    high_text: str


class RangeChart(Flowable):  # type: ignore[misc]
    """Ranges on one scale: the first a filled bar, the others outlined, a tick at the likely
    figure, its ends written beside it."""

    _ROW, _BAR = 25.0, 7.0

    def __init__(self, ranges: Sequence[Range]) -> None:
        super().__init__()
        self.ranges = list(ranges)

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """A row for each range."""
        self.width, self.height = available_width, self._ROW * len(self.ranges)
        return self.width, self.height

    def draw(self) -> None:
        """Draw each range in its row."""
        self.canv.saveState()
        names = [fitted(one.name, SEMIBOLD, _SIZE, self.width * 0.3) for one in self.ranges]
        left = max(width(name, SEMIBOLD, _SIZE) for name in names) + 8
        left += max(width(one.low_text, REGULAR, _SIZE) for one in self.ranges) + 4
        right = self.width - max(width(one.high_text, REGULAR, _SIZE) for one in self.ranges) - 4
        low = min(one.low for one in self.ranges)
        span = max(one.high for one in self.ranges) - low or 1.0

        def place(value: float) -> float:
            return left + (right - left) * (value - low) / span

        for at, (one, name) in enumerate(zip(self.ranges, names, strict=True)):
            y = self.height - (at + 1) * self._ROW + 5
            self._range(one, name, y, place, filled=at == 0)
        self.canv.restoreState()

    def _range(self, one: Range, name: str, y: float, place: Any, *, filled: bool) -> None:
        canvas = self.canv
        canvas.setFillColor(INK)
        write(canvas, name, 0, y, SEMIBOLD)
        start, end, likely = place(one.low), place(one.high), place(one.likely)
        canvas.setStrokeColor(FIRM if filled else INK)
        canvas.setFillColor(FIRM if filled else white)
        canvas.setLineWidth(0.9)
        canvas.rect(start, y - 0.5, max(end - start, _LEAST), self._BAR, stroke=1, fill=1)
        canvas.setStrokeColor(INK)
        canvas.setLineWidth(1.6)
        canvas.line(likely, y - 2.5, likely, y + self._BAR + 1.5)
        canvas.setFillColor(INK2)
        write(canvas, one.low_text, start - 4 - width(one.low_text, REGULAR, _SIZE), y)
        write(canvas, one.high_text, max(end, start + _LEAST) + 4, y)
        canvas.setFillColor(INK)
        wide = width(one.likely_text, SEMIBOLD, _SIZE)
        x = min(max(likely - wide / 2, 0), self.width - wide)
        write(canvas, one.likely_text, x, y + self._BAR + 3, SEMIBOLD)


class SwingBar(Flowable):  # type: ignore[misc]
    """How far a figure moves the answer, as a length: the largest fills the column."""

    def __init__(self, share: float, *, height: float = 6.0) -> None:
        super().__init__()
        self.share, self.height = share, height

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as the column."""
        self.width = available_width
        return self.width, self.height

    def draw(self) -> None:
        """Draw the bar on its line."""
        self.canv.setFillColor(INK3)
        self.canv.rect(0, 0, max(self.width * self.share, _LEAST), self.height, stroke=0, fill=1)
        self.canv.setStrokeColor(LINE2)
        self.canv.setLineWidth(0.4)
        self.canv.line(0, 0, self.width, 0)
