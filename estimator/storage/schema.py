"""Bringing the record's schema up to this program's: backup first, newer ones refused."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, inspect
from sqlalchemy.exc import DatabaseError

from estimator.storage.database import Database

MIGRATIONS = Path(__file__).parent / "migrations"


class NotARecord(Exception):
    """The file is there but is no record of this program."""


class NewerRecord(Exception):
    """The record was written by a newer program than this one."""


def migration_config(engine: Engine) -> Config:
    """Alembic's configuration for a record, without any file of its own."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.attributes["engine"] = engine
    return config


def schema_of(engine: Engine) -> str | None:
    """Revision of the record's schema; None where it is empty."""
    with engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


def newest_schema() -> str:
    """Revision this program writes."""
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    head = ScriptDirectory.from_config(config).get_current_head()
    assert head is not None  # there is always a first migration
    return head


def bring_up(database: Database, now: datetime) -> Path | None:
    """Bring the schema up to date; returns the backup made before, if one was.

    Raises NewerRecord where this program does not know the schema, NotARecord where the file is
    something else; either is left as it is.
    """
    engine = database.engine
    try:
        found, newest = schema_of(engine), newest_schema()
    except DatabaseError as error:
        raise NotARecord(str(error.orig)) from error
    if found == newest:
        return None
    if found is None and inspect(engine).get_table_names():
        raise NotARecord("it holds tables of another program")
    config = migration_config(engine)
    known = {script.revision for script in ScriptDirectory.from_config(config).walk_revisions()}
    if found is not None and found not in known:
        raise NewerRecord(f"its schema {found} is not known to this program")
    copy = back_up(database, now) if found is not None else None
    command.upgrade(config, "head")
    return copy


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
