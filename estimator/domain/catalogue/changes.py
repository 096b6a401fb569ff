"""A change of the catalogue as a value: rows before and after, applied to an edition or found
between two.

A row is known by its table, its code and what it needs of a class. Tables of a language are named
as their files are ("clauses/de", "names/de"); the workshop's figures of `catalogue.toml` are a
table of their own, "settings", a row a figure. Where a row stands in a file is no part of what it
says: two rows are the same where all else is.
"""

from __future__ import annotations

import datetime
import hashlib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from typing import Any

from estimator.domain.catalogue import rows, work_rows
from estimator.domain.catalogue.catalogue import TABLES, Catalogue
from estimator.domain.catalogue.name_rows import CatalogueName
from estimator.domain.catalogue.rows import Clause, Row
from estimator.domain.catalogue.setting_rows import SETTINGS, SettingRow, setting_rows, settings_of
from estimator.domain.problem import Place

CLAUSES, NAMES = "clauses/", "names/"
Key = tuple[str, str, tuple[str, ...]]  # table, code, needs

_CODES: Mapping[type[Row], tuple[str, ...]] = {
    rows.ClassMass: ("class_id", "piece"),
    rows.Crew: ("people",),
    rows.Closure: ("date",),
    rows.Warranty: ("group",),
    work_rows.WearOut: ("part",),
    work_rows.Remedy: ("part", "way"),
    work_rows.Loading: ("group",),
    work_rows.OwnCase: ("pool", "machine_class", "hours", "duty", "worn"),
    CatalogueName: ("table", "field", "id", "english"),
}
_REPEATED = (work_rows.OwnCase,)  # what was seen twice stands twice


@dataclass(frozen=True, slots=True)
class RowChange:
    """One row of a table before and after: `before` is None where it was added, `after` where it
    was taken out. `at` is where in its table it is put (or stood), counted from 0; None puts it
    after the row that comes before it by code."""

    table: str
    before: Row | None
    after: Row | None
    at: int | None = None

    @property
    def row(self) -> Row:
        """The row it is about: as it is after, or as it was. Raises ValueError where neither."""
        row = self.after or self.before
        if row is None:
            raise ValueError("a change of no row")
        return row

    @property
    def key(self) -> Key:
        """What the row is known by: as it was, where it was there."""
        return key_of(self.table, self.before or self.row)

    @property
    def undone(self) -> RowChange:
        """The change that takes this one back."""
        return RowChange(self.table, self.after, self.before, self.at)


@dataclass(frozen=True, slots=True)
class FieldChange:
    """One column of a row before and after, as the cell of a file holds it."""

    column: str
    before: str
    after: str


class RowsMoved(Exception):
    """Rows that are not as a change took them to be: `found` holds each change with the row as it
    is now, None where it is gone."""

    def __init__(self, found: Sequence[tuple[RowChange, Row | None]]) -> None:
        super().__init__(", ".join(change.key[1] for change, _ in found))
        self.found = tuple(found)


def row_class(table: str) -> type[Row]:
    """The row class of a table. Raises KeyError."""
    if table.startswith(CLAUSES):
        return Clause
    if table.startswith(NAMES):
        return CatalogueName
    return SettingRow if table == SETTINGS else TABLES[table]


def table_names(catalogue: Catalogue) -> tuple[str, ...]:
    """Every table, those of languages and the workshop's figures included."""
    clauses = (CLAUSES + language for language in catalogue.clauses)
    names = (NAMES + language for language in catalogue.names)
    return (*TABLES, *clauses, *names, SETTINGS)


def rows_of(catalogue: Catalogue, table: str) -> tuple[Row, ...]:
    """The rows of a table; none where it is not there."""
    if table.startswith(CLAUSES):
        return catalogue.clauses.get(table.removeprefix(CLAUSES), ())
    if table.startswith(NAMES):
        return catalogue.names.get(table.removeprefix(NAMES), ())
    return setting_rows(catalogue.settings) if table == SETTINGS else catalogue.tables[table]


def file_of(table: str) -> str:
    """The file a table stands in."""
    return "catalogue.toml" if table == SETTINGS else f"{table}.csv"


def code_of(row: Row) -> str:
    """What a row is named by within its table."""
    return " / ".join(cell_text(getattr(row, name)) for name in _CODES.get(type(row), ("id",)))


def key_of(table: str, row: Row) -> Key:
    """What a row is known by."""
    return table, code_of(row), row.needs


def columns(kind: type[Row]) -> tuple[str, ...]:
    """Names of a row class's columns: all its fields but its place in a file."""
    return tuple(one.name for one in fields(kind) if one.name != "place")


def cell_text(value: object) -> str:
    """A value as a cell of a file holds it: digits as they are, lists with ";" between."""
    kind = type(value)
    if kind is str:
        return str(value)
    if value is None:
        return ""
    if kind is Decimal:
        return f"{value:f}"
    if kind is bool:
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return ";".join(value)
    return value.isoformat() if isinstance(value, datetime.date) else str(value)


def same(one: Row | None, other: Row | None) -> bool:
    """Whether two rows say the same, wherever they stand."""
    if one is None or other is None or one is other:
        return one is other
    if type(one) is not type(other):
        return False
    return all(getattr(one, name) == getattr(other, name) for name in columns(type(one)))


def field_changes(before: Row | None, after: Row | None) -> tuple[FieldChange, ...]:
    """The columns that differ; every filled one where the row was added or taken out."""
    row = after or before
    if row is None:
        return ()
    texts = (
        (name, *("" if one is None else cell_text(getattr(one, name)) for one in (before, after)))
        for name in columns(type(row))
    )
    return tuple(FieldChange(*one) for one in texts if one[1] != one[2])


def difference(old: Catalogue, new: Catalogue) -> tuple[RowChange, ...]:
    """What turns `old` into `new`, table by table; rows that only changed places are none."""
    found: list[RowChange] = []
    for table in dict.fromkeys((*table_names(old), *table_names(new))):
        before, after = rows_of(old, table), rows_of(new, table)
        if before is not after:
            found += _table_difference(table, before, after)
    return tuple(found)


def _table_difference(table: str, old: Sequence[Row], new: Sequence[Row]) -> Iterator[RowChange]:
    left = _numbered(table, old)
    added: list[int] = []
    pairs: list[tuple[int, int]] = []
    for known, index in _numbered(table, new).items():
        if (there := left.pop(known, None)) is None:
            added.append(index)
        else:
            pairs.append((there, index))
    by_code: dict[str, list[int]] = defaultdict(list)  # what it needs changed: the same row still
    for (key, _), index in left.items():
        by_code[key[1]].append(index)
    for index in list(added):
        if others := by_code.get(code_of(new[index])):
            pairs.append((others.pop(0), index))
            added.remove(index)
    for there, index in sorted(pairs, key=lambda pair: pair[1]):
        if not same(old[there], new[index]):
            yield RowChange(table, old[there], new[index])
    for gone in sorted(index for some in by_code.values() for index in some):
        yield RowChange(table, old[gone], None, gone)
    for index in added:
        yield RowChange(table, None, new[index], index)


def _numbered(table: str, found: Sequence[Row]) -> dict[tuple[Key, int], int]:
    """Where each row stands, by its key and how often that came before."""
    seen: dict[Key, int] = defaultdict(int)
    places: dict[tuple[Key, int], int] = {}
    for index, row in enumerate(found):
        key = key_of(table, row)
        places[key, seen[key]] = index
        seen[key] += 1
    return places


def applied(
    catalogue: Catalogue, changes: Iterable[RowChange], version: str | None = None
) -> Catalogue:
    """The catalogue with the changes made, under `version` where one is given, with the fingerprint
    of what it now says. Nothing is checked but that each row is as the change took it to be.

    Raises RowsMoved with every row that is not: gone, changed, or there already.
    """
    by_table: dict[str, list[RowChange]] = defaultdict(list)
    for change in changes:
        by_table[change.table].append(change)
    moved: list[tuple[RowChange, Row | None]] = []
    made = {
        table: _changed(table, rows_of(catalogue, table) if _known(catalogue, table) else (),
                        some, moved)
        for table, some in by_table.items()
    }  # fmt: skip
    if moved:
        raise RowsMoved(moved)
    settings = catalogue.settings
    if SETTINGS in made:
        settings = settings_of(made.pop(SETTINGS))
    changed = replace(
        catalogue,
        settings=settings,
        tables={**catalogue.tables, **{name: made[name] for name in made if name in TABLES}},
        clauses={**catalogue.clauses, **_of_language(made, CLAUSES)},
        names={**catalogue.names, **_of_language(made, NAMES)},
        version=catalogue.version if version is None else version,
    )
    return replace(changed, fingerprint=fingerprint_of(changed))


def _known(catalogue: Catalogue, table: str) -> bool:
    return table == SETTINGS or table.startswith((CLAUSES, NAMES)) or table in catalogue.tables


def _of_language(made: Mapping[str, tuple[Any, ...]], start: str) -> dict[str, tuple[Any, ...]]:
    return {table.removeprefix(start): some for table, some in made.items()
            if table.startswith(start)}  # fmt: skip


def _changed(
    table: str,
    found: Sequence[Row],
    changes: Sequence[RowChange],
    moved: list[tuple[RowChange, Row | None]],
) -> tuple[Row, ...]:
    """A table's rows with its changes made; what could not be made is added to `moved`."""
    where: dict[Key, list[int]] = defaultdict(list)
    for index, row in enumerate(found):
        where[key_of(table, row)].append(index)
    left: list[Row | None] = list(found)
    for change in changes:
        if change.before is None:
            continue
        there = [index for index in where[change.key] if same(left[index], change.before)]
        if there:
            after = change.after
            left[there[0]] = after and replace(after, place=found[there[0]].place)
        else:
            now = next((left[i] for i in where[change.key] if left[i] is not None), None)
            moved.append((change, now))
    made = [row for row in left if row is not None]
    added = [change for change in changes if change.before is None]
    if added:
        _put_in(table, made, added, moved)
    if added or len(made) != len(found):
        made = [_placed(row, table, number) for number, row in enumerate(made, start=2)]
    return tuple(made)


def _put_in(
    table: str,
    made: list[Row],
    added: Sequence[RowChange],
    moved: list[tuple[RowChange, Row | None]],
) -> None:
    """Put new rows in; one of a key that stands there already is added to `moved`."""
    there = {key_of(table, row): row for row in made}
    for change in sorted(added, key=lambda one: (one.at is None, one.at or 0)):
        row = change.row
        key = key_of(table, row)
        if key in there and not isinstance(row, _REPEATED):
            moved.append((change, there[key]))
            continue
        there[key] = row
        made.insert(_place_for(row, made) if change.at is None else change.at, row)


def _place_for(row: Row, found: Sequence[Row]) -> int:
    """After the last row that comes before it by code; at the end where none does."""
    code, best, index = code_of(row), "", len(found)
    for number, other in enumerate(found):
        theirs = code_of(other)
        if best <= theirs <= code:
            best, index = theirs, number + 1
    return index


def _placed(row: Row, table: str, number: int) -> Row:
    place = Place(file_of(table), number)  # the first line names the columns
    return row if row.place == place else replace(row, place=place)


def fingerprint_of(catalogue: Catalogue) -> str:
    """SHA-256 over the version and what every row says, so that an edition can be told."""
    digest = hashlib.sha256(catalogue.version.encode() + b"\0")
    for table in sorted(table_names(catalogue)):
        digest.update(table.encode() + b"\0")
        names = columns(row_class(table))
        for row in rows_of(catalogue, table):
            text = "\x1f".join([cell_text(getattr(row, name)) for name in names])
            digest.update(text.encode("utf-8", "surrogatepass") + b"\x1e")
    return digest.hexdigest()
