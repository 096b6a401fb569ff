"""Past work in the record: outcomes of teardowns and closed jobs, from files or entered in bulk."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Generic, TypeVar

from estimator.domain.past_work import (
    ClosedJob,
    TeardownOutcome,
    closed_job_problems,
    outcome_problems,
    same_outcome,
)
from estimator.domain.people import PAST, Person
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import Worded, worded
from estimator.intake.past_work_files import as_csv, read_closed_jobs, read_outcomes
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotWritten, Refused
from estimator.services.open_record import Record
from estimator.services.write_file import write_whole
from estimator.storage.change_log import append
from estimator.storage.past_record import CLOSED_JOBS, OUTCOMES, Kept, PastTable

if TYPE_CHECKING:
    from estimator.storage.database import Session

R = TypeVar("R", TeardownOutcome, ClosedJob)
__all__ = [
    "Kept", "add_closed_in", "add_closed_jobs", "add_outcomes", "add_outcomes_in", "closed_jobs",
    "correct_closed_job",
    "correct_outcome", "export_closed_jobs", "export_outcomes", "import_closed_jobs",
    "import_outcomes", "outcomes", "remove_closed_job", "remove_outcome",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Kind(Generic[R]):
    """What is said of one kind of past work, and what tells its rows apart."""

    subject: str
    one: str
    called: Worded
    several: Worded
    table: PastTable[R]
    problems: Callable[[R, date], list[Problem]]
    name_of: Callable[[R], object]


_OUTCOMES = _Kind(
    "teardown outcomes",
    "teardown outcome",
    worded("The teardown outcome"),
    worded("Teardown outcomes"),
    OUTCOMES,
    outcome_problems,
    same_outcome,
)
_CLOSED = _Kind(
    "closed jobs",
    "closed job",
    worded("The closed job"),
    worded("Closed jobs"),
    CLOSED_JOBS,
    closed_job_problems,
    lambda closed: closed.number,
)


def outcomes(
    record: Record, limit: int | None = None, skip: int = 0
) -> list[Kept[TeardownOutcome]]:
    """Outcomes of teardowns, newest first."""
    with record.reading() as session:
        return OUTCOMES.listed(session, limit, skip)


def closed_jobs(record: Record, limit: int | None = None, skip: int = 0) -> list[Kept[ClosedJob]]:
    """Closed jobs, newest first."""
    with record.reading() as session:
        return CLOSED_JOBS.listed(session, limit, skip)


def add_outcomes(
    record: Record, rows: Sequence[TeardownOutcome], who: Person, now: datetime
) -> int:
    """Add outcomes, all of them or none; how many. Raises NotAllowed, and Refused where one has a
    fault or is in the record already (faults count the rows from 1 where no file is told)."""
    return _add(record, _OUTCOMES, rows, who, now)


def add_closed_jobs(record: Record, rows: Sequence[ClosedJob], who: Person, now: datetime) -> int:
    """Add closed jobs; as `add_outcomes`."""
    return _add(record, _CLOSED, rows, who, now)


def add_outcomes_in(
    session: Session, rows: Sequence[TeardownOutcome], who: Person, now: datetime, act: str
) -> int:
    """Add those outcomes that are sound and not there yet, within a transaction of the caller's and
    logged as `act`; how many."""
    return _add_new(session, _OUTCOMES, rows, who, now, act)


def add_closed_in(
    session: Session, rows: Sequence[ClosedJob], who: Person, now: datetime, act: str
) -> int:
    """Add closed jobs; as `add_outcomes_in`."""
    return _add_new(session, _CLOSED, rows, who, now, act)


def import_outcomes(record: Record, path: Path, who: Person, now: datetime) -> int:
    """Add the outcomes of a CSV table, all of them or none; how many.

    Raises NotAllowed, Refused with every fault by file, row and column.
    """
    require(who, PAST)
    rows, problems = read_outcomes(path, now.date())
    if problems:
        raise Refused(worded("Teardown outcomes of {path}", path=str(path)), problems)
    return add_outcomes(record, rows, who, now)


def import_closed_jobs(record: Record, path: Path, who: Person, now: datetime) -> int:
    """Add the closed jobs of a CSV table; as `import_outcomes`."""
    require(who, PAST)
    rows, problems = read_closed_jobs(path, now.date())
    if problems:
        raise Refused(worded("Closed jobs of {path}", path=str(path)), problems)
    return add_closed_jobs(record, rows, who, now)


def correct_outcome(
    record: Record, kept: Kept[TeardownOutcome], row: TeardownOutcome, who: Person, now: datetime
) -> None:
    """Write an outcome anew. Raises NotAllowed, Refused where it has a fault, Conflict where it was
    changed meanwhile."""
    _correct(record, _OUTCOMES, kept, row, who, now)


def correct_closed_job(
    record: Record, kept: Kept[ClosedJob], row: ClosedJob, who: Person, now: datetime
) -> None:
    """Write a closed job anew; as `correct_outcome`."""
    _correct(record, _CLOSED, kept, row, who, now)


def remove_outcome(record: Record, kept: Kept[TeardownOutcome], who: Person, now: datetime) -> None:
    """Remove an outcome; the log keeps what it said. Raises NotAllowed, Conflict where it was
    changed meanwhile."""
    _remove(record, _OUTCOMES, kept, who, now)


def remove_closed_job(record: Record, kept: Kept[ClosedJob], who: Person, now: datetime) -> None:
    """Remove a closed job; as `remove_outcome`."""
    _remove(record, _CLOSED, kept, who, now)


def export_outcomes(record: Record, path: Path, *, replace_file: bool = False) -> Path:
    """Write every outcome as a CSV table that can be taken in again. Raises NotWritten."""
    rows = [kept.row for kept in outcomes(record)]
    return _write(path, as_csv(rows, TeardownOutcome), replace_file=replace_file)


def export_closed_jobs(record: Record, path: Path, *, replace_file: bool = False) -> Path:
    """Write every closed job; as `export_outcomes`."""
    rows = [kept.row for kept in closed_jobs(record)]
    return _write(path, as_csv(rows, ClosedJob), replace_file=replace_file)


def _write(path: Path, data: bytes, *, replace_file: bool) -> Path:
    if path.exists() and not replace_file:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    return write_whole(path, data)


def _add(record: Record, kind: _Kind[R], rows: Sequence[R], who: Person, now: datetime) -> int:
    require(who, PAST)
    numbered = [
        row if row.place.row else replace(row, place=Place(row.place.file, at))
        for at, row in enumerate(rows, start=1)
    ]
    problems = [fault for row in numbered for fault in kind.problems(row, now.date())]
    with record.writing() as session:
        there = {kind.name_of(one.row) for one in kind.table.listed(session)}
        for row in numbered:
            if kind.name_of(row) in there:
                problems.append(
                    Problem(
                        "twice",
                        row.place,
                        worded("is in the record already."),
                        worded("Leave it out."),
                    )
                )
            there.add(kind.name_of(row))
        if problems:
            raise Refused(kind.several, problems)
        kind.table.add(session, numbered)
        if numbered:
            after = {"count": len(numbered), "rows": [_said(row, kind) for row in numbered]}
            append(session, at=now, who=who.name, act=f"{kind.subject} added",
                   subject=kind.subject, after=after)  # fmt: skip
    return len(numbered)


def _add_new(
    session: Session, kind: _Kind[R], rows: Sequence[R], who: Person, now: datetime, act: str
) -> int:
    there = {kind.name_of(one.row) for one in kind.table.listed(session)}
    new = [
        row for row in rows if kind.name_of(row) not in there and not kind.problems(row, now.date())
    ]
    if new:
        kind.table.add(session, new)
        after = {"count": len(new), "rows": [_said(row, kind) for row in new]}
        append(session, at=now, who=who.name, act=act, subject=kind.subject, after=after)
    return len(new)


def _correct(
    record: Record, kind: _Kind[R], kept: Kept[R], row: R, who: Person, now: datetime
) -> None:
    require(who, PAST)
    if problems := kind.problems(row, now.date()):
        raise Refused(kind.called, problems)
    with record.writing() as session:
        others = {kind.name_of(o.row) for o in kind.table.listed(session) if o.id != kept.id}
        if kind.name_of(row) in others:
            fault = Problem(
                "twice", row.place, worded("is in the record already."), worded("Remove one.")
            )
            raise Refused(kind.called, [fault])
        if not kind.table.change(session, kept, row):
            raise _gone(kind)
        append(session, at=now, who=who.name, act=f"{kind.one} corrected", subject=kind.subject,
               before=_said(kept.row, kind), after=_said(row, kind))  # fmt: skip


def _remove(record: Record, kind: _Kind[R], kept: Kept[R], who: Person, now: datetime) -> None:
    require(who, PAST)
    with record.writing() as session:
        if not kind.table.remove(session, kept):
            raise _gone(kind)
        append(session, at=now, who=who.name, act=f"{kind.one} removed", subject=kind.subject,
               before=_said(kept.row, kind))  # fmt: skip


def _gone(kind: _Kind[Any]) -> Conflict:
    return Conflict(
        worded("{what} was changed or removed by someone else meanwhile.", what=kind.called),
        worded("Look at it again; nothing was changed."),
    )


def _said(row: Any, kind: _Kind[Any]) -> dict[str, object]:
    said: dict[str, object] = json.loads(
        json.dumps({name: getattr(row, name) for name in kind.table.names}, default=str)
    )
    return said
