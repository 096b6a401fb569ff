"""The four patterns that carry certainty: solid, hatched, dotted with a dashed edge, blank.

Each function fills one rectangle in logical pixels. `origin` is the point that the pattern
is measured from: a widget's own corner, or a cell's, so that neighbours line up.
"""

from __future__ import annotations

from functools import lru_cache
from math import ceil, floor

from PySide6.QtCore import QLineF, QPointF, QRectF, Qt
from PySide6.QtGui import (
    QBrush,
    QColor,
    QImage,
    QPaintEngine,
    QPainter,
    QPainterPath,
    QPen,
    QPixmap,
    QTransform,
)

from estimator.desktop.drawing.pixels import PixelGrid, edge
from estimator.desktop.theme import Theme

ORIGIN = QPointF(0, 0)
_SPECK = 0.01  # a dash so short that only its round ends are seen


def paint_firm(painter: QPainter, rect: QRectF, theme: Theme) -> None:
    """Solid: needed, at a known price."""
    painter.fillRect(PixelGrid(painter).rect(rect), theme.colours.firm)


def paint_provisional(
    painter: QPainter, rect: QRectF, theme: Theme, origin: QPointF = ORIGIN
) -> None:
    """Hatched: needed and priced, measured again when open."""
    sizes, colours = theme.patterns, theme.colours
    low = rect.height() < sizes.hatch_high_from
    pitch = sizes.hatch_pitch_low if low else sizes.hatch_pitch
    box = PixelGrid(painter).rect(rect)
    painter.fillRect(box, colours.prov_fill)
    fill_hatch(painter, box, colours.prov_line, pitch, sizes.hatch_stroke, origin)
    edge(painter, box, 1, colours.prov_line)


def paint_exposed(painter: QPainter, rect: QRectF, theme: Theme, origin: QPointF = ORIGIN) -> None:
    """Dotted with a dashed edge: may be found worn."""
    sizes, colours = theme.patterns, theme.colours
    box = PixelGrid(painter).rect(rect)
    if box.width() < sizes.least_width:
        box.setWidth(PixelGrid(painter).length(sizes.least_width))
    painter.fillRect(box, colours.exp_fill)
    fill_dots(painter, box, theme, origin)
    dashed_edge(painter, box, colours.exp_line, sizes.dash)


def paint_spare(painter: QPainter, rect: QRectF, theme: Theme) -> None:
    """Blank with a solid edge: contingency that nothing speaks for."""
    edge(painter, rect, 1, theme.colours.control)


def paint_not_measured(painter: QPainter, rect: QRectF, theme: Theme) -> None:
    """Blank with a broken edge: nothing was measured here."""
    box = PixelGrid(painter).rect(rect)
    dashed_edge(painter, box, theme.colours.control, theme.patterns.not_measured_dash)


def fill_hatch(
    painter: QPainter,
    rect: QRectF,
    colour: QColor,
    pitch: float,
    stroke: float,
    origin: QPointF = ORIGIN,
) -> None:
    """Slanting lines at 45 degrees over what is there; the pitch is measured along x."""
    grid = PixelGrid(painter)
    tile = _hatch_tile(colour.rgba(), grid.whole(pitch), stroke * grid.scale)
    _fill_tiled(painter, rect, tile, origin)


def fill_dots(painter: QPainter, rect: QRectF, theme: Theme, origin: QPointF = ORIGIN) -> None:
    """Dots over what is there, every second row moved by half a step."""
    if is_vector(painter):
        path = QPainterPath()
        path.addRect(rect)
        _draw_dots(painter, path, theme, origin)
        return
    grid = PixelGrid(painter)
    _fill_tiled(painter, rect, _dots_of(theme, grid), origin)


def fill_dots_within(painter: QPainter, path: QPainterPath, theme: Theme) -> None:
    """Dots inside a shape that is no rectangle."""
    if is_vector(painter):
        _draw_dots(painter, path, theme, ORIGIN)
        return
    grid = PixelGrid(painter)
    painter.fillPath(path, _brush(_dots_of(theme, grid), grid.scale))


def is_vector(painter: QPainter) -> bool:
    """Whether what is painted becomes a drawing, in which no tile of pixels may stand."""
    engine = painter.paintEngine()
    return engine.type() == QPaintEngine.Type.SVG


def _dots_of(theme: Theme, grid: PixelGrid) -> QPixmap:
    sizes = theme.patterns
    return _dot_tile(
        theme.colours.exp_dot.rgba(),
        grid.whole(sizes.dot_grid[0]),
        grid.whole(sizes.dot_grid[1]),
        grid.whole(sizes.dot_shift),
        sizes.dot_diameter * grid.scale,
    )


def _draw_dots(painter: QPainter, path: QPainterPath, theme: Theme, origin: QPointF) -> None:
    """The same dots drawn: each row is one line whose round dashes have next to no length."""
    sizes = theme.patterns
    across, down = sizes.dot_grid
    wide = sizes.dot_diameter
    box = path.boundingRect().adjusted(wide / 2, wide / 2, -wide / 2, -wide / 2)
    pen = QPen(theme.colours.exp_dot, wide)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setDashPattern([_SPECK, across / wide - _SPECK])
    painter.save()
    painter.setPen(pen)
    row = floor((box.top() - origin.y()) / down)
    while (y := origin.y() + 1.5 + row * down) <= box.bottom():
        if y >= box.top():
            first = origin.x() + 1.5 + (sizes.dot_shift if row % 2 else 0)
            for start, end in _spans(path, y):
                left = first + ceil((start + wide / 2 - first) / across) * across
                if left <= end - wide / 2:
                    painter.drawLine(QLineF(left, y, end - wide / 2 + _SPECK, y))
        row += 1
    painter.restore()


def _spans(path: QPainterPath, y: float) -> list[tuple[float, float]]:
    """Where a level line runs inside a shape, from left to right."""
    crossings = []
    for polygon in path.toSubpathPolygons():
        points = [polygon.at(place) for place in range(polygon.size())]
        for one, two in zip(points, [*points[1:], points[0]], strict=True):
            if (one.y() <= y) != (two.y() <= y):
                share = (y - one.y()) / (two.y() - one.y())
                crossings.append(one.x() + share * (two.x() - one.x()))
    crossings.sort()
    return list(zip(crossings[::2], crossings[1::2], strict=False))


def dashed_edge(painter: QPainter, rect: QRectF, colour: QColor, dash: tuple[float, float]) -> None:
    """A broken edge one pixel wide inside the rectangle; each side begins with a dash."""
    thick = PixelGrid(painter).length(1)
    right, bottom = rect.right() - thick, rect.bottom() - thick
    dashed_line(painter, QPointF(rect.left(), rect.top()), rect.width(), True, colour, dash)
    dashed_line(painter, QPointF(rect.left(), bottom), rect.width(), True, colour, dash)
    dashed_line(painter, QPointF(rect.left(), rect.top()), rect.height(), False, colour, dash)
    if right > rect.left():
        dashed_line(painter, QPointF(right, rect.top()), rect.height(), False, colour, dash)


def dashed_line(
    painter: QPainter,
    start: QPointF,
    length: float,
    level: bool,
    colour: QColor,
    dash: tuple[float, float],
    width: float = 1,
) -> None:
    """A broken line from `start` to the right (`level`) or downwards, in whole pixels."""
    grid = PixelGrid(painter)
    thick, on, off = grid.length(width), grid.length(dash[0]), grid.length(dash[1])
    corner = grid.point(start)
    pieces: list[QRectF] = []
    place = 0.0
    while place < length - 0.01:
        piece = min(on, length - place)
        if level:
            pieces.append(QRectF(corner.x() + place, corner.y(), piece, thick))
        else:
            pieces.append(QRectF(corner.x(), corner.y() + place, thick, piece))
        place += on + off
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    painter.drawRects(pieces)
    painter.restore()


def _brush(tile: QPixmap, scale: float) -> QBrush:
    brush = QBrush(tile)
    brush.setTransform(QTransform.fromScale(1 / scale, 1 / scale))
    return brush


def _fill_tiled(painter: QPainter, rect: QRectF, tile: QPixmap, origin: QPointF) -> None:
    grid = PixelGrid(painter)
    before = painter.brushOrigin()
    painter.setBrushOrigin(grid.point(origin))
    painter.fillRect(grid.rect(rect), _brush(tile, grid.scale))
    painter.setBrushOrigin(before)


def _blank_tile(width: int, height: int) -> QImage:
    tile = QImage(width, height, QImage.Format.Format_ARGB32_Premultiplied)
    tile.fill(Qt.GlobalColor.transparent)
    return tile


@lru_cache(maxsize=64)
def _hatch_tile(rgba: int, pitch: int, stroke: float) -> QPixmap:
    """One square of hatching in device pixels; repeats without a seam."""
    tile = _blank_tile(pitch, pitch)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor.fromRgba(rgba), stroke))
    for turn in (-1, 0, 1):
        shift = turn * pitch
        painter.drawLine(QLineF(-pitch, pitch * 2 + shift, pitch * 2, -pitch + shift))
    painter.end()
    return QPixmap.fromImage(tile)


@lru_cache(maxsize=64)
def _dot_tile(rgba: int, step_x: int, step_y: int, shift: int, diameter: float) -> QPixmap:
    """Two rows of dots in device pixels, each centred on a pixel."""
    tile = _blank_tile(step_x, 2 * step_y)
    painter = QPainter(tile)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor.fromRgba(rgba))
    half = diameter / 2
    for row, left in enumerate((0, shift)):
        centre = QPointF(left + 1.5, row * step_y + 1.5)
        for turn in (-step_x, 0):
            painter.drawEllipse(centre + QPointF(turn, 0), half, half)
    painter.end()
    return QPixmap.fromImage(tile)
