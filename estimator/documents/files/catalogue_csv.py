"""A table of the catalogue as the CSV file it is read from.

Rows that a file holds already are written as they stand in it, so that an export of what was read
is that file again, byte for byte; all others as cells in the order of its columns.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, replace

from estimator.domain.catalogue.catalogue import Settings
from estimator.domain.catalogue.changes import cell_text, columns, same
from estimator.domain.catalogue.rows import Row
from estimator.domain.catalogue.setting_rows import setting_rows
from estimator.domain.problem import Place

FORMULA_SIGNS = ("=", "+", "-", "@", "\t")  # a spreadsheet takes such a text for a formula
_LAST = ("needs", "origin", "source")


@dataclass(frozen=True, slots=True)
class FileAsRead:
    """A table's file: its columns in their order, and the text of each record by its row."""

    header: tuple[str, ...]
    lines: Mapping[int, str]  # by the number of the record's first line, line end included
    rows: tuple[Row, ...]
    first: str  # the line that names the columns


def table_csv(kind: type[Row], rows: Sequence[Row], read: FileAsRead | None) -> bytes:
    """The table as UTF-8 CSV."""
    header = _header(kind, rows, read)
    keeps = read is not None and header == read.header
    known = {_bare(row): row for row in read.rows} if read is not None and keeps else {}
    parts = [read.first if read is not None and keeps else _line(header)]
    for row in rows:
        there = known.get(_bare(row))
        line = None
        if there is not None and read is not None and _written_alike(there, row):
            line = read.lines.get(there.place.row or 0)
        parts.append(line or _line([_cell(row, name) for name in header]))
    return "".join(parts).encode()


def _header(kind: type[Row], rows: Sequence[Row], read: FileAsRead | None) -> tuple[str, ...]:
    """The columns of the file as read, with those that a row now fills put in before the last."""
    own = [name for name in columns(kind) if name not in _LAST]
    if read is None:
        return (*own, *_LAST)
    usual = {one.name: one.default for one in fields(kind)}
    lacking = [name for name in (*own, *_LAST) if name not in read.header]
    needed = [name for name in lacking if any(getattr(row, name) != usual[name] for row in rows)]
    ends = [index for index, name in enumerate(read.header) if name in _LAST]
    at = min(ends, default=len(read.header))
    return (*read.header[:at], *needed, *read.header[at:])


def _bare(row: Row) -> Row:
    return replace(row, place=Place())


def _written_alike(one: Row, other: Row) -> bool:
    """Equal in digits too: 1.0 and 1.00 are equal numbers, and not the same cell."""
    return same(one, other) and all(
        cell_text(getattr(one, name)) == cell_text(getattr(other, name))
        for name in columns(type(one))
    )


def _cell(row: Row, name: str) -> str:
    value = getattr(row, name)
    text = cell_text(value)
    if isinstance(value, str | tuple) and text.startswith(FORMULA_SIGNS):
        return f"'{text}"
    return text


def _line(cells: Sequence[str]) -> str:
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow(cells)
    return out.getvalue()


def settings_toml(text: str, settings: Settings) -> bytes:
    """`catalogue.toml` with the figures as they are now, all else as it stands in `text`."""
    for row in setting_rows(settings):
        numbers = row.value.split(";")
        quoted = {one.name for one in fields(Settings) if one.type == "str"}
        value = f"[{', '.join(numbers)}]" if len(numbers) > 1 else row.value
        if row.id in quoted:
            value = f'"{row.value}"'
        line = re.compile(rf'^({row.id}\s*=\s*)(\[[^\]]*\]|"[^"]*"|[^\s#]+)', re.MULTILINE)
        found = line.search(text)
        if found is None:
            text = _added(text, row.id, value)
        elif not _equal(found[2], value):
            text = text[: found.start(2)] + value + text[found.end(2) :]
    return text.encode()


def _added(text: str, name: str, value: str) -> str:
    """A figure that may be left out stands in its section once it is said."""
    section = "[exposure]\n"
    at = text.find(section) + len(section)
    return f"{text[:at]}{name} = {value}\n{text[at:]}"


def _equal(one: str, other: str) -> bool:
    return one.replace(" ", "") == other.replace(" ", "")
