"""Reading a CSV table into rows of one class; every fault is collected, none stops the reading."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar, cast, get_origin

from estimator.domain.catalogue.column import Limits
from estimator.domain.problem import Place, Problem
from estimator.intake.cells import BadCell, columns_of, is_free_text, parse_cell
from estimator.intake.text_file import read_text

R = TypeVar("R")
LONGEST_CELL = 100_000
LONGEST_NAME = 40  # characters of a column name that a message repeats


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
        empty = Problem("empty-table", Place(file), "is empty.", "Add a header.")
        return [], problems or [empty]
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
    for number, record in enumerate(records, start=1):
        place = Place(file, number)
        cells = _cells_of(record, row_class, place, problems)
        if cells is not None:
            row = _row(list(cells.values()), list(cells), row_class, place, problems)
            if row is not None:
                rows.append(row)
    return rows, problems


def _cells_of(
    record: dict[str, object], row_class: type[R], place: Place, problems: list[Problem]
) -> dict[str, str] | None:
    """An object's values as cells by column; None beside a fault."""
    columns = columns_of(cast(Any, row_class))
    sound = True
    for name in record:
        if name not in columns:
            problems.append(
                _at(place, name[:LONGEST_NAME], "unknown-column", "is not known.", "Mend it.")
            )
            sound = False
    cells: dict[str, str] = {}
    for name, (kind, _, _) in columns.items():
        try:
            cells[name] = _as_cell(record.get(name), kind)
        except BadCell as bad:
            problems.append(_at(place, name, "bad-cell", bad.message, bad.remedy))
            sound = False
    return cells if sound else None


def _as_cell(value: object, kind: object) -> str:
    """A JSON value as the cell it would be. Raises BadCell where it is of the wrong sort."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        if kind is not bool:
            raise BadCell("holds a truth value.", "Write a text or a number.")
        return "yes" if value else "no"
    if isinstance(value, list) and (get_origin(kind) is tuple or len(value) == 1):
        if not all(isinstance(one, str) and ";" not in one for one in value):
            raise BadCell("holds more than a list of texts without semicolons.", 'Write ["A"].')
        return ";".join(value)
    if isinstance(value, int | Decimal) and kind is not str:
        return str(value)
    raise BadCell("holds neither a text nor a number that fits.", "See the list of columns.")


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
            Place(file, 1, name[:LONGEST_NAME]),
            "is not a column of this table." if name else "has a column with a blank name.",
            "Columns are: " + ", ".join(sorted(known)) + ".",
        )
        for name in names
        if name not in known
    ]
    faults += [
        Problem("column-twice", Place(file, 1, name[:LONGEST_NAME]), "stands twice.", "Keep one.")
        for name in sorted({name for name in names if name and names.count(name) > 1})
    ]
    faults += [
        Problem("column-missing", Place(file, 1, name), "is missing.", "Add the column.")
        for name in sorted(must - set(names))
    ]
    return faults


@lru_cache(maxsize=64)
def _plan(
    names: tuple[str, ...], row_class: Any
) -> tuple[tuple[str, bool, object, Limits, bool], ...]:
    """(column, free text, type, limits, must be filled) in the order of a header."""
    wanted = columns_of(cast(Any, row_class))
    return tuple(
        (name, is_free_text(wanted[name][0], wanted[name][1]), *wanted[name]) for name in names
    )


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
    for (name, free, kind, limits, required), cell in zip(
        _plan(tuple(names), cast(Any, row_class)), cells, strict=True
    ):
        text = cell.strip()
        plain = text in limits.choices if limits.choices else free and text.isprintable()
        if plain and text and len(text) <= limits.longest and kind is str:
            values[name] = text  # most cells: nothing can be wrong with them
            continue
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
