"""Reading and writing jobs and issued quotes: every function is one question or one change."""

from __future__ import annotations

import datetime

import sqlalchemy as sa
from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.domain.job import Job
from estimator.domain.money import Money
from estimator.domain.record import IssuedQuote
from estimator.storage.job_parts import new_id
from estimator.storage.job_rows import JOBS, insert_job, read_kept, write_job
from estimator.storage.job_tables import JobRow
from estimator.storage.tables import CounterRow, IssuedQuoteRow

JOB_NUMBERS = "job"
FIRST_NUMBER = 1


def take_number(session: Session, name: str) -> int:
    """The next number of a gapless sequence. Taken inside the transaction that uses it: if that
    is undone, the number is free again."""
    counter = session.get(CounterRow, name)
    if counter is None:
        counter = CounterRow(name=name, next_number=FIRST_NUMBER)
        session.add(counter)
    number = counter.next_number
    counter.next_number = number + 1
    session.flush()
    return number


def highest_number(session: Session, before: str) -> int:
    """The highest number among jobs called `before` and digits; 0 where there is none."""
    names = session.connection().execute(
        sa.select(JOBS.c.number).where(JOBS.c.number.startswith(before, autoescape=True))
    )
    ends = (name[len(before) :] for (name,) in names)
    return max((int(end) for end in ends if end.isascii() and end.isdecimal()), default=0)


def start_above(session: Session, name: str, highest: int) -> None:
    """Let a sequence go on above `highest`; one that is there already stays."""
    counter = session.get(CounterRow, name)
    if counter is None:
        session.add(CounterRow(name=name, next_number=highest + 1))
    else:
        counter.next_number = max(counter.next_number, highest + 1)
    session.flush()


def add_job(session: Session, job: Job, state: str, now: datetime.datetime) -> str:
    """Write a new job; returns its identity."""
    return insert_job(session, job, state, now)


def job_id_of(session: Session, number: str) -> str | None:
    """Identity of a job by its number; None where there is none."""
    found: str | None = (
        session.connection().execute(sa.select(JOBS.c.id).where(JOBS.c.number == number)).scalar()
    )
    return found


def load_job(session: Session, number: str) -> tuple[Job, str, int] | None:
    """(job, state, version) by number; None where there is none."""
    kept = read_kept(session, number)
    return None if kept is None else (kept.job, kept.state, kept.version)


def save_job(
    session: Session,
    job: Job,
    state: str,
    version: int,
    now: datetime.datetime,
    valid_until: datetime.date | None = None,
) -> bool:
    """Write a job over the one of its number; False where it was changed since `version`."""
    kept = read_kept(session, job.number)
    if kept is None or kept.version != version:
        return False
    return write_job(session, kept, job, state, now, valid_until) is not None


def add_issued(session: Session, issued: IssuedQuote) -> None:
    """Keep a revision as it was issued."""
    job_id = job_id_of(session, issued.number)
    assert job_id is not None  # the act that issues has just read it
    session.add(
        IssuedQuoteRow(
            id=new_id(),
            job_id=job_id,
            revision=issued.revision,
            issued_at=issued.issued_at,
            issued_by=issued.issued_by,
            released_by=issued.released_by,
            currency=issued.net.currency,
            net=issued.net.minor,
            contingency=issued.contingency.minor,
            gross=issued.gross.minor,
            ready_on=issued.ready_on,
            valid_until=issued.valid_until,
            catalogue_version=issued.catalogue_version,
            catalogue_fingerprint=issued.catalogue_fingerprint,
            record=issued.record,
            chain_head=issued.chain_head,
            inputs=issued.inputs,
            figures=issued.figures,
            pdf=issued.pdf,
            pdf_sha256=issued.pdf_sha256,
            edition=issued.edition,
            style=issued.style,
        )
    )
    session.flush()


def issued_quotes(session: Session, number: str | None = None) -> list[IssuedQuote]:
    """Issued revisions of one job, or of all, in the order they were issued."""
    wanted = (
        select(IssuedQuoteRow, JobRow.number)
        .join(JobRow, JobRow.id == IssuedQuoteRow.job_id)
        .order_by(IssuedQuoteRow.issued_at, IssuedQuoteRow.id)
    )
    if number is not None:
        wanted = wanted.where(JobRow.number == number)
    return [_issued(row, its_number) for row, its_number in session.execute(wanted)]


def _issued(row: IssuedQuoteRow, number: str) -> IssuedQuote:
    return IssuedQuote(
        number=number,
        revision=row.revision,
        issued_at=row.issued_at,
        issued_by=row.issued_by,
        released_by=row.released_by,
        net=Money(row.net, row.currency),
        contingency=Money(row.contingency, row.currency),
        gross=Money(row.gross, row.currency),
        ready_on=row.ready_on,
        valid_until=row.valid_until,
        catalogue_version=row.catalogue_version,
        catalogue_fingerprint=row.catalogue_fingerprint,
        record=row.record,
        chain_head=row.chain_head,
        inputs=row.inputs,
        figures=row.figures,
        pdf=row.pdf,
        pdf_sha256=row.pdf_sha256,
        edition=row.edition,
        style=row.style,
    )
