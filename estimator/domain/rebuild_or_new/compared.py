"""A rebuild beside a new machine, as the page of it shows both: values, nothing to reckon."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.domain.money import Money
from estimator.domain.new_machine import WORKS_ON, Factor, NewMachine
from estimator.domain.priced_job import PricedJob
from estimator.domain.quote import ClauseText
from estimator.domain.reasons import Reasons
from estimator.domain.rebuild_or_new.cases import Three
from estimator.domain.rebuild_or_new.sensitivity import Move

REBUILD, NEW, LEVEL = "rebuild", "new", "level"


@dataclass(frozen=True, slots=True)
class Way:
    """One way as the page shows it: low, likely and high of what it may come to.

    `price` is what is paid; `weeks` from the order until it is ready, `without` of these without a
    machine, `waiting` what they cost. `per_hour` and `per_year` are rounded to the minor unit and
    the quoting unit.
    """

    price: tuple[Money, Money, Money]
    weeks: Three
    without: Three
    waiting: tuple[Money, Money, Money]
    residual: tuple[Money, Money, Money]
    hours: Decimal
    years: Decimal
    fuel: Money  # per hour
    upkeep: Money  # per hour
    per_hour: tuple[Money, Money, Money]
    per_year: Money


@dataclass(frozen=True, slots=True)
class Carbon:
    """Kilograms by a stated factor, of `amount` (kilograms or litres); `amount` below nothing is
    what the rebuilt machine burns less."""

    amount: Decimal
    kilograms: Decimal
    factor: Factor


@dataclass(frozen=True, slots=True)
class Comparison:
    """A rebuild beside a new machine. `inputs` are complete; `share` is the price over that of a
    new machine, and `usual` the shares usual at the job's level.

    `by_hour` and `by_year` say which way costs less, `apart` whether the ranges of the cost per
    hour do not meet, `turns_at` the rebuild price where both cost the same.
    """

    priced: PricedJob
    inputs: NewMachine
    share: Decimal
    usual: tuple[Decimal, Decimal]
    rebuilt: Way
    new: Way
    turns_at: Money
    by_hour: str
    by_year: str
    apart: bool
    monthly: Money
    payback_hours: Decimal | None
    payback_years: Decimal | None
    moves: tuple[Move, ...]
    material: Carbon | None
    fuel: Carbon | None
    ready: tuple[date, date, date]
    caution: tuple[ClauseText, ...]
    reasons: Reasons

    @property
    def fuel_counted(self) -> bool:
        """Whether fuel is in both costs."""
        given = self.inputs
        return None not in (given.fuel_rebuilt, given.fuel_new, given.fuel_price)

    @property
    def upkeep_counted(self) -> bool:
        """Whether upkeep is in both costs."""
        return None not in (self.inputs.upkeep_rebuilt, self.inputs.upkeep_new)

    @property
    def waiting_counted(self) -> bool:
        """Whether time without a machine costs anything."""
        return any((self.inputs.hire_week, self.inputs.lost_day))

    @property
    def works_on(self) -> bool:
        """Whether the machine works on until it comes in, or a new one is there."""
        return self.inputs.meanwhile == WORKS_ON

    @property
    def above_usual(self) -> bool:
        """Whether the rebuild takes a larger share of a new price than is usual."""
        return self.share > self.usual[1]

    @property
    def room(self) -> Money:
        """How much of the contingency may be drawn before an hour costs as much as one of a new
        machine."""
        return self.turns_at - self.rebuilt.price[0]

    @property
    def sooner(self) -> Decimal:
        """Weeks by which the rebuild is likely ready before a new machine comes."""
        return self.new.weeks[1] - self.rebuilt.weeks[1]

    @property
    def waiting_saved(self) -> Money:
        """By how much the rebuild's time without a machine costs less than that of a new one."""
        return self.new.waiting[1] - self.rebuilt.waiting[1]

    @property
    def prices(self) -> tuple[Money, Money, Money]:
        """What the rebuild may come to: contingency unspent, as likely drawn, spent."""
        return self.rebuilt.price
