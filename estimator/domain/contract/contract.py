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
from estimator.domain.contract.states import DRAFT, FOUND, NOT_DONE, OPEN
from estimator.domain.contract.variation import Remeasured, Variation
from estimator.domain.money import Money, money_sum


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
    earlier: tuple[Variation, ...] = ()  # superseded revisions
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
    def workshop_cost(self) -> Money:
        """The workshop's own cost of what nobody else pays for."""
        own = [
            case.variation.workshop_cost
            for case in self.cases.values()
            if case.variation.workshop_cost is not None
        ]
        borne = [case.funding.on_workshop for case in self.cases.values() if case.funding]
        return money_sum([*own, *borne], self.currency)

    def case(self, number: str) -> Case:
        """A variation by its number. Raises CannotFollow."""
        try:
            return self.cases[number]
        except KeyError:
            known = ", ".join(self.cases) or "none yet"
            raise CannotFollow(f"there is no variation {number}", f"Raised: {known}.") from None

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
