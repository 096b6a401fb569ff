"""Acceptance of an issued revision: what was accepted, by whom, and who may agree to what later."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from estimator.domain.money import Money

WHOLE, TEARDOWN_ONLY = "whole", "teardown only"
EXTENTS = (WHOLE, TEARDOWN_ONLY)
WORKSHOP, CUSTOMER = "workshop", "customer"
SIDES = (WORKSHOP, CUSTOMER)
TO_CUSTOMER, TO_WORKSHOP, SHARED_HALF = "to the customer", "to the workshop", "shared half"
UNSPENT = (TO_CUSTOMER, TO_WORKSHOP, SHARED_HALF)


@dataclass(frozen=True, slots=True)
class Authority:
    """Someone who may agree to variations, and how far.

    `limit_each` is for one variation, `limit_total` for all that they have agreed to on this job;
    None means without limit. `blanket` is a drawing right given beforehand: within it nobody is
    asked each time. The workshop's side never agrees to anything on the contract sum.
    """

    name: str
    side: str  # workshop or customer
    capacity: str  # "fleet manager"
    limit_each: Money | None = None
    limit_total: Money | None = None
    blanket: bool = False


@dataclass(frozen=True, slots=True)
class Acceptance:
    """What the customer accepted of an issued revision.

    `contract_sum` and `contingency` are the frozen revision's (before tax); with teardown only the
    contract sum is the strip's, and nothing is held.
    """

    revision: str
    extent: str  # whole or teardown only
    commercial_form: str
    contract_sum: Money
    contingency: Money
    unspent: str  # whose the contingency is that nobody drew
    authorities: tuple[Authority, ...]
    purchase_order: str = ""
    order_limit: Money | None = None
    options: tuple[str, ...] = ()  # options of the quote that were chosen
    deposit: Money | None = None
    custody_from: date | None = None  # the machine is in the workshop's custody from this day
    insurance: str = ""  # who insures the machine meanwhile, in words

    @property
    def currency(self) -> str:
        """Currency of the contract."""
        return self.contract_sum.currency

    @property
    def teardown_only(self) -> bool:
        """Whether nothing but strip and report was accepted, and no rebuild is held for."""
        return self.extent == TEARDOWN_ONLY

    def authority(self, name: str) -> Authority | None:
        """The authority somebody was given; None where they were given none."""
        return next((one for one in self.authorities if one.name == name), None)
