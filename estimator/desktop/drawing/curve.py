"""The cumulative curve of the final cost, with its flags and the part the contingency covers.

Amounts are whole minor units on the level axis, chances from 0 to 1 on the upright one.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from estimator.desktop.drawing.patterns import dashed_line, dot_brush
from estimator.desktop.drawing.pixels import PixelGrid, edge, fill, horizontal, vertical
from estimator.desktop.drawing.words import CENTRE, LEFT, RIGHT, draw_words, words_width
from estimator.desktop.theme import Theme

_LEFT_ROOM = 48
_RIGHT_ROOM = 12
_TOP_ROOM = 44
_FOOT_ROOM = 30
_LABEL = 16
_HANDLE = 10
_QUARTERS = (0.0, 0.25, 0.5, 0.75, 1.0)
_STEPS = (1, 2, 5)


@dataclass(frozen=True)
class Flag:
    """A named point on the curve, such as 5 in 10, with its figure ready to be shown."""

    chance: Decimal
    amount: int
    name: str
    figure: str


@dataclass(frozen=True)
class CostCurveData:
    """What the curve shows.

    `points` rise in amount and chance. `base` is the priced work: its amount and lines of
    words. `amount_words` puts an axis figure into words, `chance_words` a chance, and
    `handle_words` the confidence that the handle stands at.
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
    """The scale for a rectangle: from a little below the first amount to the last."""
    plot = rect.adjusted(_LEFT_ROOM, _TOP_ROOM, -_RIGHT_ROOM, -_FOOT_ROOM)
    amounts = [amount for amount, _chance in data.points] or [data.base]
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


def paint_curve(
    painter: QPainter, rect: QRectF, data: CostCurveData, theme: Theme, focused: bool = False
) -> None:
    """Draw axes, words, dotted area, curve, base line, mean, flags and the handle."""
    if not data.points:
        return
    scale = curve_scale(rect, data)
    flags = [flag for flag in data.flags if flag.chance != data.confidence]
    _paint_axes(painter, rect, data, scale, theme)
    # Words clear the grid lines under them, so they come before whatever they must not cover.
    _paint_base_words(painter, data, scale, theme)
    for flag in flags:
        _paint_flag_words(painter, rect, flag, scale, theme)
    _paint_area(painter, data, scale, theme)
    _paint_line(painter, data, scale, theme)
    base, plot = scale.x(data.base), scale.plot
    vertical(painter, base, plot.top() - 4, plot.bottom(), 2, theme.colours.firm)
    _paint_mean(painter, data, scale, theme)
    for flag in flags:
        _paint_flag(painter, flag, scale, theme)
    _paint_handle(painter, rect, data, scale, theme, focused)


def _paint_axes(
    painter: QPainter, rect: QRectF, data: CostCurveData, scale: CurveScale, theme: Theme
) -> None:
    colours, font, plot = theme.colours, theme.font(theme.sizes.note), scale.plot
    for chance in _QUARTERS:
        y = scale.y(chance)
        colour = colours.ink2 if chance == 0 else colours.line
        horizontal(painter, y, plot.left(), plot.right(), 1, colour)
        words = data.chance_words(Decimal(str(chance)))
        box = QRectF(rect.left(), y - _LABEL / 2, _LEFT_ROOM - 8, _LABEL)
        draw_words(painter, box, words, font, colours.ink2, RIGHT)
    widest = max(
        words_width(data.amount_words(scale.low), font),
        words_width(data.amount_words(scale.high), font),
    )
    step = axis_step(scale.high - scale.low, plot.width(), lambda _step: widest)
    tick = -(-scale.low // step) * step
    while tick <= scale.high:
        x = scale.x(tick)
        vertical(painter, x, plot.bottom(), plot.bottom() + 5, 1, colours.line2)
        words = data.amount_words(tick)
        wide = words_width(words, font)
        if rect.left() <= x - wide / 2 and x + wide / 2 <= rect.right():
            box = QRectF(x - wide / 2, plot.bottom() + 8, wide, _LABEL)
            draw_words(painter, box, words, font, colours.ink2, CENTRE)
        tick += step


def _line_points(data: CostCurveData, scale: CurveScale) -> list[QPointF]:
    points = [QPointF(scale.x(amount), scale.y(chance)) for amount, chance in data.points]
    start = QPointF(scale.plot.left(), scale.y(data.points[0][1]))
    return [start, *points] if points[0].x() > start.x() else points


def _paint_area(painter: QPainter, data: CostCurveData, scale: CurveScale, theme: Theme) -> None:
    """What the contingency covers: under the curve, from the priced work to the handle."""
    left, handle = scale.x(data.base), handle_point(data, scale)
    if handle.x() <= left:
        return
    path = QPainterPath(QPointF(left, scale.plot.bottom()))
    path.lineTo(left, scale.y(chance_at(data.points, data.base)))
    for point in _line_points(data, scale):
        if left < point.x() < handle.x():
            path.lineTo(point)
    path.lineTo(handle)
    path.lineTo(handle.x(), scale.plot.bottom())
    path.closeSubpath()
    painter.fillPath(path, theme.colours.exp_fill)
    painter.fillPath(path, dot_brush(painter, theme))


def _paint_line(painter: QPainter, data: CostCurveData, scale: CurveScale, theme: Theme) -> None:
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(theme.colours.ink, 2)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.drawPolyline(QPolygonF(_line_points(data, scale)))
    painter.restore()


def _paint_base_words(
    painter: QPainter, data: CostCurveData, scale: CurveScale, theme: Theme
) -> None:
    colours, x, plot = theme.colours, scale.x(data.base), scale.plot
    # Words stand above the curve: where it is high at their place they go left of the line.
    widths = [words_width(text, theme.font(theme.sizes.note, 600)) for text in data.base_words]
    wide = max(widths, default=0)
    to_left = chance_at(data.points, scale.amount(x + wide + 8)) > 1 - len(widths) * 18 / max(
        1.0, plot.height()
    )
    fits_left = x - wide - 8 > plot.left()
    left = x - wide - 8 if to_left and fits_left else x + 8
    for place, text in enumerate(data.base_words):
        font = theme.font(theme.sizes.note, 600 if place == 0 else 400)
        box = QRectF(left, plot.top() - 6 + place * _LABEL, wide, _LABEL)
        fill(painter, box.adjusted(-2, 0, 2, 0), colours.surface)
        draw_words(painter, box, text, font, colours.firm_text if place == 0 else colours.ink2)


def _paint_mean(painter: QPainter, data: CostCurveData, scale: CurveScale, theme: Theme) -> None:
    if data.mean is None:
        return
    x, bottom = scale.x(data.mean), scale.plot.bottom()
    vertical(painter, x, bottom - 26, bottom, 2, theme.colours.ink)
    font = theme.font(theme.sizes.note, 600)
    wide = words_width(data.mean_words, font)
    handle = handle_point(data, scale).x()
    crossed = x < handle < x + 14 + wide
    left = x + 8 if not crossed and x + 12 + wide < scale.plot.right() else x - 8 - wide
    ground = theme.colours.exp_fill
    if left + wide > handle:
        ground = theme.colours.surface
    box = QRectF(left, bottom - 26, wide, _LABEL + 2)
    fill(painter, box.adjusted(-4, 0, 4, 0), ground)
    draw_words(painter, box, data.mean_words, font, theme.colours.ink)


def _paint_flag(painter: QPainter, flag: Flag, scale: CurveScale, theme: Theme) -> None:
    colours, x, y = theme.colours, scale.x(flag.amount), scale.y(float(flag.chance))
    dashed_line(painter, QPointF(x, y), scale.plot.bottom() - y, False, colours.ink2, (3, 3))
    square = PixelGrid(painter).rect(QRectF(x - 4.5, y - 4.5, 9, 9))
    fill(painter, square, colours.surface)
    edge(painter, square, 2, colours.ink)


def _paint_flag_words(
    painter: QPainter, rect: QRectF, flag: Flag, scale: CurveScale, theme: Theme
) -> None:
    colours, x, y = theme.colours, scale.x(flag.amount), scale.y(float(flag.chance))
    name_font, figure_font = theme.font(theme.sizes.note), theme.font(theme.sizes.second, 600)
    wide = max(words_width(flag.name, name_font), words_width(flag.figure, figure_font))
    # The low half of the curve leaves room above it at the left, the high half below it.
    above = float(flag.chance) <= 0.5  # noqa: PLR2004 - the middle of the chances
    left, top = (x - wide - 10, y - 2 * _LABEL) if above else (x + 12, y + 8)
    align = RIGHT if above else LEFT
    left = min(max(rect.left(), left), rect.right() - wide)
    name, figure = QRectF(left, top, wide, _LABEL), QRectF(left, top + _LABEL, wide, _LABEL)
    fill(painter, name.united(figure).adjusted(-2, 0, 2, 0), colours.surface)
    draw_words(painter, name, flag.name, name_font, colours.ink2, align)
    draw_words(painter, figure, flag.figure, figure_font, colours.ink, align)


def _paint_handle(
    painter: QPainter,
    rect: QRectF,
    data: CostCurveData,
    scale: CurveScale,
    theme: Theme,
    focused: bool,
) -> None:
    colours, middle = theme.colours, handle_point(data, scale)
    words, font = data.handle_words(data.confidence), theme.font(theme.sizes.note, 600)
    vertical(painter, middle.x(), rect.top() + 28, scale.plot.bottom(), 2, colours.exp_line)
    wide = words_width(words, font) + 20
    left = min(max(rect.left(), middle.x() - wide / 2), rect.right() - wide)
    box = QRectF(left, rect.top() + 2, wide, 28)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours.exp_text)
    painter.drawRoundedRect(box, 4, 4)
    _paint_knob(painter, middle, colours.ink, colours.surface, colours.exp_line)
    if focused:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(colours.focus, 2))
        painter.drawEllipse(middle, _HANDLE + 5, _HANDLE + 5)
    painter.restore()
    draw_words(painter, box, words, font, colours.surface, CENTRE)


def _paint_knob(
    painter: QPainter, middle: QPointF, rim: QColor, ground: QColor, core: QColor
) -> None:
    painter.setPen(QPen(rim, 2))
    painter.setBrush(ground)
    painter.drawEllipse(middle, _HANDLE, _HANDLE)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(core)
    painter.drawEllipse(middle, _HANDLE - 4, _HANDLE - 4)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(rim, 2))
    for side in (-1, 1):
        tip = middle.x() + side * (_HANDLE + 12)
        painter.drawPolyline(
            QPolygonF(
                [
                    QPointF(tip - side * 4, middle.y() - 5),
                    QPointF(tip, middle.y()),
                    QPointF(tip - side * 4, middle.y() + 5),
                ]
            )
        )
