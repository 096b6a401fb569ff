"""Keeping contract papers as they went out, and reading them again."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.issued_paper import IssuedPaper
from estimator.storage.job_parts import new_id
from estimator.storage.job_record import job_id_of
from estimator.storage.job_rows import JOBS
from estimator.storage.paper_tables import IssuedPaperRow

PAPERS: Any = IssuedPaperRow.__table__
_SAME = (
    "place", "kind", "variation", "revision", "day", "at", "locale", "events", "chain_head", "pdf",
    "pdf_sha256",
)  # fmt: skip


def next_place(session: Session, number: str) -> int:
    """The place of a job's next paper."""
    count = sa.select(sa.func.max(PAPERS.c.place)).where(PAPERS.c.job_id == _job(number))
    return int(session.connection().execute(count).scalar() or 0) + 1


def add_paper(session: Session, paper: IssuedPaper) -> None:
    """Keep a paper as it goes out."""
    values = {name: getattr(paper, name) for name in _SAME}
    job_id = job_id_of(session, paper.number)
    session.connection().execute(
        PAPERS.insert().values(id=new_id(), job_id=job_id, who=paper.by, **values)
    )


def issued_papers(
    session: Session, number: str | None = None, kind: str = "", variation: str = ""
) -> list[IssuedPaper]:
    """Papers of one job, or of all, in the order they went out; of one kind, or one variation,
    where that is named."""
    columns = (PAPERS.c[name] for name in _SAME)
    wanted = (
        sa.select(JOBS.c.number, PAPERS.c.who.label("by"), *columns)
        .join(JOBS, JOBS.c.id == PAPERS.c.job_id)
        .order_by(JOBS.c.number, PAPERS.c.place)
    )
    if number is not None:
        wanted = wanted.where(JOBS.c.number == number)
    if kind:
        wanted = wanted.where(PAPERS.c.kind == kind)
    if variation:
        wanted = wanted.where(PAPERS.c.variation == variation)
    return [IssuedPaper(**row) for row in session.connection().execute(wanted).mappings()]


def _job(number: str) -> Any:
    return sa.select(JOBS.c.id).where(JOBS.c.number == number).scalar_subquery()
