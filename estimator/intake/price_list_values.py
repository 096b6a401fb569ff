"""Small values beside a price: discounts, lead times, charges and days; each different cell is read
once."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from decimal import Decimal

from estimator.domain.money import minor_digits
from estimator.domain.price_list.linked import weeks_of_days
from estimator.domain.price_list.mapping import COMMA, DAYS, POINT
from estimator.domain.wording import worded
from estimator.intake.cells import FIRST_YEAR, LAST_YEAR
from estimator.intake.price_list_columns import Column, places_unknown
from estimator.intake.price_list_numbers import NoPrice, bare_number, read_number
from estimator.intake.price_list_table import Cell

MOST_WEEKS = Decimal(104)
_DAY = re.compile(r"(\d{1,2})[./](\d{1,2})[./](\d{4})")


def _decimal(cell: Cell) -> Decimal:
    """A small number. Raises NoPrice."""
    if isinstance(cell, bool) or not isinstance(cell, str | float | int):
        raise NoPrice("no-number")
    if isinstance(cell, float | int):
        return Decimal(repr(round(cell, 6)))
    digits, _ = bare_number(cell.replace("%", ""))
    return read_number(digits, COMMA if "," in digits and "." not in digits else POINT)


def _small(
    column: Column | None, low: Decimal, high: Decimal, what: str, share: bool = False
) -> list[str]:
    """Small numbers within bounds, as plain text; nothing for no column. Each different cell is
    read once."""
    if column is None:
        return []
    known: dict[object, str] = {"": ""}
    met = set(column.cells)
    for cell in met - {""}:
        try:
            number = _decimal(cell)
        except NoPrice:
            continue
        if share and isinstance(cell, float) and number < 1:
            number *= 100  # a workbook keeps 30 % as 0.3
        if low <= number <= high:
            known[cell] = f"{number.normalize():f}"
    for n in places_unknown(column.cells, met, known):
        column.fault(n, "bad-cell", worded("holds {cell}, not {what}.",
                     cell=str(column.cells[n])[:40], what=what), worded("Mend it."))  # fmt: skip
        known.setdefault(column.cells[n], "")
    return list(map(known.__getitem__, column.cells))


def shares_of(column: Column | None) -> list[str]:
    """Percent taken off; a workbook's 0.3 is 30 %."""
    return _small(column, Decimal(0), Decimal("99.99"), worded("a discount in percent"), share=True)


def leads_of(column: Column | None, said_in: str) -> list[str]:
    """Lead times in weeks."""
    most = MOST_WEEKS * 7 if said_in == DAYS else MOST_WEEKS
    found = _small(column, Decimal(0), most, worded("a lead time"))
    if said_in != DAYS:
        return found
    weeks = {text: f"{weeks_of_days(Decimal(text)).normalize():f}" for text in set(found) if text}
    weeks[""] = ""
    return list(map(weeks.__getitem__, found))


def charges_of(column: Column | None, currencies: Sequence[str]) -> list[str]:
    """Charges on exchange units in minor units, half-up; blank for nothing."""
    if column is None:
        return []
    sums = _small(column, Decimal(0), Decimal(10**9), worded("a sum"))
    found = []
    for text, currency in zip(sums, currencies, strict=True):
        digits = minor_digits(currency) if currency else 2
        found.append(str(int(Decimal(text).scaleb(digits) + Decimal("0.5"))) if text else "")
    return found


def days_of(column: Column | None) -> list[str]:
    """Days as ISO text; 3.11.2026 and 03/11/2026 are read as day, month, year."""
    if column is None:
        return []
    found = []
    for n, cell in enumerate(column.cells):
        day = _day(cell)
        if day is None:
            column.fault(n, "bad-cell", worded("holds {cell}, not a date.", cell=str(cell)[:40]),
                         worded("Write it as 2026-11-30."))  # fmt: skip
        found.append(day or "")
    return found


def _day(cell: Cell) -> str | None:
    """A day as ISO text, "" for a blank cell, None for no day."""
    if cell == "":
        return ""
    day: datetime.date | None = None
    try:
        if isinstance(cell, datetime.datetime):
            day = cell.date()
        elif isinstance(cell, datetime.date):
            day = cell
        elif isinstance(cell, str):
            found = _DAY.fullmatch(cell.strip())
            day = (datetime.date(int(found[3]), int(found[2]), int(found[1])) if found
                   else datetime.date.fromisoformat(cell.strip()))  # fmt: skip
    except ValueError:
        return None
    return day.isoformat() if day is not None and FIRST_YEAR <= day.year <= LAST_YEAR else None
