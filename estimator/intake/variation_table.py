"""Variations from a CSV table: one row a variation, one for each further line of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields
from decimal import Decimal
from pathlib import Path

from estimator.domain.contract.remeasure import Wanted
from estimator.domain.contract.variation import Range
from estimator.domain.money import Money
from estimator.domain.past_work import exact_money
from estimator.domain.problem import Problem
from estimator.domain.scope_line import LABOUR
from estimator.intake.contract_files import fault_at, read_rows
from estimator.intake.contract_rows import VariationRow
from estimator.intake.written_variation import (
    MUST,
    SUMS,
    TEXTS,
    WrittenLine,
    WrittenMeasure,
    WrittenVariation,
    rising,
)

OF_LINE = ("kind", "what", "quantity", "unit", "trade", "unit_cost", "currency", "markup", "part",
           "line", "factor")  # fmt: skip
AS_IT_IS = (*MUST, *TEXTS, "photographs", "parts", "chosen", "days", "safety", "answer_by",
            "waiting_from")  # fmt: skip
FOR_LABOUR = ("trade",)
FOR_BOUGHT = ("unit_cost", "markup")


def read_table_of_variations(
    path: Path, currency: str, *, pricing: bool
) -> tuple[list[WrittenVariation], list[Problem]]:
    """Variations of a table, and every fault by row and column."""
    rows, problems = read_rows(path, VariationRow)
    groups: dict[str, list[VariationRow]] = {}
    for at, row in enumerate(rows):
        groups.setdefault(row.ref or ("" if pricing else f"row {at}"), []).append(row)
    found = [_grouped(group, currency, problems, pricing=pricing) for group in groups.values()]
    return found, problems


def _grouped(
    rows: list[VariationRow], currency: str, problems: list[Problem], *, pricing: bool
) -> WrittenVariation:
    first = rows[0]
    if not pricing:
        problems += [
            fault_at(first.place, name, "is blank.", "Fill it in.")
            for name in MUST
            if not getattr(first, name)
        ]
    cells = {name: getattr(first, name) for name in AS_IT_IS}
    sums = {
        name: _sum(first, name, currency, problems) for name in (*SUMS, "low", "likely", "high")
    }
    cells |= {name: sums[name] for name in SUMS}
    cells["range"] = _row_range(first, [sums[name] for name in ("low", "likely", "high")], problems)
    for row in rows[1:]:
        problems += _repeated(row)
    given = {name: value for name, value in cells.items() if value not in (None, "", ())}
    lines = tuple(one for row in rows for one in _row_lines(row, problems))
    measured = tuple(one for row in rows for one in _row_measures(row, problems))
    return WrittenVariation(given, lines, measured, first.place)


def _repeated(row: VariationRow) -> list[Problem]:
    """What a further line of a variation says of the variation itself."""
    besides = [
        one.name for one in fields(row) if one.name not in ("ref", "place", *OF_LINE)
    ]  # fmt: skip
    return [
        fault_at(row.place, name, f"stands on the first row of {row.ref!r} only.", "Leave it.")
        for name in besides
        if getattr(row, name) not in (None, "", ())
    ]


def _sum(
    row: VariationRow, name: str, currency: str, problems: list[Problem]
) -> Money | None:  # fmt: skip
    number = getattr(row, name)
    if number is None:
        return None
    try:
        return exact_money(number, currency)
    except ValueError as error:
        problems.append(fault_at(row.place, name, f"is too fine: {error}.", "Round it."))
        return None


def _row_range(
    row: VariationRow, sums: list[Money | None], problems: list[Problem]
) -> Range | None:
    given = [getattr(row, name) is not None for name in ("low", "likely", "high")]
    if not any(given):
        return None
    if not all(given):
        problems.append(
            fault_at(row.place, "likely", "is a range with an end missing.", "Give all three.")
        )
        return None
    return rising(
        sums, lambda said: problems.append(fault_at(row.place, "likely", said, "Let them rise."))
    )


def _row_lines(row: VariationRow, problems: list[Problem]) -> Iterator[WrittenLine]:
    if not row.kind:
        if row.what or row.unit_cost is not None or (row.quantity is not None and not row.line):
            problems.append(fault_at(row.place, "kind", "is blank beside a line.", "Fill it in."))
        return
    needs = FOR_LABOUR if row.kind == LABOUR else FOR_BOUGHT
    lacking = [name for name in ("what", "quantity", *needs) if getattr(row, name) in (None, "")]
    problems += [
        fault_at(row.place, name, f"is blank for {row.kind}.", "Fill it in.") for name in lacking
    ]
    if row.line:
        said = "stands beside a line of extra work."
        problems.append(fault_at(row.place, "line", said, "Write two rows."))
    yield WrittenLine(
        Wanted(
            kind=row.kind, what=row.what, quantity=row.quantity or Decimal(0), unit=row.unit,
            trade=row.trade, unit_cost=row.unit_cost or Decimal(0), currency=row.currency,
            markup=row.markup, part=row.part,
        ),
        row.place,
    )  # fmt: skip


def _row_measures(row: VariationRow, problems: list[Problem]) -> Iterator[WrittenMeasure]:
    if not row.line or row.kind:
        return
    if (row.quantity is None) == (row.factor is None):
        said = "needs either a quantity or a factor."
        problems.append(fault_at(row.place, "quantity", said, "Give one of the two."))
        return
    value = row.factor if row.factor is not None else row.quantity
    yield WrittenMeasure(row.line, value or Decimal(0), row.factor is not None, row.place)
