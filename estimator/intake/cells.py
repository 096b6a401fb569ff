"""From the text of a cell to the value its column wants, or a fault that says how to mend it."""

from __future__ import annotations

import types
import typing
from dataclasses import MISSING, Field, fields
from datetime import date
from decimal import Decimal, InvalidOperation
from functools import cache
from typing import Any

from estimator.domain.catalogue.column import Limits
from estimator.domain.money import MINOR_DIGITS
from estimator.domain.units import UNITS
from estimator.intake.plain_text import hidden_sign

LONGEST_NUMBER = 40  # characters
MOST_DIGITS = 15
LONGEST_SHOWN = 40
FIRST_YEAR, LAST_YEAR = 1950, 2100  # a day outside is a slip of the keyboard


class BadCell(ValueError):
    """A cell that does not hold what its column wants: message and remedy."""

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


@cache
def columns_of(row_class: Any) -> dict[str, tuple[object, Limits, bool]]:
    """Column name -> (type, limits, must be filled) of a row class."""
    hints = typing.get_type_hints(row_class)
    found: dict[str, tuple[object, Limits, bool]] = {}
    for one in fields(row_class):
        limits = one.metadata.get("limits")
        if limits is not None:
            found[one.name] = (hints[one.name], limits, _required(one))
    return found


def _required(one: Field[object]) -> bool:
    return one.default is MISSING and one.default_factory is MISSING


def is_free_text(wanted: object, limits: Limits) -> bool:
    """Whether a column may hold any text: no choice, no unit, no currency."""
    return wanted is str and not limits.choices and limits.refers not in ("currency", "unit")


def parse_cell(text: str, wanted: object, limits: Limits) -> object:
    """The value of a filled cell. Raises BadCell."""
    if len(text) > limits.longest:
        raise BadCell(
            f"holds {len(text):,} characters, more than {limits.longest:,}.", "Shorten it."
        )
    bare = _without_none(wanted)
    if bare is bool:
        return _yes_or_no(text)
    if bare is int:
        return _bounded(_whole(text), limits)
    if bare is Decimal:
        return _bounded(_number(text), limits)
    if bare is date:
        return _day(text)
    if typing.get_origin(bare) is tuple:
        parts = tuple(part.strip() for part in text.split(";") if part.strip())
        for part in parts:
            _chosen(part, limits)
        return parts
    return _chosen(text, limits)


def _without_none(wanted: object) -> object:
    if isinstance(wanted, types.UnionType):
        return next(one for one in wanted.__args__ if one is not type(None))
    return wanted


def _yes_or_no(text: str) -> bool:
    known = {"1": True, "yes": True, "true": True, "0": False, "no": False, "false": False}
    try:
        return known[text.lower()]
    except KeyError:
        raise BadCell(f"holds {shortened(text)}.", "Write yes or no.") from None


def _whole(text: str) -> int:
    number = _number(text)
    if number != number.to_integral_value():
        raise BadCell(f"holds {shortened(text)}, not a whole number.", "Write a whole number.")
    return int(number)


def _number(text: str) -> Decimal:
    number = plain_number(text)
    if number is None:
        raise BadCell(
            f"holds {shortened(text)}, not a number.",
            "Write digits with a point for decimals, no thousands mark and no unit.",
        )
    return number


def plain_number(text: str) -> Decimal | None:
    """A number as people write it, of no more than MOST_DIGITS digits before the point; None for
    anything else. Sums with numbers beyond that would fail far from the cell."""
    if len(text) > LONGEST_NUMBER or "_" in text:
        return None
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    fits = number.is_finite() and -MOST_DIGITS <= number.adjusted() < MOST_DIGITS
    return number if fits else None


def _bounded(number: Decimal | int, limits: Limits) -> Decimal | int:
    if limits.low is not None and number < limits.low:
        raise BadCell(f"holds {number}, below {limits.low}.", "Check the sign and the digits.")
    if limits.above is not None and number <= limits.above:
        raise BadCell(f"holds {number}; it must be above {limits.above}.", "Check the digits.")
    if limits.high is not None and number > limits.high:
        raise BadCell(f"holds {number}, above {limits.high}.", "Check the digits and the unit.")
    return number


def _day(text: str) -> date:
    try:
        day = date.fromisoformat(text)
    except ValueError:
        day = None
    if day is None or not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise BadCell(f"holds {shortened(text)}, not a date.", "Write it as 2026-11-30.")
    return day


def _chosen(text: str, limits: Limits) -> str:
    if fault := hidden_sign(text):
        raise BadCell(fault, "Type the text again.")
    if limits.choices and text not in limits.choices:
        raise BadCell(
            f"holds {shortened(text)}.",
            "Use one of: " + ", ".join(choice or "(blank)" for choice in limits.choices) + ".",
        )
    if limits.refers == "currency" and text not in MINOR_DIGITS:
        raise BadCell(f"holds {shortened(text)}, not an ISO 4217 currency.", "Write GBP, EUR ...")
    if limits.refers == "unit" and text not in UNITS:
        raise BadCell(
            f"holds the unit {shortened(text)}, which is not known.",
            "Use one of: " + ", ".join(UNITS) + ".",
        )
    return text


def shortened(text: str) -> str:
    """A cell's text in quotes, cut so that a message stays readable."""
    return repr(text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 3] + "...")
