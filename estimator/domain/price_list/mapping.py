"""Which column of a list holds what: kept for each supplier, asked again where heads change."""

from __future__ import annotations

from collections.abc import Mapping as Data
from dataclasses import asdict, dataclass
from decimal import Decimal
from typing import Any

NUMBER, DESCRIPTION, PRICE, CURRENCY = "number", "description", "price", "currency"
PER, UNIT, DISCOUNT, GROUP = "per", "unit", "discount", "discount_group"
LEAD, CHARGE, SUPERSEDED, VALID = "lead", "charge", "superseded_by", "valid_from"
FIELDS = (
    NUMBER, DESCRIPTION, PRICE, CURRENCY, PER, UNIT, DISCOUNT, GROUP, LEAD, CHARGE, SUPERSEDED,
    VALID,
)  # fmt: skip
NEEDED = (NUMBER, PRICE)
WEEKS, DAYS = "weeks", "days"
LEAD_IN = (WEEKS, DAYS)
POINT, COMMA = ".", ","


@dataclass(frozen=True, slots=True)
class ColumnUse:
    """A column that is read: `column` counts from 0, `head` is what its head says."""

    field: str
    column: int
    head: str


@dataclass(frozen=True, slots=True)
class Mapping:
    """How a supplier's list is read.

    `head_row` counts from 1. `currency`, `per` and `unit` are taken where no column says them.
    `decimal` is the decimal mark of prices that are text, "" where the column itself shows it.
    `before_tax`: somebody said that prices are before tax although a head speaks of tax.
    `discounts`: percent by discount group. `heads`: all heads there were, so that new ones are
    noticed.
    """

    columns: tuple[ColumnUse, ...] = ()
    sheet: str = ""
    head_row: int = 1
    currency: str = ""
    per: int = 1
    unit: str = ""
    decimal: str = ""
    lead_in: str = WEEKS
    before_tax: bool = False
    discounts: tuple[tuple[str, Decimal], ...] = ()
    heads: tuple[str, ...] = ()

    def column(self, field: str) -> int | None:
        """The column that holds a field; None where none does."""
        return next((one.column for one in self.columns if one.field == field), None)

    def use_of(self, column: int) -> str:
        """The field a column holds; "" where it is passed over."""
        return next((one.field for one in self.columns if one.column == column), "")

    def head_of(self, field: str) -> str:
        """What the head of a field's column says; the field's own name where none holds it."""
        return next((one.head for one in self.columns if one.field == field), "") or field

    @property
    def lacking(self) -> tuple[str, ...]:
        """Fields without which nothing can be read."""
        return tuple(field for field in NEEDED if self.column(field) is None)


def mapping_data(mapping: Mapping) -> dict[str, Any]:
    """A mapping as plain data."""
    data = asdict(mapping)
    data["columns"] = [asdict(one) for one in mapping.columns]
    data["heads"] = list(mapping.heads)
    data["discounts"] = [[group, str(percent)] for group, percent in mapping.discounts]
    return data


def mapping_from(data: Data[str, Any]) -> Mapping:
    """The mapping of plain data. Raises KeyError, TypeError, ValueError, ArithmeticError."""
    kept = dict(data)
    kept["columns"] = tuple(ColumnUse(**one) for one in kept["columns"])
    kept["discounts"] = tuple((str(group), Decimal(one)) for group, one in kept["discounts"])
    kept["heads"] = tuple(map(str, kept.get("heads", ())))
    return Mapping(**kept)
