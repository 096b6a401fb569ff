"""Stop after teardown: from then on the sum is that of the work done, and of the way back."""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import TEARDOWN_ONLY
from estimator.domain.contract.account import account
from estimator.domain.contract.contract import CannotFollow
from estimator.domain.contract.forms import FORMS
from estimator.domain.contract.ledger import ledger_row
from estimator.domain.contract.variation import (
    CONTRACT_SUM,
    MEASURED,
    OUTSIDE,
    REMEASURED,
    Remeasured,
)
from estimator.domain.money import money_sum
from tests.unit.contract.lives import FINANCE, FLEET, MANAGER, Life, pounds

STRIP, BACK = 9000, 2500


def refused(words: str):
    return pytest.raises(CannotFollow, match=words)


def stop(life: Life, strip: int = STRIP) -> None:
    life.add(happened.StopDecided, FLEET, way="reassembly", amount=pounds(BACK),
             strip=pounds(strip))  # fmt: skip


def lived(**accepted) -> Life:
    """Findings agreed to, done and not begun, on a contract of 100,000 with 12,000 held."""
    life = Life(**accepted)
    done = life.agreed(700)
    life.move(done, "release")
    life.move(done, "finish")
    begun = life.agreed(400, end=CONTRACT_SUM, cause=OUTSIDE)
    life.move(begun, "release")
    life.agreed(3000)  # agreed to, and never begun
    life.raise_(None)  # without a price
    again = Remeasured("P-HOS", pounds(900), pounds(1100), Decimal(11), "each")
    number = life.raise_(None, range=None, end=REMEASURED, cause=MEASURED, remeasured=(again,))
    life.move(number, "issue")
    life.answer(number, "agree", FINANCE)
    life.add(happened.ExchangeSettled, parts=("P-INJ",), sent=Decimal(2), accepted=Decimal(1),
             charge=pounds(95))  # fmt: skip
    return life


@pytest.mark.parametrize("form", FORMS)
def test_the_sum_is_that_of_the_work_done(form, nothing_open):
    life = lived(commercial_form=form)
    stop(life)
    contract = life.contract
    assert contract.current_sum == pounds(STRIP + 700 + 400 + 95 + BACK)
    assert contract.left == pounds(0)
    totals = contract.totals
    sum_ = totals.contract_sum + totals.authorised + totals.exchange + totals.stopped
    if contract.rule.moves_with_measure:
        sum_ = sum_ + totals.remeasured
    assert contract.current_sum == sum_ - totals.released
    row = ledger_row(contract, nothing_open(contract))
    assert row.mark == "closed"
    assert row.forecast_low == row.forecast_high == contract.current_sum


@pytest.mark.parametrize("form", FORMS)
def test_its_account_adds_up_line_by_line(form):
    life = lived(commercial_form=form)
    life.add(happened.StagePaid, MANAGER, name="S1", share=Decimal("0.25"))
    stop(life)
    life.add(happened.HandedOver, FLEET)
    life.add(happened.AccountClosed, MANAGER)
    final = account(life.contract, "S", Decimal(20))
    counted = money_sum((one.amount for one in final.lines if one.counts), "GBP")
    assert counted == final.net == pounds(STRIP + 700 + 400 + 95 + BACK)
    assert final.balance_net == final.net - pounds(25_000)  # paid in advance: it goes back


def test_of_teardown_only_nothing_but_the_way_back_is_added():
    life = Life(extent=TEARDOWN_ONLY, contract_sum=pounds(STRIP), contingency=pounds(0))
    assert life.contract.current_sum == pounds(STRIP)
    stop(life)
    assert life.contract.current_sum == pounds(STRIP + BACK)


def test_a_contingency_given_back_before_is_not_taken_off_twice():
    life = Life()
    life.add(happened.ContingencyReturned, amount=pounds(2000))
    stop(life)
    assert life.contract.current_sum == pounds(STRIP + BACK)
    life.add(happened.HandedOver, FLEET)
    assert life.contract.current_sum == pounds(STRIP + BACK)


def test_what_nobody_began_lapses_and_is_listed():
    life = lived()
    stop(life)
    states = {number: case.state for number, case in life.contract.cases.items()}
    assert states == {
        "V01": "done", "V02": "released", "V03": "lapsed", "V04": "lapsed", "V05": "lapsed",
    }  # fmt: skip
    assert [case.variation.number for case in life.contract.not_done()] == ["V03", "V04", "V05"]
    assert "stopped after teardown" in life.contract.case("V03").steps[-1].reason


def test_no_work_follows_a_stop():
    life = lived()
    stop(life)
    with refused("stopped after teardown"):
        life.raise_(500)
    with refused("stopped after teardown"):
        life.revise("V03", 500)
    with refused("what is lapsed cannot release"):
        life.move("V03", "release")
    with refused("stopped after teardown"):
        life.add(happened.Opened, component="C05", parts=(("P-CWR", "worn"),))
    with refused("stopped after teardown"):
        life.add(happened.StagePaid, name="S1", share=Decimal("0.1"))
    with refused("stopped after teardown"):
        life.add(happened.ContingencyReturned, amount=pounds(1))
    with refused("stopped already"):
        stop(life)


def test_what_the_stop_brings_on_is_charged_by_agreement():
    """Storage past the free days, parts on order that cannot be sent back."""
    life = Life()
    stop(life)
    life.agreed(350, end=CONTRACT_SUM, cause=OUTSIDE, title="Storage, ten days")
    assert life.contract.current_sum == pounds(STRIP + BACK + 350)


def test_nothing_is_stopped_after_hand_over():
    life = Life()
    life.add(happened.HandedOver, FLEET)
    with refused("handed over"):
        stop(life)


def test_a_safety_matter_does_not_keep_a_stopped_machine_in_the_workshop():
    life = Life()
    life.raise_(700, cannot_be_declined="brakes", safety=True)
    stop(life)
    life.add(happened.HandedOver, FLEET)
    assert life.contract.handed_over
