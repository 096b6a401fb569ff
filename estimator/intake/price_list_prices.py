"""The column of prices: whole minor units, exact, whatever marks and signs it is written with.

A price finer than the minor unit, such as 0.0345 for a washer, stands for more of them instead:
3.45 for 100. Nothing is rounded but what a formula left behind the fourth decimal.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from estimator.domain.money import MINOR_DIGITS, minor_digits
from estimator.domain.price_list.mapping import Mapping
from estimator.domain.wording import worded
from estimator.intake.price_list_columns import Column
from estimator.intake.price_list_numbers import (
    BOTH,
    DOLLARS,
    NoPrice,
    bare_number,
    mark_of_column,
    read_number,
)
from estimator.intake.price_list_table import Cell

FINEST = 4  # decimals beyond the minor unit's that are kept
MOST_MINOR = 10**14
NEARLY = 1e-6  # of a minor unit: what adding and multiplying in a spreadsheet leaves
_PLAIN = re.compile(r"(?:\d{1,9}(?:\.\d{1,2})?\n)+")
_PLAIN_COMMA = re.compile(r"(?:\d{1,9}(?:,\d{1,2})?\n)+")


@dataclass(slots=True)
class Prices:
    """Minor units by row, with the currency of each and for how many it is."""

    minors: list[int]
    currencies: Sequence[str]
    pers: Sequence[str]


def prices_of(
    column: Column, currencies: Sequence[str], pers: Sequence[str], mapping: Mapping,
    passed: set[int],
) -> Prices:  # fmt: skip
    """The prices of a column; a row with a fault has 0."""
    one_currency = set(currencies)
    if len(one_currency) == 1 and not column.empty and not passed:
        currency = one_currency.pop()
        digits = MINOR_DIGITS.get(currency, -1)
        minors = _as_a_whole(column.cells, digits)
        if minors is not None and 0 not in minors and len(minors) == len(column.cells):
            return Prices(minors, currencies, pers)
    return _one_by_one(column, list(currencies), list(pers), mapping, passed)


def _as_a_whole(cells: Sequence[Cell], digits: int) -> list[int] | None:
    """Minor units of a column in which every cell is a plain price above nought; None where any
    needs a look."""
    kinds = set(map(type, cells))
    if digits < 0:
        return None
    if kinds <= {float, int}:
        import numpy as np

        scaled = np.array(cells, dtype=np.float64) * 10.0**digits
        whole = np.rint(scaled)
        sound = np.abs(scaled - whole) <= NEARLY
        if not bool((sound & (whole > 0) & (whole < MOST_MINOR)).all()):
            return None
        found: list[int] = whole.astype(np.int64).tolist()
        return found
    if kinds == {str} and digits == 2:  # noqa: PLR2004  as the patterns are
        text = "\n".join(cells) + "\n"
        if _PLAIN_COMMA.fullmatch(text) and "," in text:
            text = text.replace(",", ".")
        elif not _PLAIN.fullmatch(text) or "." not in text:
            return None
        return [round(float(one) * 100) for one in text.split()]
    return None


def _one_by_one(
    column: Column, currencies: list[str], pers: list[str], mapping: Mapping, passed: set[int]
) -> Prices:
    bare: dict[int, tuple[str, str]] = {}
    for n, cell in enumerate(column.cells):
        if isinstance(cell, str) and cell.strip() and n not in passed:
            try:
                bare[n] = bare_number(cell)
            except NoPrice:
                continue
    mark = mapping.decimal or mark_of_column(digits for digits, _ in bare.values())
    minors = [0] * len(column.cells)
    rounded: list[int] = []
    for n in range(len(minors)):
        if n in passed:
            continue
        if n in bare and bare[n][1]:
            currencies[n] = _currency(column, n, bare[n][1], currencies[n], mapping)
        if not currencies[n] and n not in column.bad:
            column.fault(n, "no-currency", worded("has a price without a currency."),
                         worded("Say which currency the list is in."))  # fmt: skip
        price = _price(column, n, bare.get(n, ("", ""))[0], mark)
        if price is not None and currencies[n]:
            minors[n], pers[n] = _minor(column, n, price, currencies[n], pers[n], rounded)
    if rounded:
        column.warn(rounded[0], "finer", worded(
            "{n} prices have more decimals than a price can have; they are rounded.",
            n=len(rounded)))  # fmt: skip
    return Prices(minors, currencies, pers)


def _currency(column: Column, n: int, sign: str, currency: str, mapping: Mapping) -> str:
    """The currency of a row whose price has a sign of its own."""
    said_by_row = currency if currency != mapping.currency or not mapping.currency else ""
    if sign == "$":
        if currency in DOLLARS:
            return currency
        sign = "USD"
    if sign not in MINOR_DIGITS:
        column.fault(n, "currency", worded("is in {sign}, no known currency.", sign=sign))
        return currency
    if said_by_row and said_by_row != sign:
        column.fault(n, "two-currencies", worded("is in {sign}, while its row says {said}.",
                     sign=sign, said=said_by_row), worded("Ask which holds."))  # fmt: skip
    return sign


def _price(column: Column, n: int, digits: str, mark: str) -> Decimal | None:
    """The price of one cell, above nought; None beside a fault."""
    cell = column.cells[n]
    if n in column.empty:
        column.fault(n, "no-result", worded("holds a formula without a result."),
                     worded("Open the file, save it, and choose it again."))  # fmt: skip
        return None
    if cell in ("", None) or (isinstance(cell, str) and not cell.strip()):
        column.fault(n, "blank-cell", worded("is blank."), worded("Ask for the price."))
        return None
    if isinstance(cell, datetime.date | datetime.time | datetime.timedelta):
        column.fault(n, "date", worded("holds the date {cell}: a spreadsheet took a price for one.",
                     cell=str(cell)), worded("Ask for the price."))  # fmt: skip
        return None
    if isinstance(cell, bool) or (isinstance(cell, str) and not digits):
        column.fault(n, "no-price", worded("holds {cell!r}, no price.", cell=str(cell)[:40]),
                     worded("Ask for the price."))  # fmt: skip
        return None
    price = _read(column, n, digits, mark) if isinstance(cell, str) else Decimal(repr(cell))
    if price is not None and price <= 0:
        column.fault(n, "not-above-nought", worded("holds {cell}; a price is above nought.",
                     cell=str(cell)), worded("Ask for the price."))  # fmt: skip
        return None
    return price


def _read(column: Column, n: int, digits: str, mark: str) -> Decimal | None:
    try:
        return read_number(digits, mark)
    except NoPrice as error:
        if error.code == "unclear" or mark == BOTH:
            column.fault(n, "unclear-mark", worded(
                "holds {digits}, which may be read with a point or a comma for decimals.",
                digits=digits), worded("Say which mark stands before the decimals."))  # fmt: skip
        else:
            column.fault(n, "no-price", worded("holds {digits!r}, not written as the other prices "
                         "are.", digits=digits), worded("Mend it."))  # fmt: skip
        return None


def _minor(
    column: Column, n: int, price: Decimal, currency: str, per: str, rounded: list[int]
) -> tuple[int, str]:
    """(minor units, for how many): as fine as the price is written."""
    scaled = price.scaleb(minor_digits(currency))
    whole = scaled.to_integral_value(rounding=ROUND_HALF_UP)
    if abs(scaled - whole) > Decimal(NEARLY):
        fine = scaled.quantize(Decimal(1).scaleb(-FINEST), rounding=ROUND_HALF_UP)
        if abs(fine - scaled) > Decimal(NEARLY):
            rounded.append(n)
        finer = -int(fine.normalize().as_tuple().exponent)
        whole, per = fine.scaleb(finer), str(int(per) * 10**finer)
    if not 0 < whole < MOST_MINOR:
        column.fault(n, "too-large", worded("holds {price}, no price.", price=str(price)),
                     worded("Mend it."))  # fmt: skip
        return 0, per
    return int(whole), per
