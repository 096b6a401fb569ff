"""Minor units and printed forms of currencies.

Source: the Unicode locale data (CLDR) as shipped in babel 2.18.0. CLDR's decimals for a currency
are meant for print and differ from ISO 4217 for some currencies; for those a workshop of this
trade meets they agree, except as listed below.
"""

from __future__ import annotations

from decimal import Decimal

import pytest
from babel.numbers import get_currency_precision, list_currencies

from estimator.documents.grammar.wording import Words
from estimator.domain.money import (
    MINOR_DIGITS,
    Money,
    UnknownCurrency,
    minor_digits,
    money_half_up,
)

DIFFER: dict[str, str] = {}
"""Codes whose digits in ISO 4217 are not CLDR's, with the reason. None at babel 2.18.0: the codes
that differ there (such as AFN, ALL, IQD, LAK, MMK, printed without decimals) are not kept here."""


@pytest.mark.parametrize("currency", MINOR_DIGITS)
def test_minor_digits(currency):
    assert currency in list_currencies()
    agree = get_currency_precision(currency) == minor_digits(currency)
    assert agree is (currency not in DIFFER)


@pytest.mark.parametrize(
    ("digits", "currencies"),
    [
        # read in CLDR and ISO 4217 list one
        (0, {"CLP", "ISK", "JPY", "KRW", "VND", "XOF"}),
        (3, {"BHD", "KWD", "OMR", "TND"}),
        (4, {"CLF"}),
    ],
)
def test_currencies_without_hundredths(digits, currencies):
    assert {code for code, found in MINOR_DIGITS.items() if found == digits} == currencies


@pytest.mark.parametrize("code", ["XXX", "gbp", "GB", "EURO", ""])
def test_an_unknown_code_is_refused(code):
    with pytest.raises(UnknownCurrency):
        minor_digits(code)
    with pytest.raises(UnknownCurrency):
        Money(100, code)


@pytest.mark.parametrize(
    ("locale", "currency", "text"),
    [
        # computed with babel 2.18.0 (CLDR) from 1234567.895, rounded half-up to the minor unit
        ("en_GB", "GBP", "\u00a31,234,567.90"),
        ("de_DE", "EUR", "1.234.567,90\u00a0\u20ac"),
        ("fr_FR", "EUR", "1\u202f234\u202f567,90\u00a0\u20ac"),
        ("de_CH", "CHF", "CHF\u00a01\u2019234\u2019567.90"),
        ("en_IN", "INR", "\u20b912,34,567.90"),
        ("ja_JP", "JPY", "\uffe51,234,568"),
    ],
)
def test_printed_sums(locale, currency, text):
    words = Words.of(locale, currency, Decimal(1))
    money = money_half_up(Decimal("1234567.895"), currency)
    assert words.money(money, exact=True) == text


@pytest.mark.parametrize(
    ("currency", "amount", "minor"),
    [
        # by hand: half-up, a tie away from zero; babel's own rounding is half-even (0.12, -1,234)
        ("EUR", "0.125", 13),
        ("EUR", "0.135", 14),
        ("JPY", "-1234.5", -1235),
        ("JPY", "1233.5", 1234),
        ("KWD", "1.0005", 1001),
        ("CLF", "0.00005", 1),
    ],
)
def test_rounding_to_the_minor_unit(currency, amount, minor):
    assert money_half_up(Decimal(amount), currency).minor == minor
