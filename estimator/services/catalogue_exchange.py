"""The catalogue out to CSV files that a person edits, and back in as an edition."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import TABLES, Catalogue
from estimator.domain.catalogue.changes import (
    CLAUSES,
    NAMES,
    RowChange,
    difference,
    key_of,
    row_class,
    rows_of,
    table_names,
)
from estimator.domain.catalogue.edition import IMPORTED, Edition
from estimator.domain.catalogue.rows import Row
from estimator.domain.catalogue.setting_rows import SETTINGS, setting_rows, settings_of
from estimator.domain.people import Person
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded
from estimator.intake.catalogue_files import OPTIONAL_TABLES
from estimator.intake.catalogue_text import (
    TableText,
    read_rows,
    table_of_file,
    table_text,
    tables_in,
    unknown_file,
)
from estimator.intake.settings_file import read_settings
from estimator.intake.text_file import read_text
from estimator.services.errors import NotWritten, Refused
from estimator.services.keep_catalogue import keep_edition, new_faults, standing
from estimator.services.open_catalogue import catalogue_folder
from estimator.services.open_record import Record
from estimator.services.write_file import write_whole

if TYPE_CHECKING:
    from estimator.documents.files.catalogue_csv import FileAsRead

SETTINGS_FILE, WORKSHOP_FILE = "catalogue.toml", "workshop.toml"


@dataclass(frozen=True, slots=True)
class Incoming:
    """What files would change, before anything is kept. `based_on` is the fingerprint of the
    catalogue they were held against."""

    changes: tuple[RowChange, ...]
    based_on: str
    files: tuple[str, ...]


def export_catalogue(
    record: Record, folder: Path, *, replace_files: bool = False, source: Path | None = None
) -> tuple[Path, ...]:
    """Write the catalogue that is worked with to `folder`, in the files and columns of the one that
    comes with the program (or `source`); the files written. Where nothing was changed they are
    those files again. Raises NotWritten where a file is there already, and nothing is written."""
    now = standing(record)
    like = catalogue_folder(source)
    made = _files(now.catalogue, like, now.number > 1)
    there = [name for name in made if (folder / name).exists()]
    if there and not replace_files:
        raise NotWritten(
            worded("{path} is there already.", path=str(folder / there[0])),
            worded("Choose an empty folder, or say that files may be replaced."),
        )
    return tuple(write_whole(folder / name, data) for name, data in made.items())


def _files(catalogue: Catalogue, like: Path, versioned: bool) -> dict[str, bytes]:
    """Every file of the catalogue by its name within the folder."""
    from estimator.documents.files.catalogue_csv import settings_toml, table_csv

    made: dict[str, bytes] = {}
    for table in table_names(catalogue):
        if table == SETTINGS:
            continue
        rows, read = rows_of(catalogue, table), table_text(like, table)
        if rows or read is not None or table not in OPTIONAL_TABLES:
            made[f"{table}.csv"] = table_csv(row_class(table), rows, _as_read(read))
    text, _ = read_text(like / SETTINGS_FILE)
    toml = settings_toml(text, catalogue.settings)
    if versioned:
        toml = _with_version(toml, catalogue.version)
    made[SETTINGS_FILE] = toml
    if (like / WORKSHOP_FILE).is_file():
        made[WORKSHOP_FILE] = (like / WORKSHOP_FILE).read_bytes()
    return made


def _as_read(read: TableText | None) -> FileAsRead | None:
    from estimator.documents.files.catalogue_csv import FileAsRead

    return None if read is None else FileAsRead(read.header, read.lines, read.rows, read.first)


def _with_version(toml: bytes, version: str) -> bytes:
    lines = toml.decode().splitlines(keepends=True)
    said = [f'version = "{version}"\n' if one.startswith("version") else one for one in lines]
    return "".join(said).encode()


def import_catalogue(record: Record, path: Path, *, complete: bool = True) -> Incoming:
    """What a catalogue folder, or the file of one table, would change. Tables without a file stay
    as they are; with `complete` false, so do rows that a file lacks. Nothing is kept: `keep_import`
    does that. Raises Refused with every fault by file, row and column."""
    now = standing(record).catalogue
    tables, problems = _tables(path)
    settings, faults = _settings(path, now)
    problems += faults
    if problems or not (tables or settings):
        nothing = Problem("no-table", Place(path.name), worded("holds no table of the catalogue."))
        raise Refused(worded("Import"), problems or [nothing])
    if not complete:
        tables = {name: _with_ours(now, name, rows) for name, rows in tables.items()}
    read = _catalogue(now, tables, settings)
    changes = difference(now, read)
    if faults := new_faults(now, read):
        raise Refused(worded("Import"), faults)
    files = tuple(f"{name}.csv" for name in tables)
    return Incoming(changes, now.fingerprint, (*files, *([SETTINGS_FILE] if settings else ())))


def keep_import(
    record: Record, incoming: Incoming, why: str, who: Person, now: datetime
) -> Edition:
    """Keep what files change as an edition. Raises NotAllowed, Refused, Conflict."""
    return keep_edition(record, incoming.changes, why, who, now, incoming.based_on, IMPORTED)


def _tables(path: Path) -> tuple[dict[str, tuple[Row, ...]], list[Problem]]:
    """The rows of every file that is there, and every fault."""
    if path.is_dir():
        wanted = {name: path / f"{name}.csv" for name in tables_in(path)}
    elif path.name in (SETTINGS_FILE, WORKSHOP_FILE):
        wanted = {}
    else:
        table = table_of_file(path)
        if table is None:
            return {}, [unknown_file(path)]
        wanted = {table: path}
    found: dict[str, tuple[Row, ...]] = {}
    problems: list[Problem] = []
    for table, file in wanted.items():
        rows, faults = read_rows(file, table)
        found[table] = tuple(rows)
        problems += faults
    return found, problems


def _settings(path: Path, now: Catalogue) -> tuple[tuple[Row, ...], list[Problem]]:
    file = path / SETTINGS_FILE if path.is_dir() else path
    if file.name != SETTINGS_FILE or not file.exists():
        return (), []
    settings, _, problems = read_settings(file)
    if settings is None or settings == now.settings:
        return (), problems
    return setting_rows(settings), problems


def _with_ours(now: Catalogue, table: str, rows: Sequence[Row]) -> tuple[Row, ...]:
    """Our rows with those of the file in their place or after them."""
    ours = rows_of(now, table) if table in table_names(now) else ()
    theirs = {key_of(table, row): row for row in rows}
    kept = [theirs.pop(key_of(table, row), row) for row in ours]
    return (*kept, *theirs.values())


def _catalogue(
    now: Catalogue, tables: dict[str, tuple[Row, ...]], settings: tuple[Row, ...]
) -> Catalogue:
    """Our catalogue with the tables of the files as they were read, so that faults stand at their
    rows there."""

    def of_language(start: str) -> dict[str, tuple[Row, ...]]:
        return {name.removeprefix(start): rows for name, rows in tables.items()
                if name.startswith(start)}  # fmt: skip

    return replace(
        now,
        tables={**now.tables, **{name: tables[name] for name in tables if name in TABLES}},
        clauses={**now.clauses, **of_language(CLAUSES)},  # type: ignore[dict-item]
        names={**now.names, **of_language(NAMES)},  # type: ignore[dict-item]
        settings=settings_of(settings) if settings else now.settings,
    )
