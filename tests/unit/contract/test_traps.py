"""Ways to get work released without authority, or money lost or counted twice: each is shut."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import CUSTOMER
from estimator.domain.contract.contract import CannotFollow
from estimator.domain.contract.ledger import ledger_row
from estimator.domain.contract.variation import (
    BY_SUPPLIER,
    BY_WORKSHOP,
    CONTINGENCY,
    CONTRACT_SUM,
    MEASURED,
    OUTSIDE,
    OWN_ERROR,
    REMEASURED,
    REQUEST,
    SUPPLIERS,
    Range,
    Remeasured,
    WayOffered,
)
from estimator.domain.money import Money
from tests.unit.contract.lives import FINANCE, FLEET, MANAGER, Life, line, pounds, variation


@pytest.fixture
def life():
    return Life()


def refused(words: str):
    return pytest.raises(CannotFollow, match=words)


def measured(life: Life, before: int, after: int, row: str = "P-HOS") -> str:
    """A variation of one line measured again, issued."""
    again = Remeasured(row, pounds(before), pounds(after), Decimal(1), "each")
    number = life.raise_(None, range=None, end=REMEASURED, cause=MEASURED, remeasured=(again,))
    life.move(number, "issue")
    return number


# Authority


@pytest.mark.parametrize("act", ["issue", "release", "finish", "withdraw", "revise", "stop"])
def test_a_step_is_no_answer(life, act):
    """Else money would be agreed to in a state that nobody approved."""
    number = life.raise_(700)
    life.move(number, "issue")
    with refused("is no answer"):
        life.answer(number, act, FINANCE)
    assert life.contract.left == pounds(12_000)


def test_an_approval_does_not_stand_in_for_agreeing_to_a_measure(life):
    """Approved, the line would be worked on and never charged."""
    number = measured(life, 900, 1100)
    for act in ("approve", "approve in part"):
        with refused("is measured again"):
            life.answer(number, act, FINANCE, lines=(0,))
    life.answer(number, "agree", FLEET)
    assert life.contract.current_sum == pounds(100_200)


def test_limits_hold_for_lines_measured_again(life):
    number = measured(life, 900, 6000)  # 5,100 more; the fleet manager's limit is 5,000
    with refused("above 5,000.00 GBP for one") as error:
        life.answer(number, "agree", FLEET)
    assert FINANCE in error.value.remedy
    life.answer(number, "agree", FINANCE)
    assert life.contract.current_sum == pounds(105_100)


def test_a_measure_that_takes_off_needs_no_limit(life):
    life.add(happened.AuthorityGiven, name=FLEET, holder_side=CUSTOMER, holder_capacity="x",
             limit_each=pounds(0), limit_total=pounds(0))  # fmt: skip
    life.answer(measured(life, 6000, 900), "agree", FLEET)
    assert life.contract.current_sum == pounds(94_900)


def test_the_order_s_limit_counts_for_lines_measured_again():
    life = Life(order_limit=pounds(100_100))
    number = measured(life, 900, 1001)
    with refused("above the order's 100,100.00 GBP"):
        life.answer(number, "agree", FINANCE)


def test_nothing_is_agreed_to_before_it_was_shown(life):
    again = Remeasured("P-HOS", pounds(900), pounds(1100), Decimal(1), "each")
    number = life.raise_(None, range=None, end=REMEASURED, cause=MEASURED, remeasured=(again,))
    with refused("what is draft cannot agree"):
        life.answer(number, "agree", FLEET)


def test_an_authority_taken_back_meanwhile_counts_no_more(life):
    number = life.raise_(700)
    life.move(number, "issue")
    life.add(happened.AuthorityGiven, name=FLEET, holder_side=CUSTOMER, holder_capacity="x",
             limit_each=pounds(0), limit_total=pounds(0))  # fmt: skip
    with refused("above 0.00 GBP for one"):
        life.answer(number, "approve", FLEET)


def test_no_part_of_a_safety_matter_is_left_out(life):
    number = life.raise_(700, lines=(line(300), line(400)), cannot_be_declined="brakes")
    life.move(number, "issue")
    with refused("no part of V01 can be declined: brakes"):
        life.answer(number, "approve in part", FLEET, lines=(0,))


def test_a_machine_is_not_handed_over_with_what_cannot_be_declined_left_undone(life):
    number = life.raise_(700, cannot_be_declined="brakes")
    life.move(number, "issue")
    life.move(number, "lapse")
    with refused(r"not done, and cannot be declined: V01 \(brakes\)"):
        life.add(happened.HandedOver)


def test_nobody_revises_after_hand_over(life):
    number = life.raise_(700)
    life.move(number, "issue")
    life.answer(number, "decline", FLEET)
    life.add(happened.HandedOver)
    with refused("handed over"):
        life.revise(number, 600)


# Who pays


@pytest.mark.parametrize(
    ("cause", "end"),
    [
        (OWN_ERROR, CONTINGENCY), (OWN_ERROR, CONTRACT_SUM), (SUPPLIERS, CONTINGENCY),
        (SUPPLIERS, CONTRACT_SUM), (OUTSIDE, CONTINGENCY), (REQUEST, CONTINGENCY),
    ],
)  # fmt: skip
def test_the_contingency_is_for_hidden_conditions_alone(life, cause, end):
    with refused("V01 is"):
        life.raise_(500, cause=cause, end=end)


@pytest.mark.parametrize(
    ("cause", "end"), [(OWN_ERROR, BY_WORKSHOP), (SUPPLIERS, BY_SUPPLIER), (OUTSIDE, CONTRACT_SUM)]
)
def test_an_end_that_goes_with_its_cause(life, cause, end):
    assert life.raise_(500, cause=cause, end=end) == "V01"


# Money


@pytest.mark.parametrize(
    "changes",
    [
        {"lines": (replace(line(1), amount=Money(-1, "GBP")),)},
        {"lines": (replace(line(1), quantity=Decimal(-1)),)},
        {"lines": (replace(line(1), unit_cost=Decimal(-1)),)},
        {"lines": (), "range": Range(pounds(-3), pounds(1), pounds(2))},
        {"ways": (WayOffered("exchange", "unit", Money(-1, "GBP"), Decimal(1)),)},
        {"waiting_per_day": Money(-1, "GBP")},
        {"workshop_cost": Money(-1, "GBP")},
    ],
)
def test_nothing_lies_below_nought(life, changes):
    """A line below nought would fill the contingency up."""
    with refused("below nought"):
        life.raise_(500, **changes)


def test_a_sum_in_another_currency_is_refused(life):
    with refused("holds a sum in EUR; the contract is in GBP"):
        life.raise_(500, lines=(replace(line(1), amount=Money(100, "EUR")),))


def test_a_line_named_twice_is_agreed_to_once(life):
    number = life.raise_(700, lines=(line(300), line(400)))
    life.move(number, "issue")
    life.answer(number, "approve in part", FLEET, lines=(1, 1))
    assert life.contract.case(number).agreed_lines == (1,)
    assert life.contract.totals.drawn == pounds(400)


def test_a_line_measured_twice_counts_from_what_was_agreed(life, nothing_open):
    life.answer(measured(life, 900, 1100), "agree", FLEET)
    number = measured(life, 900, 1250)
    row = ledger_row(life.contract, nothing_open(life.contract))
    assert row.pending_contract_sum == pounds(150)
    assert row.forecast_likely == pounds(88_000 + 200 + 150)
    life.answer(number, "agree", FLEET)
    assert life.contract.current_sum == pounds(100_350)


def test_the_bench_does_not_overrule_what_was_agreed(life):
    life.answer(measured(life, 900, 1100), "agree", FLEET)
    again = Remeasured("P-HOS", pounds(900), pounds(1500), Decimal(1), "each")
    with refused("P-HOS was measured and agreed to as V01"):
        life.add(happened.Opened, component="C05", parts=(), measured=(again,))


def test_waiting_never_gains_days(life):
    number = life.raise_(700)
    life.move(number, "issue")
    with refused("nothing waits for -2 days"):
        life.answer(number, "approve", FLEET, waits_activity="A10", waits_days=Decimal(-2))
    with refused("nothing waits for -1 days"):
        life.add(happened.Waited, activity="A10", days=Decimal(-1))


# Parts that fall between two variations


def test_a_part_found_sound_does_not_become_worn_by_revising(life):
    life.add(happened.Opened, component="C05", parts=(("P-CWR", "sound"), ("P-PLR", "worn")))
    number = life.raise_(500, parts=("P-PLR",))
    with refused("P-CWR was found sound"):
        life.revise(number, 600, parts=("P-PLR", "P-CWR"))


def test_a_part_is_not_charged_twice_by_revising(life):
    life.raise_(500, parts=("P-PLR",))
    number = life.raise_(500, parts=("P-HB1",))
    with refused("P-PLR has a variation already"):
        life.revise(number, 900, parts=("P-HB1", "P-PLR"))


@pytest.mark.parametrize("how", ["withdrawn", "left out"])
def test_a_part_that_nobody_carries_any_more_counts_as_closed(life, how):
    """Else its money would be neither exposed nor on any variation."""
    life.add(happened.Opened, component="C05", parts=(("P-PLR", "worn"), ("P-HB1", "worn")))
    number = life.raise_(500, parts=("P-PLR", "P-HB1"))
    if how == "withdrawn":
        life.move(number, "withdraw")
        assert life.contract.resolved == {}
    else:
        life.revise(number, 300, parts=("P-HB1",))
        assert life.contract.resolved == {"P-HB1": "worn"}
    assert life.raise_(200, parts=("P-PLR",)) == "V02"
    assert life.contract.resolved["P-PLR"] == "worn"


def test_a_part_raised_again_is_the_new_variation_s(life):
    number = life.raise_(500, parts=("P-PLR",))
    life.move(number, "withdraw")
    second = life.raise_(400, parts=("P-PLR",))
    with refused("has a variation already"):
        life.raise_(300, parts=("P-PLR",))
    life.answer(second, "approve", MANAGER)
    assert life.contract.left == pounds(11_600)


def test_the_example_stands(life):
    assert life.raise_(500) == "V01"
    assert variation("V02").cause == "hidden condition"
