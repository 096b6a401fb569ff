"""Reading a CSV table into rows of one class; every fault is collected, none stops the reading."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any, TypeVar, cast

from estimator.domain.problem import Place, Problem
from estimator.intake.cells import BadCell, columns_of, parse_cell
from estimator.intake.text_file import read_text

R = TypeVar("R")
LONGEST_CELL = 100_000


def read_table(path: Path, row_class: type[R], name: str = "") -> tuple[list[R], list[Problem]]:
    """Rows of the CSV file at `path` and every fault found in it.

    A row with a fault is left out. The first line names the columns; order is free, unknown
    columns are faults, columns that may be blank may also be absent. Blank lines are skipped.
    """
    file = name or path.name
    text, problems = read_text(path, file)
    if problems:
        return [], problems
    wanted = columns_of(cast(Any, row_class))
    records = _records(text, file, problems)
    header = next(records, None)
    if header is None:
        return [], [*problems, Problem("empty-table", Place(file), "is empty.", "Add a header.")]
    names = [cell.strip() for cell in header[1]]
    if len(names) == 1 and names[0].count(";") > 1:
        message = "is separated by semicolons."
        remedy = "Save it with commas between the cells (CSV, comma-separated)."
        return [], [*problems, Problem("semicolons", Place(file, 1), message, remedy)]
    problems += _header_faults(names, set(wanted), {n for n, w in wanted.items() if w[2]}, file)
    if problems:
        return [], problems
    rows: list[R] = []
    for number, cells in records:
        if not any(cell.strip() for cell in cells):
            continue
        row = _row(cells, names, row_class, Place(file, number), problems)
        if row is not None:
            rows.append(row)
    return rows, problems


def read_records(records: object, row_class: type[R], file: str) -> tuple[list[R], list[Problem]]:
    """Rows from a JSON list of objects, read by the same rules as the cells of a table.

    Row numbers in faults count the objects from 1. Lists stand where a cell would use ";".
    """
    problems: list[Problem] = []
    if not isinstance(records, list) or not all(isinstance(one, dict) for one in records):
        return [], [Problem("bad-file", Place(file), "is no list of objects.", "Write [{...}].")]
    rows: list[R] = []
    known = set(columns_of(cast(Any, row_class)))
    for number, record in enumerate(records, start=1):
        place = Place(file, number)
        faults = [name for name in record if name not in known]
        for name in faults:
            problems.append(_at(place, name, "unknown-column", "is not known.", "Mend it."))
        if not faults:
            names = sorted(known)
            cells = [_as_cell(record.get(name)) for name in names]
            row = _row(cells, names, row_class, place, problems)
            if row is not None:
                rows.append(row)
    return rows, problems


def _as_cell(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ";".join(_as_cell(one) for one in value)
    return str(value)


def _records(text: str, file: str, problems: list[Problem]) -> Iterator[tuple[int, list[str]]]:
    """(line number of the record's first line, cells); a broken quote ends the table."""
    csv.field_size_limit(LONGEST_CELL)
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    line = 1
    try:
        for cells in reader:
            yield line, cells
            line = reader.line_num + 1
    except csv.Error as error:
        message = (
            f"has a cell of more than {LONGEST_CELL:,} characters."
            if "field larger" in str(error)
            else f"cannot be read as CSV ({error})."
        )
        problems.append(Problem("bad-csv", Place(file, line), message, "Mend the quotes."))


def _header_faults(names: list[str], known: set[str], must: set[str], file: str) -> list[Problem]:
    faults = [
        Problem(
            "unknown-column",
            Place(file, 1, name),
            "is not a column of this table.",
            "Columns are: " + ", ".join(sorted(known)) + ".",
        )
        for name in names
        if name not in known
    ]
    faults += [
        Problem("column-twice", Place(file, 1, name), "stands twice.", "Keep one.")
        for name in sorted({name for name in names if names.count(name) > 1})
    ]
    faults += [
        Problem("column-missing", Place(file, 1, name), "is missing.", "Add the column.")
        for name in sorted(must - set(names))
    ]
    return faults


def _row(
    cells: list[str], names: list[str], row_class: type[R], place: Place, problems: list[Problem]
) -> R | None:
    if len(cells) != len(names):
        problems.append(
            Problem(
                "cell-count",
                place,
                f"has {len(cells)} cells where the header has {len(names)}.",
                "Put quotes round cells that hold a comma.",
            )
        )
        return None
    values: dict[str, object] = {}
    sound = True
    wanted = columns_of(cast(Any, row_class))
    for name, cell in zip(names, cells, strict=True):
        kind, limits, required = wanted[name]
        text = cell.strip()
        if not text:
            if required:
                message = f"is blank; it holds {limits.what}."
                problems.append(_at(place, name, "blank-cell", message, "Fill it in."))
                sound = False
            continue
        try:
            values[name] = parse_cell(text, kind, limits)
        except BadCell as bad:
            problems.append(_at(place, name, "bad-cell", bad.message, bad.remedy))
            sound = False
    return cast(Any, row_class)(place=place, **values) if sound else None


def _at(place: Place, column: str, code: str, message: str, remedy: str) -> Problem:
    return Problem(code, Place(place.file, place.row, column), message, remedy)
