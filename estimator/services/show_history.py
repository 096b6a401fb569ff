"""History of a job for a screen: the newest first, read page by page, so that a log of any length
opens at once."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from estimator.domain.contract.contract import CannotFollow
from estimator.domain.contract.events import Event, Raised, Revised
from estimator.services.history import HistoryEntry, is_of_contract, told_edit, told_entries
from estimator.services.open_record import Record
from estimator.services.write_edit import kept_job
from estimator.storage.change_log import (
    count_entries,
    entries_before,
    entries_saying,
    head_entry,
)
from estimator.storage.contract_record import read_events
from estimator.storage.value_codec import NotKept

EVERYTHING, EDITS, ISSUE, CONTRACT = "everything", "edits", "issue", "contract"
WHAT = (EVERYTHING, EDITS, ISSUE, CONTRACT)
ISSUE_ACTS = ("proposed for release", "withdrawn", "issued", "revised")
PAGE = 200  # rows
AT_ONCE = 2000  # entries looked through before a page is handed on, however few there are on it


@dataclass(frozen=True, slots=True)
class HistoryOf:
    """What a job's history holds at one moment. `events` are the entries that tell of its contract,
    by their numbers, oldest first; `torn` says why they make no contract ("" where they do)."""

    number: str
    count: int
    newest: int
    head: str
    events: Mapping[int, HistoryEntry]
    variations: tuple[tuple[str, str], ...]  # number, title
    torn: str = ""


@dataclass(frozen=True, slots=True)
class Looked:
    """What is looked for: entries of a kind (one of WHAT, or a variation's number) that say every
    word of `text`, in whatever case. `said` answers what an entry says; by default what it holds.
    """

    what: str = EVERYTHING
    text: str = ""
    said: Callable[[HistoryEntry], str] | None = None

    def finds(self, one: HistoryEntry) -> bool:
        """Whether an entry is of the kind and says the words."""
        if not self._of_kind(one):
            return False
        if not self.text.strip():
            return True
        said = (self.said or said_by)(one).casefold()
        return all(word in said for word in self.text.casefold().split())

    def _of_kind(self, one: HistoryEntry) -> bool:
        if self.what == EVERYTHING:
            return True
        if self.what == ISSUE:
            return not one.kind and one.act in ISSUE_ACTS
        if self.what == EDITS:
            return not one.kind and one.act not in ISSUE_ACTS
        return bool(one.kind) if self.what == CONTRACT else one.variation == self.what

    @property
    def of_events(self) -> bool:
        """Whether only events of the contract are looked for."""
        return self.what not in (EVERYTHING, EDITS, ISSUE)


@dataclass(frozen=True, slots=True)
class HistoryPage:
    """Entries found, the newest first; `before` is where to go on, None where there are no more."""

    rows: tuple[HistoryEntry, ...]
    before: int | None


def begin_history(record: Record, number: str) -> HistoryOf:
    """What the history of a job holds now. Raises NotFound where there is no such job."""
    subject = f"job/{number}"
    with record.reading() as session:
        kept = kept_job(session, number)
        newest, head = head_entry(session)
        count = count_entries(session, subject)
        log = [one for one in entries_saying(session, subject, '"event"') if is_of_contract(one)]
        try:
            events, torn = read_events(session, kept.id) if log else (), ""
            told = tuple(told_entries(log, events))
        except (CannotFollow, NotKept, TypeError, ValueError, KeyError) as error:
            events, torn = (), str(error)
            told = tuple(HistoryEntry(one, one.who, kind="?") for one in log)
    by_number = {one.entry.number: one for one in told}
    return HistoryOf(number, count, newest, head, by_number, _variations(events), torn)


def read_page(
    record: Record, of: HistoryOf, looked: Looked, before: int | None = None, most: int = PAGE
) -> HistoryPage:
    """The next entries found, from the newest or from those before a number. Up to `most` of them,
    fewer where AT_ONCE entries were looked through; entries that came since `of` are left out."""
    at = of.newest + 1 if before is None else before
    if looked.of_events:
        older = [of.events[number] for number in reversed(list(of.events)) if number < at]
        return _page(older, looked, most, done=True)
    many = AT_ONCE if looked.text.strip() or looked.what != EVERYTHING else most
    with record.reading() as session:
        log = entries_before(session, f"job/{of.number}", at, many)
    told = [of.events.get(entry.number) or told_edit(entry) for entry in log]
    return _page(told, looked, most, done=len(log) < many)


def _page(told: list[HistoryEntry], looked: Looked, most: int, *, done: bool) -> HistoryPage:
    found: list[HistoryEntry] = []
    for one in told:
        if looked.finds(one):
            found.append(one)
        if len(found) == most:
            return HistoryPage(tuple(found), one.entry.number)
    at = told[-1].entry.number if told and not done else None
    return HistoryPage(tuple(found), at)


def said_by(one: HistoryEntry) -> str:
    """Everything an entry says, as the record has it."""
    changes = (f"{c.what} {c.before} {c.after}" for c in one.changes)
    texts = (one.who, one.capacity, one.side, one.act, one.variation, one.channel, one.words,
             one.reason, one.note)  # fmt: skip
    return " ".join((*texts, *changes))


def _variations(events: tuple[Event, ...]) -> tuple[tuple[str, str], ...]:
    """Variations by number, each with the title it has now."""
    named = [one.variation for one in events if isinstance(one, Raised | Revised)]
    return tuple(sorted({one.number: one.title for one in named}.items()))
