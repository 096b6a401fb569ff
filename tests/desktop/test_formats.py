"""Figures as locales write them, checked against Babel itself, and what may be typed."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from babel.numbers import format_currency, format_decimal
from hypothesis import given
from hypothesis import strategies as st

from estimator.desktop.formats import DASH, MINUS, Formats, NotANumber, known
from estimator.domain.money import Money

LOCALES = ("en_GB", "en_US", "de_DE", "fr_FR", "de_CH", "sv_SE")


@pytest.mark.parametrize("locale", LOCALES)
def test_a_number_is_written_as_babel_writes_it(locale):
    # Babel 2.18 (CLDR data) is the outside reference.
    for value in ("1234567.5", "0.25", "12", "999"):
        expected = format_decimal(Decimal(value), locale=locale)
        assert Formats(locale).number(Decimal(value)) == expected


@pytest.mark.parametrize("locale", ["en_GB", "de_DE", "fr_FR"])
def test_money_puts_the_sign_where_babel_puts_it(locale):
    shown = Formats(locale).money(Money(123456789, "GBP"), whole=False)
    expected = format_currency(Decimal("1234567.89"), "GBP", locale=locale)
    assert shown.replace("\u202f", " ").replace("\u00a0", " ") == expected.replace(
        "\u202f", " "
    ).replace("\u00a0", " ")


def test_a_negative_sum_has_a_true_minus_and_nothing_is_a_dash():
    say = Formats("en_GB")
    assert say.sum(Money(-250000, "GBP")) == f"{MINUS}2,500"
    assert say.sum(Money(0, "GBP")) == say.sum(None) == DASH


@given(
    st.decimals(-(10**9), 10**9, places=3) | st.integers(-(10**9), 10**9).map(Decimal),
    st.sampled_from(LOCALES),
)
def test_what_is_written_reads_back_as_the_same_number(value, locale):
    say = Formats(locale)
    assert say.read_number(say.number(value)) == value


@pytest.mark.parametrize(
    "locale, typed, value",
    [
        ("en_GB", "1,234.5", "1234.5"),
        ("de_DE", "1.234,5", "1234.5"),
        ("de_DE", "121,06", "121.06"),
        ("de_DE", "121.06", "121.06"),
        ("de_DE", "1.234", "1234"),
        ("fr_FR", "1 234,5", "1234.5"),
        ("fr_FR", "1\u202f234,5", "1234.5"),
        ("en_GB", f"{MINUS}3", "-3"),
    ],
)
def test_numbers_are_read_as_the_locale_writes_them(locale, typed, value):
    assert Formats(locale).read_number(typed) == Decimal(value)


@pytest.mark.parametrize("typed", ["", "12l.3", "1,2,3", "1e9", "nan", "inf", "1_000", "--1", "=1"])
def test_text_that_is_no_number_says_how_to_write_one(typed):
    with pytest.raises(NotANumber, match=r"1,234\.5"):
        Formats("en_GB").read_number(typed)


@pytest.mark.parametrize(
    "locale, typed, day",
    [
        ("en_GB", "5/3/2027", date(2027, 3, 5)),
        ("en_US", "3/5/2027", date(2027, 3, 5)),
        ("de_DE", "5.3.27", date(2027, 3, 5)),
        ("fr_FR", "2027-03-05", date(2027, 3, 5)),
    ],
)
def test_days_are_read_in_the_locale_s_order(locale, typed, day):
    assert Formats(locale).read_day(typed) == day


@pytest.mark.parametrize("typed", ["", "tomorrow", "31/2/2027", "2027", "1/2/3/4"])
def test_text_that_is_no_day_says_how_to_write_one(typed):
    with pytest.raises(NotANumber, match="2027-03-05"):
        Formats("en_GB").read_day(typed)


def test_an_unknown_locale_falls_back():
    assert known("xx_YY") == "en_GB"
    assert known("de-DE") == "de_DE"
