"""Verify the record: the log's chain, everything issued against its hashes, and every event and
paper of a contract, and every edition of the catalogue, against what the log says of it."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass

from estimator.domain.record import NO_HASH, IssuedQuote, LogEntry, chain_faults
from estimator.services.open_record import Record
from estimator.services.verify_contracts import contract_faults
from estimator.services.verify_editions import edition_faults
from estimator.services.verify_papers import paper_faults
from estimator.storage.change_log import entries, head
from estimator.storage.job_record import issued_quotes


@dataclass(frozen=True, slots=True)
class Verified:
    """What was verified, and every fault found; none in a record nobody tampered with."""

    entries: int
    issued: int
    head: str
    faults: tuple[str, ...]
    events: int = 0  # of contracts
    papers: int = 0  # of contracts, as they went out


def verify_record(record: Record) -> Verified:
    """Verify the whole record."""
    with record.reading() as session:
        log = entries(session)
        issued = issued_quotes(session)
        newest = head(session)
        events, wrong = contract_faults(session, log)
        papers, unlike = paper_faults(session, log)
        unlike += edition_faults(session, log)
    faults = chain_faults(log)
    faults += [fault for quote in issued for fault in _issue_faults(quote, log)]
    return Verified(len(log), len(issued), newest, (*faults, *wrong, *unlike), events, papers)


def _issue_faults(quote: IssuedQuote, log: list[LogEntry]) -> list[str]:
    title = f"{quote.number} rev {quote.revision}"
    faults = []
    if hashlib.sha256(quote.pdf).hexdigest() != quote.pdf_sha256:
        faults.append(f"{title}: the PDF is not the one that was issued")
    mine = _entry_of(quote, log)
    if mine is None:
        return [*faults, f"{title}: the log knows of no such issue"]
    said = json.loads(mine.after)
    if (said["pdf_sha256"], said["net"]) != (quote.pdf_sha256, str(quote.net)):
        faults.append(f"{title}: figures or PDF differ from what the log says was issued")
    if said.get("chain_head", "") != quote.chain_head:
        faults.append(f"{title}: the head it was printed with is not the one the log tells")
    elif quote.chain_head and quote.chain_head not in _heads_before(mine, log):
        faults.append(f"{title}: the head it was printed with is none of the log before its issue")
    return faults


def _entry_of(quote: IssuedQuote, log: list[LogEntry]) -> LogEntry | None:
    for entry in log:
        if entry.act == "issued" and entry.subject == f"job/{quote.number}":
            revision: str = json.loads(entry.after)["revision"]
            if revision == quote.revision:
                return entry
    return None


def _heads_before(entry: LogEntry, log: list[LogEntry]) -> set[str]:
    """Every head the log had before an entry. Others may have acted between print and issue."""
    return {NO_HASH, *(one.hash for one in log if one.number < entry.number)}


def job_history(record: Record, number: str) -> list[LogEntry]:
    """Every entry of the log about a job, oldest first."""
    with record.reading() as session:
        return entries(session, f"job/{number}")
