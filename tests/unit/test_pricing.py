"""From a scope to prices: rates, exchange rates, markups, and one rounding a line."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import ExchangeRate
from estimator.domain.pricing import NoRate, exchange_rate, unit_price
from tests.golden.golden_job import golden_inputs
from tests.unit.changed import (
    finding_changed,
    lines_and_price,
    row_changed,
    terms_changed,
)


def rate(currency: str, value: str) -> ExchangeRate:
    return ExchangeRate(currency, Decimal(value), date(2026, 11, 20), "invented")


@pytest.fixture(scope="module")
def lines(job, cat):
    return lines_and_price(job, cat)[0]


@pytest.mark.parametrize(
    ("code", "amount"),
    [
        ("O0003", 1088),  # 12 x 1.25 = 15 h x 72.50 = 1,087.50
        ("P-LIN", 6162),  # 6 x 790 x 1.30
        ("P-TCK", 7292),  # 6,950 x 0.86 x 1.22 = 7,291.94
        ("P-LNR", 2720),  # 6.5 x 310 x 1.35 = 2,720.25
        ("W07", 2852),  # 2,480 x 1.15
    ],
)
def test_lines_worked_by_hand(lines, code, amount):
    assert lines[code].amount.amount == amount


def test_low_and_high_are_the_line_at_its_low_and_high_quantity(lines):
    crack = lines["O1003"]  # 14, 26, 46 h x 1.25 x 81
    assert [one.amount for one in (crack.low, crack.amount, crack.high)] == [1418, 2633, 4658]
    assert all(line.low <= line.amount <= line.high for line in lines.values())


def test_what_a_line_costs_the_workshop_is_without_markup_and_margin(lines, cat):
    assert lines["P-LIN"].cost == 6 * 790
    assert lines["P-TCK"].cost == Decimal(6950) * Decimal("0.86")
    assert lines["O0001"].cost.quantize(Decimal("0.01")) == Decimal("357.73")  # 6 h x 59.6212
    for line in lines.values():
        assert line.cost <= line.amount.amount + 1


def test_a_currency_without_a_rate_is_an_error_that_names_it(job, cat):
    with pytest.raises(NoRate, match="EUR"):
        unit_price(cat.parts["P-TCK"], replace(job, exchange_rates={}), cat)
    with pytest.raises(NoRate, match="USD"):
        exchange_rate(job, "USD")
    assert exchange_rate(job, "GBP") == 1


@given(st.decimals("0.01", 100, places=4))
def test_a_rate_moves_the_rows_of_its_currency_and_no_others(value):
    job, cat = golden_inputs()
    moved = replace(job, exchange_rates={"EUR": rate("EUR", str(value))})
    for code in ("P-TCK", "P-TSL", "P-LIN"):
        row = cat.parts[code]
        unit = unit_price(row, moved, cat)
        wanted = Fraction(row.unit_cost) * (1 + Fraction(cat.markups[row.markup].share))
        wanted *= Fraction(value) if row.currency == "EUR" else 1
        assert Fraction(unit.price) == wanted


def test_a_quote_in_another_currency_turns_every_rate(job, cat):
    """The workshop's own rates are carried over too, labour among them."""
    in_euro = replace(
        terms_changed(job, currency="EUR"), exchange_rates={"GBP": rate("GBP", "1.25")}
    )
    lines, _, _ = lines_and_price(in_euro, cat)
    assert lines["P-LIN"].amount.amount == Decimal(7703)  # 6,162 x 1.25 = 7,702.50
    assert lines["P-TCK"].amount.amount == Decimal(8479)  # 6,950 x 1.22, in its own currency
    assert lines["O0001"].amount.amount == Decimal(596)  # 6 h x 79.50 x 1.25 = 596.25
    assert {line.amount.currency for line in lines.values()} == {"EUR"}


def test_a_line_is_rounded_once_at_its_end(job, catalogue):
    """Three units at 0.35 with 30 % are 1.365: rounding a unit first would give 1.38 or 1.35."""
    cheap = for_class(
        row_changed(catalogue, "parts", "P-LIN", unit_cost=Decimal("0.35"), quantity=Decimal(3)),
        "WL28",
    )
    in_pence = terms_changed(job, quoting_unit=Decimal("0.01"))
    lines, _, _ = lines_and_price(in_pence, cheap)
    assert lines["P-LIN"].amount.minor == 137


@pytest.mark.parametrize("unit", ["0.01", "0.05", "1", "5", "100"])
def test_every_line_is_a_multiple_of_the_quoting_unit(job, cat, unit):
    lines, _, _ = lines_and_price(terms_changed(job, quoting_unit=Decimal(unit)), cat)
    for line in lines.values():
        for amount in (line.amount, line.low, line.high):
            assert amount.amount % Decimal(unit) == 0


@pytest.mark.parametrize("unit", ["0.01", "1", "5"])
def test_a_line_is_within_half_a_unit_of_quantity_times_price(job, cat, unit):
    terms = terms_changed(job, quoting_unit=Decimal(unit))
    lines, _, _ = lines_and_price(terms, cat)
    for line in lines.values():
        exact = line.line.quantity * unit_price(line.line.row, terms, cat).price
        assert abs(line.amount.amount - exact) <= Decimal(unit) / 2


def test_a_counted_quantity_prices_its_line(job, cat):
    recounted = finding_changed(
        job, "I51", quantity=Decimal(51), quantity_low=Decimal(51), quantity_high=Decimal(51)
    )
    lines, _, _ = lines_and_price(recounted, cat)
    # 51 x 148 x 1.30 = 9,812.40; 51 h x 81.00
    assert lines["P-HOS"].amount.amount == 9812
    assert lines["O0807"].amount.amount == 4131


def test_a_line_can_be_asked_why(job, cat):
    _, _, reasons = lines_and_price(job, cat)
    kit = reasons.get("line/P-TCK")
    assert kit.value.amount == 7292
    numbers = dict(kit.numbers)
    assert numbers["cost of one"] == "6950 EUR (2026-11-02)"
    assert "0.86 GBP per EUR" in numbers["exchange rate"]
    assert "22" in numbers["markup"]
    assert "parts.csv, row" in kit.source
    work = reasons.get("line/O0003")
    assert {"hours/O0003", "rate/LH"} <= set(work.inputs)
    hours = dict(reasons.get("hours/O0003").numbers)
    assert hours["hours at the class"] == "12 h"
    assert hours["difficulty"].startswith("1.25")
