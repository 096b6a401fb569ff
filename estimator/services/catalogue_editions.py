"""Editions of the catalogue: listed, compared, taken back; later changes of a folder taken in."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.changes import (
    RowChange,
    difference,
    key_of,
    rows_of,
    same,
    table_names,
)
from estimator.domain.catalogue.edition import FOLDER, IMPORTED, TAKEN_BACK, Edition
from estimator.domain.catalogue.rows import Row
from estimator.domain.people import Person
from estimator.domain.wording import worded
from estimator.intake.catalogue_files import fingerprint
from estimator.services.errors import Conflict, NotFound
from estimator.services.keep_catalogue import keep_edition, standing
from estimator.services.open_catalogue import catalogue_folder, open_catalogue
from estimator.services.open_record import Record
from estimator.storage import edition_record

if TYPE_CHECKING:
    from estimator.storage.database import Session


@dataclass(frozen=True, slots=True)
class RowClash:
    """A row that the folder changed and the workshop too: as the workshop has it, and as the folder
    would have it."""

    ours: Row | None
    change: RowChange


@dataclass(frozen=True, slots=True)
class FolderNews:
    """What a folder changed since its rows were last taken in. `changes` touch no row that the
    workshop changed itself; each of `clashes` does, and waits for a decision."""

    folder: Catalogue
    based_on: str
    changes: tuple[RowChange, ...]
    clashes: tuple[RowClash, ...]


def editions(record: Record) -> tuple[Edition, ...]:
    """Every edition, the newest first; none where nobody changed the catalogue yet."""
    with record.reading() as session:
        return edition_record.all_editions(session)


def edition(record: Record, number: int) -> tuple[Edition, Catalogue]:
    """An edition with its rows. Raises NotFound."""
    with record.reading() as session:
        return _numbered(session, number), edition_record.catalogue_of(session, number)


def edition_changes(record: Record, number: int) -> tuple[RowChange, ...]:
    """What an edition changed of the one before. Raises NotFound."""
    with record.reading() as session:
        _numbered(session, number)
        return edition_record.changes_of(session, number)


def compare_editions(record: Record, one: int, other: int) -> tuple[RowChange, ...]:
    """What turns edition `one` into `other`. Raises NotFound."""
    with record.reading() as session:
        for number in (one, other):
            _numbered(session, number)
        before, after = (edition_record.catalogue_of(session, n) for n in (one, other))
    return difference(before, after)


def take_back(record: Record, number: int, why: str, who: Person, now: datetime) -> Edition:
    """A new edition that undoes all that one changed. Raises NotFound, NotAllowed, Refused, and
    Conflict where a row of it was changed again since."""
    with record.reading() as session:
        found = _numbered(session, number)
        changes = edition_record.changes_of(session, number)
    if found.kind == FOLDER:
        raise Conflict(
            worded("Edition 1 is the catalogue as it was supplied: it changed nothing."),
            worded("Choose a later one."),
        )
    back = [one.undone for one in reversed(changes)]
    now_there = standing(record).catalogue
    return keep_edition(record, back, why, who, now, now_there.fingerprint, TAKEN_BACK)


def folder_news(record: Record, folder: Path | None = None) -> FolderNews | None:
    """What a folder (default: the one that comes with the program) changed since its rows were last
    taken in; None where it says what it said, or where nobody changed the catalogue yet, for then
    the folder itself is worked with. Raises Refused with every fault of the folder."""
    with record.reading() as session:
        newest = edition_record.newest_edition(session)
    if newest is None or fingerprint(catalogue_folder(folder)) == newest.folder:
        return None  # told without reading a row of it
    now, read = standing(record), open_catalogue(folder)
    if now.edition is None or read.fingerprint == now.edition.folder:
        return None
    with record.reading() as session:
        before = edition_record.catalogue_of(session, now.edition.number, "folder_kept")
    changes, clashes = _apart(difference(before, read), now.catalogue)
    if not changes and not clashes:
        return None
    return FolderNews(read, now.catalogue.fingerprint, changes, clashes)


def take_folder(
    record: Record, news: FolderNews, chosen: tuple[RowClash, ...], who: Person, now: datetime,
    why: str,
) -> Edition:  # fmt: skip
    """Take a folder's changes in as an edition, and of the clashes those that were chosen; the
    others stay as the workshop has them. Raises NotAllowed, Refused, Conflict."""
    taken = [RowChange(one.change.table, one.ours, one.change.after) for one in chosen]
    return keep_edition(
        record, (*news.changes, *taken), why, who, now, news.based_on, IMPORTED, news.folder
    )


def _apart(
    changes: tuple[RowChange, ...], ours: Catalogue
) -> tuple[tuple[RowChange, ...], tuple[RowClash, ...]]:
    """Changes that fit our rows, and those that meet a row we changed; what we have already is
    neither."""
    known = set(table_names(ours))
    rows = {
        table: {key_of(table, row): row for row in rows_of(ours, table)}
        for table in {one.table for one in changes} & known
    }
    free: list[RowChange] = []
    met: list[RowClash] = []
    for change in changes:
        there = rows.get(change.table, {}).get(change.key)
        if same(there, change.after):
            continue
        if same(there, change.before):
            free.append(change)
        else:
            met.append(RowClash(there, change))
    return tuple(free), tuple(met)


def _numbered(session: Session, number: int) -> Edition:
    found = edition_record.edition_numbered(session, number)
    if found is None:
        raise NotFound(
            worded("There is no edition {number} of the catalogue.", number=number),
            worded("List the editions."),
        )
    return found
