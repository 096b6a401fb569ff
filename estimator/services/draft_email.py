"""Write an e-mail draft with a paper of a job attached, for somebody to look at and send."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from estimator.domain.job import Job
from estimator.domain.language import language_of
from estimator.domain.wording import worded
from estimator.services.errors import NotFound, NotWritten
from estimator.services.issued_papers import order_as_issued
from estimator.services.keep_job import recorded_job
from estimator.services.open_record import Record
from estimator.services.print_contract import KINDS, VARIATION, Print, paper_bytes
from estimator.services.print_quote import known_locale
from estimator.services.write_file import write_whole
from estimator.storage import job_record

QUOTE = "quote"
DRAFTS = (QUOTE, *KINDS)


@dataclass(frozen=True, slots=True)
class Drafted:
    """Where the draft is, and to whom it is addressed; "" where no address is known."""

    path: Path
    to: str


def draft_email(
    record: Record, number: str, what: Print, path: Path, at: datetime, *, replace: bool = False
) -> Drafted:
    """Write a draft with a paper attached, its kind one of `DRAFTS`: the quote as it was issued, or
    a paper of the contract as it stands, a variation's as it was issued. Subject and text speak the
    language of its locale, and so does a paper that is made now. Nothing is sent. Raises NotFound,
    NotReckoned, NotWritten."""
    from estimator.documents.files.email_draft import EmailDraft, address_in, email_draft

    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    kind = what.kind
    if kind not in DRAFTS:
        raise NotFound(
            worded("There is no paper called {kind!r}.", kind=kind),
            worded("Papers are: {known}.", known=", ".join(DRAFTS)),
        )
    job = recorded_job(record, number)[0]
    if kind == QUOTE:
        pdf, revision = _quote(record, job)
    else:
        kept = order_as_issued(record, number, what.variation) if kind == VARIATION else None
        pdf = paper_bytes(record, number, what) if kept is None else kept.pdf
        revision = job.revision
    title = f"{job.number} rev {revision}"
    subject, body = _words(job, title, what)
    draft = EmailDraft(
        to=job.customer.contact,
        subject=subject,
        body=body,
        file_name=subject,
        pdf=pdf,
        at=at,
        message_id=_identity(title, kind, at, pdf),
    )
    write_whole(path, email_draft(draft))
    return Drafted(path, address_in(job.customer.contact))


def _quote(record: Record, job: Job) -> tuple[bytes, str]:
    """(PDF, revision) of the newest issued quote, as it was issued."""
    with record.reading() as session:
        issued = job_record.issued_quotes(session, job.number)
    if not issued:
        raise NotFound(
            worded("No quote of {number} was issued yet.", number=job.number),
            worded("Issue it first."),
        )
    newest = max(issued, key=lambda one: one.issued_at)
    return newest.pdf, newest.revision


def _words(job: Job, title: str, what: Print) -> tuple[str, str]:
    """(Subject, text) in the language of the paper's locale."""
    from estimator.documents.files import email_labels as labels
    from estimator.documents.grammar.spoken import speaking

    with speaking(language_of(known_locale(what.locale))):
        subject = labels.SUBJECTS[what.kind].format(job=title, name=what.variation)
        body = labels.BODY.format(
            customer=job.customer.name, subject=subject, serial=job.machine.serial,
            more=f"{labels.ASKS}\n\n" if what.kind == VARIATION else "",
            sender=job.workshop.name, contact=job.workshop.contact,
        )  # fmt: skip
    return subject, body


def _identity(title: str, kind: str, at: datetime, pdf: bytes) -> str:
    """An identity that follows from what is sent: the same draft is the same message."""
    digest = hashlib.sha256(f"{title}\0{kind}\0{at.isoformat()}\0".encode() + pdf).hexdigest()
    return f"{digest[:40]}@shimwright.invalid"
