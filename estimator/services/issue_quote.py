"""Issue a quote: price the recorded job, freeze its figures and its PDF, and never change them."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.contract.contract import Contract
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.job_data import findings_as_data, job_as_data
from estimator.domain.language import language_of
from estimator.domain.people import ISSUE, RELEASE, Person
from estimator.domain.priced_job import Progress
from estimator.domain.quote import Quote, build_quote
from estimator.domain.quote_length import LENGTHS, STANDARD
from estimator.domain.reasons import Reasons, plain
from estimator.domain.record import (
    ACCEPTED,
    DRAFT,
    ISSUED,
    UNDER_CONTRACT,
    IssuedQuote,
    next_revision,
)
from estimator.domain.wording import worded
from estimator.services.adopt_values import adopt_in, not_adopted_in, withheld
from estimator.services.after_strip import with_strip
from estimator.services.confirm_clauses import withhold_unconfirmed
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotFound
from estimator.services.frozen_quote import keep_edition
from estimator.services.keep_job import recorded_job
from estimator.services.keep_standing import QUOTE, standing_from_price
from estimator.services.learn import learnt_in
from estimator.services.open_job import catalogue_for
from estimator.services.open_record import Record
from estimator.services.price_job import quiet, reckoned
from estimator.services.printing_engine import environment
from estimator.services.write_contract import contract_here
from estimator.services.write_edit import changed_meanwhile, field_texts, kept_job
from estimator.services.write_file import write_whole
from estimator.storage import job_record
from estimator.storage.change_log import append, head
from estimator.storage.edit_record import clear_edits
from estimator.storage.house_record import newest_style
from estimator.storage.job_rows import KeptJob, write_job
from estimator.storage.standing_record import write_standing

if TYPE_CHECKING:
    from estimator.documents.grammar.archive import Attached
    from estimator.storage.database import Session


def issue_quote(  # noqa: PLR0913 - what goes out, who stands for it, when and in what form
    record: Record,
    number: str,
    catalogue: Catalogue,
    who: Person,
    releaser: Person,
    now: datetime,
    *,
    locale: str = "en_GB",
    length: str = STANDARD,
    adopt_why: str = "",
    progress: Progress = quiet,
) -> IssuedQuote:
    """Issue a job's revision, draft or proposed. `releaser` is whoever gave their own passphrase
    for it. With a reason in `adopt_why` they adopt in the same act what starting values the
    contingency rests on. `length` is how much the print tells (short, standard, full); it is kept
    with the locale.

    What was edited can be undone no more. The print carries the head of the log as it was then.
    Raises NotFound, NotAllowed, Refused where the job no longer fits the catalogue, NotReckoned,
    Withheld where it rests on starting values that are not adopted or prints translations that
    nobody has confirmed, and Conflict where it is issued
    already, holds text that is not valid, or was changed while it was being priced.
    """
    from estimator.documents.grammar.dress import dressed
    from estimator.documents.quote.quote_pdf import quote_pdf
    from estimator.services.quote_as_data import quotation_of

    require(who, ISSUE)
    require(releaser, RELEASE)
    if length not in LENGTHS:
        raise NotFound(
            worded("There is no {what} here.", what=repr(length)),
            worded("Say one of: {known}.", known=", ".join(LENGTHS)),
        )
    with record.reading() as session:
        kept = _unissued(session, number)
        chain_head = head(session)
        known = learnt_in(session, catalogue)
        house = newest_style(session)
    job = kept.job
    priced = reckoned(job, catalogue_for(job, known, job.title), progress)
    with record.reading() as session:
        resting = not_adopted_in(session, priced)
    if resting and not adopt_why.strip():
        raise withheld(job.title, resting)
    quote = build_quote(priced, language_of(locale), length=length)
    withhold_unconfirmed(job.title, quote)
    attached = quotation_of(quote, now, chain_head)
    with dressed(house.style.signed_by(releaser.name)):
        pdf = quote_pdf(quote, locale, chain_head, attached)
    issued = freeze(quote, pdf, who, releaser, now, chain_head, locale, attached)
    progress("issue")  # the last chance to stop
    with record.writing() as session:
        here = _unissued(session, number)
        if here.version != kept.version:
            raise changed_meanwhile(number)
        version = write_job(session, here, job, ISSUED, now, issued.valid_until)
        if version is None:
            raise changed_meanwhile(number)
        if resting:
            adopt_in(session, resting, releaser, now, adopt_why)
        clear_edits(session, here.id)
        write_standing(session, here.id, standing_from_price(priced, version, now, QUOTE))
        issued = replace(
            issued,
            edition=keep_edition(session, priced.cat),
            style=house.style.id if house.version else "",
        )
        job_record.add_issued(session, issued)
        append(
            session,
            at=now,
            who=who.name,
            act="issued",
            subject=f"job/{number}",
            after={
                "revision": issued.revision,
                "net": str(issued.net),
                "released_by": releaser.name,
                "record": issued.record,
                "chain_head": chain_head,
                "pdf_sha256": issued.pdf_sha256,
                **({"length": length} if length != STANDARD else {}),
                **({"house_style": issued.style} if issued.style else {}),
            },
        )
    return issued


def _unissued(session: Session, number: str) -> KeptJob:
    """The job, if its revision can be issued: what is typed but not valid is in no price."""
    kept = kept_job(session, number)
    if kept.state in UNDER_CONTRACT:
        raise Conflict(
            worded("{title} is {state}.", title=kept.job.title, state=fixed(kept.state)),
            worded("What changes now is a variation."),
        )
    if kept.state == ISSUED:
        raise Conflict(
            worded("{title} is issued already.", title=kept.job.title),
            worded("Revise it to issue another."),
        )
    if texts := field_texts(session, kept.id):
        places = ", ".join(one.place for one in texts[:5])
        raise Conflict(
            worded(
                "{title} holds text that is not valid yet, and so is in no price: {places}.",
                title=kept.job.title,
                places=places,
            ),
            worded("Mend it or take it out first."),
        )
    return kept


def freeze(
    quote: Quote,
    pdf: bytes,
    who: Person,
    releaser: Person,
    now: datetime,
    chain_head: str,
    locale: str,
    attached: Sequence[Attached] = (),
) -> IssuedQuote:
    """A quote as it is kept: its figures, what they were reckoned from, its print, and what that
    was made with. `attached` are the files in the print."""
    priced = quote.priced
    job = priced.job
    inputs = {
        "job": job_as_data(job),
        "findings": findings_as_data(job.findings),
        "print": {
            "locale": locale,
            "length": quote.length,
            "attached": [one.name for one in attached],
            "made_with": environment(),
        },
    }
    return IssuedQuote(
        number=job.number,
        revision=job.revision,
        issued_at=now,
        issued_by=who.name,
        released_by=releaser.name,
        net=priced.price.net,
        contingency=priced.price.contingency,
        gross=priced.price.totals.gross,
        ready_on=quote.ready_covered,
        valid_until=quote.valid_until,
        catalogue_version=priced.cat.catalogue.version,
        catalogue_fingerprint=priced.cat.catalogue.fingerprint,
        record=quote.record,
        chain_head=chain_head,
        inputs=json.dumps(inputs, ensure_ascii=False, sort_keys=True),
        figures=json.dumps(_figures(priced.reasons), ensure_ascii=False, sort_keys=True),
        pdf=pdf,
        pdf_sha256=hashlib.sha256(pdf).hexdigest(),
    )


def _figures(reasons: Reasons) -> dict[str, dict[str, object]]:
    """Every figure with how it was reached, by name."""
    return {
        name: {
            "title": figure.title,
            "value": plain(figure.value),
            "unit": figure.unit,
            "formula": figure.formula,
            "inputs": list(figure.inputs),
            "numbers": dict(figure.numbers),
            "rule": figure.rule,
            "source": figure.source,
            "origin": figure.origin,
        }
        for name, figure in reasons.figures.items()
    }


def revise_job(record: Record, number: str, who: Person, now: datetime) -> Job:
    """Begin the next revision of an issued job; what was issued stays as it is. Where the teardown
    alone was accepted, it begins with what the strip has found, while the strip goes on.

    Raises NotFound, NotAllowed, and Conflict where the revision before is not issued yet.
    """
    require(who, ISSUE)
    job, state, version = recorded_job(record, number)
    strip = _strip_under_way(record, number)
    if state in UNDER_CONTRACT and (strip is None or state != ACCEPTED):
        raise Conflict(
            worded("{title} is {state}.", title=job.title, state=fixed(state)),
            worded("What changes now is a variation."),
        )
    if state not in (ISSUED, ACCEPTED):
        raise Conflict(
            worded("{title} is not issued yet.", title=job.title), worded("Change it as it is.")
        )
    revised = replace(job, revision=next_revision(job.revision), date=now.date())
    if strip is not None:
        revised = with_strip(revised, strip)
    with record.writing() as session:
        if not job_record.save_job(session, revised, DRAFT, version, now):
            raise changed_meanwhile(number)
        append(
            session,
            at=now,
            who=who.name,
            act="revised",
            subject=f"job/{number}",
            before={"revision": job.revision},
            after={"revision": revised.revision},
        )
    return revised


def _strip_under_way(record: Record, number: str) -> Contract | None:
    """The contract of a strip that alone was accepted, while it goes on."""
    with record.reading() as session:
        try:
            contract = contract_here(session, number)[1].contract
        except NotFound:
            return None
    ended = contract.stopped is not None or contract.handed_over
    return None if ended or not contract.acceptance.teardown_only else contract


def reissue(record: Record, number: str, revision: str, path: Path) -> Path:
    """Write an issued quote again, byte for byte as it was. Raises NotFound, NotWritten."""
    with record.reading() as session:
        issued = job_record.issued_quotes(session, number)
    for one in issued:
        if one.revision == revision:
            return write_whole(path, one.pdf)
    known = ", ".join(one.revision for one in issued) or "none"
    raise NotFound(
        worded("{number} has no issued revision {revision}.", number=number, revision=revision),
        worded("Issued: {known}.", known=known),
    )
