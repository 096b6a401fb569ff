"""Reading the entries of a TOML or JSON file one by one, collecting every fault with its place."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from estimator.domain.money import MINOR_DIGITS
from estimator.domain.problem import Place, Problem
from estimator.intake.cells import FIRST_YEAR, LAST_YEAR, plain_number
from estimator.intake.plain_text import hidden_sign

LONGEST_TEXT = 2000


@dataclass(slots=True)
class Section:
    """One table of the file. Getters return a usable value even on a fault, and note the fault."""

    file: str
    name: str
    data: dict[str, Any]
    problems: list[Problem]
    taken: set[str] = field(default_factory=set)

    def fault(self, key: str, code: str, message: str, remedy: str = "") -> None:
        """Note a fault at an entry of this section."""
        where = f"[{self.name}] {key}" if self.name else key
        self.problems.append(Problem(code, Place(self.file, None, where), message, remedy))

    def text(self, key: str, default: str | None = None, choices: tuple[str, ...] = ()) -> str:
        """Text; required where `default` is None."""
        value = self._value(key, default)
        if not isinstance(value, str) or len(value) > LONGEST_TEXT:
            if value is not None:
                self.fault(key, "bad-entry", f"is no text of up to {LONGEST_TEXT} characters.")
            return default or ""
        if fault := hidden_sign(value):
            self.fault(key, "bad-entry", fault, "Type the text again.")
        if default is None and not value.strip():
            self.fault(key, "missing-entry", "is blank.", "Fill it in.")
        if choices and value not in choices:
            self.fault(
                key, "bad-entry", f"is {value[:40]!r}.", f"Use one of: {', '.join(choices)}."
            )
        return value.strip()

    def texts(self, key: str) -> tuple[str, ...]:
        """A list of texts; none if absent."""
        value = self._value(key, [])
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            self.fault(key, "bad-entry", "is no list of texts.", 'Write ["A", "B"].')
            return ()
        for fault in filter(None, map(hidden_sign, value)):
            self.fault(key, "bad-entry", fault, "Type the text again.")
        return tuple(value)

    def number(
        self,
        key: str,
        default: Decimal | None = None,
        *,
        low: Decimal | int | None = None,
        high: Decimal | int | None = None,
        above: Decimal | int | None = None,
    ) -> Decimal:
        """A number within bounds; required where `default` is None."""
        value = self._value(key, default)
        if value is None:
            return low_or_one(low, above)
        number = _decimal(value)
        if number is None:
            self.fault(
                key, "bad-entry", f"is {str(value)[:40]!r}, not a number.", "Write digits only."
            )
            return low_or_one(low, above)
        if low is not None and number < low:
            self.fault(key, "bad-entry", f"is {number}, below {low}.", "Check sign and digits.")
        elif above is not None and number <= above:
            self.fault(key, "bad-entry", f"is {number}; it must be above {above}.")
        elif high is not None and number > high:
            self.fault(key, "bad-entry", f"is {number}, above {high}.", "Check the digits.")
        else:
            return number
        return low_or_one(low, above)

    def number_or_none(
        self,
        key: str,
        *,
        low: Decimal | int | None = None,
        high: Decimal | int | None = None,
        above: Decimal | int | None = None,
    ) -> Decimal | None:
        """A number within bounds; None if absent."""
        self.taken.add(key)
        if self.data.get(key) is None:
            return None
        return self.number(key, low=low, high=high, above=above)

    def whole(
        self, key: str, default: int | None = None, *, low: int = 0, high: int = 10_000
    ) -> int:
        """A whole number within bounds."""
        number = self.number(key, None if default is None else Decimal(default), low=low, high=high)
        if number != number.to_integral_value():
            self.fault(key, "bad-entry", f"is {number}, not a whole number.")
        return int(number)

    def day(self, key: str) -> date:
        """A date, required."""
        value = self._value(key, None)
        if isinstance(value, datetime):
            value = value.date()
        if isinstance(value, str):
            with suppress(ValueError):
                value = date.fromisoformat(value)
        if isinstance(value, date) and FIRST_YEAR <= value.year <= LAST_YEAR:
            return value
        if value is not None:
            self.fault(
                key, "bad-entry", f"is {str(value)[:40]!r}, not a date.", "Write it as 2026-11-30."
            )
        return date(2000, 1, 1)

    def day_or_none(self, key: str) -> date | None:
        """A date; None if absent."""
        self.taken.add(key)
        return None if self.data.get(key) is None else self.day(key)

    def currency(self, key: str) -> str:
        """An ISO 4217 currency."""
        value = self.text(key)
        if value and value not in MINOR_DIGITS:
            self.fault(key, "bad-entry", f"is {value!r}, not an ISO 4217 currency.")
        return value if value in MINOR_DIGITS else "EUR"

    def section(self, key: str, *, required: bool = True) -> Section:
        """A table within this one."""
        value = self._value(key, None if required else {})
        if value is not None and not isinstance(value, dict):
            self.fault(key, "bad-entry", "is no table.")
        name = f"{self.name}.{key}" if self.name else key
        data = value if isinstance(value, dict) else {}
        return Section(self.file, name, data, self.problems)

    def sections(self, key: str) -> Iterator[Section]:
        """A list of tables within this one; none if absent."""
        value = self._value(key, [])
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            self.fault(key, "bad-entry", "is no list of tables.", f"Write [[{key}]].")
            return
        for number, data in enumerate(value, start=1):
            name = f"{self.name}.{key}" if self.name else key
            yield Section(self.file, f"{name} {number}", data, self.problems)

    def close(self) -> None:
        """Name every entry that nobody read: a misspelt key must not pass in silence."""
        for key in self.data:
            if key not in self.taken:
                self.fault(key, "unknown-entry", "is not known here.", "Mend the spelling.")

    def _value(self, key: str, default: Any) -> Any:
        self.taken.add(key)
        if self.data.get(key) is not None:
            return self.data[key]
        if default is None:
            self.fault(key, "missing-entry", "is missing.", "Add it.")
        return default


def low_or_one(low: Decimal | int | None, above: Decimal | int | None) -> Decimal:
    """A harmless stand-in for a number that could not be read; its fault stops the job anyway."""
    return Decimal(low) if low is not None else Decimal((above or 0) + 1)


def _decimal(value: object) -> Decimal | None:
    if isinstance(value, bool):
        return None
    return plain_number(str(value)) if isinstance(value, int | Decimal | str) else None
