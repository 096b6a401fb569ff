"""Starting values that nobody stands for: which chances of a priced job rest on them.

A catalogue begins with starting values, so that a part that wears has a chance at all. A quote
whose contingency rests on them goes out only once whoever releases has taken them for the
workshop's own. That holds for every job and class that sees the same values, and no longer than
the catalogue states them: other values are another matter.
"""

from __future__ import annotations

import datetime
from collections.abc import Collection, Iterable
from dataclasses import dataclass

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import WearOut
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.wear_out import pool_of
from estimator.domain.wording import worded

STARTING_VALUE = "starting value"


@dataclass(frozen=True, slots=True)
class StartingValue:
    """What the catalogue states of a pool of like parts (or of a part without one), and which
    exposed parts of a job rest on it."""

    subject: str
    stated: str
    parts: tuple[str, ...]
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Adoption:
    """Starting values that someone took for the workshop's own."""

    subject: str
    stated: str
    who: str
    at: datetime.datetime
    why: str


def stated(row: WearOut) -> str:
    """The values of a wear-out row in words: what is adopted."""
    shape = f"shape {row.shape.normalize():f}"
    if row.scale_hours is not None:
        return f"{shape}, scale {row.scale_hours.normalize():f} h"
    assert row.starting_chance is not None  # one of the two: checked with the catalogue
    assert row.at_hours is not None
    return (
        f"{shape}, chance {row.starting_chance.normalize():f} at {row.at_hours.normalize():f} h"
    )  # fmt: skip


def starting_values(
    exposed: Iterable[ExposedPart], cat: ClassCatalogue
) -> tuple[StartingValue, ...]:
    """What the exposed parts rest on that is neither judged nor the workshop's own, in the order
    of the breakdown."""
    found: dict[tuple[str, str], list[ExposedPart]] = {}
    for part in exposed:
        if part.chance.rests_on == STARTING_VALUE:
            row = cat.wear[part.part]
            found.setdefault((pool_of(row), stated(row)), []).append(part)
    return tuple(
        StartingValue(
            subject, said, tuple(one.part for one in parts), tuple(one.name for one in parts)
        )
        for (subject, said), parts in found.items()
    )


def without(
    values: Iterable[StartingValue], adopted: Collection[tuple[str, str]]
) -> tuple[StartingValue, ...]:
    """The values that nobody has adopted; `adopted` are pairs of subject and what it stated."""
    return tuple(one for one in values if (one.subject, one.stated) not in adopted)


def count_parts(values: Iterable[StartingValue]) -> int:
    """How many chances rest on the values."""
    return sum(len(one.parts) for one in values)


def in_words(values: Iterable[StartingValue], most: int = 3) -> str:
    """The parts by name, the first few of them."""
    names = [name for one in values for name in one.names]
    first, beyond = ", ".join(names[:most]), len(names) - most
    if beyond <= 0:
        return first
    return worded("{names} and {n} more", names=first, n=beyond)
