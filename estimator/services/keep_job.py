"""Jobs in the record: take in, list, find, add findings, hand out as a folder again."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Job
from estimator.domain.job_data import findings_as_data, job_as_data
from estimator.domain.job_edit import edit_between
from estimator.domain.people import FIND, TAKE_IN, Person
from estimator.domain.record import DRAFT
from estimator.domain.wording import worded
from estimator.intake.job_files import read_findings
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, Refused
from estimator.services.open_job import catalogue_for, open_job
from estimator.services.open_record import Record
from estimator.services.write_edit import editable, fit_to_keep, kept_job, write_edit
from estimator.services.write_file import write_whole
from estimator.storage import job_record
from estimator.storage.change_log import append
from estimator.storage.edit_record import add_step

if TYPE_CHECKING:
    from estimator.storage.database import Session

NEW_NUMBER, NUMBER_START = "new", "Q-"


def take_in_job(
    record: Record, folder: Path, catalogue: Catalogue, who: Person, now: datetime
) -> str:
    """Take a job folder into the record; returns its number.

    A job whose number is "new" gets the next of the record's own (Q-0001 ...), without gaps.
    Raises Refused, NotAllowed, Conflict where the number is taken.
    """
    require(who, TAKE_IN)
    job, _ = open_job(folder, catalogue)
    with record.writing() as session:
        if job.number == NEW_NUMBER:
            job = replace(job, number=free_number(session))
        if job_record.job_id_of(session, job.number) is not None:
            raise Conflict(
                worded("{number} is in the record already.", number=job.number),
                worded('Write number = "new" for another job.'),
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


def free_number(session: Session) -> str:
    """The next number for a job, above every one there is, taken in the transaction that uses it:
    numbers have no gap, unless a job with a number of its own made one."""
    highest = job_record.highest_number(session, NUMBER_START)
    job_record.start_above(session, job_record.JOB_NUMBERS, highest)
    return f"{NUMBER_START}{job_record.take_number(session, job_record.JOB_NUMBERS):04d}"


def recorded_job(record: Record, number: str) -> tuple[Job, str, int]:
    """(job, state, version) by number. Raises NotFound."""
    with record.reading() as session:
        kept = kept_job(session, number)
    return kept.job, kept.state, kept.version


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
        raise Refused(worded("Findings in {folder}", folder=str(folder)), problems)
    with record.reading() as session:
        job = editable(session, number).job
    merged = {finding.id: finding for finding in (*job.findings, *found)}
    changed = replace(job, findings=tuple(merged.values()))
    catalogue_for(changed, catalogue, f"Findings in {folder}")
    edit = fit_to_keep(edit_between(job, changed, f"{len(found)} findings from a file"))
    with record.writing() as session:
        kept = editable(session, number)
        _, made = write_edit(session, kept, edit, who, now, act="findings added")
        if made.changes:
            add_step(session, kept.id, made, who.name, now)
    return len(found)


def export_job(record: Record, number: str, folder: Path) -> Path:
    """Write a job as job.json and findings.json, a folder that can be priced or taken in again.

    Raises NotFound, NotWritten.
    """
    job, _, _ = recorded_job(record, number)
    for name, data in (("job", job_as_data(job)), ("findings", findings_as_data(job.findings))):
        text = json.dumps(data, ensure_ascii=False, indent=2) + "\n"
        write_whole(folder / f"{name}.json", text.encode())
    return folder
