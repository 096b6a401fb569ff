"""Money: whole minor units, half-up and nothing else, no float and no mixture of currencies."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import fsum

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from estimator.domain.money import (
    MINOR_DIGITS,
    CurrencyMismatch,
    Money,
    UnknownCurrency,
    minor_digits,
    money_half_up,
    money_sum,
    round_half_up,
    shares_by_largest_remainder,
)

AMOUNTS = st.decimals(-(10**10), 10**10, places=6)
STEPS = st.sampled_from([Decimal(text) for text in ("0.01", "0.05", "0.5", "1", "5", "100")])
MINORS = st.integers(-(10**13), 10**13)
CURRENCIES = st.sampled_from(sorted(MINOR_DIGITS))


def half_up_by_fractions(value: Decimal, step: Decimal) -> Fraction:
    """Nearest multiple by whole-number arithmetic alone: floor of twice the size plus one."""
    steps = abs(Fraction(value)) / Fraction(step)
    nearest = (2 * steps + 1) // 2
    return (nearest if value >= 0 else -nearest) * Fraction(step)


@pytest.mark.parametrize(
    ("value", "step", "wanted"),
    [
        ("0.5", "1", "1"),
        ("-0.5", "1", "-1"),
        ("1.5", "1", "2"),
        ("2.5", "1", "3"),
        ("-2.5", "1", "-3"),
        ("0.49999999999999999999", "1", "0"),
        ("1.005", "0.01", "1.01"),
        ("-1.005", "0.01", "-1.01"),
        ("2.675", "0.01", "2.68"),
        ("79.495", "0.5", "79.5"),
        ("79.25", "0.5", "79.5"),
        ("-79.25", "0.5", "-79.5"),
        ("12.5", "5", "15"),
        ("1087.50", "1", "1088"),
    ],
)
def test_a_tie_moves_away_from_zero(value, step, wanted):
    assert round_half_up(Decimal(value), Decimal(step)) == Decimal(wanted)


@given(AMOUNTS, STEPS)
def test_rounding_agrees_with_whole_number_arithmetic(value, step):
    assert Fraction(round_half_up(value, step)) == half_up_by_fractions(value, step)


@given(AMOUNTS, STEPS)
def test_a_credit_rounds_like_the_charge_it_undoes(value, step):
    assert round_half_up(-value, step) == -round_half_up(value, step)


@given(AMOUNTS, STEPS)
def test_rounding_twice_changes_nothing(value, step):
    once = round_half_up(value, step)
    assert round_half_up(once, step) == once


@pytest.mark.parametrize("step", ["0", "-1", "-0.01"])
def test_a_step_that_is_none_is_refused(step):
    with pytest.raises(ValueError, match="step"):
        round_half_up(Decimal(1), Decimal(step))


@pytest.mark.parametrize("minor", [1.0, 0.0, True, Decimal(1), "1", None])
def test_money_holds_whole_minor_units_only(minor):
    with pytest.raises(TypeError):
        Money(minor, "GBP")


def test_a_float_never_becomes_money():
    with pytest.raises(TypeError):
        money_half_up(1.5, "GBP")  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        money_half_up(Decimal("1.5"), "GBP", 0.5)  # type: ignore[arg-type]
    with pytest.raises(TypeError):
        round_half_up(1.5, Decimal(1))  # type: ignore[arg-type]


@pytest.mark.parametrize("amount", ["NaN", "sNaN", "Infinity", "-Infinity"])
def test_what_is_no_number_never_becomes_money(amount):
    with pytest.raises((ValueError, ArithmeticError)):
        money_half_up(Decimal(amount), "GBP")


@pytest.mark.parametrize("code", ["gbp", "XXX", "", "GB", "€"])
def test_an_unknown_currency_is_refused(code):
    with pytest.raises(UnknownCurrency):
        Money(0, code)
    with pytest.raises(UnknownCurrency):
        minor_digits(code)


@pytest.mark.parametrize(
    ("code", "minor", "amount", "shown"),
    [
        ("GBP", 123456, "1234.56", "1,234.56 GBP"),
        ("JPY", 123456, "123456", "123,456 JPY"),
        ("KWD", 123456, "123.456", "123.456 KWD"),
        ("CLF", 123456, "12.3456", "12.3456 CLF"),
        ("EUR", -5, "-0.05", "-0.05 EUR"),
        ("EUR", 0, "0.00", "0.00 EUR"),
    ],
)
def test_the_minor_unit_is_the_currency_s_own(code, minor, amount, shown):
    money = Money(minor, code)
    assert money.amount == Decimal(amount)
    assert str(money) == shown


@given(MINORS, CURRENCIES)
def test_major_units_go_back_to_the_same_money(minor, code):
    money = Money(minor, code)
    assert money_half_up(money.amount, code) == money


@pytest.mark.parametrize(
    ("amount", "code", "step", "minor"),
    [
        ("2720.25", "GBP", "1", 272000),
        ("0.005", "GBP", None, 1),
        ("-0.005", "GBP", None, -1),
        ("0.5", "JPY", None, 1),
        ("2.0005", "KWD", None, 2001),
        ("1234.5", "GBP", "5", 123500),
        ("7", "EUR", "0.05", 700),
    ],
)
def test_an_amount_is_rounded_to_the_quoting_unit(amount, code, step, minor):
    got = money_half_up(Decimal(amount), code, None if step is None else Decimal(step))
    assert got == Money(minor, code)


@pytest.mark.parametrize(
    ("code", "step"), [("GBP", "0.001"), ("JPY", "0.5"), ("GBP", "0.015"), ("KWD", "0.0001")]
)
def test_a_step_finer_than_the_minor_unit_is_refused(code, step):
    with pytest.raises(ValueError, match="minor unit"):
        money_half_up(Decimal(1), code, Decimal(step))


def test_two_currencies_never_meet():
    one, other = Money(1, "GBP"), Money(1, "EUR")
    for meet in (
        lambda: one + other,
        lambda: one - other,
        lambda: one < other,
        lambda: one <= other,
        lambda: one > other,
        lambda: one >= other,
        lambda: money_sum([one, other], "GBP"),
        lambda: money_sum([other], "GBP"),
    ):
        with pytest.raises(CurrencyMismatch):
            meet()
    assert one != other


@given(st.lists(MINORS), CURRENCIES)
def test_a_sum_is_the_sum_of_its_minor_units(minors, code):
    assert money_sum((Money(one, code) for one in minors), code) == Money(sum(minors), code)


def test_money_can_be_compared_and_asked_whether_it_is_nothing():
    assert Money(1, "GBP") < Money(2, "GBP") <= Money(2, "GBP")
    assert not Money(0, "GBP")
    assert Money(-1, "GBP")
    assert -Money(5, "GBP") == Money(-5, "GBP")
    assert Money(5, "GBP") - Money(7, "GBP") == Money(-2, "GBP")


# -- shares -----------------------------------------------------------------------------------

WEIGHTS = st.lists(st.floats(-1e6, 1e6, allow_nan=False), min_size=1, max_size=12)


@given(st.integers(-(10**9), 10**9), WEIGHTS, st.sampled_from(["0.01", "1", "5"]))
def test_shares_add_up_exactly_for_any_weights_and_signs(units, weights, step):
    assume(sum(weights) != 0)
    total = Money(units * int(Decimal(step) * 100), "GBP")
    shares = shares_by_largest_remainder(total, weights, Decimal(step))
    assert len(shares) == len(weights)
    assert money_sum(shares, "GBP") == total
    assert all(share.amount % Decimal(step) == 0 for share in shares)


@pytest.mark.parametrize(
    ("minor", "weights"),
    [
        (3131700, [1e9, -1e9, 1e-7]),
        (10**20, [1.0, 2.0, 4.0]),
        (100, [1e308, 1e308]),
        (-700, [3.0, -1.0, 0.1]),
        (700, [-3.0, 1.0, -0.1]),
        (700, [5e-324, 5e-324, 5e-324]),
    ],
)
def test_shares_add_up_at_the_edges_of_floating_point(minor, weights):
    total = Money(minor, "GBP")
    shares = shares_by_largest_remainder(total, weights, Decimal("0.01"))
    assert money_sum(shares, "GBP") == total


@given(st.integers(0, 10**9), st.lists(st.floats(0.001, 1e6), min_size=1, max_size=12))
def test_a_share_is_its_exact_part_up_to_one_step(units, weights):
    shares = shares_by_largest_remainder(Money(units, "GBP"), weights, Decimal("0.01"))
    whole = fsum(weights)
    for share, weight in zip(shares, weights, strict=True):
        assert abs(share.minor - units * weight / whole) < 1 + 1e-6


def test_left_over_steps_go_to_the_largest_remainders_and_the_first_on_a_tie():
    shares = shares_by_largest_remainder(Money(100, "GBP"), [1, 1, 1], Decimal("0.01"))
    assert [share.minor for share in shares] == [34, 33, 33]
    shares = shares_by_largest_remainder(Money(100, "GBP"), [0.2, 0.3, 0.5], Decimal("0.01"))
    assert [share.minor for share in shares] == [20, 30, 50]
    # 12.5, 62.5, 25: the tie of the halves goes to the first
    shares = shares_by_largest_remainder(Money(100, "GBP"), [1, 5, 2], Decimal("0.01"))
    assert [share.minor for share in shares] == [13, 62, 25]


@pytest.mark.parametrize("weights", [[], [0.0], [1.0, -1.0]])
def test_weights_without_a_sum_are_refused(weights):
    with pytest.raises(ValueError, match="weights"):
        shares_by_largest_remainder(Money(100, "GBP"), weights, Decimal("0.01"))


def test_a_total_that_is_no_multiple_of_the_step_is_refused():
    with pytest.raises(ValueError, match="multiple"):
        shares_by_largest_remainder(Money(150, "GBP"), [1.0], Decimal(1))


@pytest.mark.parametrize("step", ["0.001", "0.015", "0", "-1"])
def test_shares_in_a_step_that_cannot_be_are_refused(step):
    with pytest.raises(ValueError):
        shares_by_largest_remainder(Money(300, "GBP"), [1.0, 2.0], Decimal(step))


@pytest.mark.parametrize("weight", [float("nan"), float("inf")])
def test_weights_that_are_no_numbers_are_refused(weight):
    with pytest.raises(ValueError):
        shares_by_largest_remainder(Money(300, "GBP"), [1.0, weight], Decimal("0.01"))
