"""A real record on a real file, fresh for each test."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from estimator.domain.job import Job
from estimator.intake.job_files import read_job
from estimator.storage.database import Database, database_at
from estimator.storage.schema import bring_up

NOW = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
GOLDEN = Path(__file__).parent.parent / "golden"


@pytest.fixture
def database(tmp_path: Path) -> Iterator[Database]:
    one = database_at(tmp_path / "record.db")
    bring_up(one, NOW)
    yield one
    one.close()


@pytest.fixture(scope="session")
def job() -> Job:
    job, problems = read_job(GOLDEN / "job")
    assert job is not None, problems
    return job
