"""The values an edit changes, as JSON (see `value_codec`)."""

from __future__ import annotations

import json
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
from estimator.domain.new_machine import Factor, Input, NewMachine
from estimator.storage.value_codec import NotKept, ValueCodec

__all__ = ["NotKept", "as_plain", "decoded", "encoded"]
CODEC = ValueCodec((
    Event, ExchangeRate, Factor, Finding, Input, LineChange, NewMachine, OwnLine, Party,
    ScopeChange, Stage,
))  # fmt: skip


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
        Change(tuple(one["key"]), CODEC.value_of(one["before"]), CODEC.value_of(one["after"]))
        for one in json.loads(text)
    )


def as_plain(value: Any) -> Any:
    """A value as JSON has it. Raises NotKept."""
    return CODEC.as_plain(value)
