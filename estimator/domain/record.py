"""What the record answers: jobs in a list, issued quotes, log entries. Frozen values, no rows."""

from __future__ import annotations

import datetime
import hashlib
import json
from dataclasses import dataclass

from estimator.domain.money import Money

DRAFT, ISSUED = "draft", "issued"
FIRST_REVISION = "A"
NO_HASH = "0" * 64  # what the first entry of the log is chained to


@dataclass(frozen=True, slots=True)
class JobSummary:
    """A job as a list shows it."""

    id: str
    number: str
    revision: str
    state: str
    customer: str
    class_id: str
    serial: str
    hours: str
    changed_at: datetime.datetime
    net: Money | None  # of the newest issued revision


@dataclass(frozen=True, slots=True)
class IssuedQuote:
    """A revision as it was issued."""

    number: str
    revision: str
    issued_at: datetime.datetime
    issued_by: str
    released_by: str
    net: Money
    contingency: Money
    gross: Money
    ready_on: datetime.date
    valid_until: datetime.date
    catalogue_version: str
    catalogue_fingerprint: str
    record: str
    inputs: str
    figures: str
    pdf: bytes
    pdf_sha256: str


@dataclass(frozen=True, slots=True)
class LogEntry:
    """One act in the change log. `before` and `after` are JSON."""

    number: int
    at: datetime.datetime
    who: str
    act: str
    subject: str
    before: str
    after: str
    previous_hash: str
    hash: str

    @property
    def expected_hash(self) -> str:
        """SHA-256 over everything in the entry and the hash before it."""
        return entry_hash(self)


def entry_hash(entry: LogEntry) -> str:
    """The hash an entry must carry."""
    content = [
        entry.number,
        entry.at.astimezone(datetime.UTC).isoformat(timespec="microseconds"),
        entry.who,
        entry.act,
        entry.subject,
        entry.before,
        entry.after,
        entry.previous_hash,
    ]
    return hashlib.sha256(json.dumps(content, ensure_ascii=False).encode()).hexdigest()


def chain_faults(entries: list[LogEntry]) -> list[str]:
    """What is wrong with a log, entry by entry; empty where it is whole."""
    faults = []
    previous, number = NO_HASH, 0
    for entry in entries:
        number += 1
        if entry.number != number:
            faults.append(f"entry {number} is missing; entry {entry.number} follows")
            number = entry.number
        if entry.previous_hash != previous:
            faults.append(f"entry {entry.number} does not follow from the one before it")
        if entry.hash != entry.expected_hash:
            faults.append(f"entry {entry.number} was changed after it was written")
        previous = entry.hash
    return faults


def next_revision(revision: str) -> str:
    """The letter after a revision's: A to B, Z to AA (as spreadsheet columns count)."""
    number = 0
    for letter in revision:
        number = number * 26 + ord(letter) - ord("A") + 1
    number += 1
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters
