"""Translation between a domain job and its rows, in both directions."""

from __future__ import annotations

import datetime
from dataclasses import fields
from typing import TypeVar

from sqlalchemy import delete, select
from sqlalchemy.orm import Session
from ulid import ULID

from estimator.domain.findings import Finding
from estimator.domain.job import (
    Event,
    ExchangeRate,
    Job,
    Machine,
    Party,
    ScopeChange,
    Stage,
    Terms,
)
from estimator.storage import tables
from estimator.storage.tables import JobPart, JobRow

P = TypeVar("P", bound=JobPart)
PARTS: tuple[type[JobPart], ...] = (
    tables.MachineEventRow,
    tables.FindingRow,
    tables.ScopeChangeRow,
    tables.ExchangeRateRow,
    tables.StageRow,
    tables.WayRow,
)
FINDING_FIELDS = tuple(one.name for one in fields(Finding) if one.name not in ("id", "place"))
TERM_FIELDS = tuple(one.name for one in fields(Terms) if one.name != "stages")


def new_id() -> str:
    """A new identity (ULID): made here, in time order, the same on every database."""
    return str(ULID())


def insert_job(session: Session, job: Job, state: str, now: datetime.datetime) -> str:
    """Write a job that is not there yet; returns its identity."""
    row = JobRow(id=new_id(), state=state, created_at=now, changed_at=now, **_columns(job))
    session.add(row)
    session.flush()
    _insert_parts(session, row.id, job)
    return row.id


def replace_content(session: Session, row: JobRow, job: Job, now: datetime.datetime) -> None:
    """Write a job over the rows it had; its identity stays."""
    for name, value in _columns(job).items():
        setattr(row, name, value)
    row.changed_at = now
    for kind in PARTS:
        session.execute(delete(kind).where(kind.job_id == row.id))
    _insert_parts(session, row.id, job)
    session.flush()


def job_from(session: Session, row: JobRow) -> Job:
    """The domain job of a row."""
    changes = _parts(session, tables.ScopeChangeRow, row.id)
    return Job(
        number=row.number,
        revision=row.revision,
        date=row.quoted_on,
        start=row.starts_on,
        inspected=row.inspected_on,
        level=row.level,
        machine=_machine(session, row),
        workshop=Party(row.workshop_name, row.workshop_address, row.workshop_contact),
        customer=Party(row.customer_name, row.customer_address, row.customer_contact),
        estimator=row.estimator,
        releaser=row.releaser,
        terms=_terms(session, row),
        exchange_rates={
            one.currency: ExchangeRate(one.currency, one.rate, one.date, one.source)
            for one in _parts(session, tables.ExchangeRateRow, row.id)
        },
        findings=tuple(
            Finding(id=one.code, **{name: getattr(one, name) for name in FINDING_FIELDS})
            for one in _parts(session, tables.FindingRow, row.id)
        ),
        added=tuple(ScopeChange(c.row_id, c.reason, c.by) for c in changes if c.added),
        removed=tuple(ScopeChange(c.row_id, c.reason, c.by) for c in changes if not c.added),
        ways={one.part: one.way for one in _parts(session, tables.WayRow, row.id)},
    )


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
        "workshop_name": job.workshop.name,
        "workshop_address": job.workshop.address,
        "workshop_contact": job.workshop.contact,
        "customer_name": job.customer.name,
        "customer_address": job.customer.address,
        "customer_contact": job.customer.contact,
        **{name: getattr(terms, name) for name in TERM_FIELDS},
    }


def _machine(session: Session, row: JobRow) -> Machine:
    history = tuple(
        Event(one.hours, one.what, one.components, one.renewed, one.seen_sound)
        for one in _parts(session, tables.MachineEventRow, row.id)
    )
    return Machine(row.class_id, row.serial, row.hours, row.duty, row.life_wanted, history)


def _terms(session: Session, row: JobRow) -> Terms:
    stages = tuple(Stage(one.share, one.when) for one in _parts(session, tables.StageRow, row.id))
    return Terms(stages=stages, **{name: getattr(row, name) for name in TERM_FIELDS})


def _parts(session: Session, kind: type[P], job_id: str) -> list[P]:
    return list(session.scalars(select(kind).where(kind.job_id == job_id).order_by(kind.place)))


def _insert_parts(session: Session, job_id: str, job: Job) -> None:
    rows: list[JobPart] = []

    def add(table: type[JobPart], place: int, /, **values: object) -> None:
        rows.append(table(id=new_id(), job_id=job_id, place=place, **values))

    for place, event in enumerate(job.machine.history):
        add(
            tables.MachineEventRow,
            place,
            **{one.name: getattr(event, one.name) for one in fields(event)},
        )
    for place, finding in enumerate(job.findings):
        values = {name: getattr(finding, name) for name in FINDING_FIELDS}
        add(tables.FindingRow, place, code=finding.id, **values)
    for added, changes in ((True, job.added), (False, job.removed)):
        for place, change in enumerate(changes):
            add(
                tables.ScopeChangeRow,
                place,
                added=added,
                row_id=change.row_id,
                reason=change.reason,
                by=change.by,
            )
    for place, rate in enumerate(job.exchange_rates.values()):
        add(
            tables.ExchangeRateRow,
            place,
            **{one.name: getattr(rate, one.name) for one in fields(rate)},
        )
    for place, stage in enumerate(job.terms.stages):
        add(tables.StageRow, place, share=stage.share, when=stage.when)
    for place, (part, way) in enumerate((job.ways or {}).items()):
        add(tables.WayRow, place, part=part, way=way)
    session.add_all(rows)
    session.flush()
