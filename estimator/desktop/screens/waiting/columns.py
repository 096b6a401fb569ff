"""Columns of what waits: job, what, since, working days, cost of waiting, what stops."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QPainter, QPen

from estimator.desktop.drawing.cell_painters import paint_two_lines
from estimator.desktop.drawing.marks import TABLE_MARK, Mark, mark_text_colour, paint_mark
from estimator.desktop.drawing.pixels import PixelGrid, fill
from estimator.desktop.drawing.words import RIGHT, draw_words
from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.screens.waiting import words
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.domain.record import EXPIRED
from estimator.services.show_desk import THE_CUSTOMER, VARIATION, YOU, WaitingRow

ROW = 44
PAD = 8
BAR, MOST_BAR = 9, 0.45  # px high; share of the cell that the dearest wait fills
TICK_BOX = 14
DEMI = 600


@dataclass(frozen=True, slots=True)
class Head:
    """A head of the list, in words, with how many things are under it."""

    key: str
    title: str


@dataclass(frozen=True, slots=True)
class Line:
    """A row as it is shown. `full` is the cost that fills the bar; one scale down the list."""

    row: WaitingRow
    head: str
    full: int
    marked: bool = False


@dataclass(frozen=True, slots=True)
class Names:
    """Names of the catalogue: activities and machine classes by their ids."""

    activities: Mapping[str, str]
    classes: Mapping[str, str]
    currency: str = ""  # the workshop's own, which needs no sign in a table


def id_of(line: Line | Head) -> str:
    """What names a row, the same from one reading to the next."""
    return f"head {line.key}" if isinstance(line, Head) else line.row.id


def waiting_columns(say: Formats, names: Callable[[], Names]) -> tuple[Column, ...]:
    """The columns, for rows that are Line or, as a head, Head."""

    def job(line: Line) -> str:
        said = f"{line.row.job} {words.number_words(line.row)}"
        marked = _("marked")
        return f"{said}, {marked}" if line.marked else said

    def what(line: Line) -> str:
        title = words.title_words(line.row, names().classes)
        return f"{title}; {words.second_words(line.row, say)}"

    def since(line: Line) -> str:
        at = line.row.since.astimezone()
        return f"{say.short_day(at.date())} {say.clock(at)}"

    def cost(line: Line) -> str:
        so_far, a_day = words.cost_words(line.row, say, names().currency)
        return f"{so_far}; {a_day}" if a_day else so_far

    def stops(line: Line) -> str:
        return words.stops_words(line.row, names().activities, say)

    return (
        Column("job", _("Job"), _of_line(job, head=True), 112, strong=lambda _line: True,
               sort=_by(lambda one: (one.row.job, one.row.number)), paint=_paint_job,
               tip=_of_line(lambda one: one.row.customer)),
        Column("what", _("What waits"), _of_line(what), 200, sort=_by(what), tip=_of_line(what),
               paint=lambda line: _paint_what(line, say, names())),
        Column("since", _("Since"), _of_line(since), 112, sort=_by(lambda one: one.row.since),
               tone=lambda _line: "ink2"),
        Column("days", _("Days"), _of_line(lambda one: words.days_words(one.row.days, say)), 56,
               right=True, sort=_by(lambda one: one.row.days)),
        Column("cost", _("Cost of waiting"), _of_line(cost), 160, right=True,
               sort=_by(lambda one: one.row.cost.minor), tip=_of_line(cost),
               paint=lambda line: _paint_cost(line, say, names().currency)),
        Column("stops", _("What stops"), _of_line(stops), 160, sort=_by(stops), tip=_of_line(stops),
               paint=lambda line: _paint_stops(line, stops)),
    )  # fmt: skip


def _of_line(say: Callable[[Line], str], *, head: bool = False) -> Callable[[object], str]:
    def text(row: object) -> str:
        if isinstance(row, Line):
            return say(row)
        return row.title if head and isinstance(row, Head) else ""

    return text


def _by(key: Callable[[Line], object]) -> Callable[[object], object]:
    return lambda row: key(row) if isinstance(row, Line) else None


def _paint_job(line: object) -> CellPainter | None:
    if not isinstance(line, Line):
        return None
    row = line.row

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        whole = QRectF(rect).adjusted(-PAD, 0, PAD, 0)
        paint_two_lines(painter, whole, row.job, words.number_words(row), theme, bold=True)

    return paint


def paint_tick(painter: QPainter, corner: QPointF, theme: Theme) -> None:
    """A ticked box: the row is marked."""
    box = PixelGrid(painter).rect(QRectF(corner.x(), corner.y(), TICK_BOX, TICK_BOX))
    fill(painter, box, theme.colours.ink)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(theme.colours.onink, 1.8))
    points = [box.topLeft() + QPointF(x, y) for x, y in ((3, 7.5), (6, 10.5), (11, 4))]
    painter.drawPolyline(points)
    painter.restore()


def _paint_what(line: object, say: Formats, names: Names) -> CellPainter | None:
    if not isinstance(line, Line):
        return None
    row = line.row
    title, second = words.title_words(row, names.classes), words.second_words(row, say)

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        whole = QRectF(rect).adjusted(-PAD, 0, PAD, 0)
        if row.safety:
            corner = QPointF(rect.left(), round(rect.center().y() - TABLE_MARK))
            paint_mark(painter, corner, Mark.TAKE_CARE, theme, TABLE_MARK)
            whole.setLeft(whole.left() + TABLE_MARK + 6)
        priced = row.amount is not None
        colour = theme.colours.ink3 if priced else theme.colours.exp_text
        paint_two_lines(
            painter, whole, title, second, theme, bold=line.head == YOU, second_colour=colour
        )

    return paint


def _paint_cost(line: object, say: Formats, currency: str) -> CellPainter | None:
    if not isinstance(line, Line) or line.row.per_day is None:
        return None
    row, full = line.row, max(line.full, 1)
    so_far, a_day = words.cost_words(row, say, currency)

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        cell, sizes, colours = QRectF(rect), theme.sizes, theme.colours
        top = cell.center().y() - (sizes.second_line + sizes.note_line) / 2
        first = QRectF(cell.left(), top, cell.width(), sizes.second_line)
        below = QRectF(cell.left(), first.bottom(), cell.width(), sizes.note_line)
        if row.cost:
            long = max(cell.width() * MOST_BAR * row.cost.minor / full, 2.0)
            bar = QRectF(cell.left(), first.center().y() - BAR / 2, long, BAR)
            fill(painter, PixelGrid(painter).rect(bar), colours.ink2)
        font = theme.font(sizes.body, DEMI if row.costs_now else 400)
        draw_words(painter, first, so_far, font, colours.ink if row.costs_now else colours.ink2,
                   RIGHT)  # fmt: skip
        draw_words(painter, below, a_day, theme.font(sizes.note), colours.ink3, RIGHT)

    return paint


def _paint_stops(line: object, said: Callable[[Line], str]) -> CellPainter | None:
    if not isinstance(line, Line):
        return None
    text, mark, strong = said(line), mark_of(line), line.row.costs_now or line.row.overdue

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        corner = QPointF(rect.left() + 1, round(rect.center().y() - TABLE_MARK / 2))
        paint_mark(painter, corner, mark, theme, TABLE_MARK)
        left = rect.left() + TABLE_MARK + 8.0
        place = QRectF(left, rect.top(), rect.right() - left, rect.height())
        colour = mark_text_colour(mark, theme) if strong else theme.colours.ink
        font = theme.font(theme.sizes.second, DEMI if line.row.costs_now else 400)
        draw_words(painter, place, text, font, colour)

    return paint


def mark_of(line: Line) -> Mark:
    """The mark of a row: it needs you, waits on someone else, or is in hand here."""
    row = line.row
    if line.head == YOU or row.state == EXPIRED or (row.overdue and row.kind == VARIATION):
        return Mark.NEEDS_YOU
    return Mark.WAITS if line.head == THE_CUSTOMER else Mark.IN_HAND


__all__ = [
    "ROW", "TICK_BOX", "Head", "Line", "Names", "id_of", "mark_of", "paint_tick", "waiting_columns",
]  # fmt: skip
