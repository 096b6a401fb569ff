"""The change log: appended in the transaction of the act it tells of, never changed."""

from __future__ import annotations

import datetime
import json
from collections.abc import Mapping
from dataclasses import fields, replace
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.record import NO_HASH, LogEntry, entry_hash
from estimator.storage.tables import ChangeLogRow

LOG: Any = ChangeLogRow.__table__
LONGEST_ACT = 120
_NAMES = tuple(one.name for one in fields(LogEntry))
_ENTRY = sa.select(*(LOG.c[name] for name in _NAMES))
_LAST = sa.select(LOG.c.number, LOG.c.hash).order_by(LOG.c.number.desc()).limit(1)

_ADD = LOG.insert()


def append(
    session: Session,
    *,
    at: datetime.datetime,
    who: str,
    act: str,
    subject: str,
    before: Mapping[str, object] | None = None,
    after: Mapping[str, object] | None = None,
) -> LogEntry:
    """Add an entry, chained to the last. Must run inside a writing transaction."""
    last = session.connection().execute(_LAST).first()
    entry = LogEntry(
        number=1 if last is None else last.number + 1,
        at=at,
        who=who,
        act=act[:LONGEST_ACT],
        subject=subject,
        before=_text(before),
        after=_text(after),
        previous_hash=NO_HASH if last is None else last.hash,
        hash="",
    )
    entry = replace(entry, hash=entry_hash(entry))
    values = {name: getattr(entry, name) for name in _NAMES}
    session.connection().execute(_ADD, values)
    return entry


def entries(session: Session, subject: str | None = None) -> list[LogEntry]:
    """The whole log, or what concerns one subject, oldest first."""
    wanted = _ENTRY.order_by(LOG.c.number)
    if subject is not None:
        wanted = wanted.where(LOG.c.subject == subject)
    return [LogEntry(*row) for row in session.connection().execute(wanted)]


def entries_before(session: Session, subject: str, before: int, most: int) -> list[LogEntry]:
    """Up to `most` entries about one subject, the newest first, of those before a number."""
    wanted = (
        _ENTRY.where(LOG.c.subject == subject, LOG.c.number < before)
        .order_by(LOG.c.number.desc())
        .limit(most)
    )
    return [LogEntry(*row) for row in session.connection().execute(wanted)]


def entries_saying(session: Session, subject: str, text: str) -> list[LogEntry]:
    """Entries about one subject with a text in what stands after them, oldest first."""
    said = LOG.c.after.contains(text, autoescape=True)
    wanted = _ENTRY.where(LOG.c.subject == subject, said).order_by(LOG.c.number)
    return [LogEntry(*row) for row in session.connection().execute(wanted)]


def count_entries(session: Session, subject: str) -> int:
    """How many entries there are about one subject."""
    wanted = sa.select(sa.func.count()).select_from(LOG).where(LOG.c.subject == subject)
    return int(session.connection().execute(wanted).scalar_one())


def head_entry(session: Session) -> tuple[int, str]:
    """(number, hash) of the newest entry; (0, NO_HASH) where there is none."""
    last = session.connection().execute(_LAST).first()
    return (0, NO_HASH) if last is None else (int(last.number), str(last.hash))


def head(session: Session) -> str:
    """Hash of the newest entry: the head of the chain, printed on what is issued."""
    return head_entry(session)[1]


def _text(data: Mapping[str, object] | None) -> str:
    return "" if data is None else json.dumps(data, ensure_ascii=False, sort_keys=True)
