"""Keep a job's figures as last worked out, so that the list shows them without reckoning."""

from __future__ import annotations

from datetime import datetime

from estimator.domain.priced_job import PricedJob
from estimator.domain.record import DRAFT, Standing
from estimator.services.open_record import Record
from estimator.services.write_edit import kept_job
from estimator.storage.standing_record import standing_of, write_standing

ENQUIRY, SCOPE, QUOTE = "enquiry", "scope", "quote"


def note_standing(
    record: Record,
    priced: PricedJob,
    now: datetime,
    *,
    area: str = "",
    waits_on: str = "",
    note: str = "",
) -> bool:
    """Keep what a job came to; whether it was kept: it is not where the job has gone on since.

    `area` is where the work stands (default: enquiry before there are findings, quote once
    proposed or issued, else scope). Raises NotFound.
    """
    with record.writing() as session:
        kept = kept_job(session, priced.job.number)
        if kept.job != priced.job:
            return False
        if not area:
            area = SCOPE if kept.job.findings else ENQUIRY
            area = area if kept.state == DRAFT else QUOTE
        standing = standing_from_price(priced, kept.version, now, area, waits_on, note)
        return write_standing(session, kept.id, standing)


def standing_from_price(
    priced: PricedJob,
    version: int,
    now: datetime,
    area: str,
    waits_on: str = "",
    note: str = "",
) -> Standing:
    """The figures a list shows of a priced job."""
    price, terms, days = priced.price, priced.job.terms, priced.finish.days
    return Standing(
        job_version=version,
        quoting_unit=terms.quoting_unit,
        firm=price.firm,
        provisional=price.provisional_lines,
        contingency=price.contingency,
        net=price.net,
        confidence=terms.confidence,
        finish_half=days[0.5],
        finish_covered=days[float(terms.confidence)],
        area=area,
        waits_on=waits_on,
        note=note,
        worked_out_at=now,
    )


def kept_standing(record: Record, number: str) -> Standing | None:
    """The figures last worked out; None where none are. Raises NotFound."""
    with record.reading() as session:
        return standing_of(session, kept_job(session, number).id)
