"""Domain values as JSON that keeps every digit and every kind apart.

Text, whole numbers, true and false and nothing stand as they are; everything else is an object
with one key that tells its kind: {"decimal": "1.50"}, {"day": "2026-11-25"}, {"time": "..."},
{"money": [1250, "GBP"]}, {"row": [...]}, {"Finding": {...}}. A value's place in a file is left out
unless asked for: the record has none.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import fields
from decimal import Decimal
from typing import Any

from estimator.domain.money import Money


class NotKept(ValueError):
    """A value that the record cannot keep; says which and why."""


class ValueCodec:
    """Turns frozen values of the kinds it knows into plain data, and back.

    A field that was added since is taken at its default; one that is gone is refused.
    """

    def __init__(
        self, kinds: Iterable[type[Any]], leaving_out: tuple[str, ...] = ("place",)
    ) -> None:
        self.kinds = {kind.__name__: kind for kind in kinds}
        self._fields = {
            name: [one.name for one in fields(kind) if one.name not in leaving_out]
            for name, kind in self.kinds.items()
        }

    def as_plain(self, value: Any) -> Any:
        """A value as JSON has it. Raises NotKept."""
        if value is None or type(value) in (bool, int):
            return value
        if type(value) is str:
            return _text(value)
        if type(value) is tuple:
            return {"row": [self.as_plain(one) for one in value]}
        if (simple := _simple(value)) is not None:
            return simple
        name = type(value).__name__
        if self.kinds.get(name) is not type(value):
            raise NotKept(f"a value of kind {name} cannot be kept")
        cells = {cell: self.as_plain(getattr(value, cell)) for cell in self._fields[name]}
        return {name: cells}

    def value_of(self, plain: Any) -> Any:
        """The value that `as_plain` wrote. Raises NotKept on a kind it does not know."""
        if not isinstance(plain, dict):
            return plain
        ((kind, content),) = plain.items()
        if kind == "row":
            return tuple(self.value_of(one) for one in content)
        if kind in _TURN_BACK:
            return _TURN_BACK[kind](content)
        if kind not in self.kinds:
            raise NotKept(f"the record holds a value of kind {kind}, which is not known here")
        return self.kinds[kind](**{name: self.value_of(one) for name, one in content.items()})


def _simple(value: Any) -> Any:
    if type(value) is Decimal:
        if not value.is_finite():
            raise NotKept(f"{value} is no number")
        return {"decimal": f"{value:f}"}
    if type(value) is datetime.date:
        return {"day": value.isoformat()}
    if type(value) is datetime.datetime:
        if value.tzinfo is None:
            raise NotKept(f"{value} names no time zone")
        return {"time": value.astimezone(datetime.UTC).isoformat()}
    if type(value) is Money:
        return {"money": [value.minor, value.currency]}
    return None


def _text(value: str) -> str:
    if "\0" in value:
        raise NotKept("it holds a control character")
    try:
        value.encode()
    except UnicodeEncodeError:
        raise NotKept("it holds half of a character") from None
    return value


_TURN_BACK: dict[str, Any] = {
    "decimal": Decimal,
    "day": datetime.date.fromisoformat,
    "time": datetime.datetime.fromisoformat,
    "money": lambda content: Money(*content),
}
