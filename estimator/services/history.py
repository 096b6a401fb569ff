"""History of a job or of one of its variations: who, when, from what to what."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from estimator.domain.contract.changes import Changed, changes_between, variation_of
from estimator.domain.contract.contract import Contract
from estimator.domain.contract.events import Event
from estimator.domain.contract.following import follow
from estimator.domain.record import LogEntry
from estimator.domain.wording import worded
from estimator.services.errors import NotFound
from estimator.services.open_record import Record
from estimator.services.write_edit import kept_job
from estimator.storage.change_log import entries
from estimator.storage.contract_record import read_events

LONGEST_TOLD = 200


@dataclass(frozen=True, slots=True)
class HistoryEntry:
    """One entry of the log. `who` did it (or answered, on the customer's side); `note` says who
    recorded it where that is someone else. `kind` names the contract's event, "" where it is none.
    """

    entry: LogEntry
    who: str
    capacity: str = ""
    side: str = ""
    kind: str = ""
    variation: str = ""
    channel: str = ""
    words: str = ""
    reason: str = ""
    note: str = ""
    changes: tuple[Changed, ...] = field(default=())

    @property
    def at(self) -> datetime:
        """When it was recorded, in UTC."""
        return self.entry.at

    @property
    def act(self) -> str:
        """What was done, as the log says it."""
        return self.entry.act


def read_history(record: Record, number: str, of: str = "") -> tuple[HistoryEntry, ...]:
    """Everything that happened to a job, or to its variation `of`, oldest first. Raises NotFound
    where there is no such job or variation."""
    with record.reading() as session:
        kept = kept_job(session, number)
        log = entries(session, f"job/{number}")
        events = read_events(session, kept.id)
    found = tuple(told_entries(log, events))
    if not of:
        return found
    mine = tuple(one for one in found if one.variation == of)
    if not mine:
        raised = dict.fromkeys(one.variation for one in found if one.variation)
        known = ", ".join(raised) or worded("none yet")
        raise NotFound(
            worded("{number} has no variation {of}.", number=number, of=of),
            worded("Raised: {known}.", known=known),
        )
    return mine


def is_of_contract(entry: LogEntry) -> bool:
    """Whether a log entry tells of an event of a contract."""
    return '"event"' in entry.after and "event" in _data(entry.after)


def told_edit(entry: LogEntry) -> HistoryEntry:
    """An entry that tells of no event of a contract."""
    return HistoryEntry(entry, entry.who, changes=_edit_changes(entry))


def told_entries(log: list[LogEntry], events: tuple[Event, ...]) -> Iterator[HistoryEntry]:
    """Entries of a job's log, oldest first, with the events of its contract that they tell of.
    Raises CannotFollow where the events make no contract."""
    contract: Contract | None = None
    following = iter(events)
    for entry in log:
        event = next(following, None) if is_of_contract(entry) else None
        if event is None:
            yield told_edit(entry)
            continue
        after = follow(contract, event)
        yield HistoryEntry(
            entry,
            event.who,
            event.capacity,
            event.side,
            type(event).__name__,
            variation_of(event),
            event.channel,
            event.words,
            str(getattr(event, "reason", "")),
            event.note,
            changes_between(contract, after),
        )
        contract = after


def _edit_changes(entry: LogEntry) -> tuple[Changed, ...]:
    """What an edit changed, by the keys that the log holds of it."""
    before, after = _data(entry.before), _data(entry.after)
    return tuple(
        Changed(_called(name), _plain(before.get(name)), _plain(after.get(name)))
        for name in dict.fromkeys([*before, *after])
        if _plain(before.get(name)) != _plain(after.get(name))
    )


def _data(text: str) -> Mapping[str, Any]:
    data = json.loads(text) if text else {}
    return data if isinstance(data, dict) else {}


def _called(key: str) -> str:
    section, *rest = key.split("/")
    if len(rest) == 2:  # noqa: PLR2004 - a cell of a row: finding/I03/measured
        return f"{rest[1].replace('_', ' ')} of {rest[0]}"
    return " ".join([section, *rest]).replace("_", " ")


def _plain(value: Any) -> str:
    """A value of the log as people write it: numbers, days and sums bare, rows in short."""
    if value is None or value == "":
        return ""
    if isinstance(value, dict) and len(value) == 1:
        ((kind, content),) = value.items()
        if kind in ("decimal", "day", "time"):
            return str(content)
        if kind == "row":
            return ", ".join(_plain(one) for one in content)[:LONGEST_TOLD]
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False, sort_keys=True)[:LONGEST_TOLD]
    return str(value)[:LONGEST_TOLD]
