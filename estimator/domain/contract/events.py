"""What happened to a contract, one value an event, in order. Nothing is ever taken back: a later
event corrects an earlier one."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from estimator.domain.contract.acceptance import Acceptance
from estimator.domain.contract.variation import Remeasured, Variation
from estimator.domain.findings import Finding
from estimator.domain.money import Money

BOXED_RETURN, REASSEMBLY = "boxed return", "reassembly"


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """When, by whom, in which capacity, on which side, through which channel, in which words."""

    at: datetime
    who: str
    capacity: str = ""
    side: str = "workshop"
    channel: str = ""
    words: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Accepted(Event):
    """The customer accepted a revision.

    Where a strip alone was accepted before, a later revision that was priced after it may follow:
    `carried` are parts which the strip found and this revision prices, `measured` and `as_priced`
    the lines measured during the strip, against this revision's amounts.
    """

    acceptance: Acceptance
    carried: tuple[str, ...] = ()
    measured: tuple[Remeasured, ...] = ()
    as_priced: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class AuthorityGiven(Event):
    """Somebody's authority was given, changed, or taken back (limit nought)."""

    name: str
    holder_side: str
    holder_capacity: str
    limit_each: Money | None
    limit_total: Money | None
    blanket: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderChanged(Event):
    """The customer gave another purchase order, or another limit of it: from then on sums are held
    against the newest. `limit` None is an order without limit."""

    purchase_order: str
    limit: Money | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Received(Event):
    """The machine came in; its condition, fluids, keys and loose items are in `note`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Opened(Event):
    """A component was opened: what was found of its parts, the readings, the cautions ticked.

    `parts` holds (part, worn | sound | as priced); worn ones are carried by a variation.
    """

    component: str
    parts: tuple[tuple[str, str], ...]
    measured: tuple[Remeasured, ...] = ()
    readings: tuple[Finding, ...] = ()
    cautions_ticked: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Raised(Event):
    """A variation was raised, priced or with a range."""

    variation: Variation


@dataclass(frozen=True, slots=True, kw_only=True)
class Revised(Event):
    """A variation was priced, or written anew under its next revision."""

    variation: Variation


@dataclass(frozen=True, slots=True, kw_only=True)
class Moved(Event):
    """A step that changes no money: issued, queried, withdrawn, lapsed, closed, released, done.

    `answer_by` is the last day for an answer that issuing gave where the variation named none.
    `proved` tells that the passphrase of whoever is named was asked.
    """

    number: str
    revision: int
    act: str
    reason: str = ""
    answer_by: date | None = None
    proved: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided(Event):
    """Somebody with authority answered. `proved` tells that the approver's own passphrase was
    asked; on the customer's side the words and the channel stand for it.

    `lines` are the places of the lines agreed to where only part of them is. `together` is what
    this comes to with all that the same person agreed to on the same component before
    (`together_with`), where each is within their limit for one and all of them are above it.
    """

    number: str
    revision: int
    act: str
    lines: tuple[int, ...] = ()
    reason: str = ""
    proved: bool = False
    waits_activity: str = ""
    waits_days: Decimal = Decimal(0)
    together: Money | None = None
    together_with: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Waited(Event):
    """Work stood still: an activity takes so many working days longer, nobody is charged."""

    activity: str
    days: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeSafe(Event):
    """Work that makes the machine safe went ahead before an answer. `cost` is what it costs the
    workshop; None where nobody said (as in records of before it was asked)."""

    number: str
    cost: Money | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ContingencyReturned(Event):
    """Part of the contingency was given back before the end."""

    amount: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class StagePaid(Event):
    """A stage payment was invoiced: a share of the contract sum."""

    name: str
    share: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ExchangeSettled(Event):
    """Exchange units went back: how many, how many were accepted, what is charged for the rest."""

    parts: tuple[str, ...]
    sent: Decimal
    accepted: Decimal
    charge: Money


@dataclass(frozen=True, slots=True, kw_only=True)
class StopDecided(Event):
    """The customer stops after teardown: how the machine goes back, and for how much.

    From then on the sum is that of the work done: strip and report, what was released or done of
    variations, exchange units, and the way back.
    """

    way: str  # boxed return or reassembly
    amount: Money  # of the way back
    strip: Money  # of strip and report, which is done by then


@dataclass(frozen=True, slots=True, kw_only=True)
class Tested(Event):
    """The tests before hand-over were done; what they showed is in `note`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOver(Event):
    """The machine was handed over; what of the contingency is left goes where the terms say.

    `done` are the variations whose work was agreed to and not recorded as done, of which
    `said_done_by` says that it is.
    """

    done: tuple[str, ...] = ()
    said_done_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountClosed(Event):
    """The final account was drawn up and the balance invoiced."""
