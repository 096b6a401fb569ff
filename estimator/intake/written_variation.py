"""A variation as a file tells it, before its lines are priced."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from estimator.domain.contract.remeasure import Wanted
from estimator.domain.contract.variation import Range
from estimator.domain.money import Money
from estimator.domain.problem import Place

MUST = ("title", "location", "cause", "end")  # of one that is raised
TEXTS = ("component", "measured", "not_seen_before", "activity", "consequence",
         "cannot_be_declined")  # fmt: skip
SUMS = ("waiting_per_day", "workshop_cost")


@dataclass(frozen=True, slots=True)
class WrittenLine:
    """A line of extra work, with where it stands."""

    wanted: Wanted
    place: Place


@dataclass(frozen=True, slots=True)
class WrittenMeasure:
    """A line of the quote measured again, with where it stands."""

    row_id: str
    value: Decimal
    by_factor: bool
    place: Place


@dataclass(frozen=True, slots=True)
class WrittenVariation:
    """A variation as its file tells it. `cells` holds the fields of `Variation` that were given;
    its lines are priced when the quote is at hand."""

    cells: Mapping[str, Any]
    lines: tuple[WrittenLine, ...]
    measured: tuple[WrittenMeasure, ...]
    place: Place


def rising(sums: list[Money | None], fault: Callable[[str], None]) -> Range | None:
    """The range that three sums make; None where one is lacking, or beside a fault."""
    given = [one for one in sums if one is not None]
    if len(given) != len(sums):
        return None
    try:
        return Range(*given)
    except ValueError as error:
        fault(f"makes no range: {error}.")
        return None
