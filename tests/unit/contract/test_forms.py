"""One ledger rule per commercial form, each worked by hand.

Contract sum 100,000 with 12,000 held; lines measured again add 2,000; a finding of 5,000 inside the
scope; 1,500 on the customer's request; an exchange unit at 300.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import SHARED_HALF, TO_CUSTOMER, TO_WORKSHOP
from estimator.domain.contract.forms import (
    FIXED,
    FORMS,
    NAMED,
    NOT_TO_EXCEED,
    PROVISIONAL_SUMS,
    RULES,
    SCHEDULE_OF_RATES,
)
from estimator.domain.contract.variation import CONTRACT_SUM, REQUEST, Remeasured
from tests.unit.contract.lives import FINANCE, FLEET, Life, pounds


def lived(form: str, finding: int = 5000, measured: int = 2000, **accepted: object) -> Life:
    life = Life(commercial_form=form, **accepted)
    again = Remeasured("P-HOS", pounds(8000), pounds(8000 + measured), Decimal(51), "each")
    life.add(happened.Opened, component="C08", parts=(), measured=(again,))
    life.agreed(finding)
    number = life.raise_(1500, end=CONTRACT_SUM, cause=REQUEST)
    life.move(number, "issue")
    life.answer(number, "approve", FLEET)
    life.add(
        happened.ExchangeSettled, parts=("P-INJ",), sent=Decimal(6), accepted=Decimal(5),
        charge=pounds(300),
    )  # fmt: skip
    return life


@pytest.mark.parametrize(
    ("form", "before", "left", "after"),
    [
        # 100,000 + 2,000 + 1,500 + 300 = 103,800; 12,000 - 5,000 = 7,000 goes back
        (NAMED, 103_800, 7_000, 96_800),
        # 100,000 + 1,500 + 300; nothing measured or found moves it
        (FIXED, 101_800, 7_000, 101_800),
        # a ceiling of 100,000 for base 88,000 + 2,000 + 5,000 = 95,000; + 1,500 + 300
        (NOT_TO_EXCEED, 101_800, 5_000, 96_800),
        (PROVISIONAL_SUMS, 103_800, 7_000, 96_800),
    ],
)
def test_sum_and_what_is_left(form, before, left, after):
    life = lived(form)
    assert life.contract.current_sum == pounds(before)
    assert life.contract.left == pounds(left)
    life.add(happened.HandedOver)
    assert life.contract.current_sum == pounds(after)
    assert life.contract.left == pounds(0)


def test_a_schedule_of_rates_holds_nothing_and_pays_what_is_found():
    life = lived(SCHEDULE_OF_RATES, contract_sum=pounds(88_000), contingency=pounds(0))
    # 88,000 + 2,000 + 5,000 + 1,500 + 300
    assert life.contract.current_sum == pounds(96_800)
    assert life.contract.left == pounds(0)


@pytest.mark.parametrize(
    ("form", "sum_", "own"),
    [
        (NAMED, 106_800, 0),  # 3,000 beyond the 12,000, on the contract sum
        (FIXED, 101_800, 3_000),
        (NOT_TO_EXCEED, 101_800, 5_000),  # 88,000 + 2,000 + 15,000 = 105,000; 5,000 above
        (PROVISIONAL_SUMS, 106_800, 0),
    ],
)
def test_who_pays_once_nothing_is_left(form, sum_, own):
    life = lived(form, finding=15_000)
    assert life.contract.current_sum == pounds(sum_)
    assert life.contract.workshop_cost == pounds(own)
    life.add(happened.HandedOver)
    assert life.contract.current_sum == pounds(sum_)


@pytest.mark.parametrize(
    ("unspent", "returned"), [(TO_CUSTOMER, 7_000), (TO_WORKSHOP, 0), (SHARED_HALF, 3_500)]
)
def test_whose_the_unspent_is(unspent, returned):
    life = lived(NAMED, unspent=unspent)
    life.add(happened.HandedOver)
    assert life.contract.current_sum == pounds(103_800 - returned)


def test_a_fixed_price_keeps_the_unspent_whatever_was_written():
    assert RULES[FIXED].whose_unspent(TO_CUSTOMER) == TO_WORKSHOP


def test_half_of_the_unspent_counts_what_went_back_before():
    life = lived(NAMED, unspent=SHARED_HALF)
    life.add(happened.ContingencyReturned, amount=pounds(2_000))
    life.add(happened.HandedOver)
    assert life.contract.current_sum == pounds(103_800 - 3_500)


def test_every_form_has_its_rule():
    assert set(RULES) == set(FORMS)
    for rule in RULES.values():
        assert rule.overrun in ("customer", "workshop")


@pytest.mark.parametrize("form", FORMS)
def test_finance_is_never_asked_for_what_the_workshop_bears(form):
    life = Life(commercial_form=form)
    life.agreed(12_000)
    before = life.contract.current_sum
    number = life.raise_(100)
    life.move(number, "issue")
    life.answer(number, "approve", FINANCE)
    moved = life.contract.current_sum - before
    assert moved == (pounds(0) if RULES[form].overrun == "workshop" else pounds(100))
