"""Migrations: up, down, refused where newer, backed up first, and equal to today's tables."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext

from estimator.storage.database import database_at
from estimator.storage.schema import (
    NewerRecord,
    NotARecord,
    back_up,
    bring_up,
    migration_config,
    newest_schema,
    schema_of,
)
from estimator.storage.tables import Table
from tests.storage.conftest import NOW


def tables_of(path: Path) -> set[str]:
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("select name from sqlite_master where type = 'table'")
        return {name for (name,) in rows}


def test_the_migrated_schema_is_that_of_the_tables(tmp_path: Path) -> None:
    database = database_at(tmp_path / "record.db")
    bring_up(database, NOW)
    assert schema_of(database.engine) == newest_schema()
    with database.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, Table.metadata) == []
    database.close()


def test_every_step_can_be_taken_back(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    database = database_at(path)
    bring_up(database, NOW)
    command.downgrade(migration_config(database.engine), "base")
    assert tables_of(path) == {"alembic_version"}
    command.upgrade(migration_config(database.engine), "head")
    assert "finding" in tables_of(path)
    database.close()


def test_a_record_that_is_up_to_date_is_left_alone(tmp_path: Path) -> None:
    database = database_at(tmp_path / "record.db")
    assert bring_up(database, NOW) is None
    assert bring_up(database, NOW) is None
    assert not list(tmp_path.glob("*.backup*"))
    database.close()


def test_a_newer_record_is_refused_and_left_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    database = database_at(path)
    bring_up(database, NOW)
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("update alembic_version set version_num = '9999'")
        connection.commit()
    with pytest.raises(NewerRecord, match="9999"):
        bring_up(database, NOW)
    assert "job" in tables_of(path)
    database.close()


def test_a_file_that_is_no_record_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "text.db"
    path.write_text("not a database, but long enough to be read as a page of one " * 40)
    database = database_at(path)
    with pytest.raises(NotARecord):
        bring_up(database, NOW)
    database.close()


def test_another_programs_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("create table song (title text)")
        connection.commit()
    database = database_at(path)
    with pytest.raises(NotARecord, match="another program"):
        bring_up(database, NOW)
    assert tables_of(path) == {"song"}
    database.close()


def test_a_backup_is_a_whole_record(tmp_path: Path) -> None:
    database = database_at(tmp_path / "record.db")
    bring_up(database, NOW)
    copy = back_up(database, NOW)
    assert copy is not None
    assert tables_of(copy) == tables_of(tmp_path / "record.db")
    database.close()


def test_sqlite_is_set_up_to_survive_a_power_cut(tmp_path: Path) -> None:
    database = database_at(tmp_path / "record.db")
    bring_up(database, NOW)
    with database.engine.connect() as connection:
        assert connection.exec_driver_sql("pragma journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("pragma synchronous").scalar() == 2  # FULL
        assert connection.exec_driver_sql("pragma foreign_keys").scalar() == 1
    database.close()
