"""The files of a catalogue folder as text beside what is read of them, for writing them again."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from pathlib import Path

from estimator.domain.catalogue.catalogue import TABLES
from estimator.domain.catalogue.changes import CLAUSES, NAMES, row_class
from estimator.domain.catalogue.rows import Row
from estimator.domain.problem import Place, Problem
from estimator.intake.tables import LONGEST_CELL, read_table
from estimator.intake.text_file import read_text

_APOSTROPHE = tuple(f"'{sign}" for sign in ("=", "+", "-", "@", "\t"))


@dataclass(frozen=True, slots=True)
class TableText:
    """A table's file: its columns, the text of each record by the number of its first line, and the
    rows that were read of it."""

    header: tuple[str, ...]
    lines: dict[int, str]
    rows: tuple[Row, ...]
    first: str


def table_text(folder: Path, table: str) -> TableText | None:
    """The file of a table, None where it is not there or has a fault."""
    path = folder / f"{table}.csv"
    if not path.is_file():
        return None
    text, problems = read_text(path, f"{table}.csv")
    rows, faults = read_table(path, row_class(table), f"{table}.csv")
    if problems or faults:
        return None
    lines = dict(_records(text))
    first = lines.pop(1, "")
    header = next(csv.reader([first]), [])
    return TableText(tuple(cell.strip() for cell in header), lines, tuple(rows), first)


def _records(text: str) -> Iterator[tuple[int, str]]:
    """(number of its first line, text) of each record."""
    csv.field_size_limit(LONGEST_CELL)
    whole = list(io.StringIO(text, newline=""))  # lines as the reading of tables counts them
    reader = csv.reader(iter(whole), strict=True)
    before = 0
    for _ in reader:
        now = reader.line_num
        yield before + 1, "".join(whole[before:now])
        before = now


def tables_in(folder: Path) -> list[str]:
    """The tables of the catalogue that a folder has a file for."""
    found = [name for name in TABLES if (folder / f"{name}.csv").is_file()]
    for start in (CLAUSES, NAMES):
        files = sorted((folder / start).glob("*.csv"))
        found += [start + path.stem for path in files]
    return found


def table_of_file(path: Path) -> str | None:
    """The table that a file is of, by its name and, of a language, by its folder."""
    if path.parent.name in ("clauses", "names"):
        return f"{path.parent.name}/{path.stem}"
    return path.stem if path.stem in TABLES else None


def read_rows(path: Path, table: str) -> tuple[list[Row], list[Problem]]:
    """Rows of a table's file and every fault. What an export put before a text that a spreadsheet
    would take for a formula is taken off again."""
    rows, problems = read_table(path, row_class(table), f"{table}.csv")
    return [_without_apostrophes(row) for row in rows], problems


def _without_apostrophes(row: Row) -> Row:
    found = {
        one.name: value[1:]
        for one in fields(row)
        if isinstance(value := getattr(row, one.name), str) and value.startswith(_APOSTROPHE)
    }
    return replace(row, **found) if found else row  # type: ignore[arg-type]


def unknown_file(path: Path) -> Problem:
    """The fault of a file that is of no table."""
    return Problem(
        "unknown-table", Place(path.name), "is no table of the catalogue.",
        "Name it as the table's file is named, a translation within clauses/ or names/.",
    )  # fmt: skip
