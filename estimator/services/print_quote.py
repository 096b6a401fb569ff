"""Make a job's quote as PDF and put it where the user wants it."""

from __future__ import annotations

from dataclasses import replace as with_changes
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

from estimator.documents.grammar.dress import dressed
from estimator.documents.grammar.wording import Words
from estimator.documents.quote.quote_pdf import quote_pdf
from estimator.domain.house_style import PLAIN, HouseStyle
from estimator.domain.job import Job
from estimator.domain.language import language_of
from estimator.domain.priced_job import PricedJob, Progress
from estimator.domain.quote import Quote, build_quote
from estimator.domain.reasons import Reasons
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotFound, NotWritten
from estimator.services.price_job import quiet
from estimator.services.write_file import write_whole


def known_locale(locale: str) -> str:
    """A locale such as en_GB (or en-GB) whose formats are known. Raises NotFound."""
    name = locale.replace("-", "_")
    try:
        Words.of(name, "EUR", Decimal(1))
    except ValueError as error:
        raise NotFound(
            worded("{said}.", said=said_by(error)),
            worded("Name one such as en_GB, de_DE or fr_FR."),
        ) from None
    return name


def make_quote(priced: PricedJob, language: str = "en") -> Quote:
    """The quote of a priced job, with its options and teardown-only offer."""
    return build_quote(priced, language)


def valid_until(job: Job) -> date:
    """The last day on which a job's quote stands, counted from its own date."""
    return job.date + timedelta(days=job.terms.valid_days)


def quote_bytes(
    priced: PricedJob,
    locale: str = "en_GB",
    progress: Progress = quiet,
    *,
    style: HouseStyle = PLAIN,
) -> bytes:
    """The quote of a priced job as it would be printed now, in a house style: the bytes that are
    issued, but for the head of the record's log and the releaser's signature.

    `priced` is left as it is. Takes a second or two, since the other rebuild level is reckoned
    too; `progress` is told each step, and what it raises passes through. Raises NotFound for a
    locale whose formats are not known.
    """
    known = known_locale(locale)
    progress("quote")
    own = with_changes(priced, reasons=Reasons(dict(priced.reasons.figures)))
    quote = build_quote(own, language_of(known))
    progress("print")
    with dressed(style):
        return quote_pdf(quote, known)


def print_quote(quote: Quote, path: Path, *, locale: str = "en_GB", replace: bool = False) -> Path:
    """Write the quote as PDF to `path` and return the path. Raises NotWritten.

    The file is made whole beside its place and then moved there: a full disk or a crash leaves
    what was there before. A file that exists is kept unless `replace` is true.
    """
    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    return write_whole(path, quote_pdf(quote, locale))
