"""Write a quote as a file that other programs read: workbook, table, order data, calendar.

Each takes an issued revision, from which the same bytes come again, or a job as it is recorded,
marked as a draft. Files are written whole or not at all; one that is there is kept unless
`replace`.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from estimator.documents.files.quote_rows import FileQuote
from estimator.domain.priced_job import Progress
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotReckoned, NotWritten
from estimator.services.file_source import Wanted, file_source
from estimator.services.open_record import Record
from estimator.services.price_job import quiet
from estimator.services.write_file import write_whole


def export_xlsx(
    record: Record, wanted: Wanted, path: Path, *, replace: bool = False, progress: Progress = quiet
) -> Path:
    """Write the breakdown as a workbook with live sums. Raises NotFound, NotReckoned, Refused,
    NotWritten."""

    def make(source: FileQuote) -> bytes:
        return xlsx_bytes(source, wanted.paper)

    return _export(record, wanted, path, make, replace, progress)


def export_csv(
    record: Record,
    wanted: Wanted,
    path: Path,
    *,
    bom: bool = False,
    replace: bool = False,
    progress: Progress = quiet,
) -> Path:
    """Write the figures as one plain table (RFC 4180, UTF-8). Raises as `export_xlsx`."""
    from estimator.documents.files.quote_csv import quote_csv

    def make(source: FileQuote) -> bytes:
        return quote_csv(source, bom=bom)

    return _export(record, wanted, path, make, replace, progress)


def export_ubl(
    record: Record, wanted: Wanted, path: Path, *, replace: bool = False, progress: Progress = quiet
) -> Path:
    """Write the quote as a UBL 2.1 Quotation. Raises as `export_xlsx`; NotReckoned where nothing is
    priced."""
    return _export(record, wanted, path, ubl_bytes, replace, progress)


def export_calendar(
    record: Record, wanted: Wanted, path: Path, *, replace: bool = False, progress: Progress = quiet
) -> Path:
    """Write the milestones as a calendar (RFC 5545). Raises as `export_xlsx`."""
    return _export(record, wanted, path, calendar_bytes, replace, progress)


def xlsx_bytes(source: FileQuote, paper: str) -> bytes:
    """The workbook. Raises NotReckoned."""
    from estimator.documents.files.quote_xlsx import quote_xlsx

    return _made(source, lambda one: quote_xlsx(one, paper=paper))


def ubl_bytes(source: FileQuote) -> bytes:
    """The quotation for order systems. Raises NotReckoned."""
    from estimator.documents.files.quote_ubl import quote_ubl

    return _made(source, quote_ubl)


def calendar_bytes(source: FileQuote) -> bytes:
    """The calendar. Raises NotReckoned."""
    from estimator.documents.files.quote_calendar import quote_calendar

    return _made(source, quote_calendar)


def check_free(path: Path, replace: bool) -> None:
    """Raises NotWritten where a file is there that may not be replaced: before the work begins."""
    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )


def _export(
    record: Record,
    wanted: Wanted,
    path: Path,
    make: Callable[[FileQuote], bytes],
    replace: bool,
    progress: Progress,
) -> Path:
    check_free(path, replace)
    source = file_source(record, wanted, progress)
    return write_whole(path, _made(source, make))


def _made(source: FileQuote, make: Callable[[FileQuote], bytes]) -> bytes:
    """What a document makes of a quote; a date beyond the calendar or an empty quote is told."""
    try:
        return make(source)
    except ValueError as error:
        title = source.job.title
        raise NotReckoned(
            worded("{title} cannot be written: {error}.", title=title, error=said_by(error)),
            worded("Check the figures it names."),
        ) from error
