"""What may follow, what may not, and with which words it is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import CUSTOMER, Authority
from estimator.domain.contract.contract import CannotFollow
from estimator.domain.contract.following import contract_of, follow
from estimator.domain.contract.variation import CONTRACT_SUM, REMEASURED, REQUEST, Remeasured
from tests.unit.contract.lives import (
    ESTIMATOR,
    FINANCE,
    FLEET,
    MANAGER,
    START,
    Life,
    acceptance,
    line,
    pounds,
    variation,
)


@pytest.fixture
def life():
    return Life()


def refused(words: str):
    return pytest.raises(CannotFollow, match=words)


def test_nothing_happens_before_the_acceptance():
    with refused("nothing has been accepted"):
        follow(None, happened.Tested(at=START, who="A. Rowe"))
    with refused("nothing has been accepted"):
        contract_of([])


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"authorities": ()}, "nobody of the customer"),
        ({"commercial_form": "a handshake"}, "no ledger rule"),
        ({"contingency": pounds(200_000)}, "more than the contract sum"),
        ({"authorities": (Authority("A", CUSTOMER, "x"),) * 2}, "authority twice"),
    ],
)
def test_an_acceptance_that_cannot_be(changes, words):
    event = happened.Accepted(at=START, who=FLEET, acceptance=acceptance(**changes))
    with refused(words):
        follow(None, event)


def test_a_clock_that_runs_backwards(life):
    early = happened.Tested(at=START - timedelta(days=1), who="A. Rowe")
    with refused("before the last entry"):
        follow(life.contract, early)


def test_a_finding_is_drawn_within_the_managers_right(life):
    number = life.raise_(900)
    life.answer(number, "approve", MANAGER)
    assert life.contract.left == pounds(11_100)
    assert life.contract.current_sum == pounds(100_000)


def test_above_the_limit_the_next_is_asked(life):
    number = life.raise_(1001)
    life.move(number, "issue")
    with refused("above 1,000.00 GBP for one") as error:
        life.answer(number, "approve", MANAGER)
    assert error.value.remedy == f"Ask {FLEET}, fleet manager."
    life.answer(number, "approve", FLEET)


def test_the_total_limit_counts_what_was_drawn_before(life):
    for _ in range(3):
        life.answer(life.raise_(1000), "approve", MANAGER)
    number = life.raise_(1)
    with refused("above 3,000.00 GBP in all"):
        life.answer(number, "approve", MANAGER)


def test_nobody_approves_their_own_above_their_limit(life):
    number = life.raise_(6000, priced_by=FLEET)
    life.move(number, "issue")
    with refused("their own, above their limit") as error:
        life.answer(number, "approve", FLEET)
    assert FINANCE in error.value.remedy


def test_the_workshop_never_agrees_to_the_contract_sum(life):
    number = life.raise_(100, end=CONTRACT_SUM, cause=REQUEST)
    life.move(number, "issue")
    with refused("only the customer may agree to the contract sum"):
        life.answer(number, "approve", MANAGER)


def test_a_passphrase_is_asked_of_the_workshop(life):
    number = life.raise_(100)
    with refused("did not give a passphrase"):
        life.answer(number, "approve", MANAGER, proved=False)


def test_a_stranger_has_no_authority(life):
    number = life.raise_(100)
    life.move(number, "issue")
    with refused("was given no authority"):
        life.answer(number, "approve", "N. Body")


def test_the_order_s_limit_counts():
    life = Life(order_limit=pounds(100_500))
    number = life.raise_(501, end=CONTRACT_SUM, cause=REQUEST)
    life.move(number, "issue")
    with refused("above the order's 100,500.00 GBP"):
        life.answer(number, "approve", FINANCE)


def test_twice_is_refused_and_says_who_it_was(life):
    number = life.agreed()
    with refused("what is approved cannot approve") as error:
        life.answer(number, "approve", FLEET)
    assert f"approved by {FINANCE} since" in error.value.remedy


def test_a_superseded_revision_is_refused(life):
    number = life.raise_(900)
    life.move(number, "issue")
    life.revise(number, 800)
    with refused("rev 0 is superseded by rev 1"):
        life.answer(number, "approve", FLEET, revision=0)


def test_not_issued_is_nothing_to_answer_for_the_customer(life):
    number = life.raise_(100)
    with refused("is not issued yet"):
        life.answer(number, "approve", FLEET)


def test_an_unpriced_finding_is_nothing_to_approve(life):
    number = life.raise_(None)
    with refused("what is found cannot approve"):
        life.answer(number, "approve", FLEET)
    life.revise(number, 700)
    life.move(number, "issue")
    life.answer(number, "approve", FLEET)
    assert life.contract.left == pounds(11_300)


def test_safety_work_cannot_be_declined_but_may_go_ahead(life):
    number = life.raise_(700, cannot_be_declined="brakes", safety=True)
    life.move(number, "issue")
    with refused("cannot be declined: brakes"):
        life.answer(number, "decline", FLEET)
    life.add(happened.MadeSafe, number=number)
    assert life.contract.case(number).made_safe


def test_only_safety_work_goes_ahead_without_an_answer(life):
    number = life.raise_(700)
    with refused("not marked as a safety matter"):
        life.add(happened.MadeSafe, number=number)


def test_declining_needs_its_consequence(life):
    number = life.raise_(700, consequence="")
    life.move(number, "issue")
    with refused("what declining means"):
        life.answer(number, "decline", FLEET)


def test_part_of_it_may_be_agreed_to_and_the_rest_is_listed(life):
    number = life.raise_(700, lines=(line(300), line(400)))
    life.move(number, "issue")
    with refused("some of its 2 lines"):
        life.answer(number, "approve in part", FLEET, lines=(0, 1))
    life.answer(number, "approve in part", FLEET, lines=(1,))
    assert life.contract.totals.drawn == pounds(400)
    assert [case.variation.number for case in life.contract.not_done()] == [number]


def test_an_answer_lapses_only_after_its_day(life):
    number = life.raise_(700, answer_by=(START + timedelta(days=2)).date())
    life.move(number, "issue")
    with refused("may be answered until"):
        life.move(number, "lapse")
    life.at = life.at + timedelta(days=3)
    life.move(number, "lapse")
    assert life.contract.case(number).state == "lapsed"
    assert life.contract.left == pounds(12_000)
    with refused("cannot release"):
        life.move(number, "release")


def test_a_part_is_resolved_once(life):
    life.add(happened.Opened, component="C05", parts=(("P-CWR", "sound"),))
    with refused("P-CWR is resolved already as sound"):
        life.add(happened.Opened, component="C05", parts=(("P-CWR", "worn"),))
    with refused("P-CWR was found sound"):
        life.raise_(100, parts=("P-CWR",))
    life.raise_(100, parts=("P-PLR",))
    with refused("P-PLR has a variation already"):
        life.raise_(100, parts=("P-PLR",))


def test_a_line_measured_again_moves_the_sum_when_it_is_agreed(life):
    again = Remeasured("P-HOS", pounds(900), pounds(1100), Decimal(11), "each")
    number = life.raise_(None, range=None, end=REMEASURED, cause="measured again",
                         remeasured=(again,))  # fmt: skip
    assert life.contract.current_sum == pounds(100_000)
    life.move(number, "issue")
    life.answer(number, "agree", FLEET)
    assert life.contract.current_sum == pounds(100_200)
    assert life.contract.left == pounds(12_000)


def test_what_is_spent_needs_the_customer(life):
    life.agreed(11_900)
    number = life.raise_(500)
    with refused("more than the 100.00 GBP left"):
        life.answer(number, "approve", MANAGER)
    life.move(number, "issue")
    life.answer(number, "approve", FLEET)
    assert life.contract.left == pounds(0)
    assert life.contract.current_sum == pounds(100_400)


def test_hand_over_waits_for_every_answer(life):
    number = life.raise_(700)
    with refused("not answered yet: V01"):
        life.add(happened.HandedOver)
    life.move(number, "withdraw")
    life.add(happened.HandedOver)
    assert life.contract.current_sum == pounds(88_000)
    life.add(happened.AccountClosed)
    with refused("the account is closed"):
        life.add(happened.Tested)


def test_stages_never_pass_the_whole(life):
    life.add(happened.StagePaid, name="S1", share=Decimal("0.6"))
    with refused("invoiced already"):
        life.add(happened.StagePaid, name="S1", share=Decimal("0.1"))
    with refused("110"):
        life.add(happened.StagePaid, name="S2", share=Decimal("0.5"))


def test_numbers_have_no_gaps(life):
    with refused("the next variation is V01, not V07"):
        life.add(happened.Raised, variation=variation("V07"))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"end": "thin air"}, "names no end"),
        ({"cause": "bad luck"}, "names no cause"),
        ({"location": " "}, "has no place"),
        ({"lines": ()}, "neither a price nor a range"),
        ({"days": Decimal(2)}, "names no activity"),
        ({"cause": REQUEST}, "only the contract sum can fund"),
    ],
)
def test_a_variation_that_is_not_complete(life, changes, words):
    with refused(words):
        life.raise_(500, **changes)


def test_refusal_leaves_the_contract_as_it_was(life):
    before = life.contract
    with refused("no variation"):
        life.answer("V09", "approve", FLEET, revision=0)
    assert life.contract is before
    assert replace(before) == before
    assert ESTIMATOR not in before.authorities
