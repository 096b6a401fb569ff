"""Write a quote as a web page beside its PDF: for screen readers, large type, narrow windows."""

from __future__ import annotations

import json
from dataclasses import replace as with_changes
from pathlib import Path

from estimator.documents.files.quote_html import quote_html
from estimator.documents.files.quote_rows import FULL
from estimator.documents.grammar.dress import dressed
from estimator.domain.house_style import HouseStyle
from estimator.domain.priced_job import Progress
from estimator.domain.quote_length import LENGTHS
from estimator.domain.record import FROZEN, IssuedQuote
from estimator.services.export_files import check_free
from estimator.services.file_source import Wanted, file_source
from estimator.services.frozen_quote import issued_revision
from estimator.services.house_style import house_style, style_of_issue
from estimator.services.open_record import Record
from estimator.services.price_job import quiet
from estimator.services.print_quote import known_locale
from estimator.services.write_edit import kept_job
from estimator.services.write_file import write_whole


def export_html(
    record: Record, wanted: Wanted, path: Path, *, replace: bool = False, progress: Progress = quiet
) -> Path:
    """Write the page to `path` and return the path. An issued quote says what its PDF says: in its
    language and house style, in the length it was issued in unless the full one is asked for. A job
    that is not issued is marked as a draft. Takes some seconds.

    Raises as `export_files.export_xlsx`.
    """
    check_free(path, replace)
    return write_whole(path, page_of(record, wanted, progress))


def page_of(record: Record, wanted: Wanted, progress: Progress = quiet) -> bytes:
    """The page itself. Raises as `file_source.file_source`."""
    known_locale(wanted.locale)
    issued, style = _issue(record, wanted)
    wanted = _as_printed(wanted, issued)
    source = file_source(record, wanted, progress)
    head = source.chain_head if source.issued else ""
    with dressed(style):
        return quote_html(source.quote, wanted.locale.replace("-", "_"), head, issued=source.issued)


def _issue(record: Record, wanted: Wanted) -> tuple[IssuedQuote | None, HouseStyle]:
    """What was issued, where it was, and the style it was printed in, else the one in force."""
    with record.reading() as session:
        kept = kept_job(session, wanted.number)
        if wanted.revision or kept.state in FROZEN:
            revision = wanted.revision or kept.job.revision
            issued = issued_revision(session, kept.job.number, revision)
            return issued, style_of_issue(session, issued)
    return None, with_changes(house_style(record).style, signatures=())


def _as_printed(wanted: Wanted, issued: IssuedQuote | None) -> Wanted:
    """What is wanted, in the locale and length that were printed."""
    told = {} if issued is None else json.loads(issued.inputs).get("print", {})
    length = told.get("length", wanted.detail)
    length = FULL if wanted.detail == FULL or length not in LENGTHS else length
    return with_changes(wanted, locale=told.get("locale", wanted.locale), length=length,
                        options=True)  # fmt: skip
