"""The jobs of the record as a list, and finding anything in them by words."""

from __future__ import annotations

import itertools
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from estimator.domain.record import STATES, JobSummary
from estimator.domain.wording import worded
from estimator.services.errors import NotFound
from estimator.services.open_record import Record
from estimator.storage import job_list, job_search
from estimator.storage.job_list import NEWEST, VALUE, Wanted

ORDERS = (NEWEST, VALUE)
JOB, FINDING, PHOTOGRAPH = "job", "finding", "photograph"
SOUGHT_JOBS = 200  # as many jobs are looked through for places
AROUND = 60  # signs shown before and after what was found
_SIGNS = re.compile(r"[\W_]+")


def list_jobs(
    record: Record,
    text: str = "",
    *,
    today: date,
    state: str = "",
    class_id: str = "",
    order: str = NEWEST,
    limit: int = 200,
    skip: int = 0,
) -> list[JobSummary]:
    """Jobs, newest change first, or by `value` (what a contract comes to by now, else figures last
    worked out; highest first, one currency after the other).

    `text`: every word of it begins a word of number, customer, serial, class, note, a finding or a
    photograph; where no job has that, it is looked for anywhere in number, customer, serial and
    class. `state` is one of STATES. Raises NotFound for a state or an order that there is not.
    """
    wanted = _wanted(Wanted(today, text, state, class_id, order, limit, skip))
    with record.reading() as session:
        found = job_list.summaries(session, wanted)
    if order == VALUE:
        found.sort(key=_worth, reverse=True)  # the record orders by what was worked out alone
    return found


def _worth(job: JobSummary) -> tuple[bool, str, int]:
    value = job.value
    return (False, "", 0) if value is None else (True, value.currency, value.minor)


def count_jobs(
    record: Record, text: str = "", *, today: date, state: str = "", class_id: str = ""
) -> int:
    """How many jobs `list_jobs` would list without a limit. Raises NotFound."""
    with record.reading() as session:
        return job_list.count_jobs(session, _wanted(Wanted(today, text, state, class_id)))


def _wanted(wanted: Wanted) -> Wanted:
    if wanted.state and wanted.state not in STATES:
        raise NotFound(
            worded("No job is ever {state!r}.", state=wanted.state),
            worded("States are: {states}.", states=", ".join(STATES)),
        )
    if wanted.order not in ORDERS:
        raise NotFound(
            worded("Jobs are not ordered by {order!r}.", order=wanted.order),
            worded("Say {known}.", known=" or ".join(ORDERS)),
        )
    return wanted


@dataclass(frozen=True, slots=True)
class Hit:
    """One place where the words asked for stand."""

    kind: str  # job, finding or photograph
    number: str
    place: str  # the finding's number; "" for the job itself
    title: str  # customer and machine
    words: str  # as they stand there, with what is around them


def find_anywhere(record: Record, text: str, limit: int = 40) -> list[Hit]:
    """Where the words of `text` stand: jobs first, then their findings and photographs."""
    words = [_folded(word) for word in job_search.words_of(text)]
    with record.reading() as session:
        found = job_search.texts_with(session, text, SOUGHT_JOBS)
    hits = itertools.chain(
        (hit for one in found for hit in _job_hits(one, words)),
        (hit for one in found for hit in _line_hits(one, words)),
    )
    shown = list(itertools.islice(hits, limit))
    # Where no word begins as asked, the jobs were found by what stands within their numbers.
    return shown or [Hit(JOB, one.number, "", _title(one), "") for one in found[:limit]]


def _title(found: job_search.FoundText) -> str:
    return f"{found.customer}, {found.class_id} {found.serial}"


def _not_in_head(found: job_search.FoundText, words: list[str]) -> list[str]:
    head = _folded(f"{found.number} {_title(found)} {found.note}")
    return [word for word in words if not _holds(head, word)]


def _job_hits(found: job_search.FoundText, words: list[str]) -> Iterator[Hit]:
    if _not_in_head(found, words):
        return
    note = _folded(found.note)
    in_note = [word for word in words if _holds(note, word)]
    shown = _around(found.note, in_note[0]) if in_note else ""
    yield Hit(JOB, found.number, "", _title(found), shown)


def _line_hits(found: job_search.FoundText, words: list[str]) -> Iterator[Hit]:
    open_words = _not_in_head(found, words)
    for kind, lines in ((FINDING, found.findings), (PHOTOGRAPH, found.photographs)):
        for line in lines.splitlines():
            folded = _folded(line)
            here = [word for word in words if _holds(folded, word)]
            if here and all(word in here for word in open_words):
                place, _, said = line.partition("\t")
                yield Hit(kind, found.number, place, _title(found), _around(said, here[0]))


def _holds(folded: str, word: str) -> bool:
    """Whether the words of a folded text begin somewhere as those of `word` do. What is but signs
    has no words: the record has found it already."""
    return not word or folded.startswith(word) or f" {word}" in folded


def _without_accents(text: str) -> str:
    text = text.casefold()
    if text.isascii():
        return text
    apart = unicodedata.normalize("NFKD", text)
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


def _folded(text: str) -> str:
    """The words of a text in small letters without accents, one space between them."""
    return _SIGNS.sub(" ", _without_accents(text)).strip()


def _around(text: str, word: str) -> str:
    first = word.split(" ", 1)[0]
    at = max(_without_accents(text).find(first), 0)  # folding moves little: near enough to show
    start, end = max(at - AROUND, 0), at + len(word) + AROUND
    return f"{'…' if start else ''}{text[start:end].strip()}{'…' if end < len(text) else ''}"
