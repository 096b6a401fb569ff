"""The golden job and its catalogue, read once; sums are reckoned only where a test asks."""

from __future__ import annotations

import pytest

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.job import Job
from estimator.domain.priced_job import PricedJob
from tests.golden.golden_job import golden_inputs, golden_priced
from tests.unit.changed import Walked, walked


@pytest.fixture(scope="session")
def job() -> Job:
    return golden_inputs()[0]


@pytest.fixture(scope="session")
def cat() -> ClassCatalogue:
    """The catalogue as the golden machine's class sees it."""
    return golden_inputs()[1]


@pytest.fixture(scope="session")
def catalogue(cat: ClassCatalogue) -> Catalogue:
    return cat.catalogue


@pytest.fixture(scope="session")
def golden_walk(job: Job, cat: ClassCatalogue) -> Walked:
    return walked(job, cat)


@pytest.fixture(scope="session")
def priced() -> PricedJob:
    """The golden job reckoned through; some two seconds, once a run."""
    return golden_priced()
