"""A row of the catalogue as cells that somebody types, and back, with every fault at its column."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import MISSING, dataclass, fields
from typing import Any, cast, get_origin

from estimator.domain.catalogue.changes import (
    RowChange,
    cell_text,
    columns,
    file_of,
    row_class,
)
from estimator.domain.catalogue.column import Limits
from estimator.domain.catalogue.rows import Row
from estimator.domain.catalogue.setting_rows import SettingRow
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded
from estimator.intake.cells import BadCell, columns_of, parse_cell
from estimator.intake.settings_file import figure_fault


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a table as a form shows it."""

    name: str
    limits: Limits
    required: bool
    several: bool  # a list, ";" between
    yes_or_no: bool
    number: bool
    day: bool
    usual: str  # what it holds where nobody fills it in


_LAST = ("needs", "origin", "source")


def columns_for(table: str) -> tuple[Column, ...]:
    """The columns of a table, those of every table last. Raises KeyError."""
    kind = row_class(table)
    defaults = {one.name: one.default for one in fields(kind)}
    found = [_column(name, *said, defaults[name]) for name, said in _said(kind).items()]
    own = [one for one in found if one.name not in _LAST]
    return (*own, *(one for name in _LAST for one in found if one.name == name))


def _said(kind: type[Row]) -> dict[str, tuple[object, Limits, bool]]:
    return columns_of(cast(Any, kind))


def _column(name: str, kind: object, limits: Limits, required: bool, default: object) -> Column:
    several, text = get_origin(kind) is tuple, str(kind)
    return Column(
        name, limits, required, several, yes_or_no=kind is bool,
        number="Decimal" in text or "int" in text and not several, day="date" in text,
        usual="" if default is MISSING else cell_text(default),
    )  # fmt: skip


def cells_of(row: Row) -> dict[str, str]:
    """A row's cells by column."""
    return {name: cell_text(getattr(row, name)) for name in columns(type(row))}


def row_of_cells(
    table: str, cells: Mapping[str, str], place: Place | None = None
) -> tuple[Row | None, list[Problem]]:
    """The row that the cells make, None beside every fault; a blank cell takes the column's usual
    value. Faults stand at their column of `place`."""
    kind = row_class(table)
    place = place or Place(file_of(table))
    values: dict[str, Any] = {}
    problems: list[Problem] = []
    for name, (wanted, limits, required) in _said(kind).items():
        text = cells.get(name, "").strip()
        try:
            if text:
                values[name] = parse_cell(text, wanted, limits)
            elif required:
                raise BadCell(
                    worded("is blank; it holds {what}.", what=limits.what), worded("Fill it in.")
                )
        except BadCell as bad:
            code = "bad-cell" if text else "blank-cell"
            at = Place(place.file, place.row, name)
            problems.append(Problem(code, at, bad.message, bad.remedy))
    if problems:
        return None, problems
    return kind(place=place, **values), []


def faults_in_cells(changes: Iterable[RowChange]) -> list[Problem]:
    """Every cell of a changed row that its column would not take from a file."""
    problems: list[Problem] = []
    for change in changes:
        if (row := change.after) is None:
            continue
        place = (change.before or row).place
        if type(row) is not row_class(change.table):
            at = Place(file_of(change.table))
            problems.append(Problem("bad-row", at, worded("is no row of this table.")))
            continue
        file = place.file or file_of(change.table)
        _, faults = row_of_cells(change.table, cells_of(row), Place(file, place.row))
        problems += faults
        if isinstance(row, SettingRow) and (fault := figure_fault(row.id, row.value)):
            problems.append(Problem("bad-setting", Place(file, None, row.id), fault))
    return problems
