"""The wear process of the sample workshop: plausible beside the catalogue, and not its model.

The estimator takes Weibull chances, joined by Gaussian factors. The process of the sample has
frailties, gamma paths, dirt that hits a whole circuit and parts damaged at fitting; these tests
hold what sets it apart, on a large number of machines.
"""

from __future__ import annotations

import csv
from functools import cache
from math import log
from pathlib import Path
from random import Random

import numpy as np

from estimator.services.open_catalogue import open_catalogue
from estimator.services.work_out import class_catalogue
from sample_db.building.wear_path import draw_machine, is_worn, read_processes, wear_of

TABLE = Path(__file__).parent.parent.parent / "sample_db" / "workshop" / "wear_process.csv"
PROCESSES = read_processes(TABLE)
with (TABLE.parent / "jobs.csv").open(encoding="utf-8", newline="") as jobs:
    IN_SAMPLE = sorted({row["machine_class"] for row in csv.DictReader(jobs)})
MACHINES = 3000


@cache
def worn(parts: tuple[str, ...], hours: float) -> np.ndarray:
    """Worn or not, machine by machine and part by part, all at the same hours and duty 1."""
    circuits = tuple(sorted({PROCESSES[part].circuit for part in parts} - {""}))
    rows = []
    for number in range(MACHINES):
        random = Random(f"{number} {hours}")
        machine = draw_machine("WL28", hours, 1.0, circuits, random)
        rows.append([is_worn(wear_of(PROCESSES[part], machine, random)) for part in parts])
    return np.array(rows, dtype=float)


def correlation(one: str, two: str) -> float:
    return float(np.corrcoef(worn((one, two), 13_000.0).T)[0, 1])


def test_every_part_that_wears_on_a_machine_of_the_sample_has_a_process() -> None:
    assert len(IN_SAMPLE) >= 3
    catalogue = open_catalogue()
    for class_id in IN_SAMPLE:
        cat = class_catalogue(catalogue, class_id)
        assert cat is not None
        for part in cat.wear:
            assert PROCESSES[part].circuit == cat.circuit_of(part), part


def test_shares_worn_lie_near_the_catalogues_chances_and_not_on_them() -> None:
    catalogue = open_catalogue()
    chances: dict[str, float] = {}
    for class_id in IN_SAMPLE:
        cat = class_catalogue(catalogue, class_id)
        assert cat is not None
        chances |= {
            part: float(row.starting_chance or 0)
            for part, row in cat.wear.items()
            if row.at_hours == 15_000
        }
    parts = tuple(chances)
    shares = worn(parts, 15_000.0).mean(axis=0)
    odds = np.array([log(c / (1 - c)) for c in chances.values()])
    found = np.log(shares / (1 - shares))
    apart = found - odds
    assert abs(apart.mean()) < 0.25
    assert 0.2 < apart.std() < 0.6  # plausible, not equal
    assert np.abs(apart).max() < 1.6


def test_parts_of_one_circuit_go_together_more_than_others() -> None:
    """Dirt in the oil is shared beyond the care that the whole machine gets."""
    same = np.mean([correlation("P-MPR", "P-SPR"), correlation("P-ACU", "P-MPR"),
                    correlation("P-SPB", "P-SPR")])  # fmt: skip
    other_oil = np.mean([correlation("P-MPR", "P-CON"), correlation("P-SPR", "P-HED")])
    outside = correlation("P-UFP", "P-MPR")
    assert same > other_oil + 0.05
    assert other_oil > 0.08
    assert abs(outside) < 0.06  # a dusty site is no poor care


def test_the_count_of_worn_parts_spreads_more_than_independent_parts_would() -> None:
    parts = tuple(one for one, process in PROCESSES.items() if process.circuit == "HO")
    found = worn(parts, 13_000.0)
    independent = float((found.mean(axis=0) * (1 - found.mean(axis=0))).sum())
    assert float(found.sum(axis=1).var()) > 2.5 * independent


def test_no_weibull_runs_through_it() -> None:
    """On Weibull paper, ln(-ln(1 - p)) over ln(h), one shape is one slope. Parts damaged when they
    were fitted make the slope flat at first, wear makes it steep, frailty bends it down again."""
    part = ("P-CRK",)
    hours = np.array([1_000.0, 4_000.0, 13_000.0, 30_000.0, 60_000.0])
    chance = np.array([float(worn(part, float(one)).mean()) for one in hours])
    heights = np.log(-np.log(1 - chance))
    slopes = np.diff(heights) / np.diff(np.log(hours))
    assert slopes[0] < 0.8
    assert slopes[2] > 1.6
    assert slopes[2] > 2 * slopes[0]
    assert slopes[3] < slopes[2]
