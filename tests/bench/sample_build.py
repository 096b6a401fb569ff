"""Speed of building the sample workshop and of issuing: `python tests/bench/sample_build.py`.

Seconds of processor time, which load on the machine stretches but less than it does the clock: what
issuing each of the three sample jobs takes by its steps (the least of several), then the building
of all 60 jobs, with the services that take most of it. The goal of the building is 20 s. Informs,
fails nothing.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from estimator.documents.quote.quote_pdf import quote_pdf  # noqa: E402
from estimator.domain.priced_job import held, priced_work, reckon  # noqa: E402
from estimator.domain.quote import build_quote  # noqa: E402
from estimator.services.open_catalogue import open_catalogue  # noqa: E402
from estimator.services.open_job import open_job  # noqa: E402
from estimator.storage.catalogue_codec import packed  # noqa: E402
from sample_db import build_workshop  # noqa: E402
from sample_db.building import bench, contracts, steps  # noqa: E402

SAMPLES = ("wheel_loader", "crawler_excavator", "landfill_compactor")
REPEATS = 4
SERVICES = (
    (steps, "issue_quote"), (bench, "priced_for_list"), (bench, "make_edit"),
    (steps, "begin_job"), (steps, "photograph"), (steps, "add_photograph"), (steps, "propose"),
    (contracts, "accept_quote"), (contracts, "work_out_contract"),
    (build_workshop, "enrol_person"), (build_workshop, "_past_work"),
)  # fmt: skip


def least(act: Callable[[], Any]) -> tuple[Any, float]:
    """(what it gives, the least of several processor times)."""
    times, given = [], None
    for _repeat in range(REPEATS):
        began = time.process_time()
        given = act()
        times.append(time.process_time() - began)
    return given, min(times)


def issuing() -> None:
    """The steps of issuing, job by job."""
    catalogue = open_catalogue()
    for name in SAMPLES:
        job, cat = open_job(ROOT / "sample_db" / name, catalogue)
        work, first = least(lambda job=job, cat=cat: priced_work(job, cat))
        _, second = least(lambda work=work: held(work))
        priced, whole = least(lambda job=job, cat=cat: reckon(job, cat))
        quote, frozen = least(lambda priced=priced: build_quote(priced))
        _, printed = least(lambda quote=quote: quote_pdf(quote))
        _, kept = least(lambda cat=cat: packed(cat.catalogue, cat.own_cases))
        told = {
            "reckoned": whole, "of it priced work": first, "of it held": second,
            "quote with other level": frozen, "print": printed, "edition kept": kept,
            "all": whole + frozen + printed + kept,
        }  # fmt: skip
        print(f"{name:20}" + "; ".join(f"{what} {one * 1000:.0f} ms" for what, one in told.items()))


def building() -> None:
    """All of the workshop, and what its services took."""
    spent: dict[str, list[float]] = {}

    def timed(name: str, act: Callable[..., Any]) -> Callable[..., Any]:
        def do(*args: Any, **options: Any) -> Any:
            began = time.process_time()
            try:
                return act(*args, **options)
            finally:
                spent.setdefault(name, []).append(time.process_time() - began)

        return do

    for module, name in SERVICES:
        setattr(module, name, timed(name, getattr(module, name)))
    with tempfile.TemporaryDirectory() as folder:
        began = time.process_time()
        now = datetime(2026, 11, 26, 8, tzinfo=UTC)
        build_workshop.build(Path(folder) / "sample.db", now, lambda _said: None)
        took = time.process_time() - began
    print(f"built in {took:.1f} s of processor time; load {os.getloadavg()[0]:.1f}; goal 20 s")
    for name, times in sorted(spent.items(), key=lambda one: -sum(one[1])):
        print(f"  {name:20} {len(times):4} times {sum(times):6.2f} s")


if __name__ == "__main__":
    issuing()
    building()
