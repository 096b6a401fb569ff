"""Columns of what nobody has seen, and of what would be held at other confidences."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from PySide6.QtCore import QRect, QRectF
from PySide6.QtGui import QPainter

from estimator.desktop.drawing.bars import RangeValues, paint_range
from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.words import (
    between,
    between_in_full,
    chance,
    part_in_full,
    rests_in_full,
    rests_on,
    ruling,
    span,
    ways_in_full,
)
from estimator.desktop.theme import Theme
from estimator.desktop.widgets.columns import CellPainter, Column
from estimator.services.show_exposure import HeldAt
from estimator.services.show_unseen import UnseenRow

RANGE = "range"
NAME = 112  # px that a part's name needs; columns are left out until it has them
LEFT_OUT = ("circuit", "workshop", "between", "days", "rests", "likely")  # the first to go first


def unseen_columns(formats: Formats, *, cost: bool) -> tuple[Column, ...]:
    """What is not seen: a part, its chance and what that rests on, what it would cost. `cost` adds
    what the workshop itself pays."""
    columns = (
        Column("part", _("Part"), lambda row: row.name, NAME, tip=part_in_full),
        Column(
            "chance", _("Chance"), lambda row: chance(row, formats), 98,
            sort=lambda row: row.chance, tip=lambda row: chance(row, formats),
        ),
        Column(
            "between", _("Between"), lambda row: between(row, formats), 74,
            sort=lambda row: row.chance_low, tone=lambda _row: "ink2",
            tip=lambda row: between_in_full(row, formats),
        ),
        Column(
            "rests", _("Rests on"), rests_on, 64,
            sort=lambda row: (row.rests_on, row.own_cases), tip=rests_in_full,
        ),
        Column(
            RANGE, _("If found"), lambda row: span(row, formats), 88,
            sort=lambda row: row.high.minor, paint=_range,
            tip=lambda row: ways_in_full(row, formats),
        ),
        Column(
            "likely", _("Likely"), lambda row: formats.sum(row.likely), 52, right=True,
            sort=lambda row: row.likely.minor, strong=lambda _row: True,
            tip=lambda row: ways_in_full(row, formats),
        ),
        Column(
            "workshop", _("Our cost"), lambda row: formats.sum(row.workshop), 56, right=True,
            sort=lambda row: row.workshop.minor, tone=lambda _row: "ink2",
            tip=lambda _row: _("what the likely case costs the workshop itself"),
        ),
        Column(
            "days", _("Days"), lambda row: formats.number(row.days) if row.days else DASH, 40,
            right=True, sort=lambda row: row.days,
        ),
        Column(
            "circuit", _("Circuit"), lambda row: row.circuit or DASH, 76,
            tip=lambda row: row.circuit,
        ),
    )  # fmt: skip
    return tuple(one for one in columns if cost or one.key != "workshop")


def _range(row: UnseenRow) -> CellPainter:
    values = RangeValues(row.low.minor, row.likely.minor, row.high.minor, row.scale.minor)

    def paint(painter: QPainter, rect: QRect, theme: Theme) -> None:
        paint_range(painter, QRectF(rect), values, theme, QRectF(rect).topLeft())

    return paint


def held_columns(formats: Formats, here: Callable[[], Decimal]) -> tuple[Column, ...]:
    """What would be held at other confidences; `here` is the one shown now."""

    def strong(row: HeldAt) -> bool:
        return row.confidence == here()

    return (
        Column(
            "confidence", _("Confidence"), lambda row: formats.percent(row.confidence), 58,
            strong=strong, sort=lambda row: row.confidence,
        ),
        Column(
            "held", _("Held"), lambda row: formats.sum(row.amount), 72, right=True,
            strong=strong, sort=lambda row: row.amount.minor,
        ),
        Column("bound", _("Bound"), ruling, 124, tone=lambda _row: "ink2"),
    )  # fmt: skip
