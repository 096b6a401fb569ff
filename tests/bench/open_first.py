"""Speed of ranking every look, as ratios in one process: `python tests/bench/open_first.py`.

Subject and floor take turns, garbage collection off, the minimum of each counts. The floor is one
reckoning of the contingency from nothing; beside it stands the long way, that reckoning once for
every ending of every look. The goal on the machine this was written on: 60 looks in two seconds.
Nothing here fails a build.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from estimator.domain.exposure.distribution import Distribution  # noqa: E402
from estimator.domain.exposure.factors import FactorModel  # noqa: E402
from estimator.domain.priced_job import PricedJob  # noqa: E402
from estimator.services.open_catalogue import open_catalogue  # noqa: E402
from estimator.services.price_job import price_job  # noqa: E402
from estimator.services.show_open_first import show_open_first  # noqa: E402
from tests.bench.ratios import compare  # noqa: E402

REPEATS = 5
LOOKS = 60


def from_nothing(priced: PricedJob) -> float:
    """The contingency's percentile, reckoned as if nothing were known of it."""
    known = priced.contingency.distribution
    assert known is not None
    model = FactorModel(known.model.items, known.model.tests, known.model.grid)
    return Distribution(model, known.costs, known.spreads).percentile(0.8)


def longest_silence(priced: PricedJob) -> float:
    """Seconds between two tellings of how far it is: how long a cancel may wait."""
    told = [time.perf_counter()]
    show_open_first(priced, lambda _done, _of: told.append(time.perf_counter()))
    return max(after - before for before, after in zip(told, told[1:], strict=False))


def main() -> None:
    """Print one line for each sample job."""
    catalogue = open_catalogue(None)
    for folder in sorted(one.parent for one in (ROOT / "sample_db").glob("*/job.toml")):
        priced = price_job(folder, catalogue)
        looks = len(show_open_first(priced).rows)
        subject, floor = compare(
            lambda priced=priced: show_open_first(priced),
            lambda priced=priced: from_nothing(priced),
            REPEATS,
        )
        print(
            f"{folder.name:24} {looks} looks {subject:6.3f} s, {LOOKS} at that pace "
            f"{subject * LOOKS / looks:6.3f} s; {subject / floor:5.1f} x one reckoning, the long "
            f"way at least {2 * looks} x; a cancel waits {longest_silence(priced):.3f} s at most"
        )


if __name__ == "__main__":
    main()
