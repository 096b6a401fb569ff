"""A record with the worked job in it, and people of each role, without a passphrase."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Job
from estimator.domain.job_edit import JobEdit, edit_between
from estimator.domain.people import Person
from estimator.domain.problem import Place
from estimator.intake.job_files import read_job
from estimator.services.adopt_values import adopt, not_adopted
from estimator.services.keep_job import recorded_job
from estimator.services.learn import learnt
from estimator.services.open_record import Record
from estimator.services.work_out import work_out
from estimator.storage import job_record

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
LATER = NOW + timedelta(hours=1)
GOLDEN_JOB = Path(__file__).parent.parent / "golden" / "job"

MANAGER = Person("1", "J. Tarn", "service manager", True)
ESTIMATOR = Person("2", "P. Holt", "estimator", True)
INSPECTOR = Person("3", "A. Rowe", "inspector", True)
FOREMAN = Person("4", "K. Brand", "foreman", True)
VIEWER = Person("5", "L. Quill", "viewer", True)


WHY_ADOPTED = "they fit what we have seen"


def adopt_all(record: Record, number: str, catalogue: Catalogue, who: Person = MANAGER) -> int:
    """Adopt what starting values a job's contingency rests on, so that its quote may go out."""
    work = work_out(recorded_job(record, number)[0], learnt(record, catalogue))
    return adopt(record, not_adopted(record, work), who, NOW, WHY_ADOPTED)


def golden_job() -> Job:
    job, problems = read_job(GOLDEN_JOB)
    assert job is not None, problems
    return replace(job, findings=tuple(replace(one, place=Place()) for one in job.findings))


def keep_golden(record: Record, **changes: object) -> str:
    job = replace(golden_job(), **changes)
    with record.writing() as session:
        job_record.add_job(session, job, "draft", NOW)
    return job.number


def edited(record: Record, number: str, name: str, change: Callable[[Job], Job]) -> JobEdit:
    """The edit that a change of the job as it is now makes."""
    job = recorded_job(record, number)[0]
    return edit_between(job, change(job), name)


def with_cell(code: str, **cells: object) -> Callable[[Job], Job]:
    """A change of one finding's cells."""
    return lambda job: replace(
        job,
        findings=tuple(replace(f, **cells) if f.id == code else f for f in job.findings),
    )
