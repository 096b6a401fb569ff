"""How machines of the sample workshop wear: a process that is NOT the estimator's own model.

Invented, from memory; nothing here was fitted to machines. The estimator gives each part a Weibull
chance by hours and duty, and joins parts by Gaussian factors. Here nothing of that is used:

* A **machine** has a care and a site, each gamma distributed with mean 1 (a frailty). Poor care
  makes everything that runs in oil wear faster, a dusty site everything that runs outside.
* A **part** follows a wear path from 0 (new) to 1 (rebuild limit): a gamma process whose mean is

      frailty x lot x duty ^ 1.2 x (hours on the part / life) ^ growth

  `lot` is lognormal with median 1 (this casting, this fitter). Its jumps are of mean `JUMP`.
* **Dirt gets into a circuit** from time to time (a burst hose, a missed filter): a Poisson process,
  more often where care is poor. Each time every part in that oil takes an exponential step of wear,
  times its own `sensitivity`: parts of one circuit go together.
* A few parts were **damaged when they were fitted** and start well on their way.
* Parts that are **renewed in service** (edges, chains, rollers) are as old as their last renewal.

It is seen once, when the machine is stripped or inspected: worn or not by then (current status).

The lives of `workshop/wear_process.csv` were set so that a part's share of worn outcomes at the
hours of the catalogue's starting chance lies near that chance, each moved by an error of its own:
plausible beside the catalogue, and not equal to it.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random

DUTY_POWER = 1.2
JUMP = 0.05
CARE_SHAPE, SITE_SHAPE = 5.0, 6.0
DIRT_EVERY_HOURS = 11_000.0  # of a circuit, at care 1
DIRT_STEP = 0.45
DAMAGED_SHARE, DAMAGE_LOW, DAMAGE_HIGH = 0.02, 0.5, 1.1
INSIDE, OUTSIDE = "oil", "site"


@dataclass(frozen=True, slots=True)
class PartProcess:
    """How one part wears."""

    part: str
    circuit: str  # fluid circuit it runs in; "" where none
    frailty: str  # oil or site
    life_hours: float  # mean path at 1, duty and frailty 1
    growth: float
    scatter: float  # spread of ln(lot)
    sensitivity: float  # to dirt in its circuit
    renewed_every: float  # hours; 0 where it lasts until a rebuild


@dataclass(frozen=True, slots=True)
class WornMachine:
    """A machine and how it was kept: what all its parts share."""

    class_id: str
    hours: float
    duty: float
    care: float  # above 1: poor
    site: float  # above 1: dusty
    dirt: Mapping[str, tuple[tuple[float, float], ...]]  # circuit -> (hour, step) of each time


def read_processes(path: Path) -> dict[str, PartProcess]:
    """The table of wear processes, by part."""
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return {
        row["part"]: PartProcess(
            row["part"],
            row["circuit"],
            row["frailty"],
            *(
                float(row[name])
                for name in ("life_hours", "growth", "scatter", "sensitivity", "renewed_every")
            ),
        )
        for row in rows
    }


def draw_machine(
    class_id: str, hours: float, duty: float, circuits: tuple[str, ...], random: Random
) -> WornMachine:
    """A machine with a care and a site of its own, and the times dirt got into its circuits."""
    care = random.gammavariate(CARE_SHAPE, 1 / CARE_SHAPE)
    site = random.gammavariate(SITE_SHAPE, 1 / SITE_SHAPE)
    dirt = {circuit: tuple(_dirt(hours, care, random)) for circuit in circuits}
    return WornMachine(class_id, hours, duty, care, site, dirt)


def _dirt(hours: float, care: float, random: Random) -> list[tuple[float, float]]:
    found = []
    hour = random.expovariate(care / DIRT_EVERY_HOURS)
    while hour < hours:
        found.append((hour, random.expovariate(1 / DIRT_STEP)))
        hour += random.expovariate(care / DIRT_EVERY_HOURS)
    return found


def wear_of(
    process: PartProcess, machine: WornMachine, random: Random, fitted_at: float = 0.0
) -> float:
    """Wear of one part when the machine is seen: 0 new, 1 at the rebuild limit, more beyond it.

    `fitted_at` is the hour meter when the part was last renewed at an overhaul.
    """
    if process.renewed_every and machine.hours - fitted_at > process.renewed_every:
        fitted_at = machine.hours - random.random() * process.renewed_every
    run = max(machine.hours - fitted_at, 0.0)
    frailty = machine.care if process.frailty == INSIDE else machine.site
    pace = frailty * random.lognormvariate(0.0, process.scatter) * machine.duty**DUTY_POWER
    mean = pace * (run / process.life_hours) ** process.growth
    wear = random.gammavariate(mean / JUMP, JUMP) if mean > 0 else 0.0
    if random.random() < DAMAGED_SHARE:
        wear += random.uniform(DAMAGE_LOW, DAMAGE_HIGH)
    steps = machine.dirt.get(process.circuit, ())
    return wear + process.sensitivity * sum(step for hour, step in steps if hour >= fitted_at)


def is_worn(wear: float) -> bool:
    """Whether a strip finds the part worn."""
    return wear >= 1.0
