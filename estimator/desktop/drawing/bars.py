"""Bars whose length is money: certainty, a range, a share of the contingency.

Amounts are whole minor units. They are only scaled to pixels here, never added up to a
figure that anyone reads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.patterns import (
    ORIGIN,
    dashed_line,
    paint_exposed,
    paint_firm,
    paint_provisional,
    paint_spare,
)
from estimator.desktop.drawing.pixels import PixelGrid, vertical
from estimator.desktop.theme import Theme

GHOST_REACH = 4
TICK_REACH = 3
GAP = 1


@dataclass(frozen=True)
class CertaintyParts:
    """The four parts of a price in their one order, in minor units.

    `full` is the amount that fills the whole width, for bars that share a scale; without it
    the parts fill the width. `likely` is where the mean lies and `ghost` where the bar's end
    stood before, both counted from the bar's start. `unpriced` is low, likely and high of a
    finding that has no price yet, drawn into the spare part and past its edge if it can.
    """

    firm: int
    provisional: int
    exposed: int
    spare: int = 0
    full: int | None = None
    likely: int | None = None
    ghost: int | None = None
    unpriced: tuple[int, int, int] | None = None

    @property
    def amounts(self) -> tuple[int, int, int, int]:
        """The four parts, none below nothing."""
        return (
            max(0, self.firm),
            max(0, self.provisional),
            max(0, self.exposed),
            max(0, self.spare),
        )

    @property
    def shown(self) -> int:
        """What fills the width."""
        return max(1, self.full if self.full is not None else sum(self.amounts))


def part_edges(amounts: Sequence[int], per_unit: float, least: float) -> list[float]:
    """Where each part ends, in pixels from the start; a part that is not nothing keeps `least`.

    What small parts gain is taken from the largest, so that the end stays true where it can.
    """
    widths = [amount * per_unit for amount in amounts]
    gained = 0.0
    for place, width in enumerate(widths):
        floor = least + (GAP if any(amounts[:place]) else 0)
        if 0 < width < floor:
            gained += floor - width
            widths[place] = floor
    largest = max(range(len(widths)), key=widths.__getitem__)
    widths[largest] -= min(gained, max(0.0, widths[largest] - 4 * least))
    edges, end = [], 0.0
    for width in widths:
        end += width
        edges.append(end)
    return edges


def paint_certainty(
    painter: QPainter,
    rect: QRectF,
    parts: CertaintyParts,
    theme: Theme,
    origin: QPointF = ORIGIN,
) -> None:
    """Firm solid, provisional hatched, exposed dotted, spare blank, from left to right.

    `rect` is the bar at full length; ticks reach 3 and a ghost edge 4 px beyond its height.
    """
    per_unit = rect.width() / parts.shown
    ends = part_edges(parts.amounts, per_unit, theme.patterns.least_width)
    gap = PixelGrid(painter).length(GAP)
    start = 0.0
    for place, (amount, end) in enumerate(zip(parts.amounts, ends, strict=True)):
        if amount:
            left = rect.left() + start + (gap if start else 0)
            box = QRectF(left, rect.top(), rect.left() + end - left, rect.height())
            _paint_part(painter, box, place, theme, origin)
        start = end
    if parts.unpriced is not None:
        _paint_unpriced(painter, rect, ends, parts.unpriced, per_unit, theme)
    if parts.likely is not None:
        _paint_tick(painter, rect.left() + parts.likely * per_unit, rect, theme)
    if parts.ghost is not None:
        paint_ghost(painter, rect.left() + parts.ghost * per_unit, rect, theme)


def _paint_part(painter: QPainter, box: QRectF, place: int, theme: Theme, origin: QPointF) -> None:
    if place == 0:
        paint_firm(painter, box, theme)
    elif place == 1:
        paint_provisional(painter, box, theme, origin)
    elif place == 2:  # noqa: PLR2004 - the parts stand in one fixed order
        paint_exposed(painter, box, theme, origin)
    else:
        paint_spare(painter, box, theme)


def _paint_unpriced(
    painter: QPainter,
    rect: QRectF,
    ends: Sequence[float],
    unpriced: tuple[int, int, int],
    per_unit: float,
    theme: Theme,
) -> None:
    low, likely, high = (amount * per_unit for amount in unpriced)
    start = rect.left() + ends[2]
    half = rect.height() / 2
    box = QRectF(start + low, rect.top() + half / 2, max(2.0, high - low), half)
    paint_exposed(painter, box, theme)
    _paint_tick(painter, start + likely, box, theme)


def _paint_tick(painter: QPainter, x: float, rect: QRectF, theme: Theme) -> None:
    top, bottom = rect.top() - TICK_REACH, rect.bottom() + TICK_REACH
    vertical(painter, x, top, bottom, 2, theme.colours.exp_line)


def paint_ghost(painter: QPainter, x: float, rect: QRectF, theme: Theme) -> None:
    """A broken upright of ink where the end of a moving bar stood."""
    start = QPointF(x - 1, rect.top() - GHOST_REACH)
    length = rect.height() + 2 * GHOST_REACH
    dash = theme.patterns.ghost_dash
    # Even steps: at this width a gap of one and a half pixels would close up on some screens.
    whole = (2 * dash[0], 2 * dash[1] - 1)
    dashed_line(painter, start, length, False, theme.colours.ink, whole, width=2)


@dataclass(frozen=True)
class RangeValues:
    """Low, likely and high in minor units on a scale from 0 to `full`."""

    low: int
    likely: int
    high: int
    full: int


def paint_range(
    painter: QPainter,
    rect: QRectF,
    values: RangeValues,
    theme: Theme,
    origin: QPointF = ORIGIN,
    high: float = 10,
) -> None:
    """A dotted strip from low to high on a hairline that stands for the whole scale."""
    per_unit = rect.width() / max(1, values.full)
    middle = rect.center().y()
    grid = PixelGrid(painter)
    painter.fillRect(
        QRectF(rect.left(), grid.y(middle), rect.width(), grid.length(1)), theme.colours.line2
    )
    left = rect.left() + values.low * per_unit
    wide = max(float(theme.patterns.least_width), (values.high - values.low) * per_unit)
    strip = QRectF(left, middle - high / 2, wide, high)
    paint_exposed(painter, strip, theme, origin)
    _paint_tick(painter, rect.left() + values.likely * per_unit, strip, theme)


@dataclass(frozen=True)
class Share:
    """One share of the contingency and what the finding would cost alone, in minor units."""

    share: int
    alone: int
    full: int
    ghost: int | None = None


def paint_share(
    painter: QPainter, rect: QRectF, share: Share, theme: Theme, origin: QPointF = ORIGIN
) -> None:
    """A dotted bar for the share, and a whisker to what it would be alone."""
    per_unit = rect.width() / max(1, share.full)
    end = rect.left() + max(share.share * per_unit, theme.patterns.least_width)
    box = QRectF(rect.left(), rect.top(), end - rect.left(), rect.height())
    if share.share > 0:
        paint_exposed(painter, box, theme, origin)
    whisker = rect.left() + share.alone * per_unit
    if whisker > end + 1:
        colour, middle = theme.colours.exp_line, rect.center().y()
        dashed_line(painter, QPointF(end, middle), whisker - end, True, colour, (1, 2))
        vertical(painter, whisker, middle - 4, middle + 4, 1, colour)
    if share.ghost is not None:
        paint_ghost(painter, rect.left() + share.ghost * per_unit, rect, theme)
