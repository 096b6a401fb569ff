"""What a contract takes in from files: an acceptance (TOML, JSON), openings, answers (CSV, JSON).

Every fault is collected with file, row and column; nothing is half-taken. Sums are in the currency
of the quote. `variation_files` reads variations.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import Any, TypeVar

from estimator.domain.contract.acceptance import (
    CUSTOMER,
    EXTENTS,
    UNSPENT,
    WHOLE,
    WORKSHOP,
    Authority,
)
from estimator.domain.money import Money
from estimator.domain.past_work import exact_money
from estimator.domain.problem import Place, Problem
from estimator.intake.cells import FIRST_YEAR, LAST_YEAR, plain_number
from estimator.intake.contract_rows import AnswerRow, OpeningRow
from estimator.intake.sections import Section
from estimator.intake.structured import read_json, read_toml
from estimator.intake.tables import read_records, read_table
from estimator.intake.text_file import read_text

R = TypeVar("R")
LAST_MINUTE = time(23, 59, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenAcceptance:
    """An acceptance as its file tells it."""

    revision: str
    by: str
    capacity: str
    channel: str
    words: str
    on: datetime
    extent: str
    unspent: str
    approvers: tuple[Authority, ...]
    drawing: tuple[Authority, ...]
    purchase_order: str
    order_limit: Money | None
    options: tuple[str, ...]
    deposit: Money | None
    custody_from: date | None
    insurance: str


def read_acceptance(path: Path, currency: str) -> tuple[WrittenAcceptance | None, list[Problem]]:
    """An acceptance of a TOML or JSON file, and every fault; None beside one."""
    data, problems = read_data(path)
    if data is None:
        return None, problems
    top = Section(path.name, "", data, problems)
    written = WrittenAcceptance(
        revision=top.text("revision"),
        by=top.text("by"),
        capacity=top.text("capacity"),
        channel=top.text("channel"),
        words=top.text("words"),
        on=_moment(top, "on"),
        extent=top.text("extent", WHOLE, choices=EXTENTS),
        unspent=top.text("unspent", choices=UNSPENT),
        approvers=tuple(_authority(one, CUSTOMER, currency) for one in top.sections("approver")),
        drawing=tuple(_authority(one, WORKSHOP, currency) for one in top.sections("drawing")),
        purchase_order=top.text("purchase_order", ""),
        order_limit=money_or_none(top, "order_limit", currency),
        options=top.texts("options"),
        deposit=money_or_none(top, "deposit", currency),
        custody_from=top.day_or_none("custody_from"),
        insurance=top.text("insurance", ""),
    )
    if not written.approvers:
        top.fault("approver", "missing-entry", "is missing: nobody of the customer may approve.",
                  "Write [[approver]] with name and capacity.")  # fmt: skip
    top.close()
    return (None if problems else written), problems


def _authority(part: Section, side: str, currency: str) -> Authority:
    given = Authority(
        name=part.text("name"),
        side=side,
        capacity=part.text("capacity"),
        limit_each=money_or_none(part, "limit_each", currency),
        limit_total=money_or_none(part, "limit_total", currency),
        blanket=side == WORKSHOP,
    )
    part.close()
    return given


def _moment(part: Section, key: str) -> datetime:
    """A time, or a day, which counts to its end. What names no zone is UTC."""
    part.taken.add(key)
    value = part.data.get(key)
    if isinstance(value, str):
        with suppress(ValueError):
            value = datetime.fromisoformat(value) if len(value) > len("2026-11-30") else value
    if not isinstance(value, datetime):
        return datetime.combine(part.day(key), LAST_MINUTE)
    if not FIRST_YEAR <= value.year <= LAST_YEAR:
        part.fault(key, "bad-entry", f"is {value}, not a time.", "Check the year.")
    return value if value.tzinfo else value.replace(tzinfo=UTC)


def money_or_none(part: Section, key: str, currency: str) -> Money | None:
    """A sum of a section; None where it is absent. One finer than a coin is a fault."""
    number = part.number_or_none(key, low=0, high=10**12)
    if number is None:
        return None
    try:
        return exact_money(number, currency)
    except ValueError as error:
        part.fault(key, "bad-entry", f"is too fine: {error}.", "Round it.")
        return None


def money(part: Section, key: str, currency: str) -> Money:
    """A sum of a section that must be there."""
    if part.data.get(key) is None:
        part.number(key)  # says that it is missing
        return Money(0, currency)
    return money_or_none(part, key, currency) or Money(0, currency)


def read_data(path: Path) -> tuple[dict[str, Any] | None, list[Problem]]:
    """The one table of a TOML or JSON file, and every fault; None beside one."""
    text, problems = read_text(path)
    if problems:
        return None, problems
    data, problems = (read_json if path.suffix == ".json" else read_toml)(text, path.name)
    if not problems and not isinstance(data, dict):
        problems = [Problem("bad-file", Place(path.name), "holds no table.", "Write {...}.")]
    return (None if problems else data), problems


def read_rows(path: Path, kind: type[R]) -> tuple[list[R], list[Problem]]:
    """Rows of a CSV table or of a JSON list of objects, and every fault. None at all is one."""
    if path.suffix == ".json":
        text, problems = read_text(path)
        records, problems = (None, problems) if problems else read_json(text, path.name)
        rows, problems = ([], problems) if problems else read_records(records, kind, path.name)
    else:
        rows, problems = read_table(path, kind)
    if not rows and not problems:
        problems = [Problem("empty-table", Place(path.name), "holds no row.", "Add one.")]
    return rows, problems


def read_openings(path: Path) -> tuple[list[OpeningRow], list[Problem]]:
    """Openings of a table, one row a part or a line measured again, and every fault."""
    rows, problems = read_rows(path, OpeningRow)
    first: dict[tuple[str, str], int | None] = {}
    for row in rows:
        problems += _opening_faults(row)
        for name in ("part", "line"):
            told = (name, getattr(row, name))
            if told[1] and told in first:
                said = f"stands in row {first[told]} already."
                problems.append(fault_at(row.place, name, said, "Keep one row of it."))
            first.setdefault(told, row.place.row)
    return rows, problems


def _opening_faults(row: OpeningRow) -> list[Problem]:
    faults = []
    if row.part and row.line:
        faults.append(fault_at(row.place, "line", "stands beside a part.", "Write two rows."))
    if bool(row.part) != bool(row.state):
        lacks, beside = ("state", "a part") if row.part else ("part", "a state")
        faults.append(fault_at(row.place, lacks, f"is blank beside {beside}.", "Fill it in."))
    if row.line and (row.quantity is None) == (row.factor is None):
        said = "needs either a quantity or a factor."
        faults.append(fault_at(row.place, "quantity", said, "Give one of the two."))
    if not row.line and (row.quantity is not None or row.factor is not None):
        faults.append(fault_at(row.place, "line", "is blank beside a quantity.", "Name the line."))
    if (row.measured is None) == bool(row.measure):
        said = "is blank beside its reading." if row.measured is not None else "has no reading."
        faults.append(fault_at(row.place, "measure", said, "Give both, or neither."))
    return faults


def read_answers(path: Path) -> tuple[list[AnswerRow], list[Problem]]:
    """Answers of a table, and every fault. Numbers of lines count from 1."""
    rows, problems = read_rows(path, AnswerRow)
    for row in rows:
        if bad := [one for one in row.lines if not _is_line(one)]:
            said = f"holds {bad[0][:40]!r}, not the number of a line."
            problems.append(fault_at(row.place, "lines", said, "Count its lines from 1."))
        if row.by:
            problems += [
                fault_at(row.place, name, "is blank for an answer of the customer.", "Fill it in.")
                for name in ("channel", "words")
                if not getattr(row, name)
            ]
    return rows, problems + _twice(rows)


def _is_line(text: str) -> bool:
    number = plain_number(text)
    return number is not None and number >= 1 and number == number.to_integral_value()


def _twice(rows: Sequence[AnswerRow]) -> list[Problem]:
    first: dict[str, int | None] = {}
    problems = []
    for row in rows:
        if row.variation in first:
            said = f"is answered in row {first[row.variation]} already."
            problems.append(fault_at(row.place, "variation", said, "Keep one answer."))
        first.setdefault(row.variation, row.place.row)
    return problems


def fault_at(place: Place, name: str, message: str, remedy: str) -> Problem:
    """A fault in a cell of a row."""
    return Problem("contract", replace(place, column=name), message, remedy)
