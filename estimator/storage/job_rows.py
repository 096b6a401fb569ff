"""Translation between a domain job and its rows, in both directions."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, fields
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.job import Job, Machine, Party, Terms
from estimator.storage import job_parts
from estimator.storage.job_parts import PARTS, core_table, new_id
from estimator.storage.job_search import index_job
from estimator.storage.job_tables import JobRow
from estimator.storage.new_machine_codec import new_machine_in, new_machine_text
from estimator.storage.raw_rows import RawSelect

JOBS = core_table(JobRow)
TERM_FIELDS = tuple(one.name for one in fields(Terms) if one.name != "stages")
_JOB = RawSelect(JOBS, [one.name for one in JOBS.columns])
_BY_NUMBER = _JOB.statement.where(_JOB.columns.number == sa.bindparam("number"))


@dataclass(frozen=True, slots=True)
class KeptJob:
    """A job with what the record knows of it."""

    id: str
    version: int
    state: str
    state_since: datetime.datetime
    valid_until: datetime.date | None
    job: Job


def insert_job(session: Session, job: Job, state: str, now: datetime.datetime) -> str:
    """Write a job that is not there yet; returns its identity."""
    job_id = new_id()
    session.connection().execute(
        JOBS.insert().values(
            id=job_id,
            version=1,
            state=state,
            created_at=now,
            changed_at=now,
            state_since=now,
            valid_until=None,
            **_columns(job),
        )
    )
    for part in PARTS:
        part.insert_all(session, job_id, job)
    index_job(session, job_id, None, job)
    return job_id


def write_job(
    session: Session,
    kept: KeptJob,
    job: Job,
    state: str,
    now: datetime.datetime,
    valid_until: datetime.date | None = None,
) -> int | None:
    """Write a job over what was read in this very transaction, touching only what differs.
    Returns its new version, None where it was changed since `kept` was read."""
    was = _columns(kept.job)
    changed: dict[str, object] = {
        name: value for name, value in _columns(job).items() if was[name] != value
    }
    if state != kept.state:
        changed |= {"state": state, "state_since": now}
    changed |= {"valid_until": valid_until, "changed_at": now, "version": kept.version + 1}
    here = (JOBS.c.id == kept.id) & (JOBS.c.version == kept.version)
    done = session.connection().execute(JOBS.update().where(here).values(changed))
    if done.rowcount != 1:
        return None
    for part in PARTS:
        part.write(session, kept.id, kept.job, job)
    index_job(session, kept.id, kept.job, job)
    return kept.version + 1


def touch(session: Session, job_id: str, now: datetime.datetime) -> None:
    """Say that something happened to a job which did not change the job itself, so that a list
    shows it among the newest."""
    session.connection().execute(JOBS.update().where(JOBS.c.id == job_id).values(changed_at=now))


def read_kept(session: Session, number: str) -> KeptJob | None:
    """A job by its number; None where there is none."""
    found = session.connection().execute(_BY_NUMBER, {"number": number}).first()
    if found is None:
        return None
    row = dict(zip(_JOB.names, _JOB.values([found])[0], strict=True))
    return KeptJob(
        row["id"],
        row["version"],
        row["state"],
        row["state_since"],
        row["valid_until"],
        _job_from(session, row),
    )


def _job_from(session: Session, row: Mapping[str, Any]) -> Job:
    job_id: str = row["id"]
    changes = job_parts.read_scope_changes(session, job_id)
    rates = job_parts.RATE_ROWS.read(session, job_id)
    stages = job_parts.STAGE_ROWS.read(session, job_id)
    return Job(
        number=row["number"],
        revision=row["revision"],
        date=row["quoted_on"],
        start=row["starts_on"],
        inspected=row["inspected_on"],
        level=row["level"],
        machine=Machine(
            row["class_id"],
            row["serial"],
            row["hours"],
            row["duty"],
            row["life_wanted"],
            job_parts.EVENT_ROWS.read(session, job_id),
            row["meter"],
            row["hours_doubt"],
        ),
        workshop=_party(row, "workshop"),
        customer=_party(row, "customer"),
        estimator=row["estimator"],
        releaser=row["releaser"],
        terms=Terms(stages=stages, **{name: row[name] for name in TERM_FIELDS}),
        exchange_rates={one.currency: one for one in rates},
        findings=job_parts.FINDING_ROWS.read(session, job_id),
        added=changes[job_parts.ADDED],
        removed=changes[job_parts.REMOVED],
        ways=dict(job_parts.WAYS.read(session, job_id)),
        changed=job_parts.LINE_CHANGE_ROWS.read(session, job_id),
        own=job_parts.OWN_LINE_ROWS.read(session, job_id),
        kept=changes[job_parts.KEPT],
        note=row["note"],
        wanted_by=row["wanted_by"],
        learnt_until=row["learnt_until"],
        new_machine=new_machine_in(row["new_machine"]),
        repaired=changes[job_parts.REPAIRED],
    )


def _party(row: Mapping[str, Any], whose: str) -> Party:
    return Party(row[f"{whose}_name"], row[f"{whose}_address"], row[f"{whose}_contact"])


def _columns(job: Job) -> dict[str, object]:
    machine, terms = job.machine, job.terms
    return {
        "number": job.number,
        "revision": job.revision,
        "quoted_on": job.date,
        "starts_on": job.start,
        "inspected_on": job.inspected,
        "level": job.level,
        "estimator": job.estimator,
        "releaser": job.releaser,
        "class_id": machine.class_id,
        "serial": machine.serial,
        "hours": machine.hours,
        "duty": machine.duty,
        "life_wanted": machine.life_wanted,
        "meter": machine.meter,
        "hours_doubt": machine.hours_doubt,
        "workshop_name": job.workshop.name,
        "workshop_address": job.workshop.address,
        "workshop_contact": job.workshop.contact,
        "customer_name": job.customer.name,
        "customer_address": job.customer.address,
        "customer_contact": job.customer.contact,
        **{name: getattr(terms, name) for name in TERM_FIELDS},
        "note": job.note,
        "wanted_by": job.wanted_by,
        "learnt_until": job.learnt_until,
        "new_machine": new_machine_text(job.new_machine),
    }
