"""Reading and writing contracts: events in their order, and what they come to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.contract.events import Event
from estimator.storage.contract_codec import decoded, encoded
from estimator.storage.contract_tables import (
    ContractEventRow,
    ContractRow,
    KeptCatalogueRow,
    VariationRow,
)
from estimator.storage.job_parts import new_id
from estimator.storage.job_rows import JOBS
from estimator.storage.raw_rows import RawSelect

EVENTS: Any = ContractEventRow.__table__
CONTRACTS: Any = ContractRow.__table__
VARIATIONS: Any = VariationRow.__table__
CATALOGUES: Any = KeptCatalogueRow.__table__
_NAMES = (
    "job_id", "number", "revision", "state", "since", "waits_on", "ask", "title", "end", "currency",
    "amount", "low", "high", "answer_by", "waiting_from", "waiting_per_day", "activity", "safety",
)  # fmt: skip
_WAITING = RawSelect(VARIATIONS, _NAMES)
WAITING = (*_NAMES, "job", "customer_name")  # the job by its number


def read_events(session: Session, job_id: str) -> tuple[Event, ...]:
    """Events of a job's contract, oldest first; none where nothing was accepted. Raises NotKept."""
    wanted = sa.select(EVENTS.c.body).where(EVENTS.c.job_id == job_id).order_by(EVENTS.c.place)
    return tuple(decoded(body) for (body,) in session.connection().execute(wanted))


def add_events(session: Session, job_id: str, before: int, events: Sequence[Event]) -> bool:
    """Append events after the first `before`; False, and nothing written, where there are more or
    fewer by now. Raises NotKept."""
    count = sa.select(sa.func.count()).select_from(EVENTS).where(EVENTS.c.job_id == job_id)
    if int(session.connection().execute(count).scalar_one()) != before:
        return False
    rows = [
        {
            "id": new_id(), "job_id": job_id, "place": before + number, "at": event.at,
            "who": event.who, "kind": type(event).__name__, "body": encoded(event),
        }
        for number, event in enumerate(events, start=1)
    ]  # fmt: skip
    session.connection().execute(EVENTS.insert(), rows)
    return True


def write_contract(
    session: Session, job_id: str, contract: Mapping[str, object],
    variations: Sequence[Mapping[str, object]],
) -> None:  # fmt: skip
    """Keep what the events come to: the contract's row, and the rows of variations that changed."""
    run = session.connection().execute
    if not run(CONTRACTS.update().where(CONTRACTS.c.job_id == job_id).values(**contract)).rowcount:
        run(CONTRACTS.insert().values(job_id=job_id, worked_out=0, mark="", **contract))
    for row in variations:
        here = (VARIATIONS.c.job_id == job_id) & (VARIATIONS.c.number == row["number"])
        run(VARIATIONS.delete().where(here))
        run(VARIATIONS.insert().values(job_id=job_id, **row))


def contract_row(session: Session, job_id: str) -> dict[str, Any] | None:
    """A contract's row; None where nothing was accepted."""
    wanted = sa.select(CONTRACTS).where(CONTRACTS.c.job_id == job_id)
    row = session.connection().execute(wanted).mappings().first()
    return None if row is None else dict(row)


def waiting_rows(session: Session, waits_on: str = "", limit: int = 5000) -> list[dict[str, Any]]:
    """As `waiting_cells`, each cell by its name."""
    return [
        dict(zip(WAITING, cells, strict=True))
        for cells in waiting_cells(session, waits_on, limit=limit)
    ]


def waiting_cells(
    session: Session, waits_on: str = "", *, leaving_out: str = "", limit: int = 5000
) -> list[list[Any]]:
    """Variations that wait on somebody, over all jobs, the longest wait first: cells in the order
    of WAITING. `waits_on` keeps to one role or side, `leaving_out` drops one state. Raises
    RecordDamaged."""
    run, columns = session.connection().execute, _WAITING.columns
    here = columns.waits_on == waits_on if waits_on else columns.waits_on != ""
    wanted = _WAITING.statement.where(here)
    if leaving_out:
        wanted = wanted.where(columns.state != leaving_out)
    found = run(wanted.order_by(columns.since, columns.number).limit(limit)).all()
    # Joined here: in the file a job's long row would be looked up for each of its variations.
    waiting = sa.select(columns.job_id).where(here)
    jobs = sa.select(JOBS.c.id, JOBS.c.number, JOBS.c.customer_name).where(JOBS.c.id.in_(waiting))
    named = {job_id: (number, customer) for job_id, number, customer in run(jobs)}
    cells = _WAITING.values(found)
    for one in cells:
        one.extend(named[one[0]])
    return cells
