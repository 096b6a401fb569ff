"""Totals of a document with tax by category (EN 16931)."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.money import CurrencyMismatch, Money
from estimator.domain.tax import Taxed, document_totals


def taxed(minor: int, rate: str = "20", category: str = "S", currency: str = "GBP") -> Taxed:
    return Taxed(Money(minor, currency), category, Decimal(rate))


def test_allowances_are_taken_off_and_charges_added():
    totals = document_totals([taxed(10000), taxed(5000)], [taxed(1000)], [taxed(500)], "GBP")
    assert (totals.lines.minor, totals.allowances.minor, totals.charges.minor) == (15000, 1000, 500)
    assert totals.net.minor == 14500
    assert totals.tax.minor == 2900
    assert totals.gross.minor == 17400


def test_tax_is_reckoned_on_the_base_of_a_category_not_line_by_line():
    # 3 x 0.02 at 20 % is 0.012, so 0.01; line by line it would be nothing
    totals = document_totals([taxed(2), taxed(2), taxed(2)], [], [], "GBP")
    assert totals.tax.minor == 1


@pytest.mark.parametrize(
    ("minor", "rate", "tax"),
    [
        (1250, "0.2", 3),
        (250, "5", 13),
        (-250, "5", -13),
        (50, "1", 1),
        (-50, "1", -1),
        (49, "1", 0),
    ],
)
def test_a_tie_in_tax_moves_away_from_zero_for_credits_too(minor, rate, tax):
    assert document_totals([taxed(minor, rate)], [], [], "GBP").tax.minor == tax


def test_categories_and_rates_are_kept_apart():
    totals = document_totals(
        [taxed(10000, "20"), taxed(10000, "5"), taxed(10000, "0", "Z"), taxed(10000, "20.0")],
        [taxed(1000, "5")],
        [],
        "GBP",
    )
    found = [(line.category, line.rate, line.base.minor, line.tax.minor) for line in totals.taxes]
    assert found == [("S", 20, 20000, 4000), ("S", 5, 9000, 450), ("Z", 0, 10000, 0)]


def test_a_document_without_lines_comes_to_nothing():
    totals = document_totals([], [], [], "JPY")
    assert totals.gross == Money(0, "JPY")
    assert totals.taxes == ()


def test_another_currency_is_refused():
    with pytest.raises(CurrencyMismatch):
        document_totals([taxed(1, currency="EUR")], [], [], "GBP")


SUMS = st.lists(
    st.tuples(
        st.integers(-(10**9), 10**9),
        st.sampled_from(["0", "5", "7.7", "20"]),
        st.sampled_from(["S", "Z", "AE"]),
    ),
    max_size=8,
)


@given(SUMS, SUMS, SUMS)
def test_what_is_printed_adds_up(lines, allowances, charges):
    groups = [[taxed(*one) for one in group] for group in (lines, allowances, charges)]
    totals = document_totals(*groups, "GBP")
    assert totals.net == totals.lines - totals.allowances + totals.charges
    assert totals.gross == totals.net + totals.tax
    assert sum(line.base.minor for line in totals.taxes) == totals.net.minor
    assert sum(line.tax.minor for line in totals.taxes) == totals.tax.minor
    assert len({(line.category, line.rate) for line in totals.taxes}) == len(totals.taxes)
    for line in totals.taxes:
        exact = line.base.amount * line.rate / 100
        assert abs(line.tax.amount - exact) <= Decimal("0.005")
