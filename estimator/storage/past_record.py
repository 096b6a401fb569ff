"""Reading and writing past work: outcomes of teardowns, and closed jobs."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields
from typing import Any, Generic, TypeVar

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.money import Money
from estimator.domain.past_work import DISTRIBUTION, ClosedJob, TeardownOutcome, exact_money
from estimator.storage.job_parts import new_id
from estimator.storage.tables import ClosedJobRow, TeardownOutcomeRow

R = TypeVar("R", TeardownOutcome, ClosedJob)
OUTCOME_SUMS = ("cost",)
CLOSED_SUMS = ("quoted_base", "quoted_contingency", "final_less_requests", *DISTRIBUTION)


@dataclass(frozen=True, slots=True)
class Kept(Generic[R]):
    """A row of past work as the record holds it. A correction names the version that was seen."""

    id: str
    version: int
    row: R


class PastTable(Generic[R]):
    """One table of past work. Sums are kept as whole minor units."""

    def __init__(
        self, table: Any, kind: Callable[..., R], names: Sequence[str], sums: Sequence[str],
        day: str,
    ) -> None:  # fmt: skip
        self.table, self.names, self.sums = table, tuple(names), tuple(sums)
        self.kind: Callable[..., R] = kind
        self._columns = [table.c[name] for name in ("id", "version", *names)]
        self._order = (table.c[day].desc(), table.c.id.desc())

    def add(self, session: Session, rows: Sequence[R]) -> None:
        """Write rows, all of them or none."""
        if rows:
            session.connection().execute(
                self.table.insert(),
                [{"id": new_id(), "version": 1, **self._cells(row)} for row in rows],
            )

    def listed(self, session: Session, limit: int | None = None, skip: int = 0) -> list[Kept[R]]:
        """Rows, newest day first."""
        wanted = sa.select(*self._columns).order_by(*self._order).limit(limit).offset(skip)
        return [self._kept(row) for row in session.connection().execute(wanted)]

    def count(self, session: Session) -> int:
        """How many rows there are."""
        wanted = sa.select(sa.func.count()).select_from(self.table)
        return int(session.connection().execute(wanted).scalar_one())

    def change(self, session: Session, kept: Kept[R], row: R) -> bool:
        """Write a row anew; False where it was changed or removed since it was read."""
        done = session.connection().execute(
            self.table.update()
            .where(*self._is(kept))
            .values(version=kept.version + 1, **self._cells(row))
        )
        return done.rowcount == 1

    def remove(self, session: Session, kept: Kept[R]) -> bool:
        """Remove a row; False where it was changed or removed since it was read."""
        done = session.connection().execute(self.table.delete().where(*self._is(kept)))
        return done.rowcount == 1

    def _is(self, kept: Kept[R]) -> tuple[Any, Any]:
        return self.table.c.id == kept.id, self.table.c.version == kept.version

    def _cells(self, row: R) -> dict[str, Any]:
        cells = {name: getattr(row, name) for name in self.names}
        for name in self.sums:
            if cells[name] is not None:
                cells[name] = exact_money(cells[name], cells["currency"]).minor
        return cells

    def _kept(self, row: Any) -> Kept[R]:
        cells = dict(row._mapping)
        for name in self.sums:
            if cells[name] is not None:
                cells[name] = Money(cells[name], cells["currency"]).amount
        return Kept(cells.pop("id"), cells.pop("version"), self.kind(**cells))


def _names(kind: type[Any]) -> list[str]:
    return [one.name for one in fields(kind) if one.name != "place"]


OUTCOMES = PastTable(
    TeardownOutcomeRow.__table__, TeardownOutcome, _names(TeardownOutcome), OUTCOME_SUMS, "found_on"
)
CLOSED_JOBS = PastTable(
    ClosedJobRow.__table__, ClosedJob, _names(ClosedJob), CLOSED_SUMS, "closed_on"
)
