"""The cumulative curve of the final cost, with its flags, the part the contingency covers, and
the ghost of the curve that stood before."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen, QPolygonF

from estimator.desktop.drawing.curve_scale import (
    LEFT_ROOM,
    CostCurveData,
    CurveScale,
    Flag,
    amount_at,
    axis_step,
    chance_at,
    curve_scale,
    handle_point,
)
from estimator.desktop.drawing.patterns import dashed_line, fill_dots_within
from estimator.desktop.drawing.pixels import PixelGrid, edge, fill, horizontal, vertical
from estimator.desktop.drawing.words import CENTRE, LEFT, RIGHT, draw_words, words_width
from estimator.desktop.theme import Theme

_LABEL = 16
_HANDLE = 10
_QUARTERS = (0.0, 0.25, 0.5, 0.75, 1.0)


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
    _paint_before(painter, data, scale, theme)
    _paint_line(painter, data, scale, theme)
    base, plot = scale.x(data.base), scale.plot
    vertical(painter, base, plot.top() - 4, plot.bottom(), 2, theme.colours.firm)
    _paint_mean(painter, data, scale, theme)
    for flag in flags:
        _paint_flag(painter, flag, scale, theme)
    _paint_before_words(painter, rect, data, scale, theme)
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
        box = QRectF(rect.left(), y - _LABEL / 2, LEFT_ROOM - 8, _LABEL)
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
    return _on_scale(data.points, scale)


def _on_scale(curve: Sequence[tuple[int, float]], scale: CurveScale) -> list[QPointF]:
    points = [QPointF(scale.x(amount), scale.y(chance)) for amount, chance in curve]
    start = QPointF(scale.plot.left(), scale.y(curve[0][1]))
    end = QPointF(scale.plot.right(), scale.y(curve[-1][1]))
    before = [start] if points[0].x() > start.x() else []
    return [*before, *points, *([end] if points[-1].x() < end.x() else [])]


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
    fill_dots_within(painter, path, theme)


def _paint_line(painter: QPainter, data: CostCurveData, scale: CurveScale, theme: Theme) -> None:
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(theme.colours.ink, 2)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.drawPolyline(QPolygonF(_line_points(data, scale)))
    painter.restore()


def _paint_before(painter: QPainter, data: CostCurveData, scale: CurveScale, theme: Theme) -> None:
    """The curve that stood before: broken, and quieter than the one that stands."""
    if data.before is None or not data.before.points:
        return
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(theme.colours.ink2, 1.5)
    pen.setDashPattern([4, 3])
    pen.setCapStyle(Qt.PenCapStyle.FlatCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPolyline(QPolygonF(_on_scale(data.before.points, scale)))
    painter.restore()


def _paint_before_words(
    painter: QPainter, rect: QRectF, data: CostCurveData, scale: CurveScale, theme: Theme
) -> None:
    """Where the handle's confidence was reached before, with its figure low beside it."""
    if data.before is None or not data.before.points:
        return
    colours, chance = theme.colours, float(data.confidence)
    x, top = scale.x(amount_at(data.before.points, chance)), scale.y(chance)
    bottom = scale.plot.bottom()
    dashed_line(painter, QPointF(x - 1, top), bottom - top, False, colours.ink2, (4, 3), width=2)
    font, words = theme.font(theme.sizes.note, 600), data.before.words(data.confidence)
    wide = words_width(words, font)
    # On the side away from the handle, where the curve that stands leaves room.
    to_left = x < handle_point(data, scale).x()
    left = x - 10 - wide if to_left else x + 10
    left = min(max(rect.left(), left), rect.right() - wide)
    box = QRectF(left, bottom - 0.36 * scale.plot.height() - _LABEL / 2, wide, _LABEL)
    fill(painter, box.adjusted(-4, 0, 4, 0), colours.surface)
    draw_words(painter, box, words, font, colours.ink2)


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
