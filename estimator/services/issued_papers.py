"""Papers of a contract as they went out: made before the record is written to, kept in the act that
sends them, and handed out again byte for byte."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.domain.contract.contract import CannotFollow
from estimator.domain.contract.events import Event
from estimator.domain.contract.following import follow
from estimator.domain.contract.states import DRAFT, FOUND
from estimator.domain.issued_paper import PAPER_ISSUED, IssuedPaper
from estimator.domain.people import VARY, Person
from estimator.domain.record import IssuedQuote
from estimator.domain.wording import said_by, worded
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotFound, NotWritten, ServiceError
from estimator.services.note_unexpected import note_unexpected
from estimator.services.open_record import Record
from estimator.services.paper_parts import Sources, read_sources
from estimator.services.print_contract import VARIATION, Print, known_paper, paper_of
from estimator.services.print_quote import known_locale
from estimator.services.write_contract import Here, act_in, contract_here
from estimator.services.write_edit import changed_meanwhile, kept_job
from estimator.services.write_file import write_whole
from estimator.storage import paper_record
from estimator.storage.change_log import append

if TYPE_CHECKING:
    from estimator.storage.database import Session

_TRIES = 3  # times a paper is made anew because others acted while it was made
_AS_WRITTEN = "en_GB"  # where it is not known how the quote was printed


@dataclass(frozen=True, slots=True)
class Made:
    """A paper that is made, and not kept yet: which, after how many events of the contract."""

    what: Print
    revision: int
    events: int
    chain_head: str
    pdf: bytes


class _Changed(Exception):
    """Somebody acted on the contract while its paper was made."""


def issue_with_paper(
    record: Record,
    number: str,
    variation: str,
    make: Callable[[Here], Sequence[Event]],
    who: Person,
    now: datetime,
) -> Here:
    """Issue a variation by the events of `make`, and keep its paper in the same act, in the
    language that the quote was printed in.

    A paper that cannot be made holds nothing up: the variation is issued, and `unkept` of the
    answer says why its paper is not kept. `issue_paper` keeps it later. Raises as
    `write_contract.act_on`.
    """
    act, unkept = "variation issue", ""
    for _ in range(_TRIES):
        paper, unkept = _paper_after(record, number, variation, make, now)
        if paper is None:
            break
        try:
            with record.writing() as session:
                after = act_in(session, number, act, _unless_changed(make, paper), now)
                _keep(session, number, paper, who, now)
        except _Changed:
            unkept = worded("Others acted on {number} while its paper was made.", number=number)
            continue
        return after
    with record.writing() as session:
        after = act_in(session, number, act, make, now)
    return replace(after, unkept=unkept)


def _unless_changed(
    make: Callable[[Here], Sequence[Event]], paper: Made
) -> Callable[[Here], Sequence[Event]]:
    def made(here: Here) -> Sequence[Event]:
        events = make(here)
        if len(here.contract.events) + len(events) != paper.events:
            raise _Changed
        return events

    return made


def _paper_after(
    record: Record,
    number: str,
    variation: str,
    make: Callable[[Here], Sequence[Event]],
    now: datetime,
) -> tuple[Made | None, str]:
    """(a variation's paper as it is once the events happened, "" or why there is none)."""
    try:
        sources = read_sources(record, number, now.date())
        contract = sources.here.contract
        for event in make(sources.here):
            contract = follow(contract, event)
        sources = replace(sources, here=replace(sources.here, contract=contract))
        what = Print(
            kind=VARIATION, day=now.date(), variation=variation, locale=printed_in(sources.issued)
        )
        return _made(record, sources, what), ""
    except CannotFollow:
        return None, ""  # the act itself refuses, and says why
    except ServiceError as error:
        return None, said_by(error)
    except Exception as error:  # whatever it is, it must not keep a variation from being issued
        return None, note_unexpected(error)


def _made(record: Record, sources: Sources, what: Print) -> Made:
    case = sources.here.contract.cases.get(what.variation)
    revision = case.variation.revision if case is not None and what.kind == VARIATION else 0
    pdf = paper_of(record, sources, what)
    return Made(what, revision, len(sources.here.contract.events), sources.head.chain_head, pdf)


def printed_in(issued: IssuedQuote) -> str:
    """The locale a quote was printed in: what the customer was told in."""
    locale: str = json.loads(issued.inputs).get("print", {}).get("locale", _AS_WRITTEN)
    return locale


def issue_paper(
    record: Record,
    number: str,
    kind: str,
    who: Person,
    now: datetime,
    *,
    variation: str = "",
    day: date | None = None,
    locale: str = "",
) -> IssuedPaper:
    """Keep a paper of a contract (a kind of `print_contract.KINDS`) as it goes out now, dated `day`
    (default: today) and in `locale` (default: as the quote was printed).

    Raises NotAllowed, NotFound, NotReckoned, and Conflict for a variation that is not issued, a
    stop of what can be stopped no more, or where others kept on acting while it was made.
    """
    require(who, VARY)
    known_paper(kind)
    for _ in range(_TRIES):
        sources = read_sources(record, number, day or now.date())
        what = Print(
            kind=kind, day=day or now.date(), variation=variation if kind == VARIATION else "",
            locale=known_locale(locale or printed_in(sources.issued)),
        )  # fmt: skip
        if kind == VARIATION:
            _refuse_unissued(sources.here, variation)
        paper = _made(record, sources, what)
        with record.writing() as session:
            if len(contract_here(session, number)[1].contract.events) == paper.events:
                return _keep(session, number, paper, who, now)
    raise changed_meanwhile(number)


def _refuse_unissued(here: Here, variation: str) -> None:
    case = here.contract.cases.get(variation)
    if case is not None and case.state in (FOUND, DRAFT):
        raise Conflict(
            worded("{name} is not issued yet.", name=case.variation.name),
            worded("Issue it: its paper is kept with it."),
        )


def _keep(session: Session, number: str, made: Made, who: Person, now: datetime) -> IssuedPaper:
    paper = IssuedPaper(
        number=number,
        place=paper_record.next_place(session, number),
        kind=made.what.kind,
        variation=made.what.variation,
        revision=made.revision,
        day=made.what.day,
        at=now,
        by=who.name,
        locale=made.what.locale,
        events=made.events,
        chain_head=made.chain_head,
        pdf=made.pdf,
        pdf_sha256=hashlib.sha256(made.pdf).hexdigest(),
    )
    paper_record.add_paper(session, paper)
    append(
        session, at=now, who=who.name, act=PAPER_ISSUED, subject=f"job/{number}", after=paper.told
    )
    return paper


def papers_issued(record: Record, number: str) -> list[IssuedPaper]:
    """Papers of a job's contract as they went out, the oldest first. Raises NotFound."""
    with record.reading() as session:
        kept_job(session, number)
        return paper_record.issued_papers(session, number)


def order_as_issued(record: Record, number: str, variation: str) -> IssuedPaper | None:
    """The paper of a variation's newest revision as it was issued last; None where that revision
    was not issued, or its paper was not kept. Raises NotFound, NotReckoned."""
    with record.reading() as session:
        case = contract_here(session, number)[1].contract.cases.get(variation)
        if case is None or case.state in (FOUND, DRAFT):
            return None
        found = paper_record.issued_papers(session, number, VARIATION, variation)
    mine = [one for one in found if one.revision == case.variation.revision]
    return mine[-1] if mine else None


def reissue_paper(
    record: Record,
    number: str,
    kind: str,
    path: Path,
    *,
    variation: str = "",
    revision: int | None = None,
    day: date | None = None,
    replace: bool = False,
) -> IssuedPaper:
    """Write a paper again, byte for byte as it went out: the last one that fits `variation`, its
    `revision` and `day`, where these are given. Raises NotFound, NotWritten."""
    known_paper(kind)
    if path.exists() and not replace:
        raise NotWritten(
            worded("{path} is there already.", path=str(path)),
            worded("Choose another name, or say --replace."),
        )
    issued = papers_issued(record, number)
    fits = [
        one
        for one in issued
        if one.kind == kind
        and variation in ("", one.variation)
        and revision in (None, one.revision)
        and day in (None, one.day)
    ]
    if not fits:
        known = ", ".join(dict.fromkeys(one.title for one in issued)) or worded("none yet")
        raise NotFound(
            worded("No such paper of {number} is kept.", number=number),
            worded("Kept are: {known}.", known=known),
        )
    write_whole(path, fits[-1].pdf)
    return fits[-1]
