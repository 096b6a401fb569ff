"""The golden quote, priced once, and its print read back as text."""

from __future__ import annotations

from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.priced_job import reckon
from estimator.domain.quote import Quote, build_quote
from estimator.intake.catalogue_files import read_catalogue
from estimator.intake.job_files import read_job
from tests.documents.read_back import Printed, printed

GOLDEN = Path(__file__).parent.parent / "golden"


@pytest.fixture(scope="session")
def catalogue():
    found, problems = read_catalogue(GOLDEN / "catalogue")
    assert found is not None, problems
    return found


@pytest.fixture(scope="session")
def job():
    found, problems = read_job(GOLDEN / "job")
    assert found is not None, problems
    return found


@pytest.fixture(scope="session")
def quote(catalogue, job) -> Quote:
    return build_quote(reckon(job, for_class(catalogue, job.machine.class_id)))


@pytest.fixture(scope="session")
def paper(quote) -> Printed:
    return printed(quote)
