"""Room to write on, for hands in gloves: boxes for readings, boxes to tick, ruled lines."""

from __future__ import annotations

from reportlab.platypus import Flowable

from estimator.documents.grammar.fonts import REGULAR, clean, width
from estimator.documents.grammar.letterhead import fitted, write
from estimator.documents.grammar.look import INK, INK2, INK3

_TICK, _TEXT = 13.0, 7.6
_WORD, _LEAST_WORD = 7.0, 5.6  # type under a box to tick, and the least it shrinks to
_UNDER = 9.0  # room for the words under a box


class WriteBox(Flowable):  # type: ignore[misc]
    """An empty box as wide as its column; quiet words in its corner say what goes in."""

    def __init__(self, high: float, words: str = "") -> None:
        super().__init__()
        self.high, self.words = high, words

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as the column."""
        self.width, self.height = available_width, self.high
        return self.width, self.height

    def draw(self) -> None:
        """Draw the frame and the words."""
        canvas = self.canv
        canvas.setStrokeColor(INK2)
        canvas.setLineWidth(0.8)
        canvas.rect(0, 0, self.width, self.height)
        if self.words:
            canvas.setFillColor(INK3)
            shown = fitted(self.words, REGULAR, _TEXT, self.width - 6)
            write(canvas, shown, REGULAR, _TEXT, 3, self.height - _TEXT - 1)


class Ticks(Flowable):  # type: ignore[misc]
    """Large boxes to tick side by side, each with its word under it."""

    def __init__(self, words: tuple[str, ...]) -> None:
        super().__init__()
        self.words = tuple(clean(one) for one in words)

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as the column."""
        self.width, self.height = available_width, _TICK + _UNDER
        return self.width, self.height

    def draw(self) -> None:
        """Draw each box in the middle of its share of the width."""
        canvas, share = self.canv, self.width / len(self.words)
        size = self._size(share - 2)
        for place, words in enumerate(self.words):
            middle = share * (place + 0.5)
            canvas.setStrokeColor(INK)
            canvas.setLineWidth(0.9)
            canvas.rect(middle - _TICK / 2, _UNDER, _TICK, _TICK)
            canvas.setFillColor(INK2)
            shown = fitted(words, REGULAR, size, share - 2)
            write(canvas, shown, REGULAR, size, middle - width(shown, REGULAR, size) / 2, 1.5)

    def _size(self, room: float) -> float:
        """Size of type at which the longest word fits its box, all of them alike."""
        widest = max(width(one, REGULAR, _WORD) for one in self.words)
        return _WORD if widest <= room else max(_LEAST_WORD, _WORD * (room - 0.1) / widest)


class RuledSpace(Flowable):  # type: ignore[misc]
    """Lines to write on."""

    def __init__(self, lines: int, gap: float = 22) -> None:
        super().__init__()
        self.lines, self.gap = lines, gap

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as the column."""
        self.width, self.height = available_width, self.lines * self.gap
        return self.width, self.height

    def draw(self) -> None:
        """Draw the lines."""
        self.canv.setStrokeColor(INK3)
        self.canv.setLineWidth(0.5)
        for line in range(self.lines):
            self.canv.line(0, line * self.gap + 1, self.width, line * self.gap + 1)
