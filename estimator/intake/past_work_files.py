"""Past work from CSV tables and to them again. A text that a spreadsheet would take for a formula
is written with an apostrophe before it, and read without."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from dataclasses import fields, replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any, TypeVar, cast

from estimator.domain.past_work import (
    ClosedJob,
    TeardownOutcome,
    closed_job_problems,
    outcome_problems,
    same_outcome,
)
from estimator.domain.problem import Place, Problem
from estimator.intake.tables import read_table

R = TypeVar("R", TeardownOutcome, ClosedJob)
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


def read_outcomes(path: Path, today: date) -> tuple[list[TeardownOutcome], list[Problem]]:
    """Teardown outcomes of a CSV table, and every fault by row and column."""
    rows, problems = read_table(path, TeardownOutcome)
    rows = [_bare(row) for row in rows]
    problems += [fault for row in rows for fault in outcome_problems(row, today)]
    return rows, problems + _twice(rows, [same_outcome(row) for row in rows])


def read_closed_jobs(path: Path, today: date) -> tuple[list[ClosedJob], list[Problem]]:
    """Closed jobs of a CSV table, and every fault by row and column."""
    rows, problems = read_table(path, ClosedJob)
    rows = [_bare(row) for row in rows]
    problems += [fault for row in rows for fault in closed_job_problems(row, today)]
    return rows, problems + _twice(rows, [row.number for row in rows])


def _twice(rows: Sequence[R], names: Sequence[object]) -> list[Problem]:
    first: dict[object, int] = {}
    problems = []
    for row, name in zip(rows, names, strict=True):
        at = row.place.row or 0
        if name in first:
            message = f"is the same as row {first[name]}."
            place = Place(row.place.file, at)
            problems.append(Problem("twice", place, message, "Keep one of them."))
        first.setdefault(name, at)
    return problems


def _bare(row: R) -> R:
    texts = {one.name: getattr(row, one.name) for one in fields(row)}
    disarmed = {
        name: text[1:]
        for name, text in texts.items()
        if isinstance(text, str) and text[:1] == "'" and text[1:].startswith(FORMULA_SIGNS)
    }
    return replace(row, **cast(Any, disarmed)) if disarmed else row


def as_csv(rows: Sequence[R], kind: type[R]) -> bytes:
    """Rows as a CSV table with its header, in UTF-8."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    names = [one.name for one in fields(kind) if one.name != "place"]
    writer.writerow(names)
    for row in rows:
        writer.writerow([_cell(getattr(row, name)) for name in names])
    return out.getvalue().encode()


def _cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date):
        return value.isoformat()
    text = str(value)
    return f"'{text}" if text.startswith(FORMULA_SIGNS) else text
