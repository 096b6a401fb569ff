"""The change log: appended in the transaction of the act it tells of, never changed."""

from __future__ import annotations

import datetime
import json
from collections.abc import Mapping

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.domain.record import NO_HASH, LogEntry, entry_hash
from estimator.storage.tables import ChangeLogRow


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
    last = session.scalars(
        select(ChangeLogRow).order_by(ChangeLogRow.number.desc()).limit(1)
    ).first()
    entry = LogEntry(
        number=1 if last is None else last.number + 1,
        at=at,
        who=who,
        act=act,
        subject=subject,
        before=_text(before),
        after=_text(after),
        previous_hash=NO_HASH if last is None else last.hash,
        hash="",
    )
    row = ChangeLogRow(
        number=entry.number,
        at=at,
        who=who,
        act=act,
        subject=subject,
        before=entry.before,
        after=entry.after,
        previous_hash=entry.previous_hash,
        hash=entry_hash(entry),
    )
    session.add(row)
    session.flush()
    return _entry(row)


def entries(session: Session, subject: str | None = None) -> list[LogEntry]:
    """The whole log, or what concerns one subject, oldest first."""
    wanted = select(ChangeLogRow).order_by(ChangeLogRow.number)
    if subject is not None:
        wanted = wanted.where(ChangeLogRow.subject == subject)
    return [_entry(row) for row in session.scalars(wanted)]


def head(session: Session) -> str:
    """Hash of the newest entry: the head of the chain, printed on what is issued."""
    newest = session.scalars(
        select(ChangeLogRow.hash).order_by(ChangeLogRow.number.desc()).limit(1)
    ).first()
    return newest or NO_HASH


def _text(data: Mapping[str, object] | None) -> str:
    return "" if data is None else json.dumps(data, ensure_ascii=False, sort_keys=True)


def _entry(row: ChangeLogRow) -> LogEntry:
    return LogEntry(
        row.number,
        row.at,
        row.who,
        row.act,
        row.subject,
        row.before,
        row.after,
        row.previous_hash,
        row.hash,
    )
