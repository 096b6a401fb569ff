"""One item of a supplier as the record keeps it, and its part number as it is compared.

A list has tens of thousands of items, nearly all of which stay as they are. So an item is three
values: the key it is known by, its price, and all its other cells as one text, which is compared
and kept as a whole and taken apart only where somebody looks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from decimal import Decimal
from functools import partial
from typing import NamedTuple, cast

from estimator.domain.money import Money, minor_digits

BETWEEN = "\x1f"  # between cells; no text that is taken in may hold it
PERCENT = Decimal(100)
Plain = tuple[str, int, str]  # an item that nobody looked into yet
_DROPPED = str.maketrans("", "", " -./_\u00a0\u2010\u2011\u2013")


class Item(NamedTuple):
    """`minor`: whole minor units of the item's currency, for as many of it as its cells say.
    `said`: its other cells, joined by BETWEEN in the order of `Cells`."""

    key: str
    minor: int
    said: str

    @property
    def cells(self) -> Cells:
        """The other cells, taken apart. Raises ValueError where they are not as they were made."""
        parts = self.said.split(BETWEEN)
        if len(parts) != len(Cells._fields):
            raise ValueError(f"{self.key!r} holds {len(parts)} cells")
        return Cells(*parts)

    @property
    def price(self) -> Money:
        """What the list states, for `per` of them and before discount."""
        return Money(self.minor, self.cells.currency)

    @property
    def net_each(self) -> Decimal:
        """What one of it costs after discount, in major units of its currency, unrounded."""
        return net_each(self.minor, self.cells)


class Cells(NamedTuple):
    """What an item says beside its price, as plain text.

    `per`: how many the price is for, a whole number; `discount`: percent taken off; `lead`: weeks;
    `charge`: minor units held for the old part until it is accepted; `valid_from`: ISO day. Blank
    where the list did not say.
    """

    number: str
    description: str
    currency: str
    per: str
    unit: str
    discount: str
    lead: str
    charge: str
    superseded_by: str
    valid_from: str


def net_each(minor: int, cells: Cells) -> Decimal:
    """As `Item.net_each`, of cells that were taken apart already."""
    one = Decimal(minor).scaleb(-minor_digits(cells.currency)) / int(cells.per)
    return one * (PERCENT - Decimal(cells.discount)) / PERCENT if cells.discount else one


def part_key(number: str) -> str:
    """A part number as it is compared: capitals, without spaces, hyphens, dots, strokes. Leading
    noughts count."""
    return number.translate(_DROPPED).upper()


def part_keys(numbers: Sequence[str]) -> list[str]:
    """`part_key` of many at once; none of them may hold a line break."""
    if not numbers:
        return []
    return "\n".join(numbers).translate(_DROPPED).upper().split("\n")


def items_of(rows: Iterable[Plain]) -> list[Item]:
    """Items from many rows of (key, minor units, other cells), without a call for each."""
    return list(map(_new_item, rows))


_new_item = cast("Callable[[Plain], Item]", partial(tuple.__new__, Item))


def item_of(number: str, minor: int, currency: str, **cells: str) -> Item:
    """An item from its cells; those left out are blank, `per` is 1."""
    said = Cells(
        number=number,
        description=cells.get("description", ""),
        currency=currency,
        per=cells.get("per", "1"),
        unit=cells.get("unit", ""),
        discount=cells.get("discount", ""),
        lead=cells.get("lead", ""),
        charge=cells.get("charge", ""),
        superseded_by=cells.get("superseded_by", ""),
        valid_from=cells.get("valid_from", ""),
    )
    return Item(part_key(number), minor, BETWEEN.join(said))
