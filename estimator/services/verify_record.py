"""Verify the record: the log's chain, and everything issued against its hashes."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass

from estimator.domain.record import IssuedQuote, LogEntry, chain_faults
from estimator.services.open_record import Record
from estimator.storage.change_log import entries, head
from estimator.storage.job_record import issued_quotes


@dataclass(frozen=True, slots=True)
class Verified:
    """What was verified, and every fault found; none in a record nobody tampered with."""

    entries: int
    issued: int
    head: str
    faults: tuple[str, ...]


def verify_record(record: Record) -> Verified:
    """Verify the whole record."""
    with record.database.reading() as session:
        log = entries(session)
        issued = issued_quotes(session)
        newest = head(session)
    faults = chain_faults(log)
    faults += [fault for quote in issued for fault in _issue_faults(quote, log)]
    return Verified(len(log), len(issued), newest, tuple(faults))


def _issue_faults(quote: IssuedQuote, log: list[LogEntry]) -> list[str]:
    title = f"{quote.number} rev {quote.revision}"
    faults = []
    if hashlib.sha256(quote.pdf).hexdigest() != quote.pdf_sha256:
        faults.append(f"{title}: the PDF is not the one that was issued")
    said = [
        json.loads(entry.after)
        for entry in log
        if entry.act == "issued" and entry.subject == f"job/{quote.number}"
    ]
    mine = [one for one in said if one["revision"] == quote.revision]
    if not mine:
        faults.append(f"{title}: the log knows of no such issue")
    elif (mine[0]["pdf_sha256"], mine[0]["net"]) != (quote.pdf_sha256, str(quote.net)):
        faults.append(f"{title}: figures or PDF differ from what the log says was issued")
    return faults


def job_history(record: Record, number: str) -> list[LogEntry]:
    """Every entry of the log about a job, oldest first."""
    with record.database.reading() as session:
        return entries(session, f"job/{number}")
