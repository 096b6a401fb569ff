"""What a catalogue column may hold, stated beside the field it fills.

A row class is a frozen dataclass; each field is one column of its table. The field's type says
how a cell is read, `column()` adds the limits. Reading and checking need no other list.
"""

from __future__ import annotations

from dataclasses import dataclass, field, fields
from decimal import Decimal
from functools import cache
from typing import Any


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits of one column. `refers` names the table whose ids the cell may hold."""

    low: Decimal | None = None
    high: Decimal | None = None
    above: Decimal | None = None
    choices: tuple[str, ...] = ()
    refers: str = ""
    what: str = ""
    longest: int = 2000


def column(
    what: str,
    *,
    low: str | None = None,
    high: str | None = None,
    above: str | None = None,
    choices: tuple[str, ...] = (),
    refers: str = "",
    default: Any = ...,
) -> Any:
    """A dataclass field that is a catalogue column.

    `what` explains the column to whoever edits the file. `low`/`high` are inclusive bounds,
    `above` an exclusive lower bound. Without `default` the cell must be filled.
    """
    limits = Limits(
        low=None if low is None else Decimal(low),
        high=None if high is None else Decimal(high),
        above=None if above is None else Decimal(above),
        choices=choices,
        refers=refers,
        what=what,
    )
    if default is ...:
        return field(metadata={"limits": limits})
    return field(default=default, metadata={"limits": limits})


@cache
def referring(row_class: Any) -> tuple[tuple[str, str], ...]:
    """(column, table whose codes it holds) of the columns of a row class that refer to another
    table, units and currencies among them."""
    return tuple(
        (one.name, limits.refers)
        for one in fields(row_class)
        if isinstance(limits := one.metadata.get("limits"), Limits) and limits.refers
    )
