"""Events of a contract as JSON (see `value_codec`)."""

from __future__ import annotations

import hashlib
import json
from dataclasses import fields
from functools import lru_cache

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import Acceptance, Authority
from estimator.domain.contract.variation import (
    Range,
    Remeasured,
    Variation,
    VariationLine,
    WayOffered,
)
from estimator.domain.findings import Finding
from estimator.storage.value_codec import NotKept, ValueCodec

EVENTS = (
    happened.Accepted, happened.AuthorityGiven, happened.OrderChanged, happened.Received,
    happened.Opened, happened.Raised, happened.Revised, happened.Moved, happened.Decided,
    happened.Waited, happened.MadeSafe, happened.ContingencyReturned, happened.StagePaid,
    happened.ExchangeSettled, happened.StopDecided, happened.Tested, happened.HandedOver,
    happened.AccountClosed,
)  # fmt: skip
CODEC = ValueCodec(
    (*EVENTS, Acceptance, Authority, Finding, Range, Remeasured, Variation, VariationLine,
     WayOffered)
)  # fmt: skip


def encoded(event: happened.Event) -> str:
    """An event as JSON. Raises NotKept."""
    return json.dumps(CODEC.as_plain(event), ensure_ascii=False, sort_keys=True)


@lru_cache(maxsize=8192)
def decoded(text: str) -> happened.Event:
    """The event that `encoded` wrote, the same value for the same text. Raises NotKept."""
    event = CODEC.value_of(json.loads(text))
    if not isinstance(event, happened.Event):
        raise NotKept("the record holds something that is no event of a contract")
    return event


def event_hash(event: happened.Event) -> str:
    """SHA-256 of an event as it is kept: what the log holds of it. Raises NotKept."""
    return hashlib.sha256(encoded(event).encode()).hexdigest()


def said(event: happened.Event) -> dict[str, object]:
    """What the change log tells of an event: its fields, without those that say nothing."""
    plain = CODEC.as_plain(event)
    (cells,) = plain.values()
    besides = {one.name for one in fields(happened.Event)} - {"channel", "words", "note"}
    return {
        name: value
        for name, value in cells.items()
        if name not in besides and value not in ("", None, False, {"row": []})
    }
