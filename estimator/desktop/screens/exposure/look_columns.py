"""Columns of the looks and tests that could still be taken."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRect, QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.marks import TABLE_MARK, Mark, paint_mark
from estimator.desktop.drawing.patterns import paint_exposed
from estimator.desktop.drawing.words import RIGHT, draw_words, words_width
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.look_words import (
    care_in_full,
    care_words,
    detects_words,
    look_in_full,
    look_name,
    time_words,
)
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.services.show_open_first import LookRow

LEFT_OUT = ("decision", "detects", "time", "care", "cost")  # the first to go first
BAR = 10
GAP = 6


def look_columns(formats: Formats, widest: Callable[[], int]) -> tuple[Column, ...]:
    """A look, what it takes, what it is expected to do, what to beware of. `widest` is the largest
    fall in minor units, the scale of the bars."""
    return (
        Column(
            "look", _("Look or test"), _named, 136, sort=lambda row: look_name(row).casefold(),
            tip=look_in_full, paint=_look,
        ),
        Column(
            "cost", _("Cost"), lambda row: formats.sum(row.cost), 44, right=True,
            sort=lambda row: None if row.cost is None else row.cost.minor,
        ),
        Column(
            "time", _("Takes"), lambda row: _time(row, formats), 62, right=True,
            sort=lambda row: None if row.days is None else (row.days, row.hours),
            tip=lambda row: time_words(row, formats),
        ),
        Column(
            "detects", _("Detects"), lambda row: detects_words(row, formats), 50, right=True,
            sort=lambda row: 1 if row.detects is None else row.detects,
            tip=lambda _row: _("how often it finds what is worn"),
        ),
        Column(
            "fall", _("Expected fall of\npercentile \u2212 mean"),
            lambda row: formats.sum(row.fall), 122,
            sort=lambda row: row.fall.minor, paint=_fall(formats, widest),
        ),
        Column(
            "disposition", _("Changes a\ndisposition"),
            lambda row: _share(row.changes_disposition, formats), 66, right=True,
            sort=lambda row: row.changes_disposition,
            tip=lambda _row: _("chance that a part is put right otherwise than stands now"),
        ),
        Column(
            "decision", _("Changes the\ndecision"),
            lambda row: _share(row.changes_decision, formats), 66, right=True,
            sort=lambda row: row.changes_decision,
            tip=lambda _row: _("chance that a rebuild is worth it no longer, or again"),
        ),
        Column("care", _("Take care"), care_words, 108, tip=care_in_full, paint=_care),
    )  # fmt: skip


def _share(chance: float, formats: Formats) -> str:
    return formats.percent(chance) if chance else DASH


def _time(row: LookRow, formats: Formats) -> str:
    return DASH if row.hours is None else time_words(row, formats)


def _named(row: LookRow) -> str:
    name = look_name(row)
    return _("{look}, on the inspection").format(look=name) if row.added else name


def _look(row: LookRow) -> CellPainter:
    """The name; of one that is a task already, that is said after it and never cut."""

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        box, sizes = QRectF(rect), theme.sizes
        if row.added:
            words, note = _("on the inspection"), theme.font(sizes.note)
            wide = words_width(words, note)
            left = max(box.left(), box.right() - wide)
            place = QRectF(left, box.top(), box.right() - left, box.height())
            draw_words(painter, place, words, note, theme.colours.done_text, RIGHT)
            box.setRight(max(box.left(), left - GAP))
        draw_words(painter, box, look_name(row), theme.font(sizes.body), theme.colours.ink)

    return paint


def _fall(formats: Formats, widest: Callable[[], int]) -> Callable[[LookRow], CellPainter]:
    def painter_of(row: LookRow) -> CellPainter:
        def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
            box = QRectF(rect)
            font = theme.font(theme.sizes.body, 600)
            words = formats.sum(row.fall)
            draw_words(painter, box, words, font, theme.colours.ink, RIGHT)
            room = box.width() * 0.5
            share = max(0, row.fall.minor) / max(1, widest())
            if share > 0:
                top = box.center().y() - BAR / 2
                paint_exposed(
                    painter, QRectF(box.left(), top, share * room, BAR), theme, box.topLeft()
                )

        return paint

    return painter_of


def _care(row: LookRow) -> CellPainter | None:
    """An outlined triangle and the hazards: a caution is never an alert."""
    if not row.cautions:
        return None

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        corner = QPointF(rect.left() + 1, round(rect.center().y() - TABLE_MARK / 2))
        paint_mark(painter, corner, Mark.TAKE_CARE, theme, TABLE_MARK)
        left = rect.left() + TABLE_MARK + GAP + 2
        box = QRectF(left, rect.top(), rect.right() - left, rect.height())
        draw_words(painter, box, care_words(row), theme.font(theme.sizes.note), theme.colours.ink2)

    return paint
