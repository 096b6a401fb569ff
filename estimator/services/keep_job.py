"""Jobs in the record: take in, list, find, add findings, hand out as a folder again."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Job
from estimator.domain.job_data import findings_as_data, job_as_data
from estimator.domain.people import FIND, TAKE_IN, Person
from estimator.domain.record import DRAFT, ISSUED, JobSummary
from estimator.intake.job_files import read_findings
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotFound, Refused
from estimator.services.open_job import catalogue_for, open_job
from estimator.services.open_record import Record
from estimator.services.write_file import write_whole
from estimator.storage import job_record
from estimator.storage.change_log import append

NEW_NUMBER = "new"


def take_in_job(
    record: Record, folder: Path, catalogue: Catalogue, who: Person, now: datetime
) -> str:
    """Take a job folder into the record; returns its number.

    A job whose number is "new" gets the next of the record's own (Q-1, Q-2 ...), without gaps.
    Raises Refused, NotAllowed, Conflict where the number is taken.
    """
    require(who, TAKE_IN)
    job, _ = open_job(folder, catalogue)
    with record.database.writing() as session:
        if job.number == NEW_NUMBER:
            job = replace(job, number=f"Q-{job_record.take_number(session, 'job')}")
        if job_record.job_row(session, job.number) is not None:
            raise Conflict(
                f"{job.number} is in the record already.", 'Write number = "new" for another job.'
            )
        job_record.add_job(session, job, DRAFT, now)
        append(
            session,
            at=now,
            who=who.name,
            act="taken in",
            subject=f"job/{job.number}",
            after={**job_as_data(job), "findings": len(job.findings)},
        )
    return job.number


def list_jobs(record: Record, text: str = "") -> list[JobSummary]:
    """Jobs, newest change first; with `text`, those whose number, customer, serial or class
    holds every word of it."""
    with record.database.reading() as session:
        return job_record.summaries(session, text)


def recorded_job(record: Record, number: str) -> tuple[Job, str, int]:
    """(job, state, version) by number. Raises NotFound."""
    with record.database.reading() as session:
        found = job_record.load_job(session, number)
    if found is None:
        raise NotFound(f"There is no job {number!r} in the record.", "List them with `list`.")
    return found


def add_findings(
    record: Record, number: str, folder: Path, catalogue: Catalogue, who: Person, now: datetime
) -> int:
    """Add the findings of a file to a job; a finding of the same number is written over.

    `folder` holds findings.csv or findings.json. Returns how many were taken. Raises Refused,
    NotFound, NotAllowed, and Conflict where the revision is issued or was changed meanwhile.
    """
    require(who, FIND)
    found, problems = read_findings(folder)
    if problems:
        raise Refused(f"Findings in {folder}", problems)
    job, state, version = recorded_job(record, number)
    if state == ISSUED:
        raise Conflict(f"{job.title} is issued and no longer changes.", "Revise it first.")
    merged = {finding.id: finding for finding in (*job.findings, *found)}
    changed = replace(job, findings=tuple(merged.values()))
    catalogue_for(changed, catalogue, f"Findings in {folder}")
    before = {one.id: one for one in job.findings}
    with record.database.writing() as session:
        if not job_record.save_job(session, changed, state, version, now):
            raise changed_meanwhile(number)
        append(
            session,
            at=now,
            who=who.name,
            act="findings added",
            subject=f"job/{number}",
            before={
                "findings": findings_as_data(tuple(before[f.id] for f in found if f.id in before))
            },
            after={"findings": findings_as_data(tuple(found))},
        )
    return len(found)


def changed_meanwhile(number: str) -> Conflict:
    """The answer to a save that came too late."""
    return Conflict(
        f"{number} was changed by someone else meanwhile.", "Look at it again; nothing was saved."
    )


def export_job(record: Record, number: str, folder: Path) -> Path:
    """Write a job as job.json and findings.json, a folder that can be priced or taken in again.

    Raises NotFound, NotWritten.
    """
    job, _, _ = recorded_job(record, number)
    for name, data in (("job", job_as_data(job)), ("findings", findings_as_data(job.findings))):
        text = json.dumps(data, ensure_ascii=False, indent=2) + "\n"
        write_whole(folder / f"{name}.json", text.encode())
    return folder
