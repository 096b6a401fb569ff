"""The charge rate of a trade, built up from what an hour costs."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.charge_rate import charge_rate, cost_rate, labour_cost, note_rate
from estimator.domain.reasons import Reasons


def test_a_heavy_fitter_by_hand(cat):
    fitter = cat.trades["HF"]
    # 19.80 x 2,080 x 1.24 / 1,615 = 31.6212; + 28 = 59.6212; / 0.75 = 79.495, so 79.50
    assert labour_cost(fitter).quantize(Decimal("0.0001")) == Decimal("31.6212")
    assert cost_rate(fitter).quantize(Decimal("0.0001")) == Decimal("59.6212")
    assert charge_rate(fitter) == Decimal("79.50")


def test_a_margin_is_a_share_of_the_price(cat):
    fitter = replace(cat.trades["HF"], margin=Decimal("0.2"), rate_step=Decimal("0.01"))
    assert abs(charge_rate(fitter) - cost_rate(fitter) * Decimal("1.25")) <= Decimal("0.005")


@pytest.mark.parametrize("step", ["0.01", "0.5", "1", "5"])
def test_a_rate_is_a_multiple_of_its_step_and_half_a_step_away_at_most(cat, step):
    for trade in cat.trades.values():
        one = replace(trade, rate_step=Decimal(step))
        assert charge_rate(one) % Decimal(step) == 0
        assert abs(charge_rate(one) - cost_rate(one) / (1 - one.margin)) <= Decimal(step) / 2


def test_a_rate_can_be_asked_why(cat):
    reasons = Reasons()
    name = note_rate(cat.trades["HF"], reasons)
    note_rate(cat.trades["HF"], reasons)  # each line of the trade asks for it again
    assert reasons.get(name).value == Decimal("79.50")
    assert reasons.get("cost_rate/HF").numbers[0] == ("wage", "19.80 GBP/h")
    assert "trades.csv, row 2" in reasons.get(name).source
