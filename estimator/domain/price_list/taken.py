"""A price list that was taken in, as the record keeps it."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field

from estimator.domain.price_list.item import Item


@dataclass(frozen=True, slots=True)
class TakenList:
    """A list without its items. `counts`: how many changes of each kind were taken, with "same",
    "left" (changes left out) and "faulty" (rows that could not be read). `edition` is the
    catalogue's that it made, 0 where it moved no cost."""

    number: int
    supplier: str
    file: str
    sha256: str
    sheet: str
    full: bool
    price_date: datetime.date
    taken_by: str
    taken_at: datetime.datetime
    counts: Mapping[str, int] = field(default_factory=dict)
    edition: int = 0
    undone_by: str = ""
    undone_at: datetime.datetime | None = None

    @property
    def stands(self) -> bool:
        """Whether it was not undone."""
        return self.undone_at is None


@dataclass(frozen=True, slots=True)
class FoundItem:
    """An item that was searched for, with where it comes from and the parts it is linked to."""

    supplier: str
    item: Item
    list_number: int
    list_name: str
    price_date: datetime.date
    parts: tuple[str, ...] = ()
