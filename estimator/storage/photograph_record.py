"""Reading and writing photographs. They are added and never changed or deleted: which of them are
shown, the findings say."""

from __future__ import annotations

from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.job import Job
from estimator.domain.record import Photograph
from estimator.storage.job_parts import new_id
from estimator.storage.job_search import index_photographs
from estimator.storage.side_tables import PhotographRow

PHOTOGRAPHS: Any = PhotographRow.__table__
_NAMES = ("id", "finding", "name", "caption", "taken_on", "width", "height", "sha256", "thumbnail")


def next_place(session: Session, job_id: str, finding: str) -> int:
    """The place after the last photograph a finding ever had; 1 for the first."""
    last = session.connection().execute(
        sa.select(sa.func.max(PHOTOGRAPHS.c.place)).where(
            PHOTOGRAPHS.c.job_id == job_id, PHOTOGRAPHS.c.finding == finding
        )
    )
    return int(last.scalar() or 0) + 1


def add_photograph(
    session: Session, job_id: str, photograph: Photograph, place: int, image: bytes
) -> None:
    """Keep a photograph; its identity is made here."""
    values = {name: getattr(photograph, name) for name in _NAMES if name != "id"}
    session.connection().execute(
        PHOTOGRAPHS.insert().values(id=new_id(), job_id=job_id, place=place, image=image, **values)
    )


def photographs(session: Session, job_id: str) -> list[Photograph]:
    """Every photograph a job ever had, by finding and place."""
    rows = session.connection().execute(
        sa.select(*(PHOTOGRAPHS.c[name] for name in _NAMES))
        .where(PHOTOGRAPHS.c.job_id == job_id)
        .order_by(PHOTOGRAPHS.c.finding, PHOTOGRAPHS.c.place)
    )
    return [Photograph(*row) for row in rows]


def image_of(session: Session, photograph_id: str) -> bytes | None:
    """The picture itself, as JPEG; None where there is none of that identity."""
    found: bytes | None = (
        session.connection()
        .execute(sa.select(PHOTOGRAPHS.c.image).where(PHOTOGRAPHS.c.id == photograph_id))
        .scalar()
    )
    return found


def shown(found: list[Photograph], job: Job) -> list[Photograph]:
    """Those that a finding of the job names, in the order the findings name them."""
    by_name = {(one.finding, one.name): one for one in found}
    return [
        by_name[finding.id, name]
        for finding in job.findings
        for name in finding.photo
        if (finding.id, name) in by_name
    ]


def caption(session: Session, photograph_id: str, text: str) -> None:
    """Write a photograph's caption."""
    session.connection().execute(
        PHOTOGRAPHS.update().where(PHOTOGRAPHS.c.id == photograph_id).values(caption=text)
    )


def index(session: Session, job_id: str, job: Job) -> None:
    """Bring what is searched up to the photographs that are shown."""
    names = (PHOTOGRAPHS.c.finding, PHOTOGRAPHS.c.name, PHOTOGRAPHS.c.caption)
    rows = session.connection().execute(sa.select(*names).where(PHOTOGRAPHS.c.job_id == job_id))
    captions = {(row.finding, row.name): row.caption for row in rows}
    lines = [
        (finding.id, f"{name} {captions[finding.id, name]}")
        for finding in job.findings
        for name in finding.photo
        if (finding.id, name) in captions
    ]
    if captions:
        index_photographs(session, job_id, lines)
