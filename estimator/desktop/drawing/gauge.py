"""The wear gauge: new, rebuild and service limit as ticks, the used part, the measured point.

Worn is (measured - new) / (service - new), so a bore that grows and a disc that thins read
the same way. Nothing is clamped but the drawing at the gauge's end.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPolygonF

from estimator.desktop.drawing.patterns import dashed_line, fill_hatch
from estimator.desktop.drawing.pixels import PixelGrid, edge, fill, vertical
from estimator.desktop.drawing.words import RIGHT, draw_words, fitted, words_width
from estimator.desktop.theme import Theme

SMALL_TRACK = 8
LARGE_TRACK = 10
_SERVICE_AT_SMALL = 0.78
_SERVICE_AT_LARGE = 0.87
_POINTER = 5
_WORDS = 18
LARGE_HEIGHT = _WORDS + _POINTER + 4 + LARGE_TRACK + 9 + _WORDS


@dataclass(frozen=True)
class Reading:
    """What a gauge shows, all in one unit; `measured` None means not seen."""

    new: Decimal
    service: Decimal
    rebuild: Decimal | None = None
    measured: Decimal | None = None

    def worn(self, size: Decimal) -> float:
        """0 at new, 1 at the service limit; 0 where the two limits are the same."""
        span = self.service - self.new
        return float((size - self.new) / span) if span else 0.0


@dataclass(frozen=True)
class GaugeWords:
    """The words around a large gauge, ready to be shown."""

    measured: str = ""
    new: str = ""
    rebuild: str = ""
    service: str = ""


@dataclass(frozen=True)
class _Track:
    """Where the track lies and how far along it the service limit stands."""

    box: QRectF
    service_at: float

    def x(self, worn: float) -> float:
        return self.box.left() + max(0.0, worn) * self.service_at * self.box.width()

    def held(self, worn: float) -> float:
        return min(self.box.right(), self.x(worn))


def paint_small_gauge(painter: QPainter, rect: QRectF, reading: Reading, theme: Theme) -> None:
    """A gauge for a table's cell, centred upright; `rect` wants 24 px of height."""
    top = rect.center().y() - SMALL_TRACK / 2
    box = QRectF(rect.left() + 1, top, rect.width() - _POINTER - 2, SMALL_TRACK)
    _paint_track(painter, _Track(box, _SERVICE_AT_SMALL), reading, theme, beyond=False)


def paint_large_gauge(
    painter: QPainter, rect: QRectF, reading: Reading, words: GaugeWords, theme: Theme
) -> None:
    """A gauge with its words: the measured size above, the three limits below."""
    top = rect.top() + _WORDS + _POINTER + 4
    box = QRectF(rect.left() + 1, top, rect.width() - 2, LARGE_TRACK)
    track = _Track(box, _SERVICE_AT_LARGE)
    _paint_track(painter, track, reading, theme, beyond=True)
    colours, sizes = theme.colours, theme.sizes
    if words.measured:
        font = theme.font(sizes.note, 600)
        wide = min(rect.width(), words_width(words.measured, font))
        point = track.held(reading.worn(reading.measured)) if reading.measured is not None else 0
        left = min(max(rect.left(), point - wide / 2), rect.right() - wide)
        place = QRectF(left, rect.top(), wide, _WORDS)
        draw_words(painter, place, words.measured, font, colours.ink)
    _paint_limits(
        painter,
        QRectF(rect.left(), box.bottom() + 9, rect.width(), _WORDS),
        track,
        reading,
        words,
        theme,
    )


def limits_fit(width: float, words: GaugeWords, theme: Theme) -> bool:
    """Whether the three limits stand side by side without being cut."""
    font = theme.font(theme.sizes.note)
    needed = sum(words_width(text, font) for text in (words.new, words.rebuild, words.service))
    return needed + 16 <= width


def _paint_limits(
    painter: QPainter,
    row: QRectF,
    track: _Track,
    reading: Reading,
    words: GaugeWords,
    theme: Theme,
) -> None:
    """New at the left, service at the right, rebuild under its tick as near as there is room."""
    font, colours = theme.font(theme.sizes.note), theme.colours
    third = row.width() / 3
    new_wide = min(words_width(words.new, font), third)
    service_wide = min(words_width(words.service, font), row.width() - new_wide - 8)
    tick = track.x(1)
    service_left = min(max(row.left(), tick - service_wide / 2), row.right() - service_wide)
    draw_words(
        painter,
        QRectF(row.left(), row.top(), new_wide, row.height()),
        words.new,
        font,
        colours.ink3,
    )
    draw_words(
        painter,
        QRectF(service_left, row.top(), service_wide, row.height()),
        words.service,
        font,
        colours.attn_text,
        RIGHT,
    )
    if not words.rebuild or reading.rebuild is None:
        return
    free_left, free_right = row.left() + new_wide + 8, service_left - 8
    shown = fitted(words.rebuild, font, free_right - free_left)
    wide = words_width(shown, font)
    left = track.x(reading.worn(reading.rebuild)) - wide / 2
    left = max(free_left, min(left, free_right - wide))
    draw_words(painter, QRectF(left, row.top(), wide, row.height()), shown, font, colours.ink2)


def _paint_track(
    painter: QPainter, track: _Track, reading: Reading, theme: Theme, beyond: bool
) -> None:
    colours, box = theme.colours, track.box
    limit = track.x(1)
    open_part = QRectF(box.left(), box.top(), limit - box.left(), box.height())
    if reading.measured is None:
        _paint_dotted_track(painter, open_part, theme)
    else:
        if beyond:
            past = QRectF(limit, box.top(), box.right() - limit, box.height())
            fill_hatch(painter, past, colours.line2, 5, 1.4)
        edge(painter, open_part, 1, colours.control)
        worn = reading.worn(reading.measured)
        used = QRectF(box.left(), box.top(), track.held(min(worn, 1)) - box.left(), box.height())
        fill(painter, used, colours.ink2)
        if worn > 1:
            over = QRectF(limit, box.top(), track.held(worn) - limit, box.height())
            fill(painter, over, colours.attn)
    _paint_ticks(painter, track, reading, theme)
    if reading.measured is not None:
        _paint_pointer(painter, track.held(reading.worn(reading.measured)), box.top(), theme)


def _paint_dotted_track(painter: QPainter, box: QRectF, theme: Theme) -> None:
    colour = theme.colours.control
    thick = PixelGrid(painter).length(1)
    for top in (box.top(), box.bottom() - thick):
        dashed_line(painter, QPointF(box.left(), top), box.width(), True, colour, (2, 3))


def _paint_ticks(painter: QPainter, track: _Track, reading: Reading, theme: Theme) -> None:
    colours, box = theme.colours, track.box
    vertical(painter, box.left(), box.top() - 4, box.bottom() + 4, 2, colours.ink)
    if reading.rebuild is not None:
        worn = reading.worn(reading.rebuild)
        x = track.held(worn)
        vertical(painter, x, box.top() - 6, box.bottom() + 6, 2, colours.ink)
        covered = reading.measured is not None and reading.worn(reading.measured) > worn
        if covered:
            vertical(painter, x, box.top(), box.bottom(), 2, colours.surface)
    vertical(painter, track.x(1), box.top() - 8, box.bottom() + 8, 3, colours.attn)


def _paint_pointer(painter: QPainter, x: float, track_top: float, theme: Theme) -> None:
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(theme.colours.ink)
    tip = track_top - 1
    painter.drawPolygon(
        QPolygonF(
            [
                QPointF(x, tip),
                QPointF(x - _POINTER, tip - _POINTER - 1),
                QPointF(x + _POINTER, tip - _POINTER - 1),
            ]
        )
    )
    painter.restore()
