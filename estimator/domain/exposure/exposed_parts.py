"""Which parts of a job may be found worn, with their chance and what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import OwnCase, WearOut
from estimator.domain.disposition import Judgement
from estimator.domain.exposure.evidence import Sign, combined_ratio, signs_from, updated
from estimator.domain.exposure.factors import LEAST_CHANCE, CircuitTest, FactorModel, Item
from estimator.domain.exposure.own_cases import (
    Case,
    Parameters,
    as_cases,
    fine_parameters,
    pool_parameters,
)
from estimator.domain.exposure.pools import SharedGrid, pool_on, shared_grid
from estimator.domain.exposure.wear_out import Age, age_of, chance_worn, pool_of, scale_of
from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.scope import Called
from estimator.domain.wording import worded

INTERVAL = 0.80  # share of what the chance may be that lies between its low and high end


@dataclass(frozen=True, slots=True)
class Chance:
    """Chance of one part being worn, step by step, and what each step rests on.

    `low` and `high` are the ends of the central INTERVAL of the chance, given what is known of the
    part's scale and shape (the prior's spread where there are no own cases) and of its hours; its
    own signs and what the factors say of it are carried through to both ends, as odds.
    """

    part: str
    age: Age
    shape: float
    scale: float
    start: float  # from the catalogue's shape and scale alone
    prior: float  # after the workshop's own cases
    own_cases: int
    rests_on: str
    signs: tuple[Sign, ...]
    ratio: float
    own: float  # after its own signs
    after: float  # after everything known
    life: float
    shared: float
    circuit: str
    state: bool | None  # settled worn or sound by a finding; None where open
    low: float = 0.0
    high: float = 1.0


@dataclass(frozen=True, slots=True)
class Known:
    """The conditioned factors of a job, before any cost."""

    model: FactorModel
    chances: Mapping[str, Chance]
    circuit_signs: tuple[Sign, ...]
    pools_averaged: tuple[str, ...]  # pools of several parts averaged over their grid
    pools_at_mean: tuple[str, ...]  # pools of several parts at their mean, for want of room


@dataclass(frozen=True, slots=True)
class _Wear:
    """A part that counts, with what its pool says of it before anything else is known."""

    part: str
    row: WearOut
    age: Age
    state: bool | None
    pool: str
    cases: tuple[Case, ...]
    parameters: Parameters

    @property
    def mean(self) -> float:
        """Its chance averaged over the pool's parameters."""
        if len(self.parameters.weights) == 1:
            return chance_worn(self.age, scale_of(self.row), float(self.row.shape))
        return min(float(self.parameters.weights @ self.parameters.chances(self.age)), 1.0)


def know(
    job: Job,
    cat: ClassCatalogue,
    judgements: Mapping[str, Judgement],
    called: Mapping[str, Called],
    before: FactorModel | None = None,
) -> Known:
    """Condition the factors on the inspection: settled parts, signs and circuit tests. What
    `before` knows of circuits that have not changed is taken over."""
    signs = signs_from(judgements.values(), cat.tests, "part")
    circuit_signs = signs_from(judgements.values(), cat.tests, "circuit")
    wearing = list(_wearing(job, cat, called))
    grid = _shared(wearing)
    items, chances = [], {}
    for wear in wearing:
        item, chance = _item(wear, cat, signs, grid)
        items.append(item)
        chances[wear.part] = chance
    settings = cat.settings
    tests = [
        CircuitTest(
            sign.target,
            sign.alarm,
            float(cat.tests[sign.test].sensitivity),
            float(cat.tests[sign.test].specificity),
            float(settings.circuit_test_centre),
            float(settings.circuit_test_width),
        )
        for sign in circuit_signs
        if sign.used and sign.target in {item.circuit for item in items}
    ]
    model = FactorModel(items, tests, grid.weights, before)
    spreads = (float(settings.scale_spread), float(settings.shape_spread))
    for wear, item in zip(wearing, items, strict=True):
        if item.state is None:
            chance = replace(chances[wear.part], after=model.chance(item))
            low, high = _interval(wear, chance, spreads)
            chances[wear.part] = replace(chance, low=low, high=high)
    return Known(model, chances, circuit_signs, grid.averaged, grid.at_mean)


def _wearing(job: Job, cat: ClassCatalogue, called: Mapping[str, Called]) -> Iterator[_Wear]:
    """Every part that is open or was settled, in the catalogue's order."""
    spreads = (float(cat.settings.scale_spread), float(cat.settings.shape_spread))
    first: dict[str, WearOut] = {}  # parts of a pool share the shape and scale of its first row
    for row in cat.wear.values():
        first.setdefault(pool_of(row), row)
    for part, row in cat.wear.items():
        state = called[part].worn
        if state is None and not _may_be_open(part, job, cat, called[part]):
            continue
        pool = pool_of(row)
        cases = as_cases(cases_of(pool, cat))
        own = first[pool] if cases else row
        parameters = pool_parameters(scale_of(own), float(own.shape), cases, *spreads)
        yield _Wear(part, row, age_of(part, job), state, pool, cases, parameters)


def _may_be_open(part: str, job: Job, cat: ClassCatalogue, called: Called) -> bool:
    """Open: nobody measured it, and it belongs to this rebuild. Within gauge error it is
    provisional, priced, and neither open nor evidence."""
    row = cat.parts[part]
    by_hand = part in {change.row_id for change in (*job.added, *job.removed)}
    open_by_rule = row.called_by == "condition" and job.takes(row)
    return open_by_rule and not called.settled and not by_hand


def cases_of(pool: str, cat: ClassCatalogue) -> tuple[OwnCase, ...]:
    """The workshop's own teardown outcomes for a pool (or a part without one), over all classes."""
    return cat.own_cases.get(pool, ())


def _shared(wearing: list[_Wear]) -> SharedGrid:
    """The grid over the pools that have cases, several parts here, and one of them open."""
    members: dict[str, list[_Wear]] = {}
    for wear in wearing:
        if wear.cases:
            members.setdefault(wear.pool, []).append(wear)
    return shared_grid(
        [
            pool_on(name, found[0].parameters, {one.part: one.age for one in found})
            for name, found in members.items()
            if len(found) > 1 and any(one.state is None for one in found)
        ]
    )


def _item(
    wear: _Wear, cat: ClassCatalogue, signs: tuple[Sign, ...], grid: SharedGrid
) -> tuple[Item, Chance]:
    part, state, cases = wear.part, wear.state, len(wear.cases)
    scale, shape = scale_of(wear.row), float(wear.row.shape)
    start = chance_worn(wear.age, scale, shape)
    prior = wear.mean
    loading = cat.loadings.get(cat.group_of(cat.parts[part].component))
    circuit = cat.circuit_of(part)
    own_signs = tuple(sign for sign in signs if sign.target == part)
    ratio = 1.0 if state is not None else combined_ratio(own_signs, part)
    life = float(loading.life) if loading else 0.0
    shared = float(loading.circuit) if loading and circuit else 0.0
    chances = grid.chances.get(part, (prior,))
    item = Item(part, circuit if shared else "", life, shared, chances, ratio, state)
    own = updated(prior, ratio) if state is None else float(state)
    chance = Chance(
        part=part,
        age=wear.age,
        shape=shape,
        scale=scale,
        start=start,
        prior=prior,
        own_cases=cases,
        rests_on=worded("own cases ({cases})", cases=cases) if cases else fixed(wear.row.rests_on),
        signs=own_signs,
        ratio=ratio,
        own=own,
        after=own,
        life=life,
        shared=shared,
        circuit=circuit,
        state=state,
        low=own,
        high=own,
    )
    return item, chance


def _interval(wear: _Wear, chance: Chance, spreads: tuple[float, float]) -> tuple[float, float]:
    """The central interval of an open part's chance after everything known.

    What is known of scale and shape gives the ends at its age; what came after (its own signs, the
    factors) moved the chance from `prior` to `after` and moves the ends by the same odds.
    """
    scale, shape = scale_of(wear.row), float(wear.row.shape)
    low, high = _ends(scale, shape, wear.cases, spreads, wear.age)
    moved = _odds(chance.after) / _odds(chance.prior)
    return updated(low, moved), updated(high, moved)


@lru_cache(maxsize=1024)
def _ends(
    scale: float, shape: float, cases: tuple[Case, ...], spreads: tuple[float, float], age: Age
) -> tuple[float, float]:
    """Kept, since they stand while somebody types into other parts of the job."""
    return fine_parameters(scale, shape, cases, *spreads).interval(age, INTERVAL)


def _odds(chance: float) -> float:
    kept = min(max(chance, LEAST_CHANCE), 1 - LEAST_CHANCE)
    return kept / (1 - kept)
