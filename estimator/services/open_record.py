"""Open the workshop's record, brought up to this program's schema."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from estimator.services.errors import Conflict, NotOpened
from estimator.storage.database import Database, RecordBusy, database_at
from estimator.storage.schema import NewerRecord, NotARecord, bring_up


@dataclass(frozen=True, slots=True)
class Record:
    """An open record, handed to every act that reads or writes it."""

    database: Database
    backup: Path | None  # made before the schema was brought up, if it was

    def close(self) -> None:
        """Let go of the file."""
        self.database.close()


@contextmanager
def open_record(path: Path, now: datetime) -> Iterator[Record]:
    """The record at `path`, made if it is not there yet. Raises NotOpened.

    A lock held by another program for too long, met inside, is raised as Conflict.
    """
    database = database_at(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        record = Record(database, bring_up(database, now))
    except NewerRecord as error:
        database.close()
        raise NotOpened(
            f"{path} was written by a newer version of this program ({error}).",
            "Use that version; the record was left as it is.",
        ) from error
    except (NotARecord, OSError) as error:
        database.close()
        raise NotOpened(f"{path} is no record: {error}.", "Choose another file.") from error
    try:
        yield record
    except RecordBusy as error:
        raise Conflict(f"{error}.".capitalize(), "Try again in a moment.") from error
    finally:
        record.close()
