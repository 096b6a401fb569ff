"""Charge rates: a worked example, and margin against markup."""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.rows import Trade
from estimator.domain.charge_rate import charge_rate, cost_rate, labour_cost

CENT = Decimal("0.01")


def trade(**changed: str | Decimal) -> Trade:
    """The worked example's trade: wage 32, 2,080 paid and 1,615 sold hours, overhead 62,000."""
    values = {
        "wage_per_hour": "32", "paid_hours": "2080", "on_cost": "0.22", "sold_hours": "1615",
        "overhead_per_hour": Decimal(62000) / 1615, "margin": "0.20", "rate_step": "0.01",
        **changed,
    }  # fmt: skip
    return Trade(
        origin="own", id="T", name="Example", currency="GBP",
        **{name: Decimal(value) for name, value in values.items()},
    )  # fmt: skip


def to_cents(value: Decimal) -> Decimal:
    return value.quantize(CENT, rounding=ROUND_HALF_UP)


def test_worked_example():
    # Computed by hand in the trade notes, its figures invented; the 1,615 sold hours are
    # published: 85 % of 2,080 - 180 = 1,900 available hours (equipment-dealer magazine, 2019).
    assert (2080 - 180) * Decimal("0.85") == 1615
    one = trade()
    assert to_cents(one.wage_per_hour * one.paid_hours * (1 + one.on_cost)) == Decimal("81203.20")
    assert to_cents(labour_cost(one)) == Decimal("50.28")
    assert to_cents(cost_rate(one)) == Decimal("88.67")
    assert charge_rate(one) == Decimal("110.84")


@pytest.mark.parametrize(
    ("step", "rate"), [("0.50", "111.00"), ("1", "111"), ("5", "110"), ("0.01", "110.84")]
)
def test_rounded_half_up_to_the_step(step, rate):
    # by hand from 110.838
    assert charge_rate(trade(rate_step=step)) == Decimal(rate)


@pytest.mark.parametrize(
    ("code", "cost", "rate"),
    [
        ("HF", "59.6212", "79.50"),  # by hand: 19.80 x 2,080 x 1.24 / 1,615 + 28; / 0.75 = 79.495
        ("LH", "54.1913", "72.50"),  # 16.40 x 1.5970 + 28 = 54.19; / 0.75 = 72.26
    ],
)
def test_golden_trades(golden_catalogue, code, cost, rate):
    one = golden_catalogue.trades[code]
    assert cost_rate(one).quantize(Decimal("0.0001"), rounding=ROUND_HALF_UP) == Decimal(cost)
    assert charge_rate(one) == Decimal(rate)


@pytest.mark.parametrize(("margin", "markup"), [("0.20", "0.25"), ("0.25", "0.3333")])
def test_a_margin_is_no_markup(margin, markup):
    # published in many trade papers, read as excerpt: markup = margin / (1 - margin)
    one = trade(margin=margin, rate_step="0.000001")
    found = charge_rate(one) / cost_rate(one) - 1
    assert found == pytest.approx(Decimal(markup), abs=Decimal("0.0001"))


@settings(deadline=None, max_examples=200, database=None)
@given(
    margin=st.decimals(min_value=0, max_value="0.8", places=3),
    wage=st.decimals(min_value=5, max_value=90, places=2),
)
def test_margin_and_markup_say_the_same(margin, wage):
    one = trade(margin=margin, wage_per_hour=wage, rate_step="0.000001")
    rate, cost = charge_rate(one), cost_rate(one)
    assert (rate - cost) / rate == pytest.approx(margin, abs=Decimal("0.000001"))
    assert rate / cost - 1 == pytest.approx(margin / (1 - margin), abs=Decimal("0.00001"))


def test_a_higher_margin_never_lowers_the_rate():
    one = trade()
    rates = [charge_rate(replace(one, margin=Decimal(share) / 100)) for share in range(0, 90, 5)]
    assert rates == sorted(rates)
    assert len(set(rates)) == len(rates)
