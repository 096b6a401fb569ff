"""What a job is compared with, in its row: nothing lost, damage told, older records without it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from alembic import command
from sqlalchemy import text

from estimator.domain.job import Job
from estimator.domain.new_machine import NewMachine
from estimator.storage import job_record
from estimator.storage.database import Database, RecordDamaged, database_at
from estimator.storage.new_machine_codec import new_machine_in, new_machine_text
from estimator.storage.schema import bring_up, migration_config
from tests.new_machines import FULL, one
from tests.storage.conftest import NOW


def load(database: Database, number: str) -> Job:
    with database.reading() as session:
        found = job_record.load_job(session, number)
    assert found is not None
    return found[0]


@pytest.mark.parametrize("given", [None, FULL, NewMachine("EUR"), replace(FULL, fuel_factor=None)])
def test_it_comes_back_as_it_went_in(
    database: Database, job: Job, given: NewMachine | None
) -> None:
    with database.writing() as session:
        job_record.add_job(session, replace(job, new_machine=given), "draft", NOW)
    assert load(database, job.number).new_machine == given


def test_it_is_changed_and_taken_away(database: Database, job: Job) -> None:
    with database.writing() as session:
        job_record.add_job(session, job, "draft", NOW)
    for version, given in enumerate((FULL, replace(FULL, trade_in=one("1.25")), None), start=1):
        with database.writing() as session:
            after = replace(job, new_machine=given)
            assert job_record.save_job(session, after, "draft", version, NOW)
        assert load(database, job.number).new_machine == given


def test_every_digit_and_sign_is_kept() -> None:
    exact = replace(FULL, trade_in=one("0.10000000000000000001", source="Żółw <b>“重機”</b>"))
    assert new_machine_in(new_machine_text(exact)) == exact
    assert exact.trade_in is not None
    assert exact.trade_in.likely == Decimal("0.10000000000000000001")


@pytest.mark.parametrize(
    "damaged", ["", "{", "5", "null", '{"Input": {}}', '{"NewMachine": {"x": 1}}', '{"Job": {}}']
)
def test_damage_is_told(database: Database, job: Job, damaged: str) -> None:
    with database.writing() as session:
        job_record.add_job(session, replace(job, new_machine=FULL), "draft", NOW)
        session.execute(text("UPDATE job SET new_machine = :text"), {"text": damaged})
    with pytest.raises(RecordDamaged, match="new machine"):
        load(database, job.number)


def test_a_record_from_before_opens_without_it(tmp_path: Path, job: Job) -> None:
    path = tmp_path / "record.db"
    database = database_at(path)
    bring_up(database, NOW)
    with database.writing() as session:
        job_record.add_job(session, replace(job, new_machine=FULL), "draft", NOW)
    command.downgrade(migration_config(database.engine), "0005")
    with closing(sqlite3.connect(path)) as connection:
        names = [row[1] for row in connection.execute("pragma table_info(job)")]
    assert "new_machine" not in names
    assert bring_up(database, NOW) is not None
    found = load(database, job.number)
    assert found.new_machine is None
    assert found.number == job.number
    database.close()
