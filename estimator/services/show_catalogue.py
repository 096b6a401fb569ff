"""The catalogue as its page shows it: tables with their counts, rows as found, as one class sees
them, and with what is being changed laid over."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue, fits, for_class
from estimator.domain.catalogue.changes import (
    Key,
    RowChange,
    code_of,
    key_of,
    rows_of,
    same,
    table_names,
)
from estimator.domain.catalogue.own_values import STARTING
from estimator.domain.catalogue.rows import Row
from estimator.domain.catalogue.work_rows import Remedy
from estimator.services.catalogue_search import CatalogueSearch, FoundRow, search_of

UNCHANGED, CHANGED, ADDED, TAKEN_OUT = "", "changed", "added", "taken out"
MOST_SHOWN = 2_000  # rows of a list; more are counted, and found by a word more
_SCALED = ("operations", "parts", "outwork", "found_work")
_NAMED_BY = ("name", "type", "piece", "supplies", "caution", "when", "text", "value", "why", "note")


@dataclass(frozen=True, slots=True)
class TableCount:
    """A table with how many rows it has, and how many of them are starting values still."""

    table: str
    rows: int
    starting: int


@dataclass(frozen=True, slots=True)
class ShownRow:
    """A row of the list. `row` is as it will be, `before` as the edition has it (None where it is
    added); `seen` is as the chosen class sees it, scaled to its size."""

    id: str
    table: str
    row: Row
    before: Row | None
    state: str
    seen: Row

    @property
    def scaled(self) -> bool:
        """Whether what is shown is scaled."""
        return self.seen is not self.row and not same(self.seen, self.row)

    @property
    def code(self) -> str:
        """What it is named by."""
        return code_of(self.row)


@dataclass(frozen=True, slots=True)
class View:
    """A catalogue made ready to be looked through."""

    catalogue: Catalogue
    search: CatalogueSearch
    counts: tuple[TableCount, ...]
    names: Mapping[tuple[str, str], str]  # (table, code) -> what it names


@dataclass(frozen=True, slots=True)
class Sought:
    """What is looked for. Blank fields do not restrict."""

    table: str = ""
    words: str = ""
    class_id: str = ""
    origin: str = ""


def view_of(catalogue: Catalogue) -> View:
    """Make a catalogue ready; some tenths of a second, off the window's thread."""
    names: dict[tuple[str, str], str] = {}
    for table in catalogue.tables:
        for row in rows_of(catalogue, table):
            names.setdefault((table, code_of(row)), name_of(row))
    return View(catalogue, search_of(catalogue), table_counts(catalogue), names)


def table_counts(catalogue: Catalogue) -> tuple[TableCount, ...]:
    """Every table with its counts."""
    return tuple(
        TableCount(table, len(rows), sum(row.origin == STARTING for row in rows))
        for table in table_names(catalogue)
        for rows in (rows_of(catalogue, table),)
    )


def name_of(row: Row) -> str:
    """The words that a row is known by; "" where it has but a code."""
    for name in _NAMED_BY:
        if text := getattr(row, name, ""):
            return str(text)
    return ""


def class_seen(catalogue: Catalogue, class_id: str) -> ClassCatalogue | None:
    """The catalogue as a class sees it; None where there is none such."""
    return for_class(catalogue, class_id) if class_id in catalogue.classes else None


def found_rows(
    view: View, sought: Sought, seen: ClassCatalogue | None, draft: Sequence[RowChange]
) -> tuple[tuple[ShownRow, ...], int]:
    """(rows, how many there are in all): those that are sought, in the order of their tables, with
    changes of a draft laid over; rows being added come first. At most MOST_SHOWN are given."""
    changed = {(one.table, one.key): one for one in draft if one.before is not None}
    traits = seen.machine_class.all_traits if seen is not None else None
    added = [
        _shown(f"new/{number}", one.table, one.row, None, ADDED, seen)
        for number, one in enumerate(draft)
        if one.before is None and (not sought.table or one.table == sought.table)
    ]
    found = [
        one
        for one in view.search.find(sought.words)
        if (not sought.table or one.table == sought.table)
        and (not sought.origin or one.row.origin == sought.origin)
        and (traits is None or fits(one.row, traits))
    ]
    shown = [_laid_over(one, changed, seen) for one in found[:MOST_SHOWN]]
    return (*added, *shown), len(found) + len(added)


def _laid_over(
    one: FoundRow, changed: Mapping[tuple[str, Key], RowChange], seen: ClassCatalogue | None
) -> ShownRow:
    change = changed.get((one.table, key_of(one.table, one.row))) if changed else None
    if change is not None and not same(change.before, one.row):
        change = None  # of a row of the same code, or of an edition before
    if change is None:
        return _shown(str(one.index), one.table, one.row, one.row, UNCHANGED, seen)
    state = CHANGED if change.after is not None else TAKEN_OUT
    return _shown(str(one.index), one.table, change.after or one.row, one.row, state, seen)


def _shown(
    row_id: str, table: str, row: Row, before: Row | None, state: str, seen: ClassCatalogue | None
) -> ShownRow:
    as_seen = row if seen is None or state else seen_as(seen, table, row)
    return ShownRow(row_id, table, row, before, state, as_seen)


def seen_as(seen: ClassCatalogue, table: str, row: Row) -> Row:
    """A row as a class sees it: scaled where it scales."""
    if table in _SCALED:
        found = getattr(seen, table).get(code_of(row))
        return found if isinstance(found, type(row)) and found.needs == row.needs else row
    if isinstance(row, Remedy):
        ways = seen.remedies.get(row.part, ())
        return next((one for one in ways if one.way == row.way and one.needs == row.needs), row)
    return row


@dataclass(frozen=True, slots=True)
class EditionLine:
    """An edition of the list; number 0 is what is being typed."""

    number: int
    version: str
    at: datetime | None
    who: str
    kind: str
    why: str
    rows: int
