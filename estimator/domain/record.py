"""What the record answers: jobs in a list, issued quotes, log entries. Frozen values, no rows."""

from __future__ import annotations

import datetime
import hashlib
import json
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.job_edit import JobEdit
from estimator.domain.money import Money

DRAFT, PROPOSED, ISSUED = "draft", "proposed", "issued"  # what the record keeps
ACCEPTED, STOPPED, HANDED_OVER, CLOSED = "accepted", "stopped", "handed over", "closed"
EXPIRED = "expired"  # an issued quote past its day: told by the day, never kept
STATES = (DRAFT, PROPOSED, ISSUED, EXPIRED, ACCEPTED, STOPPED, HANDED_OVER, CLOSED)
UNDER_CONTRACT = (ACCEPTED, STOPPED, HANDED_OVER, CLOSED)
FROZEN = (ISSUED, *UNDER_CONTRACT)  # the job itself changes no more
ESTIMATOR_WAITS, RELEASE_WAITS, CUSTOMER_WAITS = "estimator", "service manager", "customer"
FOREMAN_WAITS, NOBODY_WAITS = "foreman", ""
_WAITS_FOR = {
    PROPOSED: RELEASE_WAITS,
    ISSUED: CUSTOMER_WAITS,
    ACCEPTED: FOREMAN_WAITS,
    STOPPED: RELEASE_WAITS,
    HANDED_OVER: RELEASE_WAITS,
    CLOSED: NOBODY_WAITS,
}
FIRST_REVISION = "A"
NO_HASH = "0" * 64  # what the first entry of the log is chained to


@dataclass(frozen=True, slots=True)
class Standing:
    """Figures of a job as last worked out, kept so that a list needs no reckoning.

    `job_version` is the version of the job they were worked out from: where the job has a later
    one, they are behind.
    """

    job_version: int
    quoting_unit: Decimal
    firm: Money
    provisional: Money
    contingency: Money
    net: Money
    confidence: Decimal
    finish_half: datetime.date
    finish_covered: datetime.date
    area: str  # where the work on the job is: "scope", "price" ...
    waits_on: str  # who or what it waits for beside its state, in words; "" where nothing
    note: str
    worked_out_at: datetime.datetime


@dataclass(frozen=True, slots=True)
class ContractStanding:
    """A contract as it stands, kept beside its job so that a list needs no reckoning.

    The forecast is None until it was worked out first; where it is `behind`, something has happened
    since. `awaited` is who the longest wait is for, by role or side, "" where no variation waits.
    """

    revision: str
    accepted_at: datetime.datetime
    contract_sum: Money
    current_sum: Money
    held: Money
    left: Money
    behind: bool
    exposed: Money | None
    mark: str  # covered, short, no mark, closed; "" until it was worked out
    forecast_low: Money | None
    forecast_likely: Money | None
    forecast_high: Money | None
    finish_half: datetime.date | None
    finish_covered: datetime.date | None
    awaited: str
    awaited_for: str  # the variation, like V04
    awaited_since: datetime.datetime | None


@dataclass(frozen=True, slots=True)
class JobSummary:
    """A job as a list shows it. `contract` is there once a revision was accepted."""

    id: str
    number: str
    revision: str
    state: str  # one of STATES
    customer: str
    class_id: str
    serial: str
    hours: str
    version: int
    created_at: datetime.datetime
    changed_at: datetime.datetime
    since: datetime.datetime  # when it came into the state that is kept of it
    starts_on: datetime.date
    wanted_by: datetime.date | None
    valid_until: datetime.date | None  # of an issued revision
    net: Money | None  # of the newest issued revision
    standing: Standing | None
    contract: ContractStanding | None = None

    @property
    def waits_for(self) -> str:
        """The role, or the customer, who must act next; "" for nobody. Under contract a variation
        that waits goes before the work itself."""
        if self.state == ACCEPTED and self.contract is not None and self.contract.awaited:
            return self.contract.awaited
        return _WAITS_FOR.get(self.state, ESTIMATOR_WAITS)

    @property
    def waits_since(self) -> datetime.datetime:
        """Since when: of the variation that waits longest, else since it came into its state."""
        if self.state == ACCEPTED and self.contract is not None and self.contract.awaited_since:
            return self.contract.awaited_since
        return self.since

    @property
    def next_date(self) -> tuple[str, datetime.date]:
        """(what, day): the quote's last day, else the day the machine is wanted, else the start.
        Under contract the day by which it is ready; afterwards the day it was handed over, closed
        or stopped."""
        if self.state in (STOPPED, HANDED_OVER, CLOSED):
            return self.state, self.since.date()
        if self.state == ACCEPTED and (ready := self.ready) is not None:
            return "ready", ready
        if self.valid_until is not None:
            return "valid until", self.valid_until
        if self.wanted_by is not None:
            return "wanted by", self.wanted_by
        return "start", self.starts_on

    @property
    def value(self) -> Money | None:
        """What the job is worth: what its contract comes to by now, else figures last worked out,
        else those last issued."""
        if self.contract is not None:
            return self.contract.current_sum
        return self.net if self.standing is None else self.standing.net

    @property
    def ready(self) -> datetime.date | None:
        """The day by which the machine is ready at the job's confidence: of its forecast under
        contract, else as last worked out."""
        if self.contract is not None and self.contract.finish_covered is not None:
            return self.contract.finish_covered
        return None if self.standing is None else self.standing.finish_covered


@dataclass(frozen=True, slots=True)
class EditStep:
    """One edit since the last issue, as it is kept."""

    place: int
    name: str
    who: str
    at: datetime.datetime
    edit: JobEdit
    undone: bool


@dataclass(frozen=True, slots=True)
class KeptText:
    """Text typed into a field that does not take it yet, with the reason in words."""

    place: str
    text: str
    reason: str
    who: str
    at: datetime.datetime


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph of a finding; its picture is fetched by itself."""

    id: str
    finding: str
    name: str
    caption: str
    taken_on: datetime.date | None
    width: int
    height: int
    sha256: str
    thumbnail: bytes


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
    chain_head: str  # head of the log when the quote was printed; "" on the oldest ones
    inputs: str
    figures: str
    pdf: bytes
    pdf_sha256: str
    edition: str = ""  # the catalogue as it counted that day, by the hash of what is kept of it
    style: str = ""  # the house style it was printed in, by its hash; "" on the oldest ones


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
