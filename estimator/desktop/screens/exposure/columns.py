"""Columns of the Exposure page's two tables."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from estimator.desktop.formats import DASH, Formats
from estimator.desktop.language import _
from estimator.desktop.screens.exposure.words import chance, rests_in_full, rests_on, ruling
from estimator.desktop.widgets.columns import Column
from estimator.services.show_exposure import HeldAt


def unseen_columns(formats: Formats) -> tuple[Column, ...]:
    """What is not seen: a part, its chance, what that rests on, what it would cost."""
    return (
        Column(
            "part", _("Part"), lambda row: row.name, 158,
            tip=lambda row: f"{row.part} {row.name}, {row.group}: {row.way}",
        ),
        Column(
            "chance", _("Chance"), lambda row: chance(row, formats), 92,
            sort=lambda row: row.chance,
            tip=lambda row: chance(row, formats),
        ),
        Column(
            "rests", _("Rests on"), rests_on, 74,
            tip=rests_in_full,
        ),
        Column(
            "low", _("Low"), lambda row: formats.sum(row.low), 56, right=True,
            sort=lambda row: row.low.minor,
        ),
        Column(
            "likely", _("Likely"), lambda row: formats.sum(row.likely), 56, right=True,
            sort=lambda row: row.likely.minor, strong=lambda _row: True,
        ),
        Column(
            "high", _("High"), lambda row: formats.sum(row.high), 56, right=True,
            sort=lambda row: row.high.minor,
        ),
        Column(
            "days", _("Days"), lambda row: formats.number(row.days) if row.days else DASH, 44,
            right=True, sort=lambda row: row.days,
        ),
        Column(
            "circuit", _("Circuit"), lambda row: row.circuit or DASH, 84,
            tip=lambda row: row.circuit,
        ),
    )  # fmt: skip


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
