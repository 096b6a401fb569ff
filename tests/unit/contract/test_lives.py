"""Thousands of random job lives: no state that the table does not know, no money lost, and the same
account for any order of independent events."""

from __future__ import annotations

import random as chance
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from estimator.domain.contract import events as happened
from estimator.domain.contract.account import account
from estimator.domain.contract.contract import CannotFollow
from estimator.domain.contract.forms import FORMS, NAMED
from estimator.domain.contract.states import AUTHORISED, MOVES, STATES
from estimator.domain.contract.variation import (
    BY_WORKSHOP,
    CONTINGENCY,
    CONTRACT_SUM,
    HIDDEN,
    OUTSIDE,
    OWN_ERROR,
)
from estimator.domain.money import money_sum
from tests.unit.contract.lives import FINANCE, FLEET, MANAGER, Life, line, pounds

ENDS = {CONTINGENCY: HIDDEN, CONTRACT_SUM: OUTSIDE, BY_WORKSHOP: OWN_ERROR}
WHO = st.sampled_from((MANAGER, FLEET, FINANCE))


class JobLife(RuleBasedStateMachine):
    """Anything that people may try, in any order; what cannot follow is refused and changes
    nothing."""

    form = NAMED

    def __init__(self) -> None:
        super().__init__()
        self.life = Life(commercial_form=self.form)

    def _try(self, act) -> None:  # type: ignore[no-untyped-def]
        before = self.life.contract
        try:
            act()
        except CannotFollow as error:
            assert error.message
            assert self.life.contract is before

    @rule(amount=st.integers(1, 9000), end=st.sampled_from(list(ENDS)), lines=st.integers(1, 3))
    def raise_priced(self, amount: int, end: str, lines: int) -> None:
        parts = tuple(line(amount) for _ in range(lines))
        cost = pounds(amount) if end == BY_WORKSHOP else None
        self._try(
            lambda: self.life.raise_(
                amount, end=end, cause=ENDS[end], lines=parts, workshop_cost=cost
            )
        )

    @rule()
    def raise_unpriced(self) -> None:
        self._try(lambda: self.life.raise_(None))

    @precondition(lambda self: self.life.contract.cases)
    @rule(data=st.data(), amount=st.integers(1, 9000))
    def revise(self, data: st.DataObject, amount: int) -> None:
        number = data.draw(st.sampled_from(list(self.life.contract.cases)))
        self._try(lambda: self.life.revise(number, amount))

    @precondition(lambda self: self.life.contract.cases)
    @rule(data=st.data(), act=st.sampled_from(sorted({act for _, act in MOVES})), who=WHO)
    def act(self, data: st.DataObject, act: str, who: str) -> None:
        number = data.draw(st.sampled_from(list(self.life.contract.cases)))
        if act in ("approve", "approve in part", "decline", "defer", "agree"):
            self._try(lambda: self.life.answer(number, act, who, lines=(0,)))
        else:
            self._try(lambda: self.life.move(number, act))

    @rule(amount=st.integers(1, 4000))
    def return_some(self, amount: int) -> None:
        self._try(lambda: self.life.add(happened.ContingencyReturned, amount=pounds(amount)))

    @rule(charge=st.integers(0, 400))
    def exchange(self, charge: int) -> None:
        self._try(
            lambda: self.life.add(
                happened.ExchangeSettled, parts=("P-INJ",), sent=Decimal(6), accepted=Decimal(5),
                charge=pounds(charge),
            )
        )  # fmt: skip

    @rule(last=st.booleans())
    def hand_over(self, last: bool) -> None:
        if last:
            self._try(lambda: self.life.add(happened.HandedOver))

    @invariant()
    def states_are_known(self) -> None:
        for case in self.life.contract.cases.values():
            assert case.state in STATES
            for before, after in zip(case.steps, case.steps[1:], strict=False):
                assert after.state in [MOVES[key] for key in MOVES if key[0] == before.state]

    @invariant()
    def no_money_is_lost(self) -> None:
        contract = self.life.contract
        totals, rule_ = contract.totals, contract.rule
        assert totals.drawn.minor + totals.released.minor <= totals.held.minor
        for case in contract.cases.values():
            if case.state in AUTHORISED and case.variation.end == CONTINGENCY:
                funding = case.funding
                assert funding is not None
                agreed = case.agreed_lines or range(len(case.variation.lines))
                parts = (case.variation.lines[place].amount for place in agreed)
                whole = funding.from_contingency + funding.on_contract_sum + funding.on_workshop
                assert whole == money_sum(parts, "GBP")
            elif case.state not in AUTHORISED:
                assert case.funding is None
        sums = totals.contract_sum + totals.authorised + totals.exchange
        if rule_.moves_with_measure:
            sums = sums + totals.remeasured
        returned = rule_.returned(totals, contract.acceptance.unspent)
        assert contract.current_sum == sums - returned

    @invariant()
    def the_account_adds_up(self) -> None:
        final = account(self.life.contract, "S", Decimal(20))
        assert money_sum((one.amount for one in final.lines if one.counts), "GBP") == final.net
        assert final.balance_gross == final.gross  # nothing was invoiced yet


TestJobLife = JobLife.TestCase
TestJobLife.settings = settings(max_examples=120, stateful_step_count=30, deadline=None)


@settings(max_examples=40, deadline=None)
@given(seed=st.integers(0, 10_000), form=st.sampled_from(FORMS))
def test_the_account_is_the_same_in_any_order(seed, form):
    """Agreed findings that fit the contingency together, requests, exchange units: whatever comes
    first, the sum is the same."""
    random = chance.Random(seed)
    amounts = [random.randrange(1, 1500) for _ in range(6)]
    ends = [random.choice((CONTINGENCY, CONTRACT_SUM)) for _ in amounts]
    events = [("finding", pair) for pair in zip(amounts, ends, strict=True)]
    events += [("exchange", random.randrange(0, 300)) for _ in range(2)]
    sums = set()
    for _ in range(3):
        life = Life(commercial_form=form)
        for kind, what in random.sample(events, len(events)):
            if kind == "finding":
                life.agreed(what[0], end=what[1], cause=ENDS[what[1]])
            else:
                life.add(happened.ExchangeSettled, parts=("P-INJ",), sent=Decimal(2),
                         accepted=Decimal(1), charge=pounds(what))  # fmt: skip
        life.add(happened.HandedOver)
        sums.add(account(life.contract, "S", Decimal(20)).gross)
    assert len(sums) == 1
