"""The scenario of the sample workshop as it stands in `workshop/`: people, customers, jobs,
photographs. All of it is invented.

The scenario has a calendar of its own, so that it is the same whenever it is built: its last day is
LAST_DAY, and what was issued with time to spare is valid from then on.
"""

from __future__ import annotations

import csv
import datetime
from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.domain.job import Party

LAST_DAY = datetime.date(2026, 11, 25)
SEED = "Tarnbeck"
FIRST_STRIP, LAST_STRIP = datetime.date(2021, 1, 11), datetime.date(2023, 9, 8)
FIRST_CLOSED_NUMBER = 1948  # the jobs of the record follow on the last closed one


@dataclass(frozen=True, slots=True)
class Plan:
    """One job of the scenario, and how far it has come."""

    number: str  # of its own; "" where the record gives the next one
    folder: str  # sample job it is taken in from; "" where it begins as an enquiry
    customer: str
    machine_class: str
    serial: str
    hours: str
    duty: str
    life_wanted: str
    level: str
    stage: str
    enquired: datetime.date
    inspected: datetime.date | None
    quoted: datetime.date | None
    again: datetime.date | None  # day of the next revision
    depth: str  # of the inspection
    estimator: str
    inspector: str
    valid_days: str
    wanted_weeks: str
    note: str


@dataclass(frozen=True, slots=True)
class ContractPlan:
    """How a job goes on once its quote is accepted, and how far it has come."""

    number: str
    stage: str  # accepted, teardown, stopped, handed over or closed
    extent: str
    unspent: str
    order: str
    by: str
    capacity: str
    finance: str  # who agrees above the limit of `by`
    accepted: datetime.date
    received: datetime.date | None
    opened: datetime.date | None
    handed_over: datetime.date | None
    closed: datetime.date | None
    stopped: datetime.date | None


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph of a finding, to be drawn."""

    number: str
    finding: str
    motif: str
    caption: str
    taken: datetime.datetime


@dataclass(frozen=True, slots=True)
class Scenario:
    """Everything the text says."""

    people: tuple[tuple[str, str], ...]  # (name, role), the service manager first
    customers: Mapping[str, Party]
    plans: tuple[Plan, ...]
    pictures: tuple[Picture, ...]
    contracts: Mapping[str, ContractPlan]  # by number
    folder: Path


def read_scenario(folder: Path) -> Scenario:
    """The scenario in `folder`."""
    return Scenario(
        people=tuple((row["name"], row["role"]) for row in _rows(folder / "people.csv")),
        customers={row["key"]: _party(row) for row in _rows(folder / "customers.csv")},
        plans=tuple(_plan(row, at) for at, row in enumerate(_rows(folder / "jobs.csv"), start=1)),
        pictures=tuple(
            Picture(
                row["number"],
                row["finding"],
                row["motif"],
                row["caption"],
                datetime.datetime.fromisoformat(row["taken"]),
            )
            for row in _rows(folder / "photographs.csv")
        ),
        contracts={row["number"]: _contract(row) for row in _rows(folder / "contracts.csv")},
        folder=folder,
    )


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _party(row: Mapping[str, str]) -> Party:
    return Party(row["name"], tuple(row["address"].split(";")), row["contact"])


def _plan(row: Mapping[str, str], place: int) -> Plan:
    cells: dict[str, Any] = {
        one.name: row[one.name] for one in fields(Plan) if one.name != "serial"
    }
    for name in ("enquired", "inspected", "quoted", "again"):
        cells[name] = _day(row[name])
    return Plan(**cells, serial=f"{row['machine_class']}-{1000 + 7 * place:05d}")


def _contract(row: Mapping[str, str]) -> ContractPlan:
    days = ("accepted", "received", "opened", "handed_over", "closed", "stopped")
    cells: dict[str, Any] = {
        one.name: _day(row[one.name]) if one.name in days else row[one.name]
        for one in fields(ContractPlan)
    }
    return ContractPlan(**cells)


def _day(text: str) -> datetime.date | None:
    return datetime.date.fromisoformat(text) if text else None


def decimal(text: str) -> Decimal | None:
    """A number of the text; None where the cell is blank."""
    return Decimal(text) if text else None
