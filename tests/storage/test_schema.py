"""Migrations: up, down, refused where newer, backed up first, and equal to today's tables."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory

from estimator.storage.database import database_at
from estimator.storage.job_list import Wanted, summaries
from estimator.storage.job_record import issued_quotes, load_job
from estimator.storage.schema import (
    MIGRATIONS,
    NEWEST,
    NewerRecord,
    NotARecord,
    back_up,
    bring_up,
    migration_config,
    schema_of,
)
from estimator.storage.table_base import FULL_TEXT
from estimator.storage.tables import Table
from tests.storage.conftest import NOW

pytestmark = pytest.mark.usefixtures("real_migrations")


def tables_of(path: Path) -> set[str]:
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("select name from sqlite_master where type = 'table'")
        return {name for (name,) in rows}


def not_full_text(name: str | None, kind: str, _: object) -> bool:
    return not (kind == "table" and (name or "").startswith(FULL_TEXT))


def test_the_migrated_schema_is_that_of_the_tables(tmp_path: Path) -> None:
    database = database_at(tmp_path / "record.db")
    bring_up(database, NOW)
    assert schema_of(database.engine) == NEWEST
    with database.engine.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "include_name": not_full_text}
        )
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


def test_a_record_of_the_first_schema_is_brought_up_with_what_it_holds(tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    database = database_at(path)
    command.upgrade(migration_config(database.engine), "0001")
    database.close()
    with closing(sqlite3.connect(path)) as connection:
        fill_first_schema(connection)
        connection.commit()
    database = database_at(path)
    copy = bring_up(database, NOW)
    assert copy is not None
    with database.reading() as session:
        found = load_job(session, "Q-1")
        assert found is not None
        job, state, version = found
        assert (state, version, job.note, job.wanted_by) == ("issued", 3, "", None)
        assert (job.machine.meter, job.machine.hours_doubt, job.learnt_until) == (
            "original",
            0,
            None,
        )
        assert [(one.row_id, one.by) for one in job.added] == [("O-1", "P. Holt")]
        assert [one.row_id for one in job.removed] == ["O-2"]
        assert [one.reading for one in job.findings] == ["scored"]
        (listed,) = summaries(session, Wanted(NOW.date(), "scor"))
        assert (listed.number, str(listed.valid_until)) == ("Q-1", "2026-12-31")
        assert listed.since == listed.changed_at
        (issued,) = issued_quotes(session)
        assert issued.chain_head == ""
    command.downgrade(migration_config(database.engine), "0001")
    with closing(sqlite3.connect(path)) as connection:
        rows = connection.execute("select row_id, added from scope_change order by row_id")
        assert rows.fetchall() == [("O-1", 1), ("O-2", 0)]
        assert connection.execute("pragma foreign_key_check").fetchall() == []
    database.close()


def fill_first_schema(connection: sqlite3.Connection) -> None:
    """One issued job, as the program of the first schema wrote it."""
    at, day = "2026-11-25T12:00:00.000000+00:00", "2026-11-25"
    numbers = {"hours": "9400", "duty": "1", "life_wanted": "8000", "quoting_unit": "1",
               "discount_share": "0", "confidence": "0.8", "storage_per_day": "45",
               "valid_days": 30, "answer_days": 5, "storage_free_days": 14,
               "removed_parts_days": 30, "teardown_longest_days": 15, "version": 3}  # fmt: skip
    known = {"id": "J1", "number": "Q-1", "revision": "A", "state": "issued", "currency": "GBP",
             "workshop_address": "[]", "customer_address": "[]", **numbers}  # fmt: skip
    insert(connection, "job", known, at, day)
    insert(connection, "finding", {
        "id": "F1", "version": 1, "job_id": "J1", "place": 0, "code": "I01", "reading": "scored",
        "part": "[]", "sign_of": "[]", "metals": "[]", "photo": "[]", "measured": None,
        "new": None, "rebuild_limit": None, "service_limit": None, "gauge_error": None,
        "hours_on_part": None, "quantity": None, "quantity_low": None, "quantity_high": None,
    }, at, day)  # fmt: skip
    for place, (row, added) in enumerate((("O-1", 1), ("O-2", 0))):
        insert(connection, "scope_change", {
            "id": f"S{place}", "version": 1, "job_id": "J1", "place": 0, "row_id": row,
            "added": added, "by": "P. Holt",
        }, at, day)  # fmt: skip
    insert(connection, "issued_quote", {
        "id": "Q1", "job_id": "J1", "revision": "A", "currency": "GBP", "net": 1, "gross": 1,
        "contingency": 0, "valid_until": "2026-12-31", "pdf": b"",
    }, at, day)  # fmt: skip


def insert(
    connection: sqlite3.Connection, table: str, values: dict[str, object], at: str, day: str
) -> None:
    """A row, its other cells blank, a time or a day as their names say."""
    columns = [row[1] for row in connection.execute(f"pragma table_info({table})")]
    cells = [
        values.get(name, at if name.endswith("_at") else day if name.endswith(("_on", "date"))
                   else "")
        for name in columns
    ]  # fmt: skip
    names = ", ".join(f'"{name}"' for name in columns)
    marks = ", ".join("?" * len(columns))
    connection.execute(f"insert into {table} ({names}) values ({marks})", cells)


def test_the_newest_schema_is_the_last_step() -> None:
    scripts = ScriptDirectory(str(MIGRATIONS))
    assert scripts.get_current_head() == NEWEST


def test_a_record_that_is_up_to_date_needs_no_migration_library(tmp_path: Path) -> None:
    database = database_at(tmp_path / "record.db")
    bring_up(database, NOW)
    database.close()
    script = (
        "import sys\nfrom datetime import UTC, datetime\nfrom pathlib import Path\n"
        "from estimator.services import edit_job, issue_quote, list_jobs, photographs, past_work\n"
        "from estimator.services.open_record import open_record\n"
        f"with open_record(Path({str(tmp_path / 'record.db')!r}), datetime.now(UTC)) as record:\n"
        "    assert list_jobs.list_jobs(record, today=datetime.now(UTC).date()) == []\n"
        "print(sorted({'alembic', 'mako', 'numpy', 'scipy', 'PIL', 'reportlab', 'argon2'}"
        " & set(sys.modules)))\n"
    )
    root = Path(__file__).parent.parent.parent
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=root,
        env={"PYTHONPATH": str(root)},
    )  # fmt: skip
    assert done.stdout.strip() == "[]"


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
