"""Opening the record, and the two kinds of transaction there are.

SQLite runs in WAL mode with full synchronisation (a commit survives a power cut) and foreign keys
on. Writes begin IMMEDIATE: a plain BEGIN that turns into a write fails at once on a stale
snapshot. No transaction is open while a person thinks: `reading` and `writing` wrap one act each.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Engine, create_engine, event, text
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session
from sqlalchemy.pool import ConnectionPoolEntry

__all__ = [
    "DRIVER_ERRORS", "Database", "DiskFull", "RecordBusy", "RecordDamaged", "RecordError",
    "RecordReadOnly", "RecordUnreadable", "Session", "as_record_error", "database", "database_at",
    "examine",
]  # fmt: skip
WAIT_SECONDS = 20  # for another writer


class RecordError(Exception):
    """What the disk or another program did to the record; nothing of the act was written."""


class RecordBusy(RecordError):
    """Another program has kept the record locked for longer than WAIT_SECONDS."""


class DiskFull(RecordError):
    """No room for what is to be written."""


class RecordReadOnly(RecordError):
    """The record, or its folder, may not be written to."""


class RecordUnreadable(RecordError):
    """The file cannot be opened, read or written at all (disk, network, rights)."""


class RecordDamaged(RecordError):
    """The file's content is not what SQLite wrote."""


# By the names of SQLite's own result codes, https://www.sqlite.org/rescode.html; an extended code
# begins with its primary one.
_KINDS: tuple[tuple[str, type[RecordError]], ...] = (
    ("SQLITE_BUSY", RecordBusy),
    ("SQLITE_LOCKED", RecordBusy),
    ("SQLITE_FULL", DiskFull),
    ("SQLITE_READONLY", RecordReadOnly),
    ("SQLITE_CANTOPEN", RecordUnreadable),
    ("SQLITE_IOERR", RecordUnreadable),
    ("SQLITE_PERM", RecordUnreadable),
    ("SQLITE_CORRUPT", RecordDamaged),
    ("SQLITE_NOTADB", RecordDamaged),
)
# What the driver says, without a code of its own, of a schema or a text that was not so written.
_NOT_AS_WRITTEN = ("Could not decode to UTF-8", "no such table", "no such column")
DRIVER_ERRORS = (DBAPIError, sqlite3.Error, UnicodeDecodeError)


def as_record_error(error: BaseException) -> RecordError | None:
    """What a driver's error means for the record; None where it is a defect of the program."""
    if isinstance(error, UnicodeDecodeError):  # the driver reads text that is none any more
        return RecordDamaged("a text in it is none any more")
    cause = error.orig if isinstance(error, DBAPIError) else error
    name = getattr(cause, "sqlite_errorname", "") or ""
    for start, kind in _KINDS:
        if name.startswith(start):
            return kind(str(cause))
    return RecordDamaged(str(cause)) if str(cause).startswith(_NOT_AS_WRITTEN) else None


@dataclass(frozen=True, slots=True)
class Database:
    """An open record. Sessions are made here and never leave `estimator.storage`."""

    engine: Engine

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """One consistent look at the record: what others commit meanwhile is not seen.

        Raises a RecordError.
        """
        with _known_errors(), Session(self.engine) as session:
            if self.engine.dialect.name == "sqlite":
                session.execute(text("BEGIN"))
            yield session
            session.rollback()

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One act: all of it is committed, or none. Raises a RecordError."""
        with _known_errors(), Session(self.engine, expire_on_commit=False) as session:
            try:
                if self.engine.dialect.name == "sqlite":
                    session.execute(text("BEGIN IMMEDIATE"))
                yield session
                session.commit()
            except BaseException:
                session.rollback()
                raise

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


@contextmanager
def _known_errors() -> Iterator[None]:
    try:
        yield
    except DRIVER_ERRORS as error:
        known = as_record_error(error)
        if known is None:
            raise
        raise known from error


def database_at(path: Path) -> Database:
    """A SQLite record at `path`; the file is made when first written to."""
    return database(f"sqlite:///{path}")


def database(url: str) -> Database:
    """A record by SQLAlchemy URL. Its schema is brought up by `schema.bring_up`."""
    engine = create_engine(url, connect_args={"timeout": WAIT_SECONDS} if "sqlite" in url else {})
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _set_up_sqlite)
    return Database(engine)


def _set_up_sqlite(connection: DBAPIConnection, _: ConnectionPoolEntry) -> None:
    # The driver must not begin transactions by itself: BEGIN is said above, where it is meant.
    connection.isolation_level = None
    cursor = connection.cursor()
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def examine(database: Database) -> tuple[str, ...]:
    """Faults in the file itself, in SQLite's words; none in a sound one. Reads all of it: a second
    or so for each few hundred megabytes."""
    if database.engine.dialect.name != "sqlite":
        return ()
    try:
        with database.reading() as session:
            said = [str(row[0]) for row in session.execute(text("PRAGMA quick_check(20)"))]
            lost = session.execute(text("PRAGMA foreign_key_check")).all()
    except RecordDamaged as error:
        return (str(error),)
    faults = [line for line in said if line != "ok"]
    return (*faults, *(f"a row of {one[0]} belongs to nothing" for one in lost[:20]))
