"""What a comparison with a new machine rests on: figures from outside the quote, each with whose.

An input left out (None) is taken from the catalogue or from a starting value where the comparison
cannot do without, and else left out of both sides. Sums are in the job's currency, before tax.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal

from estimator.domain.wording import worded

STARTING_VALUE, TYPED, CUSTOMER, SUPPLIER, JOB = (
    "starting value", "typed", "customer", "supplier", "job",
)  # fmt: skip
ORIGINS = (TYPED, CUSTOMER, SUPPLIER)  # of what a person gives
STANDS, WORKS_ON = "stands", "works on"
MEANWHILE = (STANDS, WORKS_ON)  # what the machine does until it comes in, or a new one is there

MONEY, PER_HOUR, SHARE, RATE, WEEKS, HOURS, LITRES, PER_LITRE, DAYS, MONTHS, KILOGRAMS = (
    "money", "money/h", "share", "rate", "weeks", "h", "L/h", "money/L", "days", "months", "kg",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Input:
    """One figure with its spread (low, likely and high are one where it has none), whose it is
    (an origin), where it was taken from, and its date where that counts."""

    low: Decimal
    likely: Decimal
    high: Decimal
    origin: str
    source: str = ""
    dated: datetime.date | None = None

    @property
    def spreads(self) -> bool:
        """Whether it is given as a range."""
        return self.low != self.high


def single(value: Decimal, origin: str, source: str = "") -> Input:
    """A figure without a spread."""
    return Input(value, value, value, origin, source)


@dataclass(frozen=True, slots=True)
class Factor:
    """An emission factor as it was taken from its tables, kept with what it gave.

    `value` is kilograms of `gas` (CO2 or CO2e) per litre or kilogram; `gwp` names the set of
    global warming potentials that made CO2e of other gases, "" where only CO2 is counted.
    """

    value: Decimal
    gas: str
    covers: str
    gwp: str
    edition: str
    source: str


@dataclass(frozen=True, slots=True)
class NewMachine:
    """What somebody gave for the comparison with a new machine; None is not given.

    Shares and rates are of one (0.06 is 6 % a year); residual values are shares of the price of a
    new machine. `meanwhile` says whether the machine can work on until it comes in or is replaced.
    """

    currency: str
    meanwhile: str = STANDS
    new_price: Input | None = None
    lead_weeks: Input | None = None
    trade_in: Input | None = None
    life_new: Input | None = None
    life_rebuilt: Input | None = None
    hours_a_year: Input | None = None
    interest: Input | None = None
    residual_new: Input | None = None
    residual_rebuilt: Input | None = None
    fuel_rebuilt: Input | None = None
    fuel_new: Input | None = None
    fuel_price: Input | None = None
    upkeep_rebuilt: Input | None = None
    upkeep_new: Input | None = None
    hire_week: Input | None = None
    lost_day: Input | None = None
    days_a_week: Input | None = None
    financed_share: Input | None = None
    finance_rate: Input | None = None
    finance_months: Input | None = None
    reused_kg: Input | None = None
    fuel_factor: Factor | None = None
    material_factor: Factor | None = None

    def __str__(self) -> str:
        """What it is, where two people's differ: its figures are too many to say."""
        return worded("figures of a new machine")


@dataclass(frozen=True, slots=True)
class Kind:
    """What an input is: its name, its unit, and what it may lie between. `above` leaves the lower
    end itself out; `ranges` says that low, likely and high may differ."""

    title: str
    unit: str
    least: Decimal
    most: Decimal
    above: bool = False
    ranges: bool = False

    @property
    def scale(self) -> Decimal:
        """What a value is multiplied with to be typed and shown: shares and rates in percent."""
        return Decimal(100) if self.unit in (SHARE, RATE) else Decimal(1)

    def as_shown(self, value: Decimal) -> Decimal:
        """A value as people write it."""
        return (value * self.scale).normalize()

    def as_kept(self, typed: Decimal) -> Decimal:
        """What was typed, as a value."""
        return typed / self.scale


_MOST_MONEY = Decimal(10) ** 9


def _kind(
    title: str, unit: str, most: Decimal | int, *, above: bool = False, ranges: bool = False
) -> Kind:
    return Kind(title, unit, Decimal(0), Decimal(most), above, ranges)


KINDS: Mapping[str, Kind] = {
    "new_price": _kind(
        worded("Price of a new machine"), MONEY, _MOST_MONEY, above=True, ranges=True
    ),
    "lead_weeks": _kind(worded("Lead time of a new machine"), WEEKS, 520, ranges=True),
    "trade_in": _kind(worded("Paid for the machine as it stands"), MONEY, _MOST_MONEY),
    "life_new": _kind(worded("Working life, new"), HOURS, 200_000, above=True),
    "life_rebuilt": _kind(worded("Working life, rebuilt"), HOURS, 200_000, above=True),
    "hours_a_year": _kind(worded("Hours worked a year"), HOURS, 8784, above=True),
    "interest": _kind(worded("Interest a year"), RATE, 1),
    "residual_new": _kind(
        worded("Worth at the end, bought new, of a new price"), SHARE, 1, ranges=True
    ),
    "residual_rebuilt": _kind(
        worded("Worth at the end, rebuilt, of a new price"), SHARE, 1, ranges=True
    ),
    "fuel_rebuilt": _kind(worded("Fuel, rebuilt"), LITRES, 2000),
    "fuel_new": _kind(worded("Fuel, new"), LITRES, 2000),
    "fuel_price": _kind(worded("Price of fuel"), PER_LITRE, 10**6),
    "upkeep_rebuilt": _kind(worded("Upkeep, rebuilt"), PER_HOUR, 10**6),
    "upkeep_new": _kind(worded("Upkeep, new"), PER_HOUR, 10**6),
    "hire_week": _kind(worded("Hire of another machine a week"), MONEY, _MOST_MONEY),
    "lost_day": _kind(worded("Margin lost a day without a machine"), MONEY, _MOST_MONEY),
    "days_a_week": _kind(worded("Working days a week"), DAYS, 7, above=True),
    "financed_share": _kind(worded("Share of the new price that is financed"), SHARE, 1),
    "finance_rate": _kind(worded("Interest of the finance a year"), RATE, 1),
    "finance_months": _kind(worded("Months of the finance"), MONTHS, 240, above=True),
    "reused_kg": _kind(worded("Mass of parts used again"), KILOGRAMS, 10**6),
}
INPUTS = tuple(KINDS)
FACTORS = ("fuel_factor", "material_factor")
assert {one.name for one in fields(NewMachine)} == {"currency", "meanwhile", *INPUTS, *FACTORS}


def input_of(given: NewMachine, name: str) -> Input | None:
    """The input of that name; None where it is not given."""
    found: Input | None = getattr(given, name)
    return found
