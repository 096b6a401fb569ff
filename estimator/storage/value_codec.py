"""Domain values as JSON that keeps every digit and every kind apart.

Text, whole numbers, true and false and nothing stand as they are; everything else is an object
with one key that tells its kind: {"decimal": "1.50"}, {"day": "2026-11-25"}, {"time": "..."},
{"money": [1250, "GBP"]}, {"row": [...]}, {"Finding": {...}}. A value's place in a file is left out
unless asked for: the record has none.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable
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
            kind: tuple(one.name for one in fields(kind) if one.name not in leaving_out)
            for kind in self.kinds.values()
        }

    def as_plain(self, value: Any) -> Any:
        """A value as JSON has it. Raises NotKept."""
        kind = type(value)
        if kind is str:
            return _text(value)
        if value is None or kind is bool or kind is int:
            return value
        if kind is tuple:
            as_plain = self.as_plain
            return {"row": [as_plain(one) for one in value]}
        if kind in _SIMPLE:
            return _SIMPLE[kind](value)
        names = self._fields.get(kind)
        if names is None:
            raise NotKept(f"a value of kind {kind.__name__} cannot be kept")
        as_plain = self.as_plain
        return {kind.__name__: {name: as_plain(getattr(value, name)) for name in names}}

    def value_of(self, plain: Any) -> Any:
        """The value that `as_plain` wrote. Raises NotKept on a kind it does not know."""
        if type(plain) is not dict:
            return plain
        ((kind, content),) = plain.items()
        if kind == "row":
            return tuple([self.value_of(one) for one in content])
        if kind in _TURN_BACK:
            return _TURN_BACK[kind](content)
        if kind not in self.kinds:
            raise NotKept(f"the record holds a value of kind {kind}, which is not known here")
        return self.kinds[kind](**{name: self.value_of(one) for name, one in content.items()})


def _decimal(value: Decimal) -> dict[str, str]:
    if not value.is_finite():
        raise NotKept(f"{value} is no number")
    return {"decimal": f"{value:f}"}


def _time(value: datetime.datetime) -> dict[str, str]:
    if value.tzinfo is None:
        raise NotKept(f"{value} names no time zone")
    return {"time": value.astimezone(datetime.UTC).isoformat()}


def _text(value: str) -> str:
    if "\0" in value:
        raise NotKept("it holds a control character")
    if value.isascii():
        return value
    try:
        value.encode()
    except UnicodeEncodeError:
        raise NotKept("it holds half of a character") from None
    return value


_SIMPLE: dict[type[Any], Callable[[Any], dict[str, Any]]] = {
    Decimal: _decimal,
    datetime.date: lambda day: {"day": day.isoformat()},
    datetime.datetime: _time,
    Money: lambda money: {"money": [money.minor, money.currency]},
}
_TURN_BACK: dict[str, Any] = {
    "decimal": Decimal,
    "day": datetime.date.fromisoformat,
    "time": datetime.datetime.fromisoformat,
    "money": lambda content: Money(*content),
}
