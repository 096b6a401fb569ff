"""The golden job, quote Q-2041, read from these folders, and what it must come to."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from estimator.domain.catalogue.catalogue import ClassCatalogue, for_class
from estimator.domain.job import Job
from estimator.domain.priced_job import PricedJob, reckon
from estimator.intake.catalogue_files import read_catalogue
from estimator.intake.job_files import read_job

FOLDER = Path(__file__).parent
CATALOGUE = FOLDER / "catalogue"
JOB = FOLDER / "job"
EXPECTED = FOLDER / "expected"

Row = dict[str, str]


@cache
def golden_inputs() -> tuple[Job, ClassCatalogue]:
    """The job and the catalogue as its class sees it; both must read without a fault."""
    catalogue, problems = read_catalogue(CATALOGUE)
    assert catalogue is not None, problems
    job, faults = read_job(JOB)
    assert job is not None, faults
    return job, for_class(catalogue, job.machine.class_id)


@cache
def golden_priced() -> PricedJob:
    """The golden job reckoned through; some two seconds, so once a run."""
    return reckon(*golden_inputs())


@cache
def expected_rows(name: str) -> tuple[Row, ...]:
    """Rows of expected/expected_<name>.csv."""
    with (EXPECTED / f"expected_{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


@cache
def input_rows(path: Path) -> tuple[Row, ...]:
    """Rows of one of the input files, as text."""
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))
