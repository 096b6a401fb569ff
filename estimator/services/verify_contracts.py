"""Contracts against the log: no event was changed, added or taken out, and lists show what the
events come to."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from estimator.domain.contract.contract import CannotFollow, Contract
from estimator.domain.contract.following import contract_of
from estimator.domain.contract.states import DRAFT
from estimator.domain.record import LogEntry
from estimator.services.write_contract import contract_row, variation_row
from estimator.storage import contract_lists, contract_record
from estimator.storage.contract_codec import decoded
from estimator.storage.contract_lists import KeptEvent
from estimator.storage.value_codec import NotKept

if TYPE_CHECKING:
    from estimator.storage.database import Session

KEPT_BEFORE = {"waits_on": "estimator", "ask": ""}
"""What was kept of a draft within a drawing right before those who hold one were named for it: the
next act on the contract keeps it anew."""


def contract_faults(session: Session, log: list[LogEntry]) -> tuple[int, list[str]]:
    """(events verified, what is wrong with them), over all contracts."""
    told: dict[str, list[tuple[LogEntry, Mapping[str, Any]]]] = {}
    for entry in log:
        said = json.loads(entry.after) if '"event"' in entry.after else {}
        if isinstance(said, dict) and "event" in said:
            told.setdefault(entry.subject.removeprefix("job/"), []).append((entry, said))
    kept = contract_lists.all_events(session)
    faults: list[str] = []
    for number in dict.fromkeys([*told, *kept]):
        events = kept.get(number, [])
        wrong = list(_event_faults(number, events, told.get(number, [])))
        faults += wrong or list(_row_faults(session, number, events))
    return sum(map(len, kept.values())), faults


def _event_faults(
    number: str, events: list[KeptEvent], told: list[tuple[LogEntry, Mapping[str, Any]]]
) -> Iterator[str]:
    if len(events) != len(told):
        yield f"{number}: {len(events)} events of its contract, where the log tells of {len(told)}"
    for place, (event, (entry, said)) in enumerate(zip(events, told, strict=False), start=1):
        hashed = hashlib.sha256(event.body.encode()).hexdigest()
        told_besides = (entry.at, entry.who, said["event"])
        if event.place != place or hashed != said.get("sha256"):
            yield f"{number}: event {event.place} is not what entry {entry.number} of the log tells"
        elif (event.at, event.who, event.kind) != told_besides:
            yield f"{number}: event {event.place} was relabelled since entry {entry.number}"


def _row_faults(session: Session, number: str, events: list[KeptEvent]) -> Iterator[str]:
    """Rows kept for lists that differ from what the events come to."""
    try:
        contract = contract_of(decoded(event.body) for event in events)
    except (CannotFollow, NotKept, TypeError, ValueError, KeyError) as error:
        yield f"{number}: its events no longer make a contract ({error})"
        return
    job_id = events[0].job_id
    rows = {str(row["number"]): row for row in contract_lists.variation_rows(session, job_id)}
    if set(rows) != set(contract.cases):
        yield f"{number}: the list of its variations is not what its events come to"
        return
    kept = contract_record.contract_row(session, job_id) or {}
    if any(kept.get(name) != value for name, value in contract_row(contract).items()):
        yield f"{number}: the sums kept for lists are not what its events come to"
    yield from _variation_faults(number, contract, rows)


def _variation_faults(
    number: str, contract: Contract, rows: Mapping[str, Mapping[str, Any]]
) -> Iterator[str]:
    for name, case in contract.cases.items():
        wanted = variation_row(contract, case)
        differs = {cell: rows[name][cell] for cell, value in wanted.items()
                   if rows[name][cell] != value}  # fmt: skip
        if differs and (case.state != DRAFT or differs != KEPT_BEFORE):
            yield f"{number}: {name} as kept for lists is not what its events come to"
