"""How the exposure does on a process that is not its own: `python tests/bench/calibration.py`.

Draws machines whose wear, dependence and costs are deliberately other than the estimator takes them
for (`sample_db/building/wear_path.py` and `true_cost.py` say how), inspects and prices them, opens
them, and prints how often the final sum stayed inside what was quoted. Nothing is fitted and
nothing fails a build: the figures are reported as they are found.

    --jobs N        how many machines (2000); about 0.2 s each
    --processes N   how many to draw at once (1)
    --seed TEXT     another seed gives other machines (calibration)
    --learnt        let the estimator learn from the sample workshop's teardowns first
"""

from __future__ import annotations

import argparse
import os
import signal
import sys
import time
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from random import Random

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT))

from estimator.domain.calibration import (  # noqa: E402
    LEVELS,
    Inside,
    QuotedJob,
    calibrate,
    wilson,
)
from estimator.domain.catalogue.catalogue import Catalogue  # noqa: E402
from estimator.domain.new_job import JobDefaults  # noqa: E402
from estimator.services.open_catalogue import open_catalogue  # noqa: E402
from estimator.services.open_workshop import open_workshop  # noqa: E402
from estimator.services.work_out import class_catalogue, faults_of  # noqa: E402
from sample_db.building.changes import history_of  # noqa: E402
from sample_db.building.inspection import see_machine  # noqa: E402
from sample_db.building.past import CLASS_WEIGHTS, strips, teardown_outcomes  # noqa: E402
from sample_db.building.scenario import FIRST_STRIP, LAST_STRIP, SEED  # noqa: E402
from sample_db.building.true_cost import QuotedAndFinal, job_of, quoted_and_final  # noqa: E402
from sample_db.building.wear_path import PartProcess, read_processes  # noqa: E402

TABLE = ROOT / "sample_db" / "workshop" / "wear_process.csv"
DAY = date(2026, 6, 1)
DECILES = tuple(one / 10 for one in range(1, 10))


@cache
def _known(learnt: bool) -> tuple[Catalogue, JobDefaults, dict[str, PartProcess]]:
    catalogue, processes = open_catalogue(), read_processes(TABLE)
    if learnt:
        classes = {one: class_catalogue(catalogue, one) for one in catalogue.classes}
        known = {name: cat for name, cat in classes.items() if cat is not None}
        seen = strips(known, processes, FIRST_STRIP, LAST_STRIP, SEED)
        outcomes = tuple(o for one in seen for o in teardown_outcomes(one, processes, SEED))
        catalogue = replace(catalogue, outcomes=outcomes)
    return catalogue, open_workshop(), processes


def simulated(place: int, seed: str, learnt: bool = False) -> QuotedAndFinal:
    """One machine, drawn, inspected, priced and opened; the same for the same seed."""
    catalogue, defaults, processes = _known(learnt)
    random = Random(f"{seed}/{place}")
    class_id = random.choices(list(CLASS_WEIGHTS), list(CLASS_WEIGHTS.values()))[0]
    cat = class_catalogue(catalogue, class_id, DAY)
    assert cat is not None
    hours = 10 * round(min(max(random.lognormvariate(9.5, 0.3), 6000), 22000) / 10)
    duty = round(random.uniform(0.85, 1.3) * 20) / 20
    level = "full" if random.random() < 0.6 else "driveline"
    history = history_of(cat, Decimal(hours), random)
    seen = see_machine(cat, processes, hours, duty, history, random)
    job = job_of(seen, level, history, f"S-{place}", DAY, defaults, random)
    if faults := faults_of(job, catalogue):
        raise ValueError(f"machine {place} cannot be priced: {faults[0]}")
    return quoted_and_final(seen, job, random)


def _numbered(task: tuple[int, str, bool]) -> QuotedAndFinal:
    return simulated(*task)


def draw(jobs: int, processes: int, seed: str, learnt: bool) -> list[QuotedAndFinal]:
    """So many machines, or those there are when it is interrupted; says on stderr how far it is."""
    tasks = [(place, seed, learnt) for place in range(jobs)]
    found, began = [], time.monotonic()
    with get_context("spawn").Pool(processes, _left_to_the_parent) as pool:
        try:
            for one in pool.imap(_numbered, tasks, chunksize=5):
                found.append(one)
                if len(found) % 50 == 0:
                    gone = time.monotonic() - began
                    print(f"{len(found)} of {jobs}, {gone:.0f} s", file=sys.stderr, flush=True)
        except KeyboardInterrupt:
            print(f"stopped at {len(found)} of {jobs}", file=sys.stderr)
    return found


def _left_to_the_parent() -> None:
    """An interruption ends the drawing and not the report."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def as_quoted(found: Sequence[QuotedAndFinal]) -> list[QuotedJob]:
    """The jobs as the calibration takes them."""
    return [QuotedJob(one.base, one.percentiles, one.mean, one.final) for one in found]


def _line(row: Inside) -> str:
    return (
        f"  {row.stated:4.0%}  {row.inside:5d} of {row.jobs}  {row.share:6.1%}"
        f"   ({row.low:.1%} to {row.high:.1%})"
    )


def report(name: str, found: Sequence[QuotedAndFinal]) -> None:
    """Print how some jobs did."""
    result = calibrate(as_quoted(found))
    print(f"\n{name}: {result.jobs} jobs")
    print(" inside the quoted percentile (95 % interval)")
    print("\n".join(_line(row) for row in result.inside))
    print(" inside each decile of the distribution")
    for share in DECILES:
        count = sum(one.below <= share for one in found)
        print(_line(Inside(share, count, len(found), *wilson(count, len(found)))))
    print(" mean pinball loss, % of base: quoted, flat in hindsight, flat left out; differences")
    for one in result.scores:
        fair, hard = one.against_left_out, one.against_hindsight
        print(
            f"  {one.stated:4.0%}  {one.quoted:.3%}  {one.flat_hindsight:.3%} (flat "
            f"{one.flat_share:.1%})  {one.flat_left_out:.3%};  against left out {fair.mean:+.3%} "
            f"({fair.low:+.3%} to {fair.high:+.3%}), in hindsight {hard.mean:+.3%} "
            f"({hard.low:+.3%} to {hard.high:+.3%})"
        )
    mean = result.above_mean
    if mean is not None:
        print(f" final less quoted mean: {mean.mean:+.2%} of base ({mean.low:+.2%} to "
              f"{mean.high:+.2%})")  # fmt: skip
    held = sum(one.final <= one.base + one.contingency for one in found)
    print(f" inside base and contingency as quoted: {held / len(found):.1%}")
    print(f" verdict: {result.verdict.kind}")


def main() -> None:
    """Draw, and print what is found."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else "")
    options.add_argument("--jobs", type=int, default=2000)
    options.add_argument("--processes", type=int, default=1)
    options.add_argument("--seed", default="calibration")
    options.add_argument("--learnt", action="store_true")
    chosen = options.parse_args()
    found = draw(chosen.jobs, chosen.processes, chosen.seed, chosen.learnt)
    if not found:
        sys.exit("Nothing was drawn.")
    opened = sum(one.open_parts for one in found) / len(found)
    worn = sum(one.worn_parts for one in found) / len(found)
    print(f"parts left open a job {opened:.1f}, of them worn {worn:.1f}; levels {LEVELS}")
    report("As the exposure speaks of it", found)
    for class_id in CLASS_WEIGHTS:
        of_class = [one for one in found if one.class_id == class_id]
        if of_class:
            report(f"Of them {class_id}", of_class)


if __name__ == "__main__":
    main()
