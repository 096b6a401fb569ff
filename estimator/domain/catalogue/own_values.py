"""Making starting values a workshop's own: adopted as they stand, or adjusted by a factor.

Either way the row says afterwards that it is the workshop's own, and its source tells what it was
made from, by whom and when.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.changes import (
    RowChange,
    cell_text,
    columns,
    rows_of,
    table_names,
)
from estimator.domain.catalogue.rows import Row
from estimator.domain.money import round_half_up

OWN, STARTING = "own", "starting value"
HOURS, COSTS = "hours", "costs"
LOWEST, HIGHEST = Decimal("0.1"), Decimal("10")  # a factor outside is a slip of the keyboard
LONGEST_SOURCE = 2000

ADJUSTED: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    HOURS: {
        "operations": ("hours", "hours_low", "hours_high"),
        "tests": ("hours",),
        "found_work": ("hours_low", "hours", "hours_high"),
    },
    COSTS: {
        "parts": ("unit_cost", "exchange_charge"),
        "outwork": ("cost_each",),
        "remedies": ("low", "likely", "high"),
        "tests": ("cost",),
        "found_work": ("parts_cost",),
        "suppliers": ("freight",),
        "trades": ("wage_per_hour", "overhead_per_hour"),
        "classes": ("new_price_low", "new_price_likely", "new_price_high"),
    },
}
"""Columns of each table that a factor multiplies."""

_STEPS = {HOURS: Decimal("0.1"), COSTS: Decimal("0.01")}


def starting_values(catalogue: Catalogue) -> dict[str, int]:
    """How many rows of each table are starting values still; tables without any are left out."""
    counts = {
        table: sum(row.origin == STARTING for row in rows_of(catalogue, table))
        for table in table_names(catalogue)
    }
    return {table: count for table, count in counts.items() if count}


def adopted(
    rows: Iterable[tuple[str, Row]], who: str, day: date, why: str
) -> tuple[RowChange, ...]:
    """Rows of tables taken on as they stand; those that are the workshop's own are left out."""
    told = f"adopted as it stood by {who}, {day.isoformat()}: {why}"
    return tuple(RowChange(table, row, _own(row, told)) for table, row in rows if row.origin != OWN)


def adjusted(
    rows: Iterable[tuple[str, Row]], what: str, factor: Decimal, who: str, day: date, why: str
) -> tuple[RowChange, ...]:
    """Hours or costs (`what`) of rows multiplied by a factor, rounded half-up to a tenth of an hour
    or a hundredth, a value above nothing staying there; rows without such are left out."""
    step, changes = _STEPS[what], []
    for table, row in rows:
        values = {
            name: value
            for name in ADJUSTED[what].get(table, ())
            if (value := getattr(row, name)) is not None and value > 0
        }
        if not values:
            continue
        base = ", ".join(f"{name} {cell_text(value)}" for name, value in values.items())
        told = f"{factor:f} x {base}, by {who}, {day.isoformat()}: {why}"
        made: dict[str, Any] = {n: _times(value, factor, step) for n, value in values.items()}
        changes.append(RowChange(table, row, replace(_own(row, told), **made)))
    return tuple(changes)


def _own(row: Row, told: str) -> Row:
    before = f"; before: {row.source}" if row.source else ""
    found: dict[str, Any] = {"origin": OWN, "source": f"{told}{before}"[:LONGEST_SOURCE]}
    if "rests_on" in columns(type(row)) and getattr(row, "rests_on") == STARTING:  # noqa: B009
        found["rests_on"] = "judged"  # somebody stands for it; no case of their own is claimed
    return replace(row, **found)


def _times(value: Decimal, factor: Decimal, step: Decimal) -> Decimal:
    made = max(round_half_up(value * factor, step), step)
    text = f"{made:f}"
    return Decimal(text.rstrip("0").rstrip(".") if "." in text else text)


def adjustable(table: str, what: str) -> bool:
    """Whether a table has columns that a factor of this kind multiplies."""
    return table in ADJUSTED[what]
