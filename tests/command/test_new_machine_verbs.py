"""A recorded job beside a new machine, without a screen."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator.domain.job_edit import edit_between
from estimator.services.edit_job import make_edit
from estimator.services.keep_job import recorded_job
from estimator.services.open_record import open_record
from tests.acts.workshop import ESTIMATOR, NOW, keep_golden
from tests.new_machines import FULL, one

GOLDEN = Path(__file__).parent.parent / "golden"
CATALOGUE = ("--catalogue", str(GOLDEN / "catalogue"), "--quiet")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, ...]]:
    """Words that name a job with a new machine, and its record."""
    path = tmp_path_factory.mktemp("shop") / "record.db"
    with open_record(path, datetime(2026, 11, 25, tzinfo=UTC)) as record:
        number = keep_golden(record)
        job = recorded_job(record, number)[0]
        edit = edit_between(job, replace(job, new_machine=FULL), "new machine")
        make_edit(record, number, edit, ESTIMATOR, NOW)
    yield number, "--record", str(path), *CATALOGUE


def test_it_is_told_and_written(run: Callable, shop: tuple[str, ...], tmp_path: Path) -> None:
    to = tmp_path / "page.pdf"
    done = run("compare-new", *shop, "--to", str(to))
    assert done.code == 0
    assert "60.6 % of a new machine (usual 50 to 70 %), in GBP before tax." in done.out
    assert "Less per hour: new" in done.out
    assert f"The page is in {to}" in done.out
    (page,) = PdfReader(BytesIO(to.read_bytes())).pages
    assert "Rebuild or buy new" in page.extract_text()
    assert run("compare-new", *shop, "--to", str(to)).code == 4
    assert run("compare-new", *shop, "--to", str(to), "--replace").code == 0


def test_every_figure_is_there_as_data(run: Callable, shop: tuple[str, ...]) -> None:
    data = json.loads(run("compare-new", *shop, "--json").out)
    assert data["share_of_new"] == "0.606"
    assert data["rebuilt"]["price"] == {
        "low": "244629.00", "likely": "267364.00", "high": "275946.00",
    }  # fmt: skip
    assert data["cheaper_per_hour"] == "new"
    assert data["carbon"]["fuel"]["gwp"] == "IPCC AR5, 100 years"
    assert data["inputs"]["hire_week"] == {
        "likely": "2150", "origin": "customer", "source": "hire list",
    }  # fmt: skip
    assert data["moves"][0]["own_range"] in (True, False)
    assert "pdf" not in data


def test_wrong_words_are_answered(run: Callable, shop: tuple[str, ...], tmp_path: Path) -> None:
    assert run("compare-new", "Q-9999", *shop[1:]).code == 3
    assert run("compare-new", *shop, "--to", str(tmp_path / "page.txt")).code == 4
    assert run("compare-new", *shop, "--locale", "xx").code == 3


def test_faults_of_the_inputs_are_listed(run: Callable, tmp_path: Path) -> None:
    path = tmp_path / "record.db"
    with open_record(path, NOW) as record:
        number = keep_golden(record)
        job = recorded_job(record, number)[0]
        wrong = replace(FULL, interest=one("2"), currency="EUR")
        edit = edit_between(job, replace(job, new_machine=wrong), "new machine")
        make_edit(record, number, edit, ESTIMATOR, NOW)
    done = run("compare-new", number, "--record", str(path), *CATALOGUE)
    assert done.code == 1
    assert "[new_machine] interest" in done.err
    assert "the job is in GBP" in done.err
