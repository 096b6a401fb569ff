"""Write an e-mail draft with a paper of a job attached, for somebody to look at and send."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from estimator.domain.job import Job
from estimator.domain.wording import worded
from estimator.services.errors import NotFound, NotWritten
from estimator.services.keep_job import recorded_job
from estimator.services.open_record import Record
from estimator.services.print_contract import (
    DECLINED,
    KINDS,
    LEDGER,
    STOP,
    STRIP,
    VARIATION,
    Print,
    paper_bytes,
)
from estimator.services.write_file import write_whole
from estimator.storage import job_record

QUOTE = "quote"
DRAFTS = (QUOTE, *KINDS)
_SUBJECTS = {
    QUOTE: "Quote {job}",
    VARIATION: "Variation {name} to {job}",
    STRIP: "Strip report, {job}",
    DECLINED: "Work declined, put off or not answered, {job}",
    LEDGER: "Ledger, {job}",
    STOP: "Stop after teardown, {job}",
}
_BODY = """Dear {customer},

please find attached: {subject} ({machine}).

{more}Nothing in this message is an approval, and no answer is not one either. Please answer on the
attached paper, or by replying to this message with your name and capacity.

{sender}
{contact}"""
_ASKS = "It waits for your answer.\n\n"


@dataclass(frozen=True, slots=True)
class Drafted:
    """Where the draft is, and to whom it is addressed; "" where no address is known."""

    path: Path
    to: str


def draft_email(
    record: Record, number: str, what: Print, path: Path, at: datetime, *, replace: bool = False
) -> Drafted:
    """Write a draft with a paper attached, its kind one of `DRAFTS`: the quote as it was issued, or
    a paper of the contract as it stands. Nothing is sent. Raises NotFound, NotReckoned,
    NotWritten."""
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
        pdf = paper_bytes(record, number, what)
        revision = job.revision
    title = f"{job.number} rev {revision}"
    subject = _SUBJECTS[kind].format(job=title, name=what.variation)
    draft = EmailDraft(
        to=job.customer.contact,
        subject=subject,
        body=_body(job, subject, kind),
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


def _body(job: Job, subject: str, kind: str) -> str:
    more = _ASKS if kind == VARIATION else ""
    return _BODY.format(
        customer=job.customer.name, subject=subject, machine=f"serial {job.machine.serial}",
        more=more, sender=job.workshop.name, contact=job.workshop.contact,
    )  # fmt: skip


def _identity(title: str, kind: str, at: datetime, pdf: bytes) -> str:
    """An identity that follows from what is sent: the same draft is the same message."""
    digest = hashlib.sha256(f"{title}\0{kind}\0{at.isoformat()}\0".encode() + pdf).hexdigest()
    return f"{digest[:40]}@shimwright.invalid"
