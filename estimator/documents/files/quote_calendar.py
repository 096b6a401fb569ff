"""The milestones of a quote as a calendar (RFC 5545): days without an hour.

An event keeps its identity from revision to revision, and its sequence grows, so that a calendar
that took the first in moves it instead of showing two.
"""

from __future__ import annotations

import hashlib
from datetime import UTC, date, datetime, timedelta

from estimator.documents.files import file_labels as labels
from estimator.documents.files.file_text import one_line
from estimator.documents.files.quote_rows import FileQuote
from estimator.documents.grammar.spoken import speaking, tag
from estimator.domain.milestones import VALID_UNTIL, Milestone, milestones

_LONGEST_LINE = 75  # octets, without the line break
_PRODUCT = "-//Shimwright//Quote//EN"


def quote_calendar(source: FileQuote) -> bytes:
    """The calendar as a file. The same quote gives the same bytes. Raises ValueError on a time
    without a zone."""
    if source.at.tzinfo is None:
        raise ValueError("a calendar is stamped in a zone")
    with speaking(source.quote.language):
        lines = [
            "BEGIN:VCALENDAR", "VERSION:2.0", f"PRODID:{_PRODUCT}", "CALSCALE:GREGORIAN",
            "METHOD:PUBLISH",
        ]  # fmt: skip
        for one in milestones(source.quote):
            lines += _event(source, one)
        lines.append("END:VCALENDAR")
    return b"".join(_folded(line) for line in lines)


def _event(source: FileQuote, one: Milestone) -> list[str]:
    job = source.job
    title = labels.EVENT.format(what=labels.DATES[one.key], title=job.title)
    machine = source.quote.priced.cat.machine_class.type
    words = labels.DATE_WORDS[one.key].format(days=job.terms.answer_days)
    told = labels.EVENT_WORDS.format(
        words=words, machine=machine, serial=job.machine.serial, workshop=job.workshop.name
    )
    settled = one.key == VALID_UNTIL and source.issued
    language = f";LANGUAGE={tag()}"
    return [
        "BEGIN:VEVENT",
        f"UID:{_identity(source, one)}",
        f"DTSTAMP:{_stamp(source.at)}",
        f"SEQUENCE:{_sequence(job.revision)}",
        f"DTSTART;VALUE=DATE:{_day(one.day)}",
        f"DTEND;VALUE=DATE:{_day(one.day + timedelta(days=1))}",
        f"SUMMARY{language}:{_escaped(title)}",
        f"DESCRIPTION{language}:{_escaped(told)}",
        f"STATUS:{'CONFIRMED' if settled else 'TENTATIVE'}",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
    ]


def _identity(source: FileQuote, one: Milestone) -> str:
    """The same for every revision of a job at a workshop."""
    job = source.job
    told = "\0".join((job.workshop.name, job.number, one.key))
    return f"{hashlib.sha256(told.encode('utf-8', 'replace')).hexdigest()[:40]}@shimwright.invalid"


def _sequence(revision: str) -> int:
    """0 for revision A, 1 for B, 26 for AA; of other names their letters count alike."""
    number = 0
    for letter in revision.upper():
        if "A" <= letter <= "Z":
            number = number * 26 + ord(letter) - ord("A") + 1
    return max(number - 1, 0)


def _stamp(at: datetime) -> str:
    return at.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")


def _day(day: date) -> str:
    return day.isoformat().replace("-", "")


def _escaped(text: str) -> str:
    """A TEXT value: one line, its signs with a meaning escaped."""
    plain = one_line(text).replace("\\", "\\\\")
    return plain.replace(";", "\\;").replace(",", "\\,")


def _folded(line: str) -> bytes:
    """A content line in pieces of 75 octets at most, no character cut in two."""
    pieces, piece = list[bytes](), b""
    for sign in line:
        octets = sign.encode()
        if len(piece) + len(octets) > _LONGEST_LINE:
            pieces.append(piece)
            piece = b" "
        piece += octets
    return b"\r\n".join([*pieces, piece]) + b"\r\n"
