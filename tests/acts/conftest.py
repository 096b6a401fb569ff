"""The worked job and its catalogue as files, fresh copies where a test changes them."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.priced_job import PricedJob
from estimator.services import issued_papers
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import Record, open_record
from estimator.services.price_job import price_job

GOLDEN = Path(__file__).parent.parent / "golden"


@pytest.fixture(scope="session")
def catalogue() -> Catalogue:
    return open_catalogue(GOLDEN / "catalogue")


@pytest.fixture(scope="session")
def priced(catalogue: Catalogue) -> PricedJob:
    return price_job(GOLDEN / "job", catalogue)


@pytest.fixture
def job_folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(GOLDEN / "job", tmp_path / "job"))


@pytest.fixture
def record(tmp_path: Path) -> Iterator[Record]:
    """An empty record."""
    with open_record(tmp_path / "shop" / "record.db", datetime(2026, 11, 25, tzinfo=UTC)) as one:
        yield one


@pytest.fixture(autouse=True)
def no_variation_paper(monkeypatch: pytest.MonkeyPatch) -> None:
    """Variations are issued without their papers, which take most of the time of an issue; where
    papers are what is tested, a fixture of this name takes this back."""
    monkeypatch.setattr(issued_papers, "_paper_after", lambda *_: (None, ""))
