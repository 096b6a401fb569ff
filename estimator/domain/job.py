"""One job as it comes in: the machine, what is wanted, the inspection, the terms."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from estimator.domain.catalogue.rows import FULL, REPAIR
from estimator.domain.findings import Finding
from estimator.domain.new_machine import NewMachine

ORIGINAL, REPLACED, UNKNOWN = "original", "replaced", "not known"
METERS = (ORIGINAL, REPLACED, UNKNOWN)  # what is known of the hour meter
USUAL_DOUBT = {ORIGINAL: Decimal(0), REPLACED: Decimal("0.10"), UNKNOWN: Decimal("0.30")}
MOST_DOUBT = Decimal("0.60")


class RowOfLevels(Protocol):
    """What a job asks of a row of the catalogue, to know whether it belongs to its level."""

    @property
    def component(self) -> str:
        """Component the row is of."""

    @property
    def levels(self) -> tuple[str, ...]:
        """Rebuild levels it belongs to."""


@dataclass(frozen=True, slots=True)
class Event:
    """Something in the machine's past: at `hours` some parts were renewed, others seen sound."""

    hours: Decimal
    what: str
    components: tuple[str, ...]
    renewed: tuple[str, ...]
    seen_sound: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Machine:
    """The machine to be rebuilt.

    `hours_doubt` says how far the true hours may lie from the meter's, as a share: one standard
    deviation of their logarithm. 0.20 means that in two cases of three they lie between 18 % below
    and 22 % above. `meter` says why.
    """

    class_id: str
    serial: str
    hours: Decimal  # hour meter at inspection
    duty: Decimal  # 1 = as the catalogue's chances are stated; harder work is above 1
    life_wanted: Decimal  # machine hours wanted after the rebuild
    history: tuple[Event, ...] = ()
    meter: str = ORIGINAL
    hours_doubt: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class Party:
    """A workshop or customer as printed."""

    name: str
    address: tuple[str, ...] = ()
    contact: str = ""


@dataclass(frozen=True, slots=True)
class ScopeChange:
    """A line the estimator put in or took out by hand, with the reason that stays on record."""

    row_id: str
    reason: str
    by: str


@dataclass(frozen=True, slots=True)
class LineChange:
    """A catalogue line whose quantity or cost the estimator typed over, with the reason."""

    row_id: str
    quantity: Decimal | None  # charged hours, or units bought; None keeps what was worked out
    unit_cost: Decimal | None  # of parts and outwork, in the row's currency; None keeps it
    reason: str
    by: str
    date: datetime.date


@dataclass(frozen=True, slots=True)
class OwnLine:
    """A line that no catalogue row gives. Its range makes it provisional, none makes it firm."""

    id: str  # X01, X02 ...
    component: str
    name: str
    kind: str  # labour, parts or outwork
    quantity: Decimal  # charged hours, or units bought
    quantity_low: Decimal
    quantity_high: Decimal
    unit: str
    trade: str  # of labour; "" else
    unit_cost: Decimal  # of parts and outwork, in the quote's currency; 0 for labour
    markup: str  # of parts and outwork; "" for labour
    reason: str
    by: str


@dataclass(frozen=True, slots=True)
class ExchangeRate:
    """One unit of `currency` costs `rate` units of the quote's currency, frozen for the job."""

    currency: str
    rate: Decimal
    date: datetime.date
    source: str


@dataclass(frozen=True, slots=True)
class Stage:
    """A stage payment: share of the net price when `when` is reached."""

    share: Decimal
    when: str


@dataclass(frozen=True, slots=True)
class Terms:
    """What is agreed beside the scope."""

    currency: str
    quoting_unit: Decimal
    discount_share: Decimal  # on firm parts lines
    confidence: Decimal  # share of outcomes the contingency covers
    tax_category: str
    commercial_form: str
    valid_days: int
    stages: tuple[Stage, ...]
    answer_days: int  # working days the customer has to answer a finding
    storage_free_days: int
    storage_per_day: Decimal
    removed_parts_days: int
    teardown_longest_days: int


@dataclass(frozen=True, slots=True)
class Job:
    """Everything an estimator brings to a price, besides the catalogue."""

    number: str
    revision: str
    date: datetime.date  # of the quote
    start: datetime.date  # machine received, parts ordered
    inspected: datetime.date
    level: str
    machine: Machine
    workshop: Party
    customer: Party
    estimator: str
    releaser: str
    terms: Terms
    exchange_rates: Mapping[str, ExchangeRate]
    findings: tuple[Finding, ...]
    added: tuple[ScopeChange, ...] = ()
    removed: tuple[ScopeChange, ...] = ()
    ways: Mapping[str, str] | None = None  # part -> way chosen instead of the usual one
    changed: tuple[LineChange, ...] = ()
    own: tuple[OwnLine, ...] = ()
    kept: tuple[ScopeChange, ...] = ()  # operations counted twice on purpose: "ROW+INCLUDED ROW"
    note: str = ""  # what the customer wants, in words
    wanted_by: datetime.date | None = None  # when the customer wants the machine back
    # Teardown outcomes of the workshop found on or before this day count; None: those of the
    # catalogue alone.
    learnt_until: datetime.date | None = None
    new_machine: NewMachine | None = None  # what it is compared with, where somebody gave it
    repaired: tuple[ScopeChange, ...] = ()  # components that a repair puts right, and why

    @property
    def title(self) -> str:
        """Number and revision as people say them."""
        return f"{self.number} rev {self.revision}"

    def takes(self, row: RowOfLevels) -> bool:
        """Whether a row of the catalogue belongs to the job's level.

        A repair takes what every repair needs (`repair` among the row's levels), and of the
        components it puts right whatever a full rebuild would do to them.
        """
        if self.level != REPAIR or REPAIR in row.levels:
            return self.level in row.levels
        return FULL in row.levels and row.component in {one.row_id for one in self.repaired}

    def hours_run(self, component: str, part: str = "") -> Decimal:
        """Machine hours on a component (or part) since it was last overhauled or renewed."""
        base = max(
            (
                event.hours
                for event in self.machine.history
                if component in event.components or (part and part in event.renewed)
            ),
            default=Decimal(0),
        )
        return self.machine.hours - base
