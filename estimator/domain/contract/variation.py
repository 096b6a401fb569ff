"""A variation: one record for every finding or request that changes something, whoever pays.

What it must tell follows published practice for work found during an overhaul: exact location,
kind of discrepancy, estimated hours and material (DFARS 252.217-7028(b)(1)); a description of all
additional parts and labour and the total revised cost before extra charges (16 CCR 3353, 3354: a
vehicle-repair rule used as good practice).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from estimator.domain.fixed_words import fixed
from estimator.domain.money import Money, money_sum
from estimator.domain.wording import joined, worded

CONTINGENCY, CONTRACT_SUM, REMEASURED = "contingency", "contract sum", "remeasured"
BY_WORKSHOP, BY_SUPPLIER = "workshop", "supplier"
ENDS = (CONTINGENCY, CONTRACT_SUM, REMEASURED, BY_WORKSHOP, BY_SUPPLIER)
CHARGED_TO_NOBODY = (BY_WORKSHOP, BY_SUPPLIER)

HIDDEN, REQUEST, OUTSIDE = "hidden condition", "customer's request", "outside scope"
OWN_ERROR, SUPPLIERS, MEASURED = "own error", "supplier's fault", "measured again"
NOT_THE_CUSTOMERS = (OWN_ERROR, SUPPLIERS)
CAUSES = (HIDDEN, REQUEST, OUTSIDE, OWN_ERROR, SUPPLIERS, MEASURED)

WORN, SOUND, AS_PRICED = "worn", "sound", "as priced"
WAYS = ("recondition", "exchange", "replace", "defer")


@dataclass(frozen=True, slots=True)
class Range:
    """Low, likely and high of a variation that has no price yet."""

    low: Money
    likely: Money
    high: Money

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise ValueError(f"{self.low}, {self.likely}, {self.high} do not rise")


@dataclass(frozen=True, slots=True)
class VariationLine:
    """One line of a variation, at the quote's own rates and mark-ups."""

    part: str  # part it belongs to; "" where none
    kind: str  # labour, parts or outwork
    what: str
    quantity: Decimal
    unit: str
    trade: str  # of labour
    unit_cost: Decimal  # of parts and outwork, in `currency`
    currency: str
    markup: str
    amount: Money


@dataclass(frozen=True, slots=True)
class WayOffered:
    """One way of dealing with it: price, days, warranty, and what follows."""

    way: str
    what: str
    amount: Money
    days: Decimal
    warranty: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Remeasured:
    """A line of the quote measured again: its amount at the quoted rate, before and after."""

    row_id: str
    before: Money
    after: Money
    quantity: Decimal
    unit: str

    @property
    def change(self) -> Money:
        """What it adds to the sum; below zero where it comes off."""
        return self.after - self.before


@dataclass(frozen=True, slots=True, kw_only=True)
class Variation:
    """One revision of a variation. After issue it is revised, never edited."""

    number: str  # V01
    revision: int
    found_at: datetime
    finder: str
    component: str
    location: str
    title: str
    cause: str
    end: str  # who or what funds it
    priced_by: str = ""
    measured: str = ""  # reading against limit, in words
    photographs: tuple[str, ...] = ()
    not_seen_before: str = ""  # why the inspection could not see it
    parts: tuple[str, ...] = ()  # parts found worn that it puts right
    lines: tuple[VariationLine, ...] = ()
    remeasured: tuple[Remeasured, ...] = ()
    range: Range | None = None
    ways: tuple[WayOffered, ...] = ()
    chosen: str = ""  # way that the lines price
    days: Decimal = Decimal(0)  # working days it adds to `activity`
    activity: str = ""
    consequence: str = ""  # of declining
    cannot_be_declined: str = ""  # why, where it cannot be
    safety: bool = False
    answer_by: date | None = None
    waiting_from: date | None = None  # from when waiting costs a day in the bay
    waiting_per_day: Money | None = None
    workshop_cost: Money | None = None  # of what nobody is charged for

    @property
    def name(self) -> str:
        """Number, and revision where it was revised: V04, V04 rev 1."""
        return self.number if not self.revision else f"{self.number} rev {self.revision}"

    @property
    def is_priced(self) -> bool:
        """Whether it has a price: lines, or lines measured again, or nothing to charge."""
        return bool(self.lines or self.remeasured) or self.end in CHARGED_TO_NOBODY

    def amount(self, currency: str) -> Money:
        """What its lines come to; nothing while it has no price, or where nobody is charged."""
        if self.end in CHARGED_TO_NOBODY:
            return Money(0, currency)
        return money_sum((line.amount for line in self.lines), currency)

    def remeasured_by(self, currency: str) -> Money:
        """What lines measured again add to the sum, or take off."""
        return money_sum((one.change for one in self.remeasured), currency)

    def waiting_cost(self, working_days: int, currency: str) -> Money:
        """Cost of so many working days in the bay without an answer."""
        per_day = self.waiting_per_day
        return (
            Money(0, currency)
            if per_day is None
            else Money(per_day.minor * max(working_days, 0), currency)
        )


def variation_faults(variation: Variation, currency: str = "") -> tuple[str, ...]:
    """What is missing or wrong, in words that complete "V04 ..."; empty where it can be issued.
    `currency` is the contract's, where it is known."""
    faults: list[str] = [*_sum_faults(variation, currency), *_fund_faults(variation)]
    if variation.end not in ENDS:
        faults.append(worded("names no end that exists: {known}", known=joined(map(fixed, ENDS))))
    if variation.cause not in CAUSES:
        faults.append(
            worded("names no cause that exists: {known}", known=joined(map(fixed, CAUSES)))
        )
    if not variation.title.strip():
        faults.append(worded("has no title"))
    if not variation.location.strip():
        faults.append(worded("has no place on the machine"))
    if variation.lines and variation.range is not None:
        faults.append(worded("has both a price and a range; a price settles the range"))
    if not variation.is_priced and variation.range is None:
        faults.append(worded("has neither a price nor a range"))
    if variation.remeasured and variation.lines and variation.end == REMEASURED:
        faults.append(worded("is remeasured, so extra work belongs on a variation of its own"))
    if variation.end == REMEASURED and not variation.remeasured:
        faults.append(worded("is remeasured but names no line of the quote"))
    if not variation.days.is_finite() or variation.days < 0:
        faults.append(worded("takes fewer than no days"))
    if variation.days and not variation.activity:
        faults.append(worded("adds days but names no activity that waits"))
    return tuple(faults)


def _fund_faults(variation: Variation) -> Iterator[str]:
    """Ends that do not go with the cause: the contingency covers hidden conditions inside the
    scope; nobody's own error and no supplier's fault is the customer's."""
    cause, end = variation.cause, variation.end
    if cause == REQUEST and end != CONTRACT_SUM:
        yield worded("is the customer's request, which only the contract sum can fund")
    elif cause in NOT_THE_CUSTOMERS and end in ENDS and end not in CHARGED_TO_NOBODY:
        yield worded(
            "is charged to the {end}, though it is {cause}, which the customer does not pay",
            end=fixed(end),
            cause=fixed(cause),
        )
    elif cause == OUTSIDE and end == CONTINGENCY:
        yield worded("is outside scope, and the contingency covers what is inside")


def _sum_faults(variation: Variation, currency: str) -> Iterator[str]:
    """Sums below nought, or in another currency than the contract's."""
    range_ = variation.range
    sums = [line.amount for line in variation.lines]
    sums += [way.amount for way in variation.ways]
    sums += [] if range_ is None else [range_.low, range_.likely, range_.high]
    sums += [after for one in variation.remeasured for after in (one.before, one.after)]
    sums += [one for one in (variation.waiting_per_day, variation.workshop_cost) if one is not None]
    counts = [one for line in variation.lines for one in (line.quantity, line.unit_cost)]
    counts += [one.quantity for one in variation.remeasured]
    counts += [way.days for way in variation.ways]
    if not all(one.is_finite() for one in counts):
        yield worded("holds a quantity that is no number")
    elif any(one.minor < 0 for one in sums) or any(one < 0 for one in counts):
        yield worded("holds a sum or a quantity below nought")
    if others := sorted({one.currency for one in sums} - {currency}) if currency else []:
        yield worded(
            "holds a sum in {others}; the contract is in {currency}",
            others=", ".join(others),
            currency=currency,
        )
