"""What the papers of a contract print, frozen: variation order, declined work, ledger statement;
`strip_papers` holds strip report and stop. Documents take these values and give bytes; nothing is
left to reckon.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from estimator.domain.catalogue.rows import Caution
from estimator.domain.contract.effect import Effect
from estimator.domain.contract.variation import Range
from estimator.domain.job import Party
from estimator.domain.money import Money

MOST_PICTURES = 4  # on a variation order; the rest are in the record


@dataclass(frozen=True, slots=True)
class Head:
    """What stands at the top of every paper of a contract."""

    number: str  # of the job
    revision: str  # that was accepted
    workshop: Party
    customer: Party
    machine: str  # its type, as printed
    tonnes: Decimal
    serial: str
    hours: Decimal
    day: date  # of the paper
    currency: str
    quoting_unit: Decimal
    tax: str  # name of the tax
    tax_percent: Decimal
    order: str  # the customer's order number; "" where none
    held: bool  # whether the customer sees a contingency: one is held, and not at our risk
    fixed: bool  # one fixed price: what is found inside the scope is at the workshop's risk
    chain_head: str = ""  # of the record's log, SHA-256 in hexadecimal

    @property
    def title(self) -> str:
        """The job as people say it."""
        return f"{self.number} rev {self.revision}"


@dataclass(frozen=True, slots=True)
class Sum:
    """A sum before and with tax."""

    net: Money
    gross: Money


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph as it is printed."""

    name: str
    caption: str
    image: bytes  # JPEG
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class OrderLine:
    """A line of a variation."""

    what: str
    quantity: Decimal
    unit: str
    amount: Money


@dataclass(frozen=True, slots=True)
class MeasuredLine:
    """A line of the quote measured again."""

    what: str
    before: Money
    after: Money
    change: Money
    ask_again: bool  # so far off that either side may ask for a new rate


@dataclass(frozen=True, slots=True)
class WayToTick:
    """One way of dealing with a finding."""

    way: str
    what: str
    price: Sum
    days: Decimal
    warranty: str
    note: str
    priced_here: bool  # its lines are the ones printed


@dataclass(frozen=True, slots=True)
class Ready:
    """When the machine is ready: the day planned by, and the likely one."""

    planned: date
    likely: date


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer as it was given."""

    state: str
    who: str
    capacity: str
    side: str
    channel: str
    at: datetime
    words: str
    reason: str
    amount: Money | None  # agreed to; None where nothing was
    lines: tuple[int, ...] = ()  # of a part approval, counted from 1


@dataclass(frozen=True, slots=True, kw_only=True)
class VariationOrder:
    """A variation as the customer reads it, answers it and signs it."""

    head: Head
    name: str
    supersedes: str  # the revision before; "" for the first
    title: str
    state: str
    issued: date | None
    component: str
    location: str
    finder: str
    found_at: datetime
    cause: str
    end: str
    charged: bool  # whether the customer pays for it; where not, it shows no sums
    measured: str
    not_seen_before: str
    pictures: tuple[Picture, ...]
    more_pictures: int
    lines: tuple[OrderLine, ...]
    measured_lines: tuple[MeasuredLine, ...]
    price: Sum | None  # None where it has no price yet
    range: Range | None
    days: Decimal
    ways: tuple[WayToTick, ...]
    consequence: str
    cannot_be_declined: str
    safety: bool
    made_safe: bool
    answer_by: date | None
    waiting_from: date | None
    waiting_per_day: Money | None
    effect: Effect
    before: Ready
    after: Ready
    answered: Answered | None
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class DeclinedRow:
    """Work that is not done, or only in part, and what follows from that."""

    name: str
    title: str
    location: str
    state: str
    left_out: tuple[str, ...]  # lines not agreed to, where part was
    amount: Money | None  # of what is left out
    range: Range | None
    consequence: str
    safety: bool
    answered: Answered | None  # None where nobody answered
    answer_by: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class DeclinedList:
    """Declined, deferred, lapsed and part-declined work, for hand-over."""

    head: Head
    rows: tuple[DeclinedRow, ...]
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True)
class LedgerEntry:
    """One event that moved the sum or the contingency, or that turned work down."""

    at: datetime
    kind: str  # accepted, measured, approve, decline ...
    subject: str  # variation, component or parts; "" where the kind says all
    by: str
    words: str
    moves_sum: Money
    sum: Money
    moves_left: Money
    left: Money


@dataclass(frozen=True, slots=True)
class LedgerGroup:
    """One component group: held when it was accepted, drawn since, what is held now for what is
    still closed there."""

    name: str
    held: Money
    drawn: Money
    closed: Money
    causes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Waiting:
    """A variation that nobody has answered: a price, or a range."""

    name: str
    title: str
    end: str
    charged: bool
    amount: Money | None
    range: Range | None
    answer_by: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LedgerStatement:
    """The contingency ledger as a customer reads it."""

    head: Head
    entries: tuple[LedgerEntry, ...]
    groups: tuple[LedgerGroup, ...]
    contract_sum: Money
    remeasured: Money
    authorised: Money
    returned: Money
    exchange: Money
    undone: Money  # what a stop takes off the sum: all that is not done
    way_back: Money  # and what it adds
    current: Sum
    held: Money
    drawn: Money
    given_back: Money  # of the contingency, to whomever the terms say
    to_workshop: Money  # of what was left at hand-over, what the terms leave to the workshop
    taken_off: Money  # of the contingency, what a stop left undrawn
    left: Money
    waiting: tuple[Waiting, ...]
    waiting_contingency: Money
    closed: Money  # held now for what is still closed
    closed_parts: int
    mark: str
    short_by: Money
    unspent: str
    ready: Ready | None  # None once it is handed over
    deposit: Money | None = None  # paid, tax in it; None where none was
