"""Write an e-mail draft with an issued quote and the files that go with it."""

from __future__ import annotations

import hashlib
from datetime import datetime
from pathlib import Path

from estimator.documents.files import file_labels as labels
from estimator.documents.files.email_draft import Attachment, EmailDraft, address_in, email_draft
from estimator.documents.files.quote_csv import quote_csv
from estimator.documents.files.quote_rows import FileQuote
from estimator.documents.grammar.spoken import speaking
from estimator.documents.grammar.wording import Words
from estimator.domain.priced_job import Progress
from estimator.domain.record import IssuedQuote
from estimator.domain.wording import worded
from estimator.services.draft_email import Drafted
from estimator.services.errors import NotFound
from estimator.services.export_files import calendar_bytes, check_free, ubl_bytes, xlsx_bytes
from estimator.services.export_page import page_of
from estimator.services.file_source import Wanted, issued_source
from estimator.services.open_record import Record
from estimator.services.price_job import quiet
from estimator.services.write_edit import kept_job
from estimator.services.write_file import write_whole
from estimator.storage import job_record

XLSX, CSV, UBL, CALENDAR, PAGE = "xlsx", "csv", "xml", "ics", "html"
_TYPES = {
    XLSX: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    CSV: "text/csv",
    UBL: "application/xml",
    CALENDAR: "text/calendar",
    PAGE: "text/html",
}
FILES = tuple(_TYPES)
USUAL = (XLSX, UBL, CALENDAR)


def draft_quote_email(
    record: Record,
    wanted: Wanted,
    path: Path,
    at: datetime,
    *,
    files: tuple[str, ...] = USUAL,
    replace: bool = False,
    progress: Progress = quiet,
) -> Drafted:
    """Write a draft with the PDF as it was issued and the files named (of `FILES`), in order. The
    newest issued revision, unless one is named. Nothing is sent.

    Raises NotFound, NotReckoned, NotWritten.
    """
    for one in files:
        if one not in FILES:
            raise NotFound(
                worded("There is no {what} here.", what=repr(one)),
                worded("Say one of: {known}.", known=", ".join(FILES)),
            )
    check_free(path, replace)
    issued = _issued(record, wanted)
    source = issued_source(record, _of(wanted, issued), progress)
    page = page_of(record, _of(wanted, issued), progress) if PAGE in files else b""
    with speaking(source.quote.language):
        draft = _draft(source, issued, wanted, tuple(dict.fromkeys(files)), at, page)
    write_whole(path, email_draft(draft))
    return Drafted(path, address_in(source.job.customer.contact))


def _of(wanted: Wanted, issued: IssuedQuote) -> Wanted:
    from dataclasses import replace

    return replace(wanted, revision=issued.revision)


def _issued(record: Record, wanted: Wanted) -> IssuedQuote:
    with record.reading() as session:
        number = kept_job(session, wanted.number).job.number
        known = job_record.issued_quotes(session, number)
    found = [one for one in known if one.revision == wanted.revision or not wanted.revision]
    if not found:
        raise NotFound(
            worded("{number} has no such issued quote.", number=number),
            worded("Issued: {known}.", known=", ".join(one.revision for one in known) or "none"),
        )
    return max(found, key=lambda one: one.issued_at)


def _draft(
    source: FileQuote, issued: IssuedQuote, wanted: Wanted, files: tuple[str, ...], at: datetime,
    page: bytes,
) -> EmailDraft:  # fmt: skip
    job, subject = source.job, labels.SUBJECT.format(title=source.job.title)
    more = tuple(
        Attachment(subject, f".{one}", _TYPES[one],
                   page if one == PAGE else _content(source, one, wanted.paper))
        for one in files
    )  # fmt: skip
    told = [f"- {labels.ATTACHED[one]}." for one in ("pdf", *files)]
    body = labels.EMAIL_BODY.format(
        customer=job.customer.name,
        title=job.title,
        serial=job.machine.serial,
        valid_until=_day(source, wanted.locale),
        files="\n".join(told),
        sender=job.workshop.name,
        contact=job.workshop.contact,
    )
    return EmailDraft(
        to=job.customer.contact,
        subject=subject,
        body=body,
        file_name=subject,
        pdf=issued.pdf,
        at=at,
        message_id=_identity(source, issued, more, at),
        more=more,
    )


def _day(source: FileQuote, locale: str) -> str:
    """The last day of the offer as the locale writes days; with plain spaces, for a plain text."""
    terms = source.job.terms
    day = Words.of(locale, terms.currency, terms.quoting_unit).day(source.quote.valid_until)
    return day.replace("\N{NO-BREAK SPACE}", " ")


def _content(source: FileQuote, ending: str, paper: str) -> bytes:
    if ending == XLSX:
        return xlsx_bytes(source, paper)
    if ending == CSV:
        return quote_csv(source, bom=True)
    return {UBL: ubl_bytes, CALENDAR: calendar_bytes}[ending](source)


def _identity(
    source: FileQuote, issued: IssuedQuote, more: tuple[Attachment, ...], at: datetime
) -> str:
    """An identity that follows from what is sent: the same draft is the same message."""
    digest = hashlib.sha256(f"{source.job.title}\0{at.isoformat()}\0".encode("utf-8", "replace"))
    for content in (issued.pdf, *(one.content for one in more)):
        digest.update(hashlib.sha256(content).digest())
    return f"{digest.hexdigest()[:40]}@shimwright.invalid"
