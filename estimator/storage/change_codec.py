"""The values an edit changes, as JSON that keeps every digit and every kind apart.

Text, whole numbers, true and false and nothing stand as they are; everything else is an object
with one key that tells its kind: {"decimal": "1.50"}, {"day": "2026-11-25"}, {"row": [...]},
{"Finding": {...}}. A finding's place in a file is not kept: the record has none.
"""

from __future__ import annotations

import datetime
import json
from dataclasses import fields
from decimal import Decimal
from typing import Any

from estimator.domain.findings import Finding
from estimator.domain.job import (
    Event,
    ExchangeRate,
    LineChange,
    OwnLine,
    Party,
    ScopeChange,
    Stage,
)
from estimator.domain.job_edit import Change

KINDS: dict[str, type[Any]] = {
    kind.__name__: kind
    for kind in (Event, ExchangeRate, Finding, LineChange, OwnLine, Party, ScopeChange, Stage)
}
_FIELDS = {
    name: [one.name for one in fields(kind) if one.name != "place"] for name, kind in KINDS.items()
}


class NotKept(ValueError):
    """A value that the record cannot keep; says which and why."""


def encoded(changes: tuple[Change, ...]) -> str:
    """Changes of an edit as JSON. Raises NotKept."""
    return json.dumps(
        [
            {"key": list(one.key), "before": as_plain(one.before), "after": as_plain(one.after)}
            for one in changes
        ],
        ensure_ascii=False,
    )


def decoded(text: str) -> tuple[Change, ...]:
    """The changes that `encoded` wrote."""
    return tuple(
        Change(tuple(one["key"]), _value(one["before"]), _value(one["after"]))
        for one in json.loads(text)
    )


def as_plain(value: Any) -> Any:
    """A value as JSON has it. Raises NotKept."""
    if value is None or type(value) in (bool, int):
        return value
    if type(value) is str:
        return _text(value)
    if type(value) is Decimal:
        if not value.is_finite():
            raise NotKept(f"{value} is no number")
        return {"decimal": f"{value:f}"}
    if type(value) is datetime.date:
        return {"day": value.isoformat()}
    if type(value) is tuple:
        return {"row": [as_plain(one) for one in value]}
    name = type(value).__name__
    names = _FIELDS.get(name)
    if names is None or KINDS[name] is not type(value):
        raise NotKept(f"a value of kind {name} cannot be kept")
    return {name: {cell: as_plain(getattr(value, cell)) for cell in names}}


def _text(value: str) -> str:
    if "\0" in value:
        raise NotKept("it holds a control character")
    try:
        value.encode()
    except UnicodeEncodeError:
        raise NotKept("it holds half of a character") from None
    return value


def _value(plain: Any) -> Any:
    if not isinstance(plain, dict):
        return plain
    ((kind, content),) = plain.items()
    if kind == "decimal":
        return Decimal(content)
    if kind == "day":
        return datetime.date.fromisoformat(content)
    if kind == "row":
        return tuple(_value(one) for one in content)
    return KINDS[kind](**{name: _value(one) for name, one in content.items()})
