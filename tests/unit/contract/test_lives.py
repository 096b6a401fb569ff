"""Thousands of random job lives: no state that the table does not know, no money lost, and the same
account for any order of independent events."""

from __future__ import annotations

import random as chance
from datetime import timedelta
from decimal import Decimal
from functools import partial

from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from estimator.domain.contract import events as happened
from estimator.domain.contract.account import account
from estimator.domain.contract.contract import CannotFollow
from estimator.domain.contract.forms import FORMS, NAMED
from estimator.domain.contract.states import (
    AUTHORISED,
    DECISIONS,
    DONE,
    MOVES,
    NOT_DONE,
    STATES,
    WITHDRAWN,
    allowed,
)
from estimator.domain.contract.variation import (
    BY_WORKSHOP,
    CONTINGENCY,
    CONTRACT_SUM,
    HIDDEN,
    OUTSIDE,
    OWN_ERROR,
)
from estimator.domain.money import money_sum
from tests.unit.contract.lives import FINANCE, FLEET, MANAGER, Life, WrittenLife, line, pounds

ENDS = {CONTINGENCY: HIDDEN, CONTRACT_SUM: OUTSIDE, BY_WORKSHOP: OWN_ERROR}
ACTS_KNOWN = sorted({act for _, act in MOVES})
WHO = st.sampled_from((MANAGER, FLEET, FINANCE))


class JobLife(RuleBasedStateMachine):
    """Anything that people may try, in any order; what cannot follow is refused and changes
    nothing."""

    form = NAMED

    def __init__(self) -> None:
        super().__init__()
        self.life = WrittenLife(
            commercial_form=self.form, deposit=pounds(9000), order_limit=pounds(104_000)
        )

    def _try(self, act) -> None:  # type: ignore[no-untyped-def]
        before = self.life.contract
        try:
            act()
        except CannotFollow as error:
            assert error.message
            assert self.life.contract is before

    @rule(
        amount=st.integers(1, 9000), end=st.sampled_from(list(ENDS)), lines=st.integers(1, 3),
        safety=st.booleans(),
    )  # fmt: skip
    def raise_priced(self, amount: int, end: str, lines: int, safety: bool) -> None:
        parts = tuple(line(amount) for _ in range(lines))
        cost = pounds(amount) if end == BY_WORKSHOP else None
        self._try(
            lambda: self.life.raise_(
                amount, end=end, cause=ENDS[end], lines=parts, workshop_cost=cost, safety=safety
            )
        )

    @rule(
        amount=st.integers(1, 2500),
        end=st.sampled_from((CONTINGENCY, CONTRACT_SUM)),
        safety=st.booleans(),
        days=st.integers(1, 5),
        who=st.none() | WHO,
        more=st.sampled_from((None, "call off", "release")),
    )
    def ask(
        self, amount: int, end: str, safety: bool, days: int, who: str | None, more: str | None
    ) -> None:
        """Raised, issued, perhaps agreed to and then called off or released, one after the other:
        chance alone seldom comes so far."""

        def go() -> None:
            number = self.life.raise_(amount, end=end, cause=ENDS[end], safety=safety)
            day = self.life.at.date() + timedelta(days=days)
            self.life.move(number, "issue", answer_by=day)
            if safety:
                self.life.add(happened.MadeSafe, number=number, cost=pounds(amount // 10))
            if who is not None:
                self.life.answer(number, "approve", who)
                if more == "call off":
                    self.life.answer(number, more, FLEET)
                elif more is not None:
                    self.life.move(number, more)

        try:
            go()
        except CannotFollow as error:
            assert error.message

    @precondition(lambda self: self._issued())
    @rule(data=st.data(), late=st.integers(-1, 2))
    def let_lapse(self, data: st.DataObject, late: int) -> None:
        number = data.draw(st.sampled_from(self._issued()))
        day = self.life.contract.case(number).variation.answer_by
        assert day is not None
        to_wait = day - self.life.at.date() + timedelta(days=late)
        self.life.at += max(to_wait, timedelta())
        self._try(lambda: self.life.move(number, "lapse"))

    def _issued(self) -> list[str]:
        cases = self.life.contract.cases
        return [number for number, case in cases.items() if case.state == "issued"]

    @rule()
    def raise_unpriced(self) -> None:
        self._try(lambda: self.life.raise_(None))

    @precondition(lambda self: self.life.contract.cases)
    @rule(data=st.data(), amount=st.integers(1, 9000))
    def revise(self, data: st.DataObject, amount: int) -> None:
        number = data.draw(st.sampled_from(list(self.life.contract.cases)))
        self._try(lambda: self.life.revise(number, amount))

    @precondition(lambda self: self.life.contract.cases)
    @rule(data=st.data(), wild=st.integers(0, 4), who=WHO, days=st.integers(0, 6))
    def act(self, data: st.DataObject, wild: int, who: str, days: int) -> None:
        """Mostly what the state allows, one time in five anything."""
        number = data.draw(st.sampled_from(list(self.life.contract.cases)))
        possible = allowed(self.life.contract.case(number).state)
        act = data.draw(st.sampled_from(possible if wild and possible else ACTS_KNOWN))
        if act in DECISIONS:
            self._try(lambda: self.life.answer(number, act, who, lines=(0,)))
            return
        day = self.life.at.date() + timedelta(days=days) if days else None
        proved = who == MANAGER
        self._try(
            lambda: self.life.move(
                number,
                act,
                answer_by=day if act == "issue" else None,
                proved=proved,
                reason="a mistake" if days != 1 else "",
                capacity="service manager" if proved else "estimator",
            )
        )

    @rule(days=st.integers(1, 9))
    def wait(self, days: int) -> None:
        self.life.at += timedelta(days=days)

    @rule(sooner=st.booleans())
    def receive(self, sooner: bool) -> None:
        if sooner:
            self._try(lambda: self.life.add(happened.Received))

    @rule(part=st.sampled_from(("P-1", "P-2", "P-3")), state=st.sampled_from(("worn", "sound")))
    def open(self, part: str, state: str) -> None:
        self._try(lambda: self.life.add(happened.Opened, component="C05", parts=((part, state),)))

    @precondition(lambda self: self.life.contract.cases)
    @rule(data=st.data(), cost=st.integers(0, 500))
    def make_safe(self, data: st.DataObject, cost: int) -> None:
        number = data.draw(st.sampled_from(list(self.life.contract.cases)))
        told = pounds(cost) if cost else None
        self._try(lambda: self.life.add(happened.MadeSafe, number=number, cost=told))

    @rule(limit=st.none() | st.integers(80_000, 130_000))
    def another_order(self, limit: int | None) -> None:
        sum_ = None if limit is None else pounds(limit)
        self._try(
            lambda: self.life.add(
                happened.OrderChanged, FLEET, side="customer", purchase_order="PO-2", limit=sum_
            )
        )

    @rule(share=st.integers(1, 40))
    def invoice(self, share: int) -> None:
        name = f"S{len(self.life.contract.stages) + 1}"
        self._try(lambda: self.life.add(happened.StagePaid, name=name, share=Decimal(share) / 100))

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

    @rule(when=st.integers(0, 12), said=st.booleans())
    def hand_over(self, when: int, said: bool) -> None:
        if when:
            return
        for number, case in self.life.contract.cases.items():
            if case.is_open:
                self._try(partial(self._take_back, number))
        waiting = self.life.contract.not_recorded_as_done()
        done = tuple(case.variation.number for case in waiting) if said else ()
        self._try(
            lambda: self.life.add(
                happened.HandedOver, done=done, said_done_by=MANAGER if done else ""
            )
        )
        assert said or self.life.contract.handed_over is not bool(waiting)

    def _take_back(self, number: str) -> None:
        self.life.move(
            number, "withdraw", reason="not wanted", proved=True, capacity="service manager"
        )

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
        invoiced = money_sum((one.gross for one in final.stages), "GBP")
        assert final.balance_gross + invoiced == final.gross
        to_pay = money_sum((one.to_pay for one in final.stages), "GBP") + final.to_pay
        assert to_pay + final.deposit == final.gross
        assert all(one.to_pay.minor >= 0 for one in final.stages)

    @invariant()
    def what_nobody_pays_is_the_workshops(self) -> None:
        cases = self.life.contract.cases.values()
        own = [one.variation.workshop_cost for one in cases if one.variation.workshop_cost]
        borne = [one.funding.on_workshop for one in cases if one.funding]
        safe = [
            one.made_safe_cost for one in cases
            if one.made_safe_cost and one.state in (*NOT_DONE, WITHDRAWN)
        ]  # fmt: skip
        assert self.life.contract.workshop_cost == money_sum([*own, *borne, *safe], "GBP")

    @invariant()
    def nothing_is_opened_before_it_is_here(self) -> None:
        contract = self.life.contract
        assert contract.received or not (contract.components or contract.resolved)

    @invariant()
    def what_was_agreed_to_is_done_when_it_goes(self) -> None:
        contract = self.life.contract
        for case in contract.cases.values():
            if contract.handed_over and case.state in AUTHORISED:
                assert case.state == DONE

    @invariant()
    def nothing_lapses_before_its_day(self) -> None:
        for case in self.life.contract.cases.values():
            if case.state == "lapsed":
                assert case.variation.answer_by is not None
                assert case.since.date() > case.variation.answer_by

    @invariant()
    def safety_is_taken_back_with_a_passphrase_and_a_reason(self) -> None:
        for event in self.life.contract.events:
            if isinstance(event, happened.Moved) and event.act == "withdraw":
                case = self.life.contract.case(event.number)
                assert not case.variation.safety or (event.proved and event.reason)

    @invariant()
    def the_order_holds_what_the_customer_agrees_to(self) -> None:
        contract, last = self.life.contract, self.life.contract.events[-1]
        by_customer = isinstance(last, happened.Decided) and last.who != MANAGER
        limit = contract.order_limit
        if limit is not None and by_customer and last.act in ("approve", "approve in part"):
            assert contract.current_sum <= limit
        if limit is not None and isinstance(last, happened.OrderChanged):
            assert contract.current_sum <= limit


TestJobLife = JobLife.TestCase
TestJobLife.settings = settings(max_examples=140, stateful_step_count=30, deadline=None)


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
