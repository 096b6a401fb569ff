"""Figures as the user's locale writes them, and as they may be typed.

Babel knows the formats; every pattern is asked for once and kept, since a page shows thousands of
figures. A true minus, a no-break space before a unit, an en dash for nothing.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal, InvalidOperation
from functools import lru_cache

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_time
from babel.numbers import get_currency_symbol

from estimator.desktop.language import _
from estimator.domain.money import Money, minor_digits

MINUS, DASH, THIN = "\u2212", "\u2013", "\u202f"
_SPACES = re.compile(r"[\s\u00a0\u2009\u202f']")


class NotANumber(ValueError):
    """Text that is no number in this locale; the message says what was expected."""


@dataclass(frozen=True, slots=True)
class Formats:
    """Formats of one locale."""

    locale: str = "en_GB"
    decimal: str = field(init=False, default=".")
    group: str = field(init=False, default=",")

    def __post_init__(self) -> None:
        symbols = Locale.parse(self.locale).number_symbols["latn"]
        object.__setattr__(self, "decimal", str(symbols["decimal"]))
        object.__setattr__(self, "group", str(symbols["group"]))

    def number(self, value: Decimal | int, places: int | None = None) -> str:
        """A number with the locale's marks; `places` after the decimal mark, else as it is."""
        text = f"{value:,f}" if places is None else f"{value:,.{places}f}"
        whole, _dot, rest = text.partition(".")
        if places is None:
            rest = rest.rstrip("0")
        whole = whole.replace(",", self.group).replace("-", MINUS)
        return whole + (self.decimal + rest if rest else "")

    def sum(self, money: Money | None, *, whole: bool = True) -> str:
        """An amount without its currency, as a column shows it; an en dash for nothing.

        `whole` drops the minor digits where they are all nought.
        """
        if money is None or not money.minor:
            return DASH
        return self.number(money.amount, self._places(money, whole))

    def money(self, money: Money, *, whole: bool = True) -> str:
        """An amount with its currency's sign where the locale puts it, for headlines."""
        symbol = _symbol(money.currency, self.locale)
        text = self.number(abs(money.amount), self._places(money, whole))
        sign = MINUS if money.minor < 0 else ""
        if _sign_first(self.locale):
            gap = "\u00a0" if len(symbol) > 1 and symbol[-1].isalpha() else ""
            return f"{sign}{symbol}{gap}{text}"
        return f"{sign}{text}\u00a0{symbol}"

    @staticmethod
    def _places(money: Money, whole: bool) -> int:
        digits = minor_digits(money.currency)
        return 0 if whole and money.minor % 10**digits == 0 else digits

    def percent(self, share: Decimal | float, places: int = 0) -> str:
        """A share as per cent."""
        text = self.number(Decimal(str(share)) * 100, places)
        return f"{text}{THIN}%"

    def day(self, day: date | None) -> str:
        """A day as a table shows it: 5 Mar 2027."""
        return DASH if day is None else _day(day, "d MMM y", self.locale)

    def weekday(self, day: date | None) -> str:
        """A day as a headline shows it: Fri 5 Mar 2027."""
        return DASH if day is None else _day(day, "EEE d MMM y", self.locale)

    def long_day(self, day: date) -> str:
        """A day as a page's title shows it: Wednesday 25 November."""
        words = _day(day, "EEEE d MMMM", self.locale)
        return words[:1].upper() + words[1:]

    def short_day(self, day: date) -> str:
        """A day without its year: 5 Mar."""
        return _day(day, "d MMM", self.locale)

    def month(self, day: date) -> str:
        """A month with its year: Dec 2026."""
        return _day(day, "MMM y", self.locale)

    def clock(self, moment: datetime) -> str:
        """A time of day in the workshop's zone: 14:32."""
        return str(format_time(moment.astimezone(), "HH:mm", locale=self.locale))

    def read_number(self, text: str) -> Decimal:
        """A number as typed: the locale's marks, or a plain point. Raises NotANumber."""
        bare = _SPACES.sub("", text).replace(MINUS, "-").replace(DASH, "-")
        if self.group not in (".", self.decimal) and self.group.strip():
            bare = _without_groups(bare, self.group, self.decimal)
        elif self.group == "." and (self.decimal in bare or _in_threes(bare, ".")):
            bare = bare.replace(".", "")
        bare = bare.replace(self.decimal, ".")
        try:
            value = Decimal(bare)
        except InvalidOperation:
            value = Decimal("nan")
        if not value.is_finite() or "e" in bare.casefold() or "_" in bare:
            example = self.number(Decimal("1234.5"))
            raise NotANumber(_("Not a number. Write it like {example}.").format(example=example))
        return value

    def read_day(self, text: str) -> date:
        """A day as typed: ISO (2027-03-05), day, month, year in the locale's order, or with the
        month's name as `day` shows it (5 Mar 2027).

        Raises NotANumber, saying how to write it.
        """
        parts = re.findall(r"\d+", text)
        month = _month_named(text, self.locale)
        if month and len(parts) == 2:  # noqa: PLR2004 - day and year beside the month's name
            parts = [parts[1], str(month), parts[0]]
        year_first = bool(parts) and len(parts[0]) == len("2027")
        try:
            numbers = [int(part) for part in parts]
            if len(numbers) == 3:  # noqa: PLR2004 - year, month, day
                if year_first:
                    return date(*numbers)
                first, second, year = numbers
                if self.locale == "en_US":
                    first, second = second, first
                return date(year + 2000 if year < 100 else year, second, first)  # noqa: PLR2004
        except ValueError:
            pass
        raise NotANumber(_("Not a date. Write it like {example}.").format(example="2027-03-05"))


def _month_named(text: str, locale: str) -> int:
    """Number of the month whose name (or the beginning of it) stands in a text; 0 for none."""
    words = re.findall(r"[^\W\d_]{3,}", text.casefold())
    if len(words) != 1:
        return 0
    names = Locale.parse(locale).months["format"]["wide"]
    found = [n for n, name in names.items() if str(name).casefold().startswith(words[0])]
    return int(found[0]) if len(found) == 1 else 0


def _without_groups(text: str, group: str, decimal: str) -> str:
    """Grouping marks taken out where they stand in threes; else the text is left to fail."""
    whole, mark, rest = text.partition(decimal)
    return (whole.replace(group, "") if _in_threes(whole, group) else whole) + mark + rest


def _in_threes(text: str, group: str) -> bool:
    return re.fullmatch(rf"-?\d{{1,3}}({re.escape(group)}\d{{3}})+", text) is not None


def known(locale: str) -> str:
    """The locale if Babel knows it, else British English."""
    try:
        return str(Locale.parse(locale.replace("-", "_")))
    except (UnknownLocaleError, ValueError):
        return "en_GB"


@lru_cache(maxsize=4096)
def _day(day: date, pattern: str, locale: str) -> str:
    # Where the day is an ordinal number: 5. März 2027.
    if "d." in str(Locale.parse(locale).datetime_skeletons["yMMMd"].pattern):
        pattern = pattern.replace("EEEE ", "EEEE, ").replace("d ", "d. ")
    return str(format_date(day, pattern, locale=locale))


@lru_cache(maxsize=64)
def _symbol(currency: str, locale: str) -> str:
    return str(get_currency_symbol(currency, locale=locale))


@lru_cache(maxsize=64)
def _sign_first(locale: str) -> bool:
    pattern = Locale.parse(locale).currency_formats["standard"].pattern
    return str(pattern).lstrip("\u200f\u200e").startswith("\u00a4")
