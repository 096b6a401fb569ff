"""Prices as people of several countries write them: 1,234.50, 1.234,50, 1 234,50, 1'234.50.

A mark that may mean either is told by the rest of its column, or not at all: 1.234 alone is a fault
until somebody says which mark is the decimal one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal

from estimator.domain.price_list.mapping import COMMA, POINT

SIGNS = {"€": "EUR", "£": "GBP", "zł": "PLN", "zl": "PLN", "kč": "CZK", "fr.": "CHF", "$": "$"}
DOLLARS = ("USD", "CAD", "AUD", "NZD", "SGD")
BOTH = "both"  # a column in which point and comma are decimal marks in turn
_SPACES = re.compile(r"[\s\u00a0\u2007\u2009\u202f'\u2019]+")
_NUMBER = re.compile(r"[+-]?\d[\d.,]*(?:,-)?|[.,]\d+")
_CODE = re.compile(r"(?<![A-Z])([A-Z]{3})(?![A-Z])")
MOST_DIGITS = 12
GROUP = 3  # digits between two marks of thousands


class NoPrice(ValueError):
    """Text that is no price; `code` tells why."""

    def __init__(self, code: str) -> None:
        super().__init__(code)
        self.code = code


def bare_number(text: str) -> tuple[str, str]:
    """(digits and marks without spaces, currency code or "$" that stood beside them). Raises
    NoPrice where there is more than a number and a currency."""
    rest = text.strip()
    currency = ""
    small = rest.casefold()
    for sign, code in SIGNS.items():
        if sign in small:
            currency, at = code, small.index(sign)
            rest = (rest[:at] + " " + rest[at + len(sign) :]).strip()
            break
    else:
        if found := _CODE.search(rest.upper()):
            currency = found[1]
            rest = (rest[: found.start()] + " " + rest[found.end() :]).strip()
    digits = _SPACES.sub("", rest).replace("\u2212", "-").removesuffix(".-").removesuffix(",-")
    if not _NUMBER.fullmatch(digits):
        raise NoPrice("no-number")
    if sum(sign.isdigit() for sign in digits) > MOST_DIGITS + 4:
        raise NoPrice("too-long")
    return digits, currency


def mark_of(digits: str) -> str:
    """The decimal mark that a number shows by itself: POINT or COMMA; "" where it shows none or
    may be read either way."""
    point, comma = digits.count("."), digits.count(",")
    if point and comma:
        return POINT if digits.rindex(".") > digits.rindex(",") else COMMA
    if not point and not comma:
        return ""
    mark = POINT if point else COMMA
    if (point or comma) > 1:
        return COMMA if mark == POINT else POINT
    whole, _, rest = digits.lstrip("+-").partition(mark)
    unclear = len(rest) == GROUP and 1 <= len(whole) <= GROUP and whole != "0"
    return "" if unclear else mark


def is_unclear(digits: str) -> bool:
    """Whether a number may be read either way."""
    return ("." in digits or "," in digits) and not mark_of(digits)


def mark_of_column(numbers: Iterable[str]) -> str:
    """The decimal mark a column shows; "" where it shows none, BOTH where it shows either."""
    marks = {mark_of(one) for one in numbers} - {""}
    return BOTH if len(marks) > 1 else (marks.pop() if marks else "")


def read_number(digits: str, mark: str) -> Decimal:
    """The value of a number, given the decimal mark. Raises NoPrice: "unclear" where the mark is
    not known and the number may be read either way, "marks" where it is not written with it."""
    own = mark_of(digits)
    if not own:
        if is_unclear(digits) and mark not in (POINT, COMMA):
            raise NoPrice("unclear")
        own = mark if mark in (POINT, COMMA) else POINT
    elif mark in (POINT, COMMA) and own != mark:
        raise NoPrice("marks")
    other = COMMA if own == POINT else POINT
    sign, bare = ("-", digits[1:]) if digits[0] == "-" else ("", digits.lstrip("+"))
    whole, _, rest = bare.partition(own)
    if other in rest or own in rest or not _in_threes(whole, other):
        raise NoPrice("marks")
    return Decimal(f"{sign}{whole.replace(other, '') or '0'}.{rest or '0'}")


def _in_threes(whole: str, mark: str) -> bool:
    first, *others = whole.split(mark)
    return not others or (1 <= len(first) <= GROUP and all(len(one) == GROUP for one in others))
