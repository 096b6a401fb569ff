"""Contracts over many jobs at once: every event as it was kept, variations of a job, and what a
list of jobs shows of them."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.money import Money
from estimator.domain.record import ContractStanding
from estimator.storage.contract_record import CONTRACTS, EVENTS, VARIATIONS
from estimator.storage.job_rows import JOBS

MOST_VALUES = 500  # a statement takes so many values and no more


@dataclass(frozen=True, slots=True)
class KeptEvent:
    """An event as its row holds it."""

    job_id: str
    place: int
    at: datetime.datetime
    who: str
    kind: str
    body: str


def all_events(session: Session) -> dict[str, list[KeptEvent]]:
    """Events of every contract by number of the job, oldest first."""
    columns = (EVENTS.c.job_id, EVENTS.c.place, EVENTS.c.at, EVENTS.c.who, EVENTS.c.kind,
               EVENTS.c.body)  # fmt: skip
    wanted = (
        sa.select(JOBS.c.number, *columns)
        .select_from(EVENTS.join(JOBS, JOBS.c.id == EVENTS.c.job_id))
        .order_by(JOBS.c.number, EVENTS.c.place)
    )
    found: dict[str, list[KeptEvent]] = {}
    for number, *cells in session.connection().execute(wanted):
        found.setdefault(number, []).append(KeptEvent(*cells))
    return found


def variation_rows(session: Session, job_id: str) -> list[dict[str, Any]]:
    """Every variation of a job as lists show it, in the order of their numbers."""
    wanted = sa.select(VARIATIONS).where(VARIATIONS.c.job_id == job_id)
    rows = session.connection().execute(wanted.order_by(VARIATIONS.c.number)).mappings()
    return [dict(row) for row in rows]


def standings(session: Session, ids: Sequence[str]) -> dict[str, ContractStanding]:
    """What lists show of the contracts of some jobs, by identity of the job."""
    awaited = _longest_waits(session, ids)
    found = {}
    for row in _rows_of(session, CONTRACTS, ids):
        longest = awaited.get(row["job_id"], {})
        found[row["job_id"]] = _standing(row, longest)
    return found


def _longest_waits(session: Session, ids: Sequence[str]) -> dict[str, Mapping[str, Any]]:
    """The variation of each job that waits longest for an answer or a price. What was agreed and
    waits to be done is the usual course of work, and comes after."""
    longest: dict[str, Mapping[str, Any]] = {}
    for row in _rows_of(session, VARIATIONS, ids):
        if not row["waits_on"]:
            continue
        known = longest.get(row["job_id"])
        if known is None or _order(row) < _order(known):
            longest[row["job_id"]] = row
    return longest


def _order(row: Mapping[str, Any]) -> tuple[bool, datetime.datetime, str]:
    return row["waits_on"] == "foreman", row["since"], row["number"]


def _rows_of(session: Session, table: Any, ids: Sequence[str]) -> Iterator[Mapping[str, Any]]:
    for start in range(0, len(ids), MOST_VALUES):
        wanted = sa.select(table).where(table.c.job_id.in_(ids[start : start + MOST_VALUES]))
        for row in session.connection().execute(wanted).mappings():
            yield dict(row)


def _standing(row: Mapping[str, Any], longest: Mapping[str, Any]) -> ContractStanding:
    currency = row["currency"]

    def money(name: str) -> Money | None:
        return None if row[name] is None else Money(row[name], currency)

    return ContractStanding(
        revision=row["revision"],
        accepted_at=row["accepted_at"],
        contract_sum=Money(row["contract_sum"], currency),
        current_sum=Money(row["current_sum"], currency),
        held=Money(row["held"], currency),
        left=Money(row["left"], currency),
        behind=row["worked_out"] != row["events"],
        exposed=money("exposed"),
        mark=row["mark"],
        forecast_low=money("forecast_low"),
        forecast_likely=money("forecast_likely"),
        forecast_high=money("forecast_high"),
        finish_half=row["finish_half"],
        finish_covered=row["finish_covered"],
        awaited=longest.get("waits_on", ""),
        awaited_for=longest.get("number", ""),
        awaited_since=longest.get("since"),
    )
