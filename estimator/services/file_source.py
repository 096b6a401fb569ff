"""The quote that a file is made from: as it was issued, or as the record holds it now."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from estimator.documents.files.quote_rows import DETAILS, STANDARD, FileQuote
from estimator.documents.files.workbook import A4, PAPERS
from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Job
from estimator.domain.language import language_of
from estimator.domain.priced_job import PricedJob, Progress, reckon_on
from estimator.domain.priced_work import PricedWork
from estimator.domain.quote import Quote, build_quote
from estimator.domain.record import FROZEN, IssuedQuote
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotFound, NotReckoned
from estimator.services.frozen_quote import accepted_job, frozen_work, issued_revision
from estimator.services.learn import learnt
from estimator.services.open_job import catalogue_for
from estimator.services.open_record import Record
from estimator.services.price_job import quiet, reckoned
from estimator.services.print_quote import known_locale
from estimator.services.write_edit import kept_job

if TYPE_CHECKING:
    from estimator.storage.job_rows import KeptJob


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which quote a file is of, and how much of it is told.

    Without a revision it is the one that was issued last, where the job is frozen; else the job as
    it is recorded, priced anew and marked as a draft. `catalogue` is asked only for a draft.
    """

    number: str
    catalogue: Callable[[], Catalogue]
    revision: str = ""
    detail: str = STANDARD  # short, standard or full
    locale: str = "en_GB"  # whose language names and heads are in
    paper: str = A4  # of the workbook: A4 or Letter
    options: bool = False  # with the rebuild levels side by side, as the print has them
    length: str = STANDARD  # of the print, for a file that says the same


def file_source(record: Record, wanted: Wanted, progress: Progress = quiet) -> FileQuote:
    """The quote on its way into a file. Takes some seconds.

    Raises NotFound for a job, revision, detail, locale or paper that is not there; NotReckoned,
    also where what was kept does not give what was issued; Refused where a draft does not fit the
    catalogue.
    """
    for one, known in ((wanted.detail, DETAILS), (wanted.paper, tuple(PAPERS))):
        if one not in known:
            raise NotFound(
                worded("There is no {what} here.", what=repr(one)),
                worded("Say one of: {known}.", known=", ".join(known)),
            )
    with record.reading() as session:
        kept = kept_job(session, wanted.number)
    if wanted.revision or kept.state in FROZEN:
        return issued_source(record, wanted, progress)
    return _draft(record, kept, wanted, progress)


def issued_source(record: Record, wanted: Wanted, progress: Progress = quiet) -> FileQuote:
    """The same of an issued revision alone: reckoned again from its frozen inputs and catalogue,
    and held against the figures that were issued. Raises as `file_source`."""
    known_locale(wanted.locale)
    with record.reading() as session:
        kept = kept_job(session, wanted.number)
        issued = issued_revision(session, kept.job.number, wanted.revision or kept.job.revision)
        work = frozen_work(session, accepted_job(kept.job, issued), issued)
    return source_of(work, issued, wanted, progress)


def source_of(
    work: PricedWork, issued: IssuedQuote, wanted: Wanted, progress: Progress = quiet
) -> FileQuote:
    """The same from the frozen work. Raises NotReckoned where it does not give what was issued."""
    try:
        priced = reckon_on(work, progress=progress)
        quote = _quote(priced, wanted)
    except ValueError as error:
        raise _cannot(work.job, error) from error
    _check_same(quote, issued)
    quote = replace(quote, record=issued.record)
    return FileQuote(quote, issued.issued_at, wanted.detail, True, issued.chain_head)


def _draft(record: Record, kept: KeptJob, wanted: Wanted, progress: Progress) -> FileQuote:
    known_locale(wanted.locale)
    job = kept.job
    known = learnt(record, wanted.catalogue())
    priced = reckoned(job, catalogue_for(job, known, job.title), progress)
    try:
        quote = _quote(priced, wanted)
    except ValueError as error:
        raise _cannot(job, error) from error
    return FileQuote(quote, kept.state_since, wanted.detail, issued=False)


def _quote(priced: PricedJob, wanted: Wanted) -> Quote:
    language = language_of(wanted.locale)
    return build_quote(priced, language, with_options=wanted.options, length=wanted.length)


def _cannot(job: Job, error: ValueError) -> NotReckoned:
    return NotReckoned(
        worded("{title} cannot be priced: {error}.", title=job.title, error=said_by(error)),
        worded("Check the figures it names."),
    )


def _check_same(quote: Quote, issued: IssuedQuote) -> None:
    """Raises NotReckoned where the sums and days are not those that were issued."""
    price = quote.priced.price
    now = (price.net, price.contingency, price.totals.gross, quote.ready_covered, quote.valid_until)
    then = (issued.net, issued.contingency, issued.gross, issued.ready_on, issued.valid_until)
    if now != then:
        raise NotReckoned(
            worded(
                "{title} comes to {now} and {day} now, and was issued at {then} and {ready}.",
                title=quote.priced.job.title,
                now=price.net,
                day=quote.ready_covered,
                then=issued.net,
                ready=issued.ready_on,
            ),
            worded("Use the program's edition that issued it, or compare with a backup."),
        )
