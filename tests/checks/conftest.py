"""What several checks share: the golden job and its catalogue."""

from __future__ import annotations

import pytest

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.priced_job import PricedJob
from estimator.services import issued_papers
from tests.golden.golden_job import golden_inputs, golden_priced


@pytest.fixture(scope="session")
def golden() -> PricedJob:
    """Quote Q-2041, priced."""
    return golden_priced()


@pytest.fixture(scope="session")
def golden_catalogue() -> ClassCatalogue:
    """The golden catalogue as the wheel loader's class sees it."""
    return golden_inputs()[1]


@pytest.fixture(autouse=True)
def no_variation_paper(monkeypatch: pytest.MonkeyPatch) -> None:
    """Variations are issued without their papers, which take most of the time of an issue; where
    papers are what is tested, a fixture of this name takes this back."""
    monkeypatch.setattr(issued_papers, "_paper_after", lambda *_: (None, ""))
