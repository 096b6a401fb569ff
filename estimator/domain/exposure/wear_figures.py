"""How a part's chance was reached before anything was found: each step with what it rests on."""

from __future__ import annotations

from dataclasses import replace

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import WearOut
from estimator.domain.exposure.exposed_parts import Chance, cases_of
from estimator.domain.exposure.wear_out import chance_worn, pool_of
from estimator.domain.fixed_words import fixed
from estimator.domain.job import ORIGINAL, Job
from estimator.domain.wording import worded, worded_count


def chance_steps(chance: Chance, cat: ClassCatalogue, job: Job) -> list[tuple[str, str]]:
    """(what, figure and source) from the part's age to the chance its own cases leave it."""
    row = cat.wear[chance.part]
    steps: list[tuple[str, str]] = [
        (
            worded("age"),
            worded(
                "{hours:,.0f} h x duty, {counted_from}",
                hours=chance.age.now,
                counted_from=chance.age.counted_from,
            ),
        ),
        *_doubt(chance, job),
        (worded("Weibull shape"), worded("{value:g}", value=chance.shape)),
        (worded("Weibull scale"), _scale(chance, row)),
        (worded("from these alone"), worded("{value:.6f}", value=chance.start)),
    ]
    if chance.own_cases:
        told = worded(
            "{chance:.6f}, {cases}", chance=chance.prior, cases=_cases_told(row, cat, job)
        )
        after = worded_count("after {n} own case", "after {n} own cases", chance.own_cases)
        steps.append((after, told))
    return steps


def _scale(chance: Chance, row: WearOut) -> str:
    if row.scale_hours is not None:
        return worded("{scale:,.1f} h, as stated", scale=chance.scale)
    assert row.starting_chance is not None  # one of the two: checked with the catalogue
    assert row.at_hours is not None
    return worded(
        "{scale:,.1f} h, {hours:,.0f} / (-ln(1 - {chance:f})) ^ (1 / shape)",
        scale=chance.scale,
        hours=row.at_hours,
        chance=row.starting_chance.normalize(),
    )


def _doubt(chance: Chance, job: Job) -> list[tuple[str, str]]:
    """What a meter that cannot be trusted does to the chance."""
    if chance.age.doubt <= 0:
        return []
    meter = job.machine.meter
    doubt = worded("{share:.0%} (one standard deviation)", share=chance.age.doubt)
    if meter != ORIGINAL:
        doubt = worded("{doubt}, meter {meter}", doubt=doubt, meter=fixed(meter))
    at_meter = chance_worn(replace(chance.age, doubt=0.0), chance.scale, chance.shape)
    return [
        (worded("hours may lie off by"), doubt),
        (
            worded("at the meter's hours"),
            worded("{chance:.6f}; the chance is averaged over the doubt", chance=at_meter),
        ),
    ]


def _cases_told(row: WearOut, cat: ClassCatalogue, job: Job) -> str:
    """How many were worn, and where they are from."""
    cases = cases_of(pool_of(row), cat)
    worn = sum(case.worn for case in cases)
    until = job.learnt_until
    if until is None:
        return worded("{worn} worn; own_cases.csv, pool {pool!r}", worn=worn, pool=pool_of(row))
    return worded(
        "{worn} worn; own_cases.csv and teardowns up to {until}, pool {pool!r}",
        worn=worn,
        until=until,
        pool=pool_of(row),
    )
