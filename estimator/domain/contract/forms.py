"""One ledger rule per commercial form: what a finding draws on, and what the sum is meanwhile.

    base and named contingency   findings draw on the contingency the customer pays for; what is
                                 left goes where the terms say
    fixed price                  findings and lines measured again are the workshop's risk; only
                                 what the customer asks for, or what is outside scope, moves the sum
    not to exceed                the customer pays what is used, up to the sum; beyond it the
                                 workshop bears findings inside the scope
    provisional sums             each open part is a sum adjusted to what it comes to, both ways
    schedule of rates            everything is paid at the agreed rates; nothing is held

(Common practice, no source.)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from estimator.domain.contract.acceptance import SHARED_HALF, TO_CUSTOMER, TO_WORKSHOP
from estimator.domain.money import Money

NAMED = "base and named contingency"
FIXED = "fixed price"
NOT_TO_EXCEED = "not to exceed"
PROVISIONAL_SUMS = "provisional sums"
SCHEDULE_OF_RATES = "schedule of rates"
FORMS = (NAMED, FIXED, NOT_TO_EXCEED, PROVISIONAL_SUMS, SCHEDULE_OF_RATES)


@dataclass(frozen=True, slots=True)
class Totals:
    """Running totals of a contract, all in its currency, before tax."""

    contract_sum: Money
    held: Money
    remeasured: Money
    authorised: Money  # on the contract sum
    drawn: Money  # from the contingency
    released: Money  # given back before the end
    exchange: Money  # exchange units not accepted
    stopped: Money  # what a stop after teardown changes: the way back, less all that is not done
    handed_over: bool = False

    @property
    def base(self) -> Money:
        """The contract sum without what is held."""
        return self.contract_sum - self.held

    @property
    def unspent(self) -> Money:
        """What of the contingency was neither drawn nor given back; lines measured again apart."""
        return self.held - self.drawn - self.released


@dataclass(frozen=True, slots=True)
class Funding:
    """Where the amount of a finding comes from."""

    from_contingency: Money
    on_contract_sum: Money
    on_workshop: Money


@dataclass(frozen=True, slots=True)
class LedgerRule:
    """The rule of one form.

    `moves_with_measure`: lines measured again move the customer's sum. `overrun`: who pays for a
    finding inside the scope once nothing is left, "customer" or "workshop". `unspent_fixed`: whose
    the unspent is whatever the acceptance says; "" where the acceptance says.
    """

    form: str
    moves_with_measure: bool
    overrun: str
    unspent_fixed: str
    measure_draws: bool = False  # lines measured again are inside what is held

    def left(self, totals: Totals) -> Money:
        """What of the contingency nobody has drawn or given back; nothing below zero."""
        used = totals.drawn + totals.released
        if self.measure_draws:
            used = used + totals.remeasured
        left = totals.held - used
        return max(left, Money(0, left.currency), key=lambda one: one.minor)

    def fund(self, amount: Money, totals: Totals) -> Funding:
        """Where a finding inside the scope is paid from."""
        nothing = Money(0, amount.currency)
        drawn = min(amount, self.left(totals), key=lambda one: one.minor)
        rest = amount - drawn
        if self.overrun == "workshop":
            return Funding(drawn, nothing, rest)
        return Funding(drawn, rest, nothing)

    def whose_unspent(self, agreed: str) -> str:
        """Whose the unspent contingency is."""
        return self.unspent_fixed or agreed

    def to_return(self, totals: Totals, agreed: str) -> Money:
        """What goes back to the customer at hand-over, besides what was given back before."""
        left, whose = self.left(totals), self.whose_unspent(agreed)
        nothing = Money(0, left.currency)
        if whose == TO_WORKSHOP:
            return nothing
        if whose == TO_CUSTOMER:
            return left
        # Half of all that nobody drew, what was given back before counted in.
        unspent = left + totals.released
        half = Money((unspent.minor + 1) // 2, unspent.currency)
        return max(half - totals.released, nothing, key=lambda one: one.minor)

    def returned(self, totals: Totals, agreed: str) -> Money:
        """What has gone back to the customer by now; what a stop takes off stands apart."""
        if not totals.handed_over or totals.stopped:
            return totals.released
        return totals.released + self.to_return(totals, agreed)

    def current_sum(self, totals: Totals, agreed: str) -> Money:
        """Contract sum + remeasured + authorised - contingency returned + exchange units, and what
        a stop changes."""
        sum_ = totals.contract_sum + totals.authorised + totals.exchange + totals.stopped
        if self.moves_with_measure:
            sum_ = sum_ + totals.remeasured
        return sum_ - self.returned(totals, agreed)


RULES: Mapping[str, LedgerRule] = {
    NAMED: LedgerRule(NAMED, moves_with_measure=True, overrun="customer", unspent_fixed=""),
    FIXED: LedgerRule(
        FIXED, moves_with_measure=False, overrun="workshop", unspent_fixed=TO_WORKSHOP
    ),
    NOT_TO_EXCEED: LedgerRule(
        NOT_TO_EXCEED,
        moves_with_measure=False,
        overrun="workshop",
        unspent_fixed=TO_CUSTOMER,
        measure_draws=True,
    ),
    PROVISIONAL_SUMS: LedgerRule(
        PROVISIONAL_SUMS, moves_with_measure=True, overrun="customer", unspent_fixed=TO_CUSTOMER
    ),
    SCHEDULE_OF_RATES: LedgerRule(
        SCHEDULE_OF_RATES, moves_with_measure=True, overrun="customer", unspent_fixed=TO_CUSTOMER
    ),
}
assert set(RULES) == set(FORMS)
__all__ = [
    "FIXED", "FORMS", "NAMED", "NOT_TO_EXCEED", "PROVISIONAL_SUMS", "RULES", "SCHEDULE_OF_RATES",
    "SHARED_HALF", "Funding", "LedgerRule", "Totals",
]  # fmt: skip
