"""Searching jobs by words: SQLite's full-text index as one types, plain LIKE on other databases.

The text of each job lies in `job_text`, written in the transaction of the act that changes it. What
is typed is data: every word becomes a quoted phrase, so that no sign of it is an operator.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.storage.side_tables import JobTextRow
from estimator.storage.table_base import FULL_TEXT

TEXTS: Any = JobTextRow.__table__
FIELDS = ("number", "customer", "serial", "class_id", "note", "findings", "photographs")
SHORT_FIELDS = ("number", "customer", "serial", "class_id")
MOST_WORDS, LONGEST_WORD = 12, 80
_SEARCH = sa.table(FULL_TEXT, sa.column("rowid"), *(sa.column(name) for name in FIELDS))

_CELLS = ", ".join(f":{name}" for name in FIELDS)
_FORGET = sa.text(
    f"INSERT INTO {FULL_TEXT}({FULL_TEXT}, rowid, {', '.join(FIELDS)})"
    f" VALUES('delete', :row, {_CELLS})"
)
_INDEX = sa.text(f"INSERT INTO {FULL_TEXT}(rowid, {', '.join(FIELDS)}) VALUES(:row, {_CELLS})")
_WRITE = sa.text(
    f"UPDATE job_text SET {', '.join(f'{name} = :{name}' for name in FIELDS)} WHERE row = :row"
)
_ROW = sa.select(TEXTS.c.row, *(TEXTS.c[name] for name in FIELDS)).where(
    TEXTS.c.job_id == sa.bindparam("job")
)


def _indexed(session: Session) -> bool:
    return session.get_bind().dialect.name == "sqlite"


def text_of(job: Job) -> dict[str, str]:
    """What of a job is searched; findings one a line, number first."""
    return {
        "number": job.number,
        "customer": job.customer.name,
        "serial": job.machine.serial,
        "class_id": job.machine.class_id,
        "note": job.note,
        "findings": "\n".join(
            f"{code}\t{_one_line(*said)}" for code, *said in map(_said, job.findings)
        ),
    }


def _one_line(*cells: str) -> str:
    return " ".join(" ".join(cells).split())


def index_job(session: Session, job_id: str, before: Job | None, after: Job) -> None:
    """Bring what is searched up to a job as it is now."""
    if before is not None and _reads_the_same(before, after):
        return
    text = text_of(after)
    if before is None:
        session.connection().execute(TEXTS.insert().values(job_id=job_id, photographs="", **text))
        if _indexed(session):
            _index(session, _row_of(session, job_id))
    else:
        _change(session, job_id, text)


def _reads_the_same(before: Job, after: Job) -> bool:
    return (
        (before.number, before.note) == (after.number, after.note)
        and before.customer.name == after.customer.name
        and before.machine.serial == after.machine.serial
        and before.machine.class_id == after.machine.class_id
        and len(before.findings) == len(after.findings)
        and all(
            one is two or _said(one) == _said(two)
            for one, two in zip(before.findings, after.findings, strict=True)
        )
    )


def _said(finding: Finding) -> tuple[str, ...]:
    return finding.id, finding.what, finding.reading, finding.note


def index_photographs(session: Session, job_id: str, lines: Sequence[tuple[str, str]]) -> None:
    """Bring what is searched up to the job's photographs: (finding, words) each."""
    text = "\n".join(f"{finding}\t{_one_line(words)}" for finding, words in lines)
    _change(session, job_id, {"photographs": text})


def _change(session: Session, job_id: str, text: dict[str, str]) -> None:
    run = session.connection().execute
    if not _indexed(session):
        run(TEXTS.update().where(TEXTS.c.job_id == job_id).values(**text))
        return
    old = _row_of(session, job_id)
    new = {**old, **text}
    run(_FORGET, old)  # the index must be told what it held
    run(_WRITE, new)
    run(_INDEX, new)


def _index(session: Session, row: dict[str, Any]) -> None:
    session.connection().execute(_INDEX, row)


def _row_of(session: Session, job_id: str) -> dict[str, Any]:
    found = session.connection().execute(_ROW, {"job": job_id})
    return dict(found.mappings().one())


def words_of(text: str) -> list[str]:
    """The words of what was typed, without signs that no text holds; at most MOST_WORDS."""
    plain = "".join(" " if unicodedata.category(sign) in ("Cc", "Cs") else sign for sign in text)
    return [word[:LONGEST_WORD] for word in plain.split()[:MOST_WORDS]]


def _is_token(sign: str) -> bool:
    """Whether the index keeps a sign, as its tokenizer (unicode61) says."""
    kind = unicodedata.category(sign)
    return kind[0] in "LN" or kind == "Co"


def ways_to_match(session: Session, text: str) -> list[sa.ColumnElement[bool]]:
    """Conditions on a row of job_text, the second for where the first finds nothing: every word of
    `text` begins a word; every word stands anywhere within number, customer, serial and class.
    None for no words."""
    words = words_of(text)
    if not words:
        return []
    if not _indexed(session):
        return [_holding(session, words, FIELDS)]
    phrases = [word for word in words if any(_is_token(sign) for sign in word)]
    signs = [word for word in words if word not in phrases]
    if not phrases:
        return [_holding(session, signs, FIELDS)]
    begins = sa.and_(TEXTS.c.row.in_(_rows(phrases)), _holding(session, signs, FIELDS))
    return [begins, _holding(session, words, SHORT_FIELDS)]


def _rows(words: list[str]) -> sa.Select[tuple[int]]:
    query = " ".join('"' + word.replace('"', '""') + '"*' for word in words)
    return (
        sa.select(_SEARCH.c.rowid).where(sa.text(f"{FULL_TEXT} MATCH :asked")).params(asked=query)
    )


def _holding(session: Session, words: list[str], names: Sequence[str]) -> sa.ColumnElement[bool]:
    """Whether each word stands in one of the columns, whatever its case: SQLite's LIKE looks at no
    case of plain letters by itself."""
    indexed = _indexed(session)

    def holds(column: Any, word: str) -> sa.ColumnElement[bool]:
        found: sa.ColumnElement[bool] = (
            column.contains(word, autoescape=True)
            if indexed
            else column.icontains(word, autoescape=True)
        )
        return found

    return sa.and_(
        sa.true(), *(sa.or_(*(holds(TEXTS.c[name], word) for name in names)) for word in words)
    )


@dataclass(frozen=True, slots=True)
class FoundText:
    """The searched text of one job."""

    job_id: str
    number: str
    customer: str
    serial: str
    class_id: str
    note: str
    findings: str
    photographs: str


def texts_with(session: Session, text: str, limit: int) -> list[FoundText]:
    """The searched text of jobs that hold every word of `text`, newest first."""
    columns = (TEXTS.c.job_id, *(TEXTS.c[name] for name in FIELDS))
    wanted = sa.select(*columns).order_by(TEXTS.c.row.desc()).limit(limit)
    for condition in ways_to_match(session, text):
        if rows := session.connection().execute(wanted.where(condition)).all():
            return [FoundText(*row) for row in rows]
    return []
