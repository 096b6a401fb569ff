"""How a part's chance was reached before anything was found: each step with what it rests on."""

from __future__ import annotations

from dataclasses import replace

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import WearOut
from estimator.domain.exposure.exposed_parts import Chance, cases_of
from estimator.domain.exposure.wear_out import chance_worn, pool_of
from estimator.domain.job import ORIGINAL, Job


def chance_steps(chance: Chance, cat: ClassCatalogue, job: Job) -> list[tuple[str, str]]:
    """(what, figure and source) from the part's age to the chance its own cases leave it."""
    row = cat.wear[chance.part]
    steps = [
        ("age", f"{chance.age.now:,.0f} h x duty, {chance.age.counted_from}"),
        *_doubt(chance, job),
        ("Weibull shape", f"{chance.shape:g}"),
        ("Weibull scale", f"{chance.scale:,.1f} h{_from_chance(row)}"),
        ("from these alone", f"{chance.start:.6f}"),
    ]
    if chance.own_cases:
        told = f"{chance.prior:.6f}, {_cases_told(row, cat, job)}"
        steps.append((f"after {chance.own_cases} own cases", told))
    return steps


def _from_chance(row: WearOut) -> str:
    if row.scale_hours is not None:
        return ", as stated"
    assert row.starting_chance is not None  # one of the two: checked with the catalogue
    assert row.at_hours is not None
    chance, hours = row.starting_chance.normalize(), row.at_hours
    return f", {hours:,.0f} / (-ln(1 - {chance:f})) ^ (1 / shape)"


def _doubt(chance: Chance, job: Job) -> list[tuple[str, str]]:
    """What a meter that cannot be trusted does to the chance."""
    if chance.age.doubt <= 0:
        return []
    meter = job.machine.meter
    why = f", meter {meter}" if meter != ORIGINAL else ""
    at_meter = chance_worn(replace(chance.age, doubt=0.0), chance.scale, chance.shape)
    return [
        ("hours may lie off by", f"{chance.age.doubt:.0%} (one standard deviation){why}"),
        ("at the meter's hours", f"{at_meter:.6f}; the chance is averaged over the doubt"),
    ]


def _cases_told(row: WearOut, cat: ClassCatalogue, job: Job) -> str:
    """How many were worn, and where they are from."""
    cases = cases_of(pool_of(row), cat)
    worn = sum(case.worn for case in cases)
    until = job.learnt_until
    taken = f" and teardowns up to {until.isoformat()}" if until is not None else ""
    return f"{worn} worn; own_cases.csv{taken}, pool {pool_of(row)!r}"
