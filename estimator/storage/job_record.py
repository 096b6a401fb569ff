"""Reading and writing jobs and issued quotes: every function is one question or one change."""

from __future__ import annotations

import datetime

from sqlalchemy import Select, func, or_, select
from sqlalchemy.orm import Session

from estimator.domain.job import Job
from estimator.domain.money import Money
from estimator.domain.record import IssuedQuote, JobSummary
from estimator.storage.job_rows import insert_job, job_from, new_id, replace_content
from estimator.storage.tables import CounterRow, IssuedQuoteRow, JobRow

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


def add_job(session: Session, job: Job, state: str, now: datetime.datetime) -> str:
    """Write a new job; returns its identity."""
    return insert_job(session, job, state, now)


def job_row(session: Session, number: str) -> JobRow | None:
    """The row of a job by its number, for use inside this room."""
    return session.scalars(select(JobRow).where(JobRow.number == number)).first()


def load_job(session: Session, number: str) -> tuple[Job, str, int] | None:
    """(job, state, version) by number; None where there is none."""
    row = job_row(session, number)
    return None if row is None else (job_from(session, row), row.state, row.version)


def save_job(session: Session, job: Job, state: str, version: int, now: datetime.datetime) -> bool:
    """Write a job over the one of its number; False where it was changed since `version`."""
    row = job_row(session, job.number)
    if row is None or row.version != version:
        return False
    row.state = state
    replace_content(session, row, job, now)
    return True


def summaries(session: Session, text: str = "", limit: int = 200) -> list[JobSummary]:
    """Jobs, newest change first; those whose number, customer, serial or class holds `text`."""
    wanted = select(JobRow).order_by(JobRow.changed_at.desc(), JobRow.number).limit(limit)
    if text:
        wanted = _containing(wanted, text)
    rows = list(session.scalars(wanted))
    newest = _newest_net(session, [row.id for row in rows])
    return [
        JobSummary(
            row.id,
            row.number,
            row.revision,
            row.state,
            row.customer_name,
            row.class_id,
            row.serial,
            f"{row.hours:f}",
            row.changed_at,
            newest.get(row.id),
        )
        for row in rows
    ]


def _containing(wanted: Select[JobRow], text: str) -> Select[JobRow]:
    for word in text.casefold().split():
        columns = (JobRow.number, JobRow.customer_name, JobRow.serial, JobRow.class_id)
        wanted = wanted.where(
            or_(*(func.lower(column).contains(word, autoescape=True) for column in columns))
        )
    return wanted


def _newest_net(session: Session, ids: list[str]) -> dict[str, Money]:
    rows = session.execute(
        select(IssuedQuoteRow.job_id, IssuedQuoteRow.net, IssuedQuoteRow.currency)
        .where(IssuedQuoteRow.job_id.in_(ids))
        .order_by(IssuedQuoteRow.issued_at)
    )
    return {job_id: Money(net, currency) for job_id, net, currency in rows}


def add_issued(session: Session, issued: IssuedQuote) -> None:
    """Keep a revision as it was issued."""
    row = job_row(session, issued.number)
    assert row is not None  # the act that issues has just read it
    session.add(
        IssuedQuoteRow(
            id=new_id(),
            job_id=row.id,
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
            inputs=issued.inputs,
            figures=issued.figures,
            pdf=issued.pdf,
            pdf_sha256=issued.pdf_sha256,
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
        inputs=row.inputs,
        figures=row.figures,
        pdf=row.pdf,
        pdf_sha256=row.pdf_sha256,
    )
