"""The golden job, reckoned once, and what it must come to."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from estimator.domain.priced_job import PricedJob
from tests.golden.golden_job import Row, expected_rows, golden_priced


@pytest.fixture(scope="session")
def golden() -> PricedJob:
    """Quote Q-2041, priced."""
    return golden_priced()


@pytest.fixture(scope="session")
def expected() -> Callable[[str], tuple[Row, ...]]:
    """Rows of one of the expected files, by name."""
    return expected_rows
