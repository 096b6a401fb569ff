"""A contract as its events have made it: variations and their states, what is open, the totals.

`following.contract_of` folds the events in their order. An event that cannot follow is refused with
its reason (`CannotFollow`); services ask with the very same function before they write one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from decimal import Decimal

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import Acceptance, Authority
from estimator.domain.contract.forms import RULES, Funding, LedgerRule, Totals
from estimator.domain.contract.states import (
    AUTHORISED,
    DONE,
    DRAFT,
    FOUND,
    NOT_DONE,
    OPEN,
    WITHDRAWN,
)
from estimator.domain.contract.variation import Remeasured, Variation
from estimator.domain.money import Money, money_sum
from estimator.domain.wording import worded


class CannotFollow(ValueError):
    """An event that cannot follow what happened before; `remedy` says what can be done."""

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message, self.remedy = message, remedy


@dataclass(frozen=True, slots=True)
class Step:
    """A state that a variation came into, when and through whom."""

    state: str
    at: datetime
    who: str
    capacity: str
    channel: str
    words: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Case:
    """A variation as it stands: its newest revision, its state, what was agreed."""

    variation: Variation
    state: str
    steps: tuple[Step, ...]
    funding: Funding | None = None  # what was agreed, by where it comes from
    agreed_by: str = ""
    agreed_side: str = ""
    agreed_lines: tuple[int, ...] = ()  # of a part approval
    made_safe: bool = False
    made_safe_cost: Money | None = None  # the workshop's, of what went ahead
    earlier: tuple[Variation, ...] = ()  # superseded revisions
    together: Money | None = None  # with the same component's before, above the limit for one
    together_with: tuple[str, ...] = ()
    passed: tuple[str, ...] = ()  # who left the answer to the next; of the newest revision

    @property
    def since(self) -> datetime:
        """When it came into its state."""
        return self.steps[-1].at

    @property
    def is_open(self) -> bool:
        """Whether nobody has said yes or no yet."""
        return self.state in OPEN

    def times(self, until: datetime) -> dict[str, float]:
        """Hours spent in each state up to `until`."""
        spent: dict[str, float] = {}
        ends = [*(step.at for step in self.steps[1:]), until]
        for step, end in zip(self.steps, ends, strict=True):
            hours = max((end - step.at).total_seconds() / 3600, 0.0)
            spent[step.state] = spent.get(step.state, 0.0) + hours
        return spent


@dataclass(frozen=True, slots=True)
class Contract:
    """Everything that follows from a contract's events."""

    acceptance: Acceptance
    accepted_at: datetime
    events: tuple[happened.Event, ...]
    cases: Mapping[str, Case] = field(default_factory=dict)
    authorities: Mapping[str, Authority] = field(default_factory=dict)
    resolved: Mapping[str, str] = field(default_factory=dict)  # part -> worn, sound, as priced
    components: tuple[str, ...] = ()  # opened
    measured: Mapping[str, Remeasured] = field(default_factory=dict)  # line -> measured again
    as_priced: frozenset[str] = frozenset()  # lines measured and found as priced
    waits: Mapping[str, Decimal] = field(default_factory=dict)  # activity -> working days
    released: Money | None = None
    exchange: Money | None = None
    invoiced: Money | None = None
    stages: tuple[tuple[str, Decimal], ...] = ()
    strip_stages: tuple[tuple[str, Money], ...] = ()  # invoiced while a strip alone was accepted
    found_in_strip: Mapping[str, str] = field(default_factory=dict)  # part -> worn, sound
    stopped: happened.StopDecided | None = None
    received: bool = False
    handed_over: bool = False
    closed: bool = False

    @property
    def currency(self) -> str:
        """Currency of the contract."""
        return self.acceptance.currency

    @property
    def rule(self) -> LedgerRule:
        """The ledger rule of its commercial form."""
        return RULES[self.acceptance.commercial_form]

    @property
    def nothing(self) -> Money:
        """No money, in the contract's currency."""
        return Money(0, self.currency)

    @property
    def totals(self) -> Totals:
        """The running totals."""
        funded = [case.funding for case in self.cases.values() if case.funding is not None]
        remeasured = [one.change for one in self.measured.values()]
        accepted = self.acceptance
        going_on = Totals(
            contract_sum=accepted.contract_sum,
            held=accepted.contingency,
            remeasured=money_sum(remeasured, self.currency),
            authorised=money_sum((one.on_contract_sum for one in funded), self.currency),
            drawn=money_sum((one.from_contingency for one in funded), self.currency),
            released=self.released or self.nothing,
            exchange=self.exchange or self.nothing,
            stopped=self.nothing,
            handed_over=self.handed_over,
        )
        if self.stopped is None:
            return going_on
        undone = self.undone(going_on)
        return replace(going_on, stopped=self.stopped.amount - undone - going_on.unspent)

    def undone(self, totals: Totals) -> Money:
        """What of the base, lines measured again with it, a stop leaves undone."""
        assert self.stopped is not None
        base = totals.base + totals.remeasured if self.rule.moves_with_measure else totals.base
        return base - self.stopped.strip

    @property
    def left(self) -> Money:
        """What of the contingency is left."""
        if self.handed_over or self.stopped is not None:
            return self.nothing
        return self.rule.left(self.totals)

    @property
    def current_sum(self) -> Money:
        """What the contract comes to by now, before tax."""
        return self.rule.current_sum(self.totals, self.acceptance.unspent)

    @property
    def order_limit(self) -> Money | None:
        """The limit of the customer's newest purchase order; None without limit."""
        order = self._newest_order
        return order.limit if isinstance(order, happened.OrderChanged) else (
            self.acceptance.order_limit
        )  # fmt: skip

    @property
    def purchase_order(self) -> str:
        """The customer's newest purchase order."""
        order = self._newest_order
        return order.purchase_order if isinstance(order, happened.OrderChanged) else (
            self.acceptance.purchase_order
        )  # fmt: skip

    @property
    def _newest_order(self) -> happened.Event | None:
        """The newest of an order given anew and an acceptance, which names its own."""
        kinds = (happened.OrderChanged, happened.Accepted)
        return next((one for one in reversed(self.events) if isinstance(one, kinds)), None)

    @property
    def deposit(self) -> Money:
        """What the customer has paid as a deposit, tax in it."""
        paid = [
            one.acceptance.deposit
            for one in self.events
            if isinstance(one, happened.Accepted) and one.acceptance.deposit is not None
        ]
        return money_sum(paid, self.currency)

    @property
    def made_safe_for_nothing(self) -> Money:
        """What it cost to make safe what the customer then did not want, or that was withdrawn.

        Work that makes a machine safe may go ahead before an answer, and no answer is ever
        approval: so where the variation is approved, its price holds that work; where it is not,
        the customer agreed to nothing, no clause of the terms charges it, and the workshop bears
        its own cost. While nobody has answered it is neither. (A rule of this program: published
        practice says only that disagreement on price need not stop such work.)
        """
        costs = [
            case.made_safe_cost
            for case in self.cases.values()
            if case.made_safe_cost is not None and case.state in (*NOT_DONE, WITHDRAWN)
        ]
        return money_sum(costs, self.currency)

    @property
    def workshop_cost(self) -> Money:
        """The workshop's own cost of what nobody else pays for."""
        own = [
            case.variation.workshop_cost
            for case in self.cases.values()
            if case.variation.workshop_cost is not None
        ]
        borne = [case.funding.on_workshop for case in self.cases.values() if case.funding]
        return money_sum([*own, *borne, self.made_safe_for_nothing], self.currency)

    def case(self, number: str) -> Case:
        """A variation by its number. Raises CannotFollow."""
        try:
            return self.cases[number]
        except KeyError:
            known = ", ".join(self.cases) or worded("none yet")
            raise CannotFollow(
                worded("there is no variation {number}", number=number),
                worded("Raised: {known}.", known=known),
            ) from None

    def pending(self) -> tuple[Case, ...]:
        """Priced variations that nobody has answered."""
        return tuple(c for c in self.cases.values() if c.is_open and c.variation.is_priced)

    def unpriced(self) -> tuple[Case, ...]:
        """Open variations that still have a range for a price."""
        return tuple(c for c in self.cases.values() if c.is_open and not c.variation.is_priced)

    def not_done(self) -> tuple[Case, ...]:
        """What is listed for hand-over: declined, deferred, lapsed, or agreed to in part only."""
        return tuple(
            case for case in self.cases.values() if case.state in NOT_DONE or case.agreed_lines
        )

    def not_recorded_as_done(self) -> tuple[Case, ...]:
        """Agreed to, and nobody has recorded that the work is done: what a hand-over asks about.
        Nothing once the job was stopped."""
        if self.stopped is not None:
            return ()
        return tuple(
            case for case in self.cases.values() if case.state in AUTHORISED and case.state != DONE
        )

    @property
    def found(self) -> Mapping[str, str]:
        """What was found of every part that was opened, that of an earlier strip included."""
        return {**self.found_in_strip, **self.resolved}

    def would_change(self, variation: Variation) -> Money:
        """What agreeing to lines measured again changes of the sum as it is now: a line that was
        measured before counts from that."""
        known = {row_id: one.after for row_id, one in self.measured.items()}
        changes = (
            one.after - known.get(one.row_id, one.before) for one in variation.remeasured
        )  # fmt: skip
        return money_sum(changes, self.currency)

    def agreed_so_far(self, name: str) -> Money:
        """What one person has agreed to on this job."""
        sums = [
            case.funding.from_contingency + case.funding.on_contract_sum
            for case in self.cases.values()
            if case.funding is not None and case.agreed_by == name
        ]
        return money_sum(sums, self.currency)

    @property
    def next_number(self) -> str:
        """The number of the next variation."""
        return f"V{len(self.cases) + 1:02d}"


def first_state(variation: Variation) -> str:
    """The state a variation is raised in: found while it has no price, else a draft."""
    return DRAFT if variation.is_priced else FOUND


def settled(case: Case, state: str, step: Step, **changes: object) -> Case:
    """A case in its next state."""
    return replace(case, state=state, steps=(*case.steps, step), **changes)  # type: ignore[arg-type]
