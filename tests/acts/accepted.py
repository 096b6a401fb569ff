"""The worked job accepted in a record, made once and copied for every test that changes it."""

from __future__ import annotations

import tempfile
from functools import lru_cache
from pathlib import Path

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import open_record
from tests.acts.contracts import accept_golden
from tests.acts.workshop import NOW

NUMBER = "Q-2041"
GOLDEN_CATALOGUE = Path(__file__).parent.parent / "golden" / "catalogue"


def accepted_at(path: Path) -> str:
    """Put a record with the accepted job at `path`; the job's number."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(_accepted())
    return NUMBER


@lru_cache(maxsize=1)
def _accepted() -> bytes:
    catalogue: Catalogue = open_catalogue(GOLDEN_CATALOGUE)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "record.db"
        with open_record(path, NOW) as record:
            assert accept_golden(record, catalogue) == NUMBER
        return path.read_bytes()
