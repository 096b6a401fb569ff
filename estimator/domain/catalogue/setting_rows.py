"""The workshop's figures of `catalogue.toml` as rows, so that they are changed like any other."""

from __future__ import annotations

import typing
from collections.abc import Iterable
from dataclasses import dataclass, fields
from decimal import Decimal
from typing import Any

from estimator.domain.catalogue.catalogue import Settings
from estimator.domain.catalogue.column import column
from estimator.domain.catalogue.rows import Row
from estimator.domain.problem import Place

SETTINGS = "settings"
_SPREAD = ("low", "likely", "high")


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingRow(Row):
    """One figure of the workshop; of a spread its three multiples, ";" between."""

    id: str = column("name of the figure")
    value: str = column("the figure")


def setting_rows(settings: Settings) -> tuple[SettingRow, ...]:
    """Every figure as a row."""
    return tuple(
        SettingRow(id=one.name, value=_text(getattr(settings, one.name)), origin="own",
                   place=Place("catalogue.toml", None, one.name))
        for one in fields(settings)
    )  # fmt: skip


def settings_of(rows: Iterable[Row]) -> Settings:
    """The figures that the rows hold. Raises ValueError where one is missing or is no number."""
    kinds = typing.get_type_hints(Settings)
    found: dict[str, Any] = {}
    for row in rows:
        if isinstance(row, SettingRow) and row.id in kinds:
            found[row.id] = _value(row, kinds[row.id])
    if missing := sorted(set(kinds) - set(found)):
        raise ValueError(f"no figure for {', '.join(missing)}")
    return Settings(**found)


def _text(value: object) -> str:
    if isinstance(value, tuple):
        return ";".join(f"{one:f}" for one in value)
    return f"{value:f}" if isinstance(value, Decimal) else str(value)


def _value(row: SettingRow, kind: object) -> object:
    try:
        if kind is str:
            return row.value
        if kind is int:
            return int(row.value)
        numbers = tuple(Decimal(one) for one in row.value.split(";"))
    except ArithmeticError as error:
        raise ValueError(f"{row.id} is no number") from error
    if kind is Decimal and len(numbers) == 1:
        return numbers[0]
    if kind is not Decimal and len(numbers) == len(_SPREAD):
        return numbers
    raise ValueError(f"{row.id} holds {len(numbers)} numbers")
