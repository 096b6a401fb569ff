"""How certain a sum is, drawn: firm solid, provisional hatched, contingency dotted.

The three stay apart in grey and for colour-blind readers by pattern alone; the order is the same
everywhere. Lengths are money: one scale within a bar, and one down a column of small bars.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from reportlab.platypus import Flowable

from estimator.documents.grammar.look import (
    CONTINGENCY_DOT,
    CONTINGENCY_FILL,
    CONTINGENCY_LINE,
    FIRM,
    INK,
    PROVISIONAL_FILL,
    PROVISIONAL_LINE,
)

FIRM_PART, PROVISIONAL_PART, CONTINGENCY_PART = "firm", "provisional", "contingency"
_HATCH_PITCH, _HATCH_STROKE = 4.0, 0.9
_DOT, _DOT_STEP, _DOT_ROW = 1.2, 3.2, 2.4
_DASH = (1.6, 1.4)
_LEAST = 2.0  # a part smaller than this would lose its pattern


def draw_part(canvas: Any, kind: str, box: tuple[float, float, float, float]) -> None:
    """Fill `box` (x, y, width, height) with the pattern of a kind of certainty."""
    canvas.saveState()
    if kind == FIRM_PART:
        canvas.setFillColor(FIRM)
        canvas.rect(*box, stroke=0, fill=1)
    elif kind == PROVISIONAL_PART:
        _hatched(canvas, box)
    else:
        _dotted(canvas, box)
    canvas.restoreState()


def _clip(canvas: Any, box: tuple[float, float, float, float]) -> None:
    path = canvas.beginPath()
    path.rect(*box)
    canvas.clipPath(path, stroke=0, fill=0)


def _hatched(canvas: Any, box: tuple[float, float, float, float]) -> None:
    x, y, width, height = box
    canvas.setFillColor(PROVISIONAL_FILL)
    canvas.setStrokeColor(PROVISIONAL_LINE)
    canvas.rect(*box, stroke=0, fill=1)
    canvas.saveState()
    _clip(canvas, box)
    canvas.setLineWidth(_HATCH_STROKE)
    lines = []
    at = x - height + _HATCH_PITCH / 2
    while at < x + width:
        lines.append((at, y, at + height, y + height))
        at += _HATCH_PITCH
    canvas.lines(lines)
    canvas.restoreState()
    canvas.setLineWidth(0.7)
    canvas.rect(x + 0.35, y + 0.35, max(width - 0.7, 0.1), height - 0.7, stroke=1, fill=0)


def _dotted(canvas: Any, box: tuple[float, float, float, float]) -> None:
    canvas.saveState()
    _clip(canvas, box)
    draw_dots(canvas, box)
    canvas.restoreState()
    draw_outline(canvas, box)


def draw_dots(canvas: Any, box: tuple[float, float, float, float]) -> None:
    """Ground and dots of what is held over `box`, within the clip that is set.

    Rows of dots are round-capped dashes of no length: small in the file, crisp on paper.
    """
    x, y, width, height = box
    canvas.saveState()
    canvas.setFillColor(CONTINGENCY_FILL)
    canvas.rect(*box, stroke=0, fill=1)
    canvas.setStrokeColor(CONTINGENCY_DOT)
    canvas.setLineWidth(_DOT)
    canvas.setLineCap(1)
    canvas.setDash([0.01, _DOT_STEP], 0)
    row = 0
    at = y + _DOT_ROW * 0.75
    while at < y + height:
        canvas.line(x + _DOT_STEP * (0.5 if row % 2 else 1.0), at, x + width, at)
        at += _DOT_ROW
        row += 1
    canvas.restoreState()


def draw_outline(canvas: Any, box: tuple[float, float, float, float]) -> None:
    """The dashed edge of what is held, inside `box`."""
    x, y, width, height = box
    canvas.saveState()
    canvas.setStrokeColor(CONTINGENCY_LINE)
    canvas.setLineWidth(0.7)
    canvas.setDash(list(_DASH))
    canvas.rect(x + 0.35, y + 0.35, max(width - 0.7, 0.1), height - 0.7, stroke=1, fill=0)
    canvas.restoreState()


class CertaintyBar(Flowable):  # type: ignore[misc]
    """Parts of one sum side by side, to scale. `whole` is the sum that fills the full width."""

    def __init__(
        self,
        parts: Sequence[tuple[str, int]],
        *,
        whole: int | None = None,
        height: float = 14,
        width: float | None = None,
    ) -> None:
        super().__init__()
        self.parts = [(kind, amount) for kind, amount in parts if amount > 0]
        self.whole = max(whole or sum(amount for _, amount in self.parts), 1)
        self.height, self.asked_width = height, width

    def wrap(self, available_width: float, _available_height: float) -> tuple[float, float]:
        """As wide as asked, or as the column."""
        self.width = self.asked_width or available_width
        return self.width, self.height

    def draw(self) -> None:
        """Draw the parts from the left, each at least wide enough to show its pattern."""
        x = 0.0
        for kind, amount in self.parts:
            length = max(self.width * amount / self.whole, _LEAST)
            length = min(length, max(self.width - x, _LEAST))
            draw_part(self.canv, kind, (x, 0, length, self.height))
            x += length


class Swatch(CertaintyBar):
    """The key to one pattern."""

    def __init__(self, kind: str, width: float = 15, height: float = 8.5) -> None:
        super().__init__([(kind, 1)], width=width, height=height)


class TickBox(Flowable):  # type: ignore[misc]
    """An empty box to tick."""

    def wrap(self, *_available: float) -> tuple[float, float]:
        """Nine points square."""
        self.width = self.height = 9.0
        return self.width, self.height

    def draw(self) -> None:
        """Draw the box."""
        self.canv.setStrokeColor(INK)
        self.canv.setLineWidth(0.9)
        self.canv.rect(0, 0, self.width, self.height)
