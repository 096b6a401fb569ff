"""What must be held for parts found worn: the bound that rules, and shares that add up."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.exposure.contingency import (
    MEAN,
    NOTHING,
    PERCENTILE,
    contingency,
    contingency_amount,
    spread_of,
)
from estimator.domain.exposure.pert import Pert
from estimator.domain.money import Money, money_sum
from estimator.domain.scope import PROVISIONAL
from tests.unit.changed import lines_and_price
from tests.unit.exposure.models import Open, item, known, opens

UNITS = st.sampled_from([Decimal("0.01"), Decimal(1), Decimal(5)])
CONFIDENCES = st.sampled_from([Decimal(text) for text in ("0.5", "0.6", "0.8", "0.9", "0.99")])


def held(found: Open, confidence: str | Decimal = "0.8", unit: str | Decimal = "1", lines=()):
    return contingency(
        found.known, found.exposed, tuple(lines), Decimal(confidence), "GBP", Decimal(unit)
    )


@pytest.fixture(scope="module")
def provisional(job, cat):
    lines, _, _ = lines_and_price(job, cat)
    return [line for line in lines.values() if line.line.certainty == PROVISIONAL]


NONE_OPEN = Open((), ())


def test_nothing_exposed_holds_nothing():
    got = held(NONE_OPEN)
    assert got.amount == Money(0, "GBP")
    assert got.bound == NOTHING
    assert got.shares == ()
    assert got.group_amounts("GBP") == {}
    assert contingency_amount(known([]), (), (), Decimal("0.8"), "GBP", Decimal(1)) == Money(
        0, "GBP"
    )


def test_a_part_worn_for_certain_is_held_for_at_its_percentile():
    from scipy.stats import beta

    got = held(Open((item("A", 1.0),), (Pert(1000, 1500, 3000),)), unit="0.01")
    wanted = beta(2, 4, loc=1000, scale=2000).ppf(0.8)
    assert got.bound == PERCENTILE
    assert float(got.amount.amount) == pytest.approx(wanted, abs=0.5)
    assert got.shares[0].amount == got.amount


def test_with_one_unlikely_part_the_mean_rules():
    got = held(Open((item("A", 0.05),), (Pert(1000, 1500, 3000),)))
    assert got.bound == MEAN
    assert got.amount == Money(8300, "GBP")  # 0.05 x 1,666.67 = 83.33
    assert got.at_confidence < 83


def test_provisional_lines_that_can_only_fall_hold_nothing(provisional):
    falling = [replace(line, high=line.amount) for line in provisional]
    got = held(NONE_OPEN, confidence="0.5", lines=falling)
    assert got.bound == NOTHING
    assert got.amount == Money(0, "GBP")
    assert {share.amount.minor for share in got.shares} == {0}


def test_a_line_may_move_by_what_its_low_and_high_say(provisional):
    line = next(one for one in provisional if one.id == "O1003")
    assert spread_of(line) == Pert(1418 - 2633, 0, 4658 - 2633)


def test_a_provisional_line_without_a_range_is_no_uncertainty(provisional):
    still = [replace(line, low=line.amount, high=line.amount) for line in provisional]
    assert held(NONE_OPEN, lines=still).distribution is None


@settings(max_examples=8)
@given(opens(1, 3), CONFIDENCES, UNITS)
def test_shares_sum_to_the_contingency_exactly(found, confidence, unit):
    got = held(found, confidence, unit)
    assert money_sum((share.amount for share in got.shares), "GBP") == got.amount
    assert money_sum(got.group_amounts("GBP").values(), "GBP") == got.amount
    assert {share.id for share in got.shares} == {one.part for one in found.items}
    assert got.amount.amount % unit == 0
    assert all(share.amount.amount % unit == 0 for share in got.shares)


def test_shares_of_parts_and_lines_together_sum_exactly(provisional):
    found = Open(
        (item("A", 0.4, "EO"), item("B", 0.2, "EO")), (Pert(900, 1000, 2000), Pert(1, 2, 90))
    )
    got = held(found, unit="0.01", lines=provisional)
    assert money_sum((share.amount for share in got.shares), "GBP") == got.amount
    assert {share.id for share in got.shares} == {"A", "B", *(one.id for one in provisional)}


@settings(max_examples=4)
@given(opens(1, 3), UNITS)
def test_the_contingency_rises_with_confidence_and_never_falls_below_the_mean(found, unit):
    amounts = [
        contingency_amount(found.known, found.exposed, (), Decimal(text), "GBP", unit).amount
        for text in ("0.5", "0.8", "0.99")
    ]
    assert amounts == sorted(amounts)
    mean = sum(
        found.known.model.chance(one) * cost.mean
        for one, cost in zip(found.items, found.costs, strict=True)
    )
    assert float(amounts[0]) >= mean - float(unit) / 2 - 1e-6


@settings(max_examples=4)
@given(opens(1, 3), CONFIDENCES)
def test_the_amount_alone_is_the_amount_with_its_shares(found, confidence):
    alone = contingency_amount(found.known, found.exposed, (), confidence, "GBP", Decimal(1))
    assert alone == held(found, confidence).amount


@settings(max_examples=4)
@given(opens(2, 3), st.randoms(use_true_random=False))
def test_the_order_of_parts_moves_no_money(found, random):
    pairs = list(zip(found.items, found.costs, strict=True))
    random.shuffle(pairs)
    shuffled = Open(tuple(one for one, _ in pairs), tuple(cost for _, cost in pairs))
    # a fraction of a penny in the series may tip a rounding over
    assert (
        abs(held(shuffled, unit="0.01").amount.minor - held(found, unit="0.01").amount.minor) <= 1
    )


@settings(max_examples=3)
@given(opens(1, 2), st.floats(1.0, 3.0))
def test_a_likelier_or_dearer_part_never_holds_less(found, by):
    first = found.items[0]
    base = held(found, unit="0.01").amount.minor
    likelier = replace(found, items=(replace(first, ratio=first.ratio * by), *found.items[1:]))
    dearer = replace(
        found,
        costs=(found.costs[0].moved(found.costs[0].mean * (by - 1)), *found.costs[1:]),
    )
    # in pence: a thousandth of what is at stake, for the blur over steps
    slack = 0.1 * sum(cost.high for cost in found.costs)
    assert held(likelier, unit="0.01").amount.minor >= base - slack
    assert held(dearer, unit="0.01").amount.minor >= base - slack


@pytest.mark.parametrize("confidence", ["0", "1", "-0.1", "1.2"])
def test_a_confidence_outside_nothing_and_one_is_refused(confidence):
    with pytest.raises(ValueError, match="confidence"):
        held(Open((item("A"),), (Pert(1, 2, 3),)), confidence)


def test_wear_that_goes_together_costs_more(priced):
    """Five parts of one oil: the total is as likely to be nothing as before, and dearer."""
    cost = Pert(995, 1000, 1010)
    apart = Open(tuple(item(f"P{n}", 0.2, life=0.0) for n in range(5)), (cost,) * 5)
    together = Open(tuple(item(f"P{n}", 0.2, "EO", 0.6, 0.6) for n in range(5)), (cost,) * 5)
    assert held(together, "0.9").mean == pytest.approx(held(apart, "0.9").mean)
    assert held(together, "0.9").amount.minor > held(apart, "0.9").amount.minor
    assert priced.contingency.bound == PERCENTILE
