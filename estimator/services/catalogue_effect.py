"""What an edition of the catalogue would do to quotes that nobody has accepted yet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Job
from estimator.domain.money import Money
from estimator.domain.priced_job import Progress
from estimator.domain.priced_work import PricedWork
from estimator.domain.record import DRAFT, EXPIRED, ISSUED, PROPOSED, JobSummary
from estimator.domain.wording import worded
from estimator.services.errors import NotFound, NotReckoned, Refused
from estimator.services.keep_job import recorded_job
from estimator.services.learn import learnt
from estimator.services.list_jobs import list_jobs
from estimator.services.open_record import Record
from estimator.services.price_job import quiet
from estimator.services.work_out import hold, work_out
from estimator.storage import edition_record, job_record

OPEN = (DRAFT, PROPOSED, ISSUED, EXPIRED)
MOST_JOBS = 1_000


@dataclass(frozen=True, slots=True)
class MovedLine:
    """A line whose amount differs; None on the side that lacks it."""

    code: str
    name: str
    before: Money | None
    after: Money | None


@dataclass(frozen=True, slots=True)
class JobEffect:
    """An open job under two editions. Sums are None where it cannot be priced: `fault` says why.

    `keeps` names the catalogue that its issued revision keeps; "" where nothing is issued of the
    revision as it stands.
    """

    number: str
    revision: str
    state: str
    customer: str
    keeps: str
    before: Money | None
    after: Money | None
    contingency_before: Money | None
    contingency_after: Money | None
    lines: tuple[MovedLine, ...]
    fault: str = ""

    @property
    def moves(self) -> bool:
        """Whether the price differs."""
        return self.before != self.after or bool(self.lines)


def effect_on_open_quotes(
    record: Record, before: Catalogue, after: Catalogue, today: date, progress: Progress = quiet
) -> tuple[JobEffect, ...]:
    """Every open job priced with both, the newest first. `progress` is told each job; an exception
    raised by it stops the work. Nothing is written; what was issued keeps what it was issued with.
    """
    old, new = learnt(record, before), learnt(record, after)
    jobs = [one for one in list_jobs(record, today=today, limit=MOST_JOBS) if one.state in OPEN]
    return tuple(_effects(record, jobs, old, new, progress))


def _effects(
    record: Record, jobs: list[JobSummary], old: Catalogue, new: Catalogue, progress: Progress
) -> Iterator[JobEffect]:
    for place, summary in enumerate(jobs, start=1):
        progress(worded("{number}, {place} of {count}",
                        number=summary.number, place=place, count=len(jobs)))  # fmt: skip
        try:
            job = recorded_job(record, summary.number)[0]
        except NotFound:  # taken away meanwhile
            continue
        yield _effect(summary, job, old, new, _keeps(record, summary))


def _effect(summary: JobSummary, job: Job, old: Catalogue, new: Catalogue, keeps: str) -> JobEffect:
    head = (summary.number, summary.revision, summary.state, summary.customer, keeps)
    sides: list[tuple[PricedWork, Money] | None] = []
    fault = ""
    for catalogue in (old, new):
        try:
            work = work_out(job, catalogue)
            sides.append((work, hold(work).amount))
        except (Refused, NotReckoned) as error:
            sides.append(None)
            problems = getattr(error, "problems", ())
            fault = str(problems[0]) if problems else str(error.message)
    one, other = sides
    return JobEffect(
        *head,
        before=_net(one),
        after=_net(other),
        contingency_before=one[1] if one else None,
        contingency_after=other[1] if other else None,
        lines=_moved(one[0], other[0]) if one and other else (),
        fault=fault,
    )


def _net(side: tuple[PricedWork, Money] | None) -> Money | None:
    return None if side is None else side[0].firm + side[0].provisional + side[1]


def _moved(before: PricedWork, after: PricedWork) -> tuple[MovedLine, ...]:
    """Lines that differ, by code in the order they are priced; one code may stand several times."""
    found: dict[tuple[str, int], list[Money | None]] = {}
    names: dict[tuple[str, int], str] = {}
    for side, work in enumerate((before, after)):
        seen: dict[str, int] = {}
        for line in work.lines:
            key = (line.id, seen.setdefault(line.id, 0))
            seen[line.id] += 1
            found.setdefault(key, [None, None])[side] = line.amount
            names[key] = line.line.row.name
    return tuple(
        MovedLine(key[0], names[key], *sums) for key, sums in found.items() if sums[0] != sums[1]
    )


def _keeps(record: Record, summary: JobSummary) -> str:
    """The catalogue that the issued revision keeps."""
    if summary.state not in (ISSUED, EXPIRED):
        return ""
    with record.reading() as session:
        issued = [one for one in job_record.issued_quotes(session, summary.number)
                  if one.revision == summary.revision]  # fmt: skip
        if not issued:
            return ""
        editions = edition_record.all_editions(session)
    last = issued[-1]
    numbered = [one for one in editions if one.fingerprint == last.catalogue_fingerprint]
    if not numbered:
        return worded("keeps {version}", version=last.catalogue_version)
    return worded("keeps edition {number}", number=numbered[0].number)
