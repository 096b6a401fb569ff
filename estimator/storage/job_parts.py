"""Rows that belong to a job: read in one go by kind, and written only where they differ.

Each kind of row is told by a `Part`: its table, what names a row within its job, and the way to
and from domain values.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any, Generic, TypeVar, cast

import sqlalchemy as sa
from sqlalchemy.orm import Session
from ulid import ULID

from estimator.domain.findings import Finding
from estimator.domain.job import (
    Event,
    ExchangeRate,
    Job,
    LineChange,
    OwnLine,
    ScopeChange,
    Stage,
)
from estimator.storage import job_tables as tables
from estimator.storage.database import RecordDamaged
from estimator.storage.raw_rows import Builder, RawSelect
from estimator.storage.table_base import JobPart

Values = dict[str, Any]
T = TypeVar("T")
ADDED, REMOVED, KEPT, REPAIRED = "added", "removed", "kept", "repaired"


def new_id() -> str:
    """A new identity (ULID): made here, in time order, the same on every database."""
    return str(ULID())


def core_table(kind: type[Any]) -> sa.Table:
    """The table behind a class of rows."""
    return cast("sa.Table", kind.__table__)


class Part:
    """One kind of rows of a job. The columns `keys` name a row within its job, and `key_of` tells
    them of a domain value; without them its place does."""

    def __init__(
        self,
        kind: type[JobPart],
        keys: tuple[str, ...],
        rows_of: Callable[[Job], Iterable[Any]],
        values_of: Callable[[Any], Values],
        key_of: Callable[[Any], tuple[str, ...]] | None = None,
    ) -> None:
        self.table = core_table(kind)
        self.keys = keys or ("place",)
        self.rows_of = rows_of
        self.values_of = values_of
        self.key_of = key_of
        shared = {"id", "version", "job_id", "place"}
        self.select = RawSelect(
            self.table, [one.name for one in self.table.columns if one.name not in shared]
        )
        columns = self.select.columns
        self._statement = (
            self.select.statement.where(columns.job_id == sa.bindparam("job"))
            .order_by(columns.place)
        )  # fmt: skip

    def read(self, session: Session, job_id: str) -> list[list[Any]]:
        """Cells of the job's rows in their order, named by `select.names`."""
        rows = session.connection().execute(self._statement, {"job": job_id}).all()
        return self.select.values(rows)

    def insert_all(self, session: Session, job_id: str, job: Job) -> None:
        """Write the rows of a job that has none of this kind yet."""
        self._insert(session, job_id, [(n, self.values_of(r)) for n, r in enumerate(self._of(job))])

    def write(self, session: Session, job_id: str, before: Job, after: Job) -> None:
        """Bring the rows from what they are to what they shall be, touching only what differs."""
        old, new = self._of(before), self._of(after)
        if all(one is two for one, two in zip(old, new, strict=False)) and len(old) == len(new):
            return
        was, becomes = self._by_key(old), self._by_key(new)
        if len(was) != len(old) or len(becomes) != len(new):  # two rows of one name
            session.connection().execute(self.table.delete().where(self.table.c.job_id == job_id))
            self.insert_all(session, job_id, after)
            return
        self._delete(session, job_id, [key for key in was if key not in becomes])
        self._insert(
            session,
            job_id,
            [
                (place, self.values_of(row))
                for key, (place, row) in becomes.items()
                if key not in was
            ],
        )
        for key, (place, row) in becomes.items():
            if key in was and (was[key][1] is not row or was[key][0] != place):
                self._update(session, job_id, key, was[key], (place, row))

    def _of(self, job: Job) -> Sequence[Any]:
        return tuple(self.rows_of(job))

    def _by_key(self, rows: Sequence[Any]) -> dict[tuple[Any, ...], tuple[int, Any]]:
        if self.key_of is None:
            return {(n,): (n, row) for n, row in enumerate(rows)}
        return {self.key_of(row): (place, row) for place, row in enumerate(rows)}

    def _insert(self, session: Session, job_id: str, rows: list[tuple[int, Values]]) -> None:
        if rows:
            session.connection().execute(
                self.table.insert(),
                [
                    {"id": new_id(), "version": 1, "job_id": job_id, "place": place, **values}
                    for place, values in rows
                ],
            )

    def _delete(self, session: Session, job_id: str, keys: list[tuple[Any, ...]]) -> None:
        for key in keys:
            session.connection().execute(self.table.delete().where(*self._is(job_id, key)))

    def _update(
        self,
        session: Session,
        job_id: str,
        key: tuple[Any, ...],
        old: tuple[int, Any],
        new: tuple[int, Any],
    ) -> None:
        changed: Values = {} if old[0] == new[0] else {"place": new[0]}
        if old[1] is not new[1] and old[1] != new[1]:
            was = self.values_of(old[1])
            changed |= {
                name: value for name, value in self.values_of(new[1]).items() if was[name] != value
            }
        if changed:
            session.connection().execute(
                self.table.update()
                .where(*self._is(job_id, key))
                .values(version=self.table.c.version + 1, **changed)
            )

    def _is(self, job_id: str, key: tuple[Any, ...]) -> list[sa.ColumnElement[bool]]:
        named = zip(self.keys, key, strict=True)
        return [self.table.c.job_id == job_id, *(self.table.c[name] == v for name, v in named)]


@dataclass(frozen=True, slots=True)
class _Change:
    """A change of scope with its kind: three lists of the job in one table."""

    kind: str
    change: ScopeChange


def _scope_changes(job: Job) -> Iterable[_Change]:
    for kind, changes in (
        (ADDED, job.added), (REMOVED, job.removed), (KEPT, job.kept), (REPAIRED, job.repaired),
    ):  # fmt: skip
        yield from (_Change(kind, one) for one in changes)


def _fields_of(kind: type[Any], **renamed: str) -> Callable[[Any], Values]:
    """Cells by column for a dataclass whose fields are the columns, but for those `renamed`."""
    names = [(one.name, renamed.get(one.name, one.name)) for one in fields(kind)]
    wanted = [(field, column) for field, column in names if column]
    return lambda row: {column: getattr(row, field) for field, column in wanted}


EVENTS = Part(
    tables.MachineEventRow, (), lambda job: job.machine.history, _fields_of(Event)
)  # fmt: skip
FINDINGS = Part(
    tables.FindingRow,
    ("code",),
    lambda job: job.findings,
    _fields_of(Finding, id="code", place=""),
    lambda one: (one.id,),
)
SCOPE_CHANGES = Part(
    tables.ScopeChangeRow,
    ("kind", "row_id"),
    _scope_changes,
    lambda one: {
        "kind": one.kind,
        "row_id": one.change.row_id,
        "reason": one.change.reason,
        "by": one.change.by,
    },
    lambda one: (one.kind, one.change.row_id),
)
RATES = Part(
    tables.ExchangeRateRow,
    ("currency",),
    lambda job: job.exchange_rates.values(),
    _fields_of(ExchangeRate),
    lambda one: (one.currency,),
)
STAGES = Part(tables.StageRow, (), lambda job: job.terms.stages, _fields_of(Stage))
WAYS = Part(
    tables.WayRow,
    ("part",),
    lambda job: (job.ways or {}).items(),
    lambda pair: {"part": pair[0], "way": pair[1]},
    lambda pair: (pair[0],),
)
LINE_CHANGES = Part(
    tables.LineChangeRow,
    ("row_id",),
    lambda job: job.changed,
    _fields_of(LineChange),
    lambda one: (one.row_id,),
)
OWN_LINES = Part(
    tables.OwnLineRow,
    ("code",),
    lambda job: job.own,
    _fields_of(OwnLine, id="code"),
    lambda one: (one.id,),
)
PARTS = (EVENTS, FINDINGS, SCOPE_CHANGES, RATES, STAGES, WAYS, LINE_CHANGES, OWN_LINES)


class Rows(Generic[T]):
    """Rows of one kind as values of a dataclass; `renamed` tells column=field where they differ."""

    def __init__(self, part: Part, kind: type[T], **renamed: str) -> None:
        self._part = part
        self._builder = Builder(kind, [renamed.get(name, name) for name in part.select.names])

    def read(self, session: Session, job_id: str) -> tuple[T, ...]:
        """The job's rows in their order."""
        return self._builder.all_of(self._part.read(session, job_id))


EVENT_ROWS = Rows(EVENTS, Event)
FINDING_ROWS = Rows(FINDINGS, Finding, code="id")
RATE_ROWS = Rows(RATES, ExchangeRate)
STAGE_ROWS = Rows(STAGES, Stage)
LINE_CHANGE_ROWS = Rows(LINE_CHANGES, LineChange)
OWN_LINE_ROWS = Rows(OWN_LINES, OwnLine, code="id")


def read_scope_changes(session: Session, job_id: str) -> Mapping[str, tuple[ScopeChange, ...]]:
    """Changes of scope by kind."""
    found: dict[str, list[ScopeChange]] = {ADDED: [], REMOVED: [], KEPT: [], REPAIRED: []}
    for kind, row_id, reason, by in SCOPE_CHANGES.read(session, job_id):
        if kind not in found:
            raise RecordDamaged(f"a change of scope is of kind {kind!r:.20}")
        found[kind].append(ScopeChange(row_id, reason, by))
    return {kind: tuple(changes) for kind, changes in found.items()}
