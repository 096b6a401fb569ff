"""What a simulated job comes to: by another law than the estimator's, and the same each time."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from random import Random

import numpy as np
import pytest

from estimator.domain.calibration import LEVELS
from estimator.domain.priced_work import priced_work
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_workshop import open_workshop
from estimator.services.work_out import class_catalogue, faults_of
from sample_db.building.inspection import Seen, see_machine
from sample_db.building.true_cost import drawn, job_of, quoted_and_final
from sample_db.building.wear_path import read_processes

TABLE = Path(__file__).parent.parent.parent / "sample_db" / "workshop" / "wear_process.csv"
DAY = date(2026, 6, 1)


def machine(number: int, hours: float) -> Seen:
    cat = class_catalogue(open_catalogue(), "WL28")
    assert cat is not None
    return see_machine(cat, read_processes(TABLE), hours, 1.0, (), Random(f"true cost {number}"))


def test_costs_leave_their_range_in_two_jobs_of_ten() -> None:
    random = Random("range")
    found = np.array([drawn(4_000.0, 5_000.0, 6_250.0, random) for _ in range(20_000)])
    assert float(np.median(found)) == pytest.approx(5_000, rel=0.01)
    assert float(((found < 4_000) | (found > 6_250)).mean()) == pytest.approx(0.2, abs=0.01)


def test_a_job_is_priced_opened_and_the_same_each_time() -> None:
    def once() -> tuple[object, ...]:
        seen, random = machine(3, 13_000.0), Random("job")
        job = job_of(seen, "full", (), "S-3", DAY, open_workshop(), random)
        assert faults_of(job, open_catalogue()) == []
        return job, quoted_and_final(seen, job, random)

    (job, found), again = once(), once()
    assert (job, found) == again
    stated = [found.percentiles[level] for level in LEVELS]  # type: ignore[attr-defined]
    assert stated == sorted(stated)
    assert 0 < found.worn_parts < found.open_parts  # type: ignore[attr-defined]


def test_a_machine_without_wear_on_a_clean_site_moves_by_what_is_provisional_alone() -> None:
    seen, random = machine(4, 9_000.0), Random("sound")
    job = job_of(seen, "full", (), "S-4", DAY, open_workshop(), random)
    sound = Seen(seen.cat, replace(seen.machine, site=0.0), dict.fromkeys(seen.wear, 0.0))
    found = quoted_and_final(sound, job, random)
    work = priced_work(job, seen.cat)
    least = float((work.firm + work.provisional).amount)
    spread = sum(float((line.high - line.low).amount) for line in work.provisional_lines)
    assert found.worn_parts == 0
    assert found.base == least
    assert abs(found.final - least) <= 2 * spread + 1
