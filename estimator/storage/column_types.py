"""Column types that keep what SQLite's own would lose: exact decimals, days, UTC times, lists."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any, TypeVar

from sqlalchemy import String, Text
from sqlalchemy.types import TypeDecorator

from estimator.storage.database import RecordDamaged

T = TypeVar("T")


def read_cell(read: Callable[[str], T], text: str) -> T:
    """What a cell holds. Raises RecordDamaged where it is not what was written there."""
    try:
        return read(text)
    except (ValueError, ArithmeticError, TypeError) as error:
        raise RecordDamaged(f"a cell holds {text!r:.40}") from error


def texts_in(text: str) -> tuple[str, ...]:
    """The texts of a JSON list."""
    return () if text == "[]" else tuple(json.loads(text))


class DecimalText(TypeDecorator[Decimal]):
    """A Decimal as its text: SQLite's numeric columns are floats."""

    impl = String(40)
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, _: Any) -> str | None:
        """Decimal to text; anything else is refused."""
        if value is None:
            return None
        if type(value) is not Decimal or not value.is_finite():  # floats are refused
            raise TypeError(f"{value!r} is no finite Decimal")
        return f"{value:f}"

    def process_result_value(self, value: str | None, _: Any) -> Decimal | None:
        """Text to Decimal."""
        return None if value is None else read_cell(Decimal, value)


class Day(TypeDecorator[date]):
    """A day as ISO 8601 text."""

    impl = String(10)
    cache_ok = True

    def process_bind_param(self, value: date | None, _: Any) -> str | None:
        """Day to text."""
        return None if value is None else value.isoformat()

    def process_result_value(self, value: str | None, _: Any) -> date | None:
        """Text to day."""
        return None if value is None else read_cell(date.fromisoformat, value)


class UtcTime(TypeDecorator[datetime]):
    """A time in UTC as ISO 8601 text with microseconds, so that text order is time order."""

    impl = String(32)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, _: Any) -> str | None:
        """Time to text; a time without a zone is refused."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise TypeError(f"{value!r} has no time zone")
        return value.astimezone(UTC).isoformat(timespec="microseconds")

    def process_result_value(self, value: str | None, _: Any) -> datetime | None:
        """Text to time."""
        return None if value is None else read_cell(datetime.fromisoformat, value)


class Texts(TypeDecorator[tuple[str, ...]]):
    """Several texts, as a JSON list."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: tuple[str, ...] | None, _: Any) -> str | None:
        """Texts to a JSON list."""
        return None if value is None else json.dumps(list(value), ensure_ascii=False)

    def process_result_value(self, value: str | None, _: Any) -> tuple[str, ...] | None:
        """JSON list to texts."""
        return None if value is None else read_cell(texts_in, value)
