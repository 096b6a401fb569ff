"""How figures are written in print: sums, dates, shares and quantities, by locale.

Sums are exact already; nothing is rounded here that the reader could add up differently. Babel
rounds half to even, so whatever must lose digits is rounded half-up before it gets there.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from functools import cache

from babel.core import Locale
from babel.dates import format_date
from babel.numbers import (
    NumberPattern,
    get_currency_symbol,
    get_decimal_symbol,
    get_group_symbol,
    parse_pattern,
)

from estimator.documents.grammar import labels
from estimator.documents.grammar.spoken import spoken, written_in
from estimator.domain.language import ENGLISH, is_english
from estimator.domain.money import Money, minor_digits, round_half_up

NOTHING = "\N{EN DASH}"
MINUS = "\N{MINUS SIGN}"
THIN = "\N{NARROW NO-BREAK SPACE}"
_NOUNS_LARGE = ("de",)  # languages whose nouns begin with a capital wherever they stand
_SPACED_MARKS = ("fr",)  # languages with a space before a semicolon
_ODDS_OF = (10, 20, 40, 100)


@dataclass(frozen=True, slots=True)
class Words:
    """Formats of one document: its locale, currency, and the decimals its estimates carry."""

    locale: Locale
    currency: str
    estimate_digits: int

    @classmethod
    def of(cls, locale: str, currency: str, quoting_unit: Decimal) -> Words:
        """Formats for a locale such as en_GB. Raises ValueError where Babel knows none."""
        from babel.core import UnknownLocaleError

        try:
            known = Locale.parse(locale)
        except (UnknownLocaleError, ValueError) as error:
            raise ValueError(f"no number and date formats are known for {locale!r}") from error
        whole = quoting_unit == quoting_unit.to_integral_value()
        return cls(known, currency, 0 if whole else minor_digits(currency))

    def foreign_to(self, language: str) -> bool:
        """Whether figures and dates are written as in another language than this."""
        return str(self.locale.language) != language

    @property
    def locale_name(self) -> str:
        """Name of the locale in English: German (Germany)."""
        return str(self.locale.get_display_name("en"))

    @property
    def symbol(self) -> str:
        """Sign of the currency as readers of the locale know it."""
        return str(get_currency_symbol(self.currency, self.locale))

    def number(self, value: Decimal, digits: int) -> str:
        """A number with exactly `digits` decimals, grouped, with a true minus."""
        rounded = round_half_up(value, Decimal(1).scaleb(-digits))
        return (MINUS if rounded < 0 else "") + _written(self.locale, abs(rounded), digits)

    def sum(self, money: Money, *, exact: bool = False) -> str:
        """A sum without its currency, for table cells; a dash for nothing.

        Estimates show no minor units unless they hold some; `exact` always shows them.
        """
        return self._plain(money, exact) if money else NOTHING

    def _plain(self, money: Money, exact: bool = False) -> str:
        full = minor_digits(money.currency)
        digits = full if exact or money.amount % 1 else self.estimate_digits
        return self.number(money.amount, digits)

    def money(self, money: Money, *, exact: bool = False) -> str:
        """A sum with its currency, placed as the locale has it."""
        minus, plain = ("", money) if money.minor >= 0 else (MINUS, -money)
        pattern = self.locale.currency_formats["standard"].pattern.split(";")[0]
        symbol, number = self.symbol, self._plain(plain, exact)
        if pattern.strip().startswith("\xa4"):
            between = "\N{NO-BREAK SPACE}" if symbol[-1:].isalpha() else ""
            return f"{minus}{symbol}{between}{number}"
        return f"{minus}{number}\N{NO-BREAK SPACE}{symbol}"

    def day(self, day: date) -> str:
        """A date in full: 12 March 2027."""
        text = format_date(day, format="long", locale=self.locale)
        return str(text).replace(" ", "\N{NO-BREAK SPACE}")

    def percent(self, value: Decimal) -> str:
        """A percentage given in percent, with the decimals it holds."""
        return f"{self.quantity(value)}{THIN}%"

    def share(self, share: Decimal, digits: int = 0) -> str:
        """A share of one as a percentage, to `digits` decimals at most."""
        return self.percent(round_half_up(share * 100, Decimal(1).scaleb(-digits)))

    def quantity(self, value: Decimal) -> str:
        """A number with the decimals it holds, three at most."""
        exact = round_half_up(value, Decimal("0.001")).normalize()
        exponent = exact.as_tuple().exponent
        return self.number(exact, -exponent if isinstance(exponent, int) and exponent < 0 else 0)

    def rate(self, value: Decimal) -> str:
        """A rate with every digit it holds."""
        exponent = value.normalize().as_tuple().exponent
        return self.number(value, max(-exponent if isinstance(exponent, int) else 0, 2))

    def column(self, values: Iterable[Decimal]) -> list[str]:
        """Numbers of one column, all with as many decimals as any of them needs."""
        rows = list(values)
        digits = max((_decimals(value) for value in rows), default=0)
        return [self.number(value, digits) if value else NOTHING for value in rows]


def _written(locale: Locale, value: Decimal, digits: int) -> str:
    """A number that has no more decimals than `digits`; most locales group by thousands, which
    Babel need not be asked for each time."""
    marks = _by_thousands(locale)
    if marks is None:
        return str(_pattern(locale, digits).apply(value, locale))
    group, point = marks
    whole, _, part = f"{value:,.{digits}f}".partition(".")
    return whole.replace(",", group) + (point + part if part else "")


@cache
def _by_thousands(locale: Locale) -> tuple[str, str] | None:
    """Signs between thousands and before decimals; None where the locale groups otherwise."""
    if _pattern(locale, 0).grouping != (3, 3):
        return None
    return get_group_symbol(locale), get_decimal_symbol(locale)


@cache
def _pattern(locale: Locale, digits: int) -> NumberPattern:
    """The locale's own grouping (lakhs in India, thousands elsewhere) with `digits` decimals."""
    whole = locale.decimal_formats[None].pattern.split(";")[0].split(".")[0]
    return parse_pattern(whole + ("." + "0" * digits if digits else ""))


def _decimals(value: Decimal) -> int:
    exponent = value.normalize().as_tuple().exponent
    return min(3, -exponent) if isinstance(exponent, int) and exponent < 0 else 0


def within(text: str) -> str:
    """A name as it stands inside a sentence: first letter small, unless it is an abbreviation."""
    if spoken() in _NOUNS_LARGE:
        return text
    if len(text) > 1 and text[0].isupper() and text[1].islower():
        return text[0].lower() + text[1:]
    return text


def unit_of(unit: str, number: Decimal) -> str:
    """A unit of the catalogue as it stands after a number, in the language being spoken."""
    counted = labels.UNITS_COUNTED.get(unit)
    return str(labels.UNITS.get(unit, unit) if counted is None else counted.form(number))


def apart(names: Iterable[str]) -> str:
    """Names or phrases with semicolons between them, set as the language being spoken sets one."""
    space = THIN if spoken() in _SPACED_MARKS else ""
    return f"{space}; ".join(names)


def listed(names: Iterable[str]) -> str:
    """Names in a row with commas between them; with semicolons where a name holds a comma."""
    shown = tuple(names)
    return apart(shown) if any("," in one for one in shown) else ", ".join(shown)


def english_note(words: Words, partly: bool) -> str:
    """What is said where text is left in English: all of it, where labels lack the language being
    spoken and formats follow another, or some (`partly`); nothing else."""
    if is_english(written_in()):
        foreign = words.foreign_to(ENGLISH)
        return labels.WRITTEN_AS.format(locale=words.locale_name) if foreign else ""
    return labels.IN_ENGLISH if partly else ""


def odds(share: Decimal) -> str:
    """A share of outcomes as one says it: 8 times in 10, 19 times in 20."""
    times, whole = _fraction(share)
    return labels.ODDS.format(times=times, of=whole)


def one_in(share: Decimal) -> str:
    """A share of outcomes as a name of it: 8 in 10, 19 in 20."""
    times, whole = _fraction(share)
    return labels.ONE_IN.format(times=times, of=whole)


def _fraction(share: Decimal) -> tuple[Decimal, int]:
    exact = (one for one in _ODDS_OF if (share * one) % 1 == 0)
    whole = next(exact, _ODDS_OF[-1])
    return round_half_up(share * whole, Decimal(1)), whole
