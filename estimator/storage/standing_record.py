"""Figures of a job as last worked out: kept beside the job, read with the list."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.money import Money
from estimator.domain.record import Standing
from estimator.storage.side_tables import StandingRow

STANDING: Any = StandingRow.__table__
NAMES = tuple(one.name for one in STANDING.columns if one.name != "job_id")


def standing_of(session: Session, job_id: str) -> Standing | None:
    """The figures last worked out; None where none are."""
    row = session.connection().execute(
        sa.select(*(STANDING.c[name] for name in NAMES)).where(STANDING.c.job_id == job_id)
    )
    found = row.first()
    return None if found is None else standing_from(found)


def standing_from(cells: Sequence[Any]) -> Standing:
    """Standing of the cells of the columns `NAMES`."""
    (job_version, currency, quoting_unit, firm, provisional, contingency, net, confidence,
     finish_half, finish_covered, area, waits_on, note, worked_out_at) = cells  # fmt: skip
    return Standing(
        job_version=job_version,
        quoting_unit=quoting_unit,
        firm=Money(firm, currency),
        provisional=Money(provisional, currency),
        contingency=Money(contingency, currency),
        net=Money(net, currency),
        confidence=confidence,
        finish_half=finish_half,
        finish_covered=finish_covered,
        area=area,
        waits_on=waits_on,
        note=note,
        worked_out_at=worked_out_at,
    )


def write_standing(session: Session, job_id: str, standing: Standing) -> bool:
    """Keep figures unless some of a later version are kept; whether they were."""
    run = session.connection().execute
    known = run(sa.select(STANDING.c.job_version).where(STANDING.c.job_id == job_id)).scalar()
    if known is not None and known > standing.job_version:
        return False
    sums = ("firm", "provisional", "contingency", "net")
    values: dict[str, Any] = {
        name: getattr(standing, name) for name in NAMES if name not in ("currency", *sums)
    }
    values |= {name: getattr(standing, name).minor for name in sums}
    values["currency"] = standing.net.currency
    if known is None:
        run(STANDING.insert().values(job_id=job_id, **values))
    else:
        run(STANDING.update().where(STANDING.c.job_id == job_id).values(**values))
    return True
