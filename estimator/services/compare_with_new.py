"""Lay a job's rebuild beside a new machine, and print the page of it."""

from __future__ import annotations

from pathlib import Path

from estimator.documents.quote.rebuild_or_new import rebuild_or_new_pdf
from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.rows import REPAIR
from estimator.domain.language import language_of
from estimator.domain.new_machine import NewMachine
from estimator.domain.priced_job import PricedJob, Progress, reckon_on
from estimator.domain.pricing import NoRate
from estimator.domain.rebuild_or_new.compared import Comparison
from estimator.domain.rebuild_or_new.comparison import compare
from estimator.domain.rebuild_or_new.input_check import new_machine_faults
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotReckoned, NotWritten, Refused
from estimator.services.frozen_quote import frozen_work
from estimator.services.house_style import in_house_style
from estimator.services.learn import learnt_in
from estimator.services.open_job import catalogue_for
from estimator.services.open_record import Record
from estimator.services.price_job import quiet, reckoned
from estimator.services.print_quote import known_locale
from estimator.services.write_edit import kept_job
from estimator.services.write_file import write_whole
from estimator.storage import job_record


def compare_with_new(
    priced: PricedJob, given: NewMachine | None, language: str = "en"
) -> Comparison:
    """A priced job beside a new machine; what `given` leaves out is a starting value. Quick enough
    for each key pressed, and `priced` is left as it is.

    Raises Refused where an input cannot be, NotReckoned where the job lacks an exchange rate.
    """
    if priced.job.level == REPAIR:
        raise NotReckoned(
            worded("{title} cannot be compared: it is a repair.", title=priced.job.title),
            worded("Price the machine at the level of a full or a driveline rebuild first."),
        )
    currency = priced.job.terms.currency
    if given is not None and (faults := new_machine_faults(given, currency)):
        raise Refused(worded("The new machine beside {title}", title=priced.job.title), faults)
    try:
        return compare(priced, given, language)
    except (NoRate, ValueError) as error:
        raise NotReckoned(
            worded(
                "{title} cannot be compared: {error}.", title=priced.job.title, error=said_by(error)
            ),
            worded("Check the figures it names."),
        ) from error


def faults_by_input(given: NewMachine, currency: str) -> dict[str, str]:
    """What is wrong with each input, by its name; empty where they can be compared."""
    return {
        one.place.column.rpartition(" ")[2]: one.message
        for one in new_machine_faults(given, currency)
    }


def recorded_priced(
    record: Record, number: str, catalogue: Catalogue, progress: Progress = quiet
) -> PricedJob:
    """A job of the record, priced: as it was issued where its revision is, else as it is now.

    Raises NotFound, Refused where it no longer fits the catalogue, NotReckoned.
    """
    with record.reading() as session:
        job = kept_job(session, number).job
        issued = [one for one in job_record.issued_quotes(session, number)
                  if one.revision == job.revision]  # fmt: skip
        if issued:
            work = frozen_work(session, job, issued[-1])
        known = learnt_in(session, catalogue)
    if issued:
        return reckon_on(work, progress=progress)
    return reckoned(job, catalogue_for(job, known, job.title), progress)


def compare_recorded(
    record: Record,
    number: str,
    catalogue: Catalogue,
    language: str = "en",
    progress: Progress = quiet,
) -> Comparison:
    """A job of the record beside the new machine that was given with it. Raises as
    `recorded_priced` and `compare_with_new`."""
    priced = recorded_priced(record, number, catalogue, progress)
    return compare_with_new(priced, priced.job.new_machine, language)


def comparison_bytes(
    priced: PricedJob, given: NewMachine | None, locale: str = "en_GB", paper: str = ""
) -> bytes:
    """The page as PDF, in the house style that is worn: the same job and inputs give the same
    bytes. `paper` is A4 or Letter against what the house style has. Raises as `compare_with_new`,
    and NotFound for a locale whose formats are not known."""
    known = known_locale(locale)
    found = compare_with_new(priced, given, language_of(known))
    return rebuild_or_new_pdf(found, known, paper)


def comparison_page(
    record: Record, priced: PricedJob, given: NewMachine | None, locale: str = "en_GB"
) -> bytes:
    """The same in the workshop's own house style. Raises as `comparison_bytes`."""
    with in_house_style(record):
        return comparison_bytes(priced, given, locale)


def print_comparison(
    found: Comparison, path: Path, *, locale: str = "en_GB", replace: bool = False
) -> Path:
    """Write the page as PDF to `path` and return the path. Raises NotFound, NotWritten.

    A file that exists is kept unless `replace` is true; none is left half-written.
    """
    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    return write_whole(path, rebuild_or_new_pdf(found, known_locale(locale)))
