"""Opening the record, and the two kinds of transaction there are.

SQLite runs in WAL mode with full synchronisation (a commit survives a power cut) and foreign keys
on. Writes begin IMMEDIATE: a plain BEGIN that turns into a write fails at once on a stale
snapshot. No transaction is open while a person thinks: `reading` and `writing` wrap one act each.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Engine, create_engine, event, text
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.exc import OperationalError
from sqlalchemy.orm import Session
from sqlalchemy.pool import ConnectionPoolEntry

WAIT_SECONDS = 20  # for another writer


class RecordBusy(Exception):
    """Another program has kept the record locked for longer than WAIT_SECONDS."""


@dataclass(frozen=True, slots=True)
class Database:
    """An open record. Sessions are made here and never leave `estimator.storage`."""

    engine: Engine

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """One consistent look at the record: what others commit meanwhile is not seen."""
        with Session(self.engine) as session:
            if self.engine.dialect.name == "sqlite":
                session.execute(text("BEGIN"))
            yield session
            session.rollback()

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One act: all of it is committed, or none. Raises RecordBusy."""
        with Session(self.engine, expire_on_commit=False) as session:
            try:
                if self.engine.dialect.name == "sqlite":
                    session.execute(text("BEGIN IMMEDIATE"))
                yield session
                session.commit()
            except OperationalError as error:
                session.rollback()
                if "locked" in str(error.orig):
                    raise RecordBusy("another program is writing to the record") from error
                raise
            except BaseException:
                session.rollback()
                raise

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()


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
