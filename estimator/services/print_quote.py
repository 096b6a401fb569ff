"""Make a job's quote as PDF and put it where the user wants it."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from estimator.documents.quote_pdf import quote_pdf
from estimator.documents.wording import Words
from estimator.domain.priced_job import PricedJob
from estimator.domain.quote import Quote, build_quote
from estimator.services.errors import NotFound, NotWritten
from estimator.services.write_file import write_whole


def known_locale(locale: str) -> str:
    """A locale such as en_GB (or en-GB) whose formats are known. Raises NotFound."""
    name = locale.replace("-", "_")
    try:
        Words.of(name, "EUR", Decimal(1))
    except ValueError as error:
        raise NotFound(f"{error}.", "Name one such as en_GB, de_DE or fr_FR.") from None
    return name


def make_quote(priced: PricedJob, language: str = "en") -> Quote:
    """The quote of a priced job, with its options and teardown-only offer."""
    return build_quote(priced, language)


def print_quote(quote: Quote, path: Path, *, locale: str = "en_GB", replace: bool = False) -> Path:
    """Write the quote as PDF to `path` and return the path. Raises NotWritten.

    The file is made whole beside its place and then moved there: a full disk or a crash leaves
    what was there before. A file that exists is kept unless `replace` is true.
    """
    if path.exists() and not replace:
        raise NotWritten(f"{path} is there already.", "Choose another name, or say --replace.")
    return write_whole(path, quote_pdf(quote, locale))
