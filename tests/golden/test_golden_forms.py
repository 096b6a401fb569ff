"""Commercial forms of the golden job: base 244,629, contingency 31,317, mean 22,734.90 (its
README and expected totals); the rest follows from these by the forms' own rules."""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.domain.money import Money
from estimator.services.show_forms import (
    FIXED,
    NAMED,
    NOT_TO_EXCEED,
    SCHEDULE_OF_RATES,
    show_certainty,
    show_forms,
)

BASE, CONTINGENCY, MEAN = 244_629, 31_317, Decimal("22734.90")
A_PENNY = Decimal("0.011")  # the expected mean gives two places


@pytest.fixture(scope="module")
def forms(golden):
    return {row.form: row for row in show_forms(golden)}


def test_what_is_quoted(forms):
    for form in (FIXED, NOT_TO_EXCEED, NAMED):
        assert forms[form].quoted == Money((BASE + CONTINGENCY) * 100, "GBP")
    assert forms[SCHEDULE_OF_RATES].quoted == Money(BASE * 100, "GBP")


def test_what_is_paid_in_the_mean(forms):
    named, capped, fixed = forms[NAMED], forms[NOT_TO_EXCEED], forms[FIXED]
    assert abs(named.pays.amount - (BASE + MEAN)) < A_PENNY
    assert fixed.pays.amount == BASE + CONTINGENCY
    assert capped.pays + capped.overrun == named.pays


def test_the_premium_of_a_fixed_price(forms):
    """31,317 less 22,734.90."""
    assert abs(forms[FIXED].workshop.amount - (CONTINGENCY - MEAN)) < A_PENNY


def test_how_often_the_sum_is_passed(forms):
    """At 8 in 10 it is passed in 2 of 10 (the percentile bound rules)."""
    for form in (FIXED, NOT_TO_EXCEED, NAMED):
        assert forms[form].passed == pytest.approx(0.2, abs=1e-5)


def test_overrun_agrees_with_the_expected_percentiles(golden, forms, expected):
    """E max(S - P80, 0) lies between what the expected P80, P90 and P95 allow: at least
    0.1 (P90 - P80) + 0.05 (P95 - P90), the area that these steps cut off below 1 - F."""
    reached = {
        row["id"]: float(row["expected_GBP"])
        for row in expected("exposure")
        if row["kind"] == "total" and row["id"].startswith("P")
    }
    p80, p90, p95 = (reached[code] for code in ("P80", "P90", "P95"))
    least = 0.1 * (p90 - p80) + 0.05 * (p95 - p90)
    most = 0.2 * (p90 - p80) + 0.1 * (p95 - p90) + 0.05 * (3 * (p95 - p80))
    assert least < float(forms[NAMED].overrun.amount) < most
    assert golden.contingency.at_confidence == pytest.approx(p80, abs=0.5)


def test_what_certainty_costs(golden, expected):
    found = {row.confidence: row for row in show_certainty(golden)}
    assert found[Decimal("0.8")].price == golden.price.net
    wanted = {
        Decimal(row["id"].removeprefix("P")) / 100: float(row["expected_GBP"])
        for row in expected("exposure")
        if row["kind"] == "total" and row["id"] in ("P50", "P80", "P90", "P95")
    }
    for confidence, reached in wanted.items():
        held = max(reached, float(MEAN))
        assert abs(float(found[confidence].price.amount) - BASE - held) <= 0.51, confidence
    assert found[Decimal("0.5")].bound == "mean"
    assert [row.price.minor for row in found.values()] == sorted(
        row.price.minor for row in found.values()
    )
