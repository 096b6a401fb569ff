"""Open the workshop's record, brought up to this program's schema."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from estimator.domain.wording import said_by, worded
from estimator.services.errors import Busy, NotOpened, NotWritten, ServiceError
from estimator.storage.database import (
    Database,
    DiskFull,
    RecordBusy,
    RecordDamaged,
    RecordError,
    RecordReadOnly,
    database_at,
    examine,
)
from estimator.storage.schema import NewerRecord, NotARecord, bring_up

if TYPE_CHECKING:
    from estimator.storage.database import Session


@dataclass(frozen=True, slots=True)
class Record:
    """An open record, handed to every act that reads or writes it."""

    database: Database
    backup: Path | None  # made before the schema was brought up, if it was

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """One look at one moment. Raises NotOpened, Conflict."""
        try:
            with self.database.reading() as session:
                yield session
        except RecordError as error:
            raise _not_read(error) from error

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One act, all of it or none. Raises NotWritten, NotOpened, Conflict."""
        try:
            with self.database.writing() as session:
                yield session
        except RecordError as error:
            raise _not_saved(error) from error

    def close(self) -> None:
        """Let go of the file."""
        self.database.close()


def record_at(path: Path, now: datetime) -> Record:
    """The record at `path`, made if it is not there yet; whoever asks closes it.

    Raises NotOpened: newer than the program, no record, damaged, not readable or writable; and
    Conflict where another program keeps it locked.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = error.strerror or worded("unknown reason")
        raise NotOpened(
            worded(
                "The folder {folder} cannot be made ({reason}).",
                folder=str(path.parent),
                reason=reason,
            ),
            worded("Choose another place."),
        ) from error
    database = database_at(path)
    try:
        return Record(database, bring_up(database, now))
    except NewerRecord as error:
        database.close()
        raise NotOpened(
            worded(
                "{path} was written by a newer version of this program ({error}).",
                path=str(path),
                error=said_by(error),
            ),
            worded("Use that version; the record was left as it is."),
        ) from error
    except NotARecord as error:
        database.close()
        raise NotOpened(
            worded("{path} is no record: {error}.", path=str(path), error=said_by(error)),
            worded("Choose another file."),
        ) from error
    except RecordError as error:
        database.close()
        raise _not_opened(path, error) from error
    except BaseException:
        database.close()
        raise


@contextmanager
def open_record(path: Path, now: datetime) -> Iterator[Record]:
    """`record_at`, closed at the end."""
    record = record_at(path, now)
    try:
        yield record
    finally:
        record.close()


def examine_record(record: Record) -> tuple[str, ...]:
    """Faults of the file itself, in words; none in a sound one. Reads the whole file: run it beside
    other work. Raises NotOpened, Conflict."""
    try:
        return examine(record.database)
    except RecordError as error:
        raise _not_read(error) from error


def _busy() -> Busy:
    return Busy(
        worded("Another program is writing to the record."), worded("Try again in a moment.")
    )


def _not_opened(path: Path, error: RecordError) -> ServiceError:
    if isinstance(error, RecordBusy):
        return _busy()
    if isinstance(error, DiskFull):
        return NotOpened(
            worded("{path} cannot be opened: the disk is full.", path=str(path)),
            worded("Free some space."),
        )
    if isinstance(error, RecordReadOnly):
        return NotOpened(
            worded(
                "{path} cannot be opened for writing: the file or its folder is read-only.",
                path=str(path),
            ),
            worded("Ask for the right to write there, or choose another place."),
        )
    if isinstance(error, RecordDamaged):
        return NotOpened(
            worded("{path} is damaged ({error}).", path=str(path), error=said_by(error)),
            worded("It was left as it is. Put back the newest backup, or keep a copy for repair."),
        )
    return NotOpened(
        worded("{path} cannot be opened ({error}).", path=str(path), error=said_by(error)),
        worded("Check that the disk and the folder can be reached."),
    )


def _not_read(error: RecordError) -> ServiceError:
    if isinstance(error, RecordBusy):
        return _busy()
    if isinstance(error, RecordDamaged):
        return NotOpened(
            worded("The record is damaged ({error}).", error=said_by(error)),
            worded("Close the program and put back the newest backup."),
        )
    return NotOpened(
        worded("The record cannot be read ({error}).", error=said_by(error)),
        worded("Check that its disk can be reached."),
    )


def _not_saved(error: RecordError) -> ServiceError:
    if isinstance(error, RecordBusy):
        return _busy()
    if isinstance(error, DiskFull):
        return NotWritten(
            worded("Not saved: the disk is full."), worded("Free some space and save again.")
        )
    if isinstance(error, RecordReadOnly):
        return NotWritten(
            worded("Not saved: the record is read-only."),
            worded("Ask for the right to write to its folder."),
        )
    if isinstance(error, RecordDamaged):
        return NotWritten(
            worded("Not saved: the record is damaged ({error}).", error=said_by(error)),
            worded("Close the program and put back the newest backup."),
        )
    return NotWritten(
        worded("Not saved: {error}.", error=said_by(error)),
        worded("Check that the record's disk can be reached."),
    )
