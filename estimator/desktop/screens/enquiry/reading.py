"""From what is typed into a field of the enquiry to its value, or the reason why it is none. No
Qt."""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from estimator.desktop.formats import Formats
from estimator.desktop.language import _
from estimator.desktop.widgets.columns import NotValid

LONGEST = 2000
FIRST_YEAR, LAST_YEAR = 1950, 2100
MOST_DIGITS = 15
_HIDDEN = re.compile("[\0-\x08\x0b-\x1f\x7f\u200b-\u200f\u202a-\u202e\u2066-\u2069\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class Between:
    """Bounds of a number: `above` is left out itself, `low` and `high` are in."""

    low: Decimal | int | None = None
    high: Decimal | int | None = None
    above: Decimal | int | None = None


def text(typed: str) -> str:
    """One line of text, as it is printed."""
    return _sound(" ".join(typed.split()))


def needed_text(typed: str) -> str:
    """One line of text that may not be blank."""
    if not typed.strip():
        raise NotValid(_("This may not be blank."))
    return text(typed)


def lines(typed: str) -> tuple[str, ...]:
    """Lines of an address; blank ones are left out."""
    return tuple(_sound(" ".join(one.split())) for one in typed.splitlines() if one.strip())


def words(typed: str) -> str:
    """Free text of several lines."""
    return _sound(typed.strip().replace("\r\n", "\n"))


def _sound(value: str) -> str:
    if len(value) > LONGEST:
        raise NotValid(_("Longer than {most} signs. Shorten it.").format(most=LONGEST))
    if _HIDDEN.search(value):
        raise NotValid(_("Holds a sign that cannot be seen. Type the text again."))
    return value


def number(formats: Formats, typed: str, bounds: Between) -> Decimal:
    """A number within bounds."""
    if not typed.strip():
        raise NotValid(_("This may not be blank. Write a number."))
    value = formats.read_number(typed)
    if value and not -MOST_DIGITS <= value.adjusted() < MOST_DIGITS:
        raise NotValid(_("Too long for a number here. Check the digits."))
    if bounds.above is not None and value <= bounds.above:
        raise NotValid(_("Must be above {least}.").format(least=_shown(formats, bounds.above)))
    if bounds.low is not None and value < bounds.low:
        raise NotValid(_("Must be {least} or more.").format(least=_shown(formats, bounds.low)))
    if bounds.high is not None and value > bounds.high:
        raise NotValid(_("Must be {most} or less.").format(most=_shown(formats, bounds.high)))
    return value


def whole(formats: Formats, typed: str, bounds: Between) -> int:
    """A whole number within bounds."""
    value = number(formats, typed, bounds)
    if value != value.to_integral_value():
        raise NotValid(_("Write a whole number."))
    return int(value)


def share(formats: Formats, typed: str, bounds: Between) -> Decimal:
    """A share, typed as per cent; the bounds are of per cent too."""
    return number(formats, typed.replace("%", ""), bounds).scaleb(-2)


def day(formats: Formats, typed: str) -> datetime.date:
    """A day."""
    if not typed.strip():
        raise NotValid(_("This may not be blank. Write a date like 2027-03-05."))
    value = formats.read_day(typed)
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        raise NotValid(_("That year is a slip. Check the date."))
    return value


def day_or_none(formats: Formats, typed: str) -> datetime.date | None:
    """A day, or nothing."""
    return day(formats, typed) if typed.strip() else None


def codes(typed: str, known: Callable[[str], str | None], what: str) -> tuple[str, ...]:
    """Codes or names, parted by semicolons; `known` gives the code of either, or None."""
    found = []
    for one in (part.strip() for part in typed.split(";")):
        if not one:
            continue
        code = known(one)
        if code is None:
            raise NotValid(
                _("{text} is no {what} of this machine. Type its code or its name.").format(
                    text=one[:40], what=what
                )
            )
        found.append(code)
    return tuple(found)


def _shown(formats: Formats, value: Decimal | int) -> str:
    return formats.number(Decimal(value))
