"""What several checks share: the golden job and its catalogue."""

from __future__ import annotations

import pytest

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.priced_job import PricedJob
from tests.golden.golden_job import golden_inputs, golden_priced


@pytest.fixture(scope="session")
def golden() -> PricedJob:
    """Quote Q-2041, priced."""
    return golden_priced()


@pytest.fixture(scope="session")
def golden_catalogue() -> ClassCatalogue:
    """The golden catalogue as the wheel loader's class sees it."""
    return golden_inputs()[1]
