"""Reading and writing adoptions: of starting values, and of the wording of translated clauses."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.adoption import Adoption
from estimator.storage.job_parts import core_table, new_id
from estimator.storage.tables import AdoptionRow

_TABLE = core_table(AdoptionRow)
_CLAUSES = "clause/"  # begins the subject of a clause; no pool or part is called so
_FIELDS = ("subject", "stated", "who", "at", "why")


def adoptions(session: Session) -> list[Adoption]:
    """Every adoption of a starting value, oldest first."""
    wanted = (
        sa.select(*(_TABLE.c[name] for name in _FIELDS))
        .where(~_TABLE.c.subject.startswith(_CLAUSES, autoescape=True))
        .order_by(_TABLE.c.at, _TABLE.c.id)
    )
    return [Adoption(*row) for row in session.connection().execute(wanted)]


def adopted(session: Session) -> frozenset[tuple[str, str]]:
    """What was adopted, as pairs of subject and what it stated."""
    wanted = sa.select(_TABLE.c.subject, _TABLE.c.stated)
    return frozenset((row[0], row[1]) for row in session.connection().execute(wanted))


def clause_subject(language: str, clause: str) -> str:
    """Under what a clause of a language is adopted."""
    return f"{_CLAUSES}{language}/{clause}"


def confirmed_clauses(session: Session) -> dict[tuple[str, str], str]:
    """Who confirmed which clause in which wording: pairs of subject and wording."""
    wanted = (
        sa.select(_TABLE.c.subject, _TABLE.c.stated, _TABLE.c.who)
        .where(_TABLE.c.subject.startswith(_CLAUSES, autoescape=True))
        .order_by(_TABLE.c.at, _TABLE.c.id)
    )
    return {(row[0], row[1]): row[2] for row in session.connection().execute(wanted)}


def add_adoptions(
    session: Session,
    values: Iterable[tuple[str, str]],
    who: str,
    at: datetime.datetime,
    why: str,
) -> None:
    """Write adoptions of pairs of subject and what it states."""
    rows = [
        {"id": new_id(), "subject": subject, "stated": stated, "who": who, "at": at, "why": why}
        for subject, stated in values
    ]
    if rows:
        session.connection().execute(_TABLE.insert(), rows)
