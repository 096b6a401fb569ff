"""Bringing the record's schema up to this program's: backup first, newer ones refused.

The migration library is slow to import, and needed only where there is something to do: whether
there is, a plain query tells.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Engine, inspect, text

from estimator.storage.database import DRIVER_ERRORS, Database, RecordDamaged, as_record_error

if TYPE_CHECKING:
    from alembic.config import Config

MIGRATIONS = Path(__file__).parent / "migrations"
NEWEST = "0010"  # the last step in migrations/versions


class NotARecord(Exception):
    """The file is there but is no record of this program."""


class NewerRecord(Exception):
    """The record was written by a newer program than this one."""


def migration_config(engine: Engine) -> Config:
    """Alembic's configuration for a record, without any file of its own."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["engine"] = engine
    return config


def schema_of(engine: Engine) -> str | None:
    """Revision of the record's schema; None where it is empty.

    Raises NotARecord where tables are there but none that tells the revision.
    """
    with engine.connect() as connection:
        names = set(inspect(connection).get_table_names())
        if "alembic_version" in names:
            return connection.execute(text("SELECT version_num FROM alembic_version")).scalar()
    if names:
        raise NotARecord("it holds tables of another program")
    return None


def bring_up(database: Database, now: datetime) -> Path | None:
    """Bring the schema up to date; returns the backup made before, if one was.

    Raises NewerRecord where this program does not know the schema, NotARecord where the file is
    something else, RecordDamaged and the like where it cannot be read; each leaves it as it is.
    """
    engine = database.engine
    try:
        found = schema_of(engine)
    except DRIVER_ERRORS as error:
        if "not a database" in str(error):
            raise NotARecord("it is not a database") from error
        raise as_record_error(error) or RecordDamaged(str(error)) from error
    if found == NEWEST:
        return None
    return _migrate(database, found, now)


def _migrate(database: Database, found: str | None, now: datetime) -> Path | None:
    config = migration_config(database.engine)
    if found is not None and found not in _known_steps(config):
        raise NewerRecord(f"its schema {found} is not known to this program")
    copy = back_up(database, now) if found is not None else None
    try:
        _upgrade(config)
    except DRIVER_ERRORS as error:
        raise as_record_error(error) or error from error
    return copy


def _known_steps(config: Config) -> set[str]:
    from alembic.script import ScriptDirectory

    return {script.revision for script in ScriptDirectory.from_config(config).walk_revisions()}


def _upgrade(config: Config) -> None:
    """Every step that a record lacks."""
    from alembic import command

    command.upgrade(config, "head")


def back_up(database: Database, now: datetime) -> Path | None:
    """A whole copy of a SQLite record beside it, made while it is in use; None for others."""
    name = database.engine.url.database
    if database.engine.dialect.name != "sqlite" or not name or name == ":memory:":
        return None
    source = Path(name)
    target = source.with_name(f"{source.stem}.{now:%Y%m%dT%H%M%SZ}.backup{source.suffix}")
    with closing(sqlite3.connect(source)) as one, closing(sqlite3.connect(target)) as two:
        one.backup(two)
    return target
