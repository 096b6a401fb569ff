"""How old the catalogue's prices in a job are. An expired price never stops the work on a quote."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from estimator.domain.catalogue.work_rows import Outwork, PartsGroup
from estimator.domain.pricing import PricedLine

GOOD_FOR_DAYS = 180
"""How long a supplier's price is taken to hold (common practice, no source)."""


def expired(line: PricedLine, today: date) -> bool:
    """Whether the cost behind a line is older than a price holds; labour has none."""
    row = line.line.row
    if not isinstance(row, PartsGroup | Outwork):
        return False
    return (today - row.price_date).days > GOOD_FOR_DAYS


def expired_prices(lines: Iterable[PricedLine], today: date) -> tuple[str, ...]:
    """Codes of the lines whose price has expired, in their order."""
    return tuple(one.id for one in lines if expired(one, today))
