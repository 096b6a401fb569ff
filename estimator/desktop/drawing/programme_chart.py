"""The programme as bars over days: what is longest, what has slack, what waits for parts.

Days are counted from any one day and may be fractions; dates come as words.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPolygonF

from estimator.desktop.drawing.patterns import ORIGIN, dashed_line, paint_exposed
from estimator.desktop.drawing.pixels import PixelGrid, edge, fill, horizontal, vertical
from estimator.desktop.drawing.words import CENTRE, LEFT, draw_words, words_width
from estimator.desktop.theme import Theme

NAMES_WIDTH = 240
HEAD_HEIGHT = 36
_BAR = 14
_TAIL = 10
_LABEL = 16


class BarKind(StrEnum):
    """Who does the work of a bar."""

    SHOP = "shop"
    OUTWORK = "outwork"


@dataclass(frozen=True)
class ProgrammeBar:
    """Work from one day to another; the word stands inside an outwork bar where it fits."""

    start: float
    end: float
    kind: BarKind = BarKind.SHOP
    word: str = ""


@dataclass(frozen=True)
class ProgrammeRow:
    """One activity. `key` is what the view hands back; `tail_end` is the day at 80 %.

    `lead` is the day of the order and the day of delivery, for parts that are waited for.
    """

    key: object
    title: str
    detail: str = ""
    longest: bool = False
    bars: Sequence[ProgrammeBar] = ()
    tail_end: float | None = None
    lead: tuple[float, float] | None = None
    note: str = ""
    spoken: str = ""


@dataclass(frozen=True)
class DayWords:
    """A day and the words that stand at it."""

    day: float
    words: str


@dataclass(frozen=True)
class ProgrammeData:
    """All that the chart shows.

    `weeks` and `months` label the head; `closures` are spans without work; `links` join the
    end of one row's last bar to the start of a later row's first: (row, row).
    """

    rows: Sequence[ProgrammeRow]
    first: float
    last: float
    weeks: Sequence[DayWords] = ()
    months: Sequence[DayWords] = ()
    closures: Sequence[tuple[float, float]] = ()
    links: Sequence[tuple[int, int]] = ()
    finish_50: DayWords | None = None
    finish_80: DayWords | None = None
    names_head: str = ""
    row_height: int = field(default=36)


@dataclass(frozen=True)
class DayScale:
    """Turns days into pixels of the chart's area."""

    left: float
    width: float
    first: float
    last: float

    def x(self, day: float) -> float:
        """Pixels from the widget's left."""
        return self.left + (day - self.first) / max(1e-9, self.last - self.first) * self.width


def day_scale(width: float, data: ProgrammeData, names_width: float = NAMES_WIDTH) -> DayScale:
    """The scale of a chart so wide, right of the names."""
    return DayScale(names_width, max(1.0, width - names_width - 16), data.first, data.last)


def paint_head(
    painter: QPainter, rect: QRectF, data: ProgrammeData, scale: DayScale, theme: Theme
) -> None:
    """Months above weeks; a week's words are left out where they would touch the last ones."""
    colours, sizes = theme.colours, theme.sizes
    painter.fillRect(rect, colours.sunken)
    bold, plain = theme.font(sizes.note, 600), theme.font(sizes.note)
    names = QRectF(rect.left() + 24, rect.top(), scale.left - 40, rect.height())
    draw_words(painter, names, data.names_head, bold, colours.ink2)
    for days, top, font, colour in (
        (data.months, rect.top() + 2, bold, colours.ink2),
        (data.weeks, rect.top() + 18, plain, colours.ink3),
    ):
        end = scale.left - 8
        for day in days:
            left = scale.x(day.day) + 4
            wide = words_width(day.words, font)
            if left >= end + 8 and left + wide <= rect.right():
                draw_words(painter, QRectF(left, top, wide, _LABEL), day.words, font, colour)
                end = left + wide
    for day in data.weeks:
        x = scale.x(day.day)
        vertical(painter, x, rect.bottom() - 8, rect.bottom(), 1, colours.line2)
    horizontal(painter, rect.bottom() - 0.5, rect.left(), rect.right(), 1, colours.line2)


def paint_ground(
    painter: QPainter, rect: QRectF, data: ProgrammeData, scale: DayScale, theme: Theme
) -> None:
    """Week lines and closed days behind the rows, for the exposed rectangle alone."""
    colours = theme.colours
    for day in data.weeks:
        vertical(painter, scale.x(day.day), rect.top(), rect.bottom(), 1, colours.line)
    for start, end in data.closures:
        left, right = scale.x(start), scale.x(end)
        fill(painter, QRectF(left, rect.top(), right - left, rect.height()), colours.line)
        # Dots are counted from the top of the chart, so that scrolling leaves no seam.
        top = rect.top() - rect.top() % 3
        for x in (left, right):
            dashed_line(
                painter, QPointF(x, top), rect.bottom() - top, False, colours.control, (1, 2)
            )


def paint_row(
    painter: QPainter,
    rect: QRectF,
    row: ProgrammeRow,
    scale: DayScale,
    theme: Theme,
    selected: bool = False,
    focused: bool = False,
) -> None:
    """One activity: its names at the left, its bars over the days."""
    colours = theme.colours
    if selected:
        fill(painter, rect, colours.select)
        fill(painter, QRectF(rect.left(), rect.top(), 4, rect.height()), colours.ink)
    horizontal(painter, rect.bottom() - 0.5, rect.left() + 24, rect.right(), 1, colours.line)
    _paint_names(painter, rect, row, scale, theme)
    middle = rect.center().y()
    ends = [(scale.x(bar.start), scale.x(bar.end)) for bar in row.bars]
    for (_left, end), (start, _right) in zip(ends, ends[1:], strict=False):
        if start > end + 1:
            dashed_line(painter, QPointF(end, middle), start - end, True, colours.control, (2, 2))
    for bar in row.bars:
        _paint_bar(painter, bar, row.longest, middle, scale, theme)
    if row.lead is not None:
        _paint_lead(painter, scale.x(row.lead[0]), scale.x(row.lead[1]), middle, colours.ink2)
    last = _paint_tail(painter, rect, row, scale, theme)
    if row.note:
        _paint_note(painter, last + 8, rect, row.note, colours.select if selected else None, theme)
    if focused:
        edge(painter, rect.adjusted(6, 1, -2, -1), 2, colours.focus)


def _paint_names(
    painter: QPainter, rect: QRectF, row: ProgrammeRow, scale: DayScale, theme: Theme
) -> None:
    colours, sizes = theme.colours, theme.sizes
    wide = scale.left - 24 - 20
    title = theme.font(sizes.second, 600 if row.longest else 400)
    high = rect.height() / 2 - 1 if row.detail else rect.height()
    top = rect.top() + (1 if row.detail else 0)
    place = QRectF(rect.left() + 24, top, wide, high)
    draw_words(painter, place, row.title, title, colours.ink)
    if row.detail:
        below = QRectF(place.left(), rect.center().y() - 1, wide, high)
        draw_words(painter, below, row.detail, theme.font(sizes.note), colours.ink3)
    if row.longest:
        x = scale.left - 6
        vertical(painter, x, rect.top() + 8, rect.bottom() - 8, 3, colours.ink)


def _paint_bar(
    painter: QPainter,
    bar: ProgrammeBar,
    longest: bool,
    middle: float,
    scale: DayScale,
    theme: Theme,
) -> None:
    colours = theme.colours
    colour = colours.ink if longest else colours.control
    left = scale.x(bar.start)
    wide = max(float(theme.patterns.least_width), scale.x(bar.end) - left)
    box = QRectF(left, middle - _BAR / 2, wide, _BAR)
    if bar.kind is BarKind.SHOP:
        fill(painter, box, colour)
        return
    fill(painter, box, colours.surface)
    edge(painter, box, 2, colour)
    font = theme.font(theme.sizes.note)
    if bar.word and words_width(bar.word, font) + 10 <= wide:
        draw_words(painter, box, bar.word, font, colours.ink2, CENTRE)


def _paint_lead(painter: QPainter, start: float, end: float, middle: float, colour: QColor) -> None:
    vertical(painter, start, middle - 5, middle + 5, 2, colour)
    horizontal(painter, middle, start, max(start, end - 6), 2, colour)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colour)
    back = end - 8
    painter.drawPolygon(
        QPolygonF([QPointF(end, middle), QPointF(back, middle - 5), QPointF(back, middle + 5)])
    )
    painter.restore()


def _paint_tail(
    painter: QPainter, rect: QRectF, row: ProgrammeRow, scale: DayScale, theme: Theme
) -> float:
    """The dotted part up to 80 %; answers where the row's drawing ends."""
    end = max((scale.x(bar.end) for bar in row.bars), default=scale.left)
    if row.lead is not None:
        end = max(end, scale.x(row.lead[1]))
    if row.tail_end is None or not row.bars:
        return end
    tail = scale.x(row.tail_end)
    if tail <= end:
        return end
    left = end + PixelGrid(painter).length(1)
    box = QRectF(left, rect.center().y() - _TAIL / 2, max(2.0, tail - left), _TAIL)
    paint_exposed(painter, box, theme, ORIGIN + QPointF(0, rect.top()))
    return tail


def _paint_note(
    painter: QPainter, left: float, rect: QRectF, note: str, ground: QColor | None, theme: Theme
) -> None:
    font = theme.font(theme.sizes.note)
    room = rect.right() - left - 4
    wide = min(float(words_width(note, font)), room)
    if wide <= 0:
        return
    box = QRectF(left, rect.center().y() - 9, wide, 18)
    fill(painter, box.adjusted(-4, 0, 4, 0), ground or theme.colours.surface)
    draw_words(painter, box, note, font, theme.colours.ink2, LEFT)


def paint_link(painter: QPainter, x: float, from_row: QRectF, to_row: QRectF, theme: Theme) -> None:
    """An upright line from the end of one bar to the start of the row that waited for it."""
    top = from_row.center().y() + _BAR / 2
    bottom = to_row.center().y() - _BAR / 2
    if bottom > top:
        vertical(painter, x, top, bottom, 1, theme.colours.ink)


def paint_finish_lines(
    painter: QPainter, rect: QRectF, data: ProgrammeData, scale: DayScale, theme: Theme
) -> None:
    """The two finish dates through all rows: broken at even chances, solid at 80 %."""
    colours = theme.colours
    if data.finish_50 is not None:
        x = scale.x(data.finish_50.day)
        top = rect.top() - rect.top() % 9
        dashed_line(
            painter, QPointF(x - 1, top), rect.bottom() - top, False, colours.ink2, (5, 4), width=2
        )
    if data.finish_80 is not None:
        vertical(
            painter, scale.x(data.finish_80.day), rect.top(), rect.bottom(), 2, colours.exp_line
        )


def paint_finish_words(
    painter: QPainter, rect: QRectF, data: ProgrammeData, scale: DayScale, theme: Theme
) -> None:
    """The words at the foot of the finish lines, side by side without touching."""
    colours, font = theme.colours, theme.font(theme.sizes.note, 600)
    end = rect.right()
    for finish, ground in ((data.finish_80, colours.exp_text), (data.finish_50, colours.ink2)):
        if finish is None:
            continue
        wide = words_width(finish.words, font) + 16
        right = min(scale.x(finish.day) + 1, end)
        left = max(rect.left(), right - wide)
        box = QRectF(left, rect.top() + 1, wide, rect.height() - 2)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ground)
        painter.drawRoundedRect(box, 3, 3)
        painter.restore()
        draw_words(painter, box, finish.words, font, colours.surface, CENTRE)
        end = left - 6
