"""Which parts of a job may be found worn, with their chance and what it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import OwnCase, WearOut
from estimator.domain.disposition import Judgement
from estimator.domain.exposure.evidence import Sign, combined_ratio, signs_from, updated
from estimator.domain.exposure.factors import CircuitTest, FactorModel, Item
from estimator.domain.exposure.own_cases import GridPoint, pool_grid
from estimator.domain.exposure.wear_out import Age, age_of, chance_worn, scale_of
from estimator.domain.job import Job
from estimator.domain.scope import Called

MOST_GRID_POINTS = 1000


@dataclass(frozen=True, slots=True)
class Chance:
    """Chance of one part being worn, step by step, and what each step rests on."""

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


@dataclass(frozen=True, slots=True)
class Known:
    """The conditioned factors of a job, before any cost."""

    model: FactorModel
    chances: Mapping[str, Chance]
    circuit_signs: tuple[Sign, ...]
    pools_averaged: tuple[str, ...]  # pools averaged over their grid
    pools_at_mean: tuple[str, ...]  # pools taken at their mean chance, for want of room


def know(
    job: Job, cat: ClassCatalogue, judgements: Mapping[str, Judgement], called: Mapping[str, Called]
) -> Known:
    """Condition the factors on the inspection: settled parts, signs and circuit tests."""
    signs = signs_from(judgements.values(), cat.tests, "part")
    circuit_signs = signs_from(judgements.values(), cat.tests, "circuit")
    pools = _pools(cat)
    items, chances = [], {}
    for part, wear in cat.wear.items():
        row = cat.parts[part]
        state = called[part].worn
        if state is None and not _may_be_open(part, job, cat, called[part]):
            continue
        item, chance = _item(part, wear, job, cat, signs, pools, state)
        if row.called_by == "level" and state is None:
            continue
        items.append(item)
        chances[part] = chance
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
    model = FactorModel(items, tests, [weight for weight, _ in pools.joint])
    for item in items:
        if item.state is None:
            chances[item.part] = replace(chances[item.part], after=model.chance(item))
    return Known(model, chances, circuit_signs, pools.averaged, pools.at_mean)


def _may_be_open(part: str, job: Job, cat: ClassCatalogue, called: Called) -> bool:
    """Open: nobody measured it, and it belongs to this rebuild. Within gauge error it is
    provisional, priced, and neither open nor evidence."""
    row = cat.parts[part]
    by_hand = part in {change.row_id for change in (*job.added, *job.removed)}
    open_by_rule = row.called_by == "condition" and job.level in row.levels
    return open_by_rule and not called.settled and not by_hand


@dataclass(frozen=True, slots=True)
class _Pools:
    """Grids of the pools with cases of their own, and the grid over which they are averaged."""

    grids: Mapping[str, tuple[GridPoint, ...]]
    joint: tuple[tuple[float, Mapping[str, int]], ...]  # (weight, {pool: index into its grid})

    @property
    def averaged(self) -> tuple[str, ...]:
        """Pools averaged over their grid."""
        return tuple(self.joint[0][1])

    @property
    def at_mean(self) -> tuple[str, ...]:
        """Pools taken at their mean chance, since the joint grid has no room for them."""
        return tuple(p for p in self.grids if p not in self.averaged and len(self.grids[p]) > 1)


def _pools(cat: ClassCatalogue) -> _Pools:
    """Parts of a pool share one shape and scale: those of its first wear-out row."""
    first: dict[str, WearOut] = {}
    for row in cat.wear.values():
        if row.pool:
            first.setdefault(row.pool, row)
    settings = cat.settings
    grids = {
        pool: pool_grid(
            scale_of(row),
            float(row.shape),
            cases_of(pool, cat),
            float(settings.scale_spread),
            float(settings.shape_spread),
        )
        for pool, row in first.items()
    }
    return _Pools(grids, _joint_grid(grids))


def cases_of(pool: str, cat: ClassCatalogue) -> tuple[OwnCase, ...]:
    """The workshop's own teardown outcomes for a pool, over all classes."""
    return cat.own_cases.get(pool, ())


def _joint_grid(
    grids: Mapping[str, tuple[GridPoint, ...]],
) -> tuple[tuple[float, Mapping[str, int]], ...]:
    """Points of all pools' grids together.

    Pools come in order of name; a pool whose grid would make more than MOST_GRID_POINTS points is
    left out and taken at its mean chance.
    """
    joint: list[tuple[float, dict[str, int]]] = [(1.0, {})]
    for pool in sorted(grids):
        grid = grids[pool]
        if len(grid) == 1 or len(joint) * len(grid) > MOST_GRID_POINTS:
            continue
        joint = [
            (weight * point.weight, {**where, pool: index})
            for weight, where in joint
            for index, point in enumerate(grid)
        ]
    return tuple(joint)


def _item(
    part: str,
    wear: WearOut,
    job: Job,
    cat: ClassCatalogue,
    signs: tuple[Sign, ...],
    pools: _Pools,
    state: bool | None,
) -> tuple[Item, Chance]:
    age = age_of(part, job)
    scale, shape = scale_of(wear), float(wear.shape)
    start = chance_worn(age, scale, shape)
    cases = len(cases_of(wear.pool, cat)) if wear.pool else 0
    over_grid = [
        chance_worn(age, point.scale, point.shape) for point in pools.grids.get(wear.pool, ())
    ]
    prior = start
    chances: tuple[float, ...] = (start,)
    if cases:
        weights = [point.weight for point in pools.grids[wear.pool]]
        prior = sum(w * c for w, c in zip(weights, over_grid, strict=True))
        chances = (prior,)
        if wear.pool in pools.averaged:
            chances = tuple(over_grid[where[wear.pool]] for _, where in pools.joint)
    group = cat.group_of(cat.parts[part].component)
    loading = cat.loadings.get(group)
    circuit = cat.circuit_of(part)
    own_signs = tuple(sign for sign in signs if sign.target == part)
    ratio = 1.0 if state is not None else combined_ratio(own_signs, part)
    life = float(loading.life) if loading else 0.0
    shared = float(loading.circuit) if loading and circuit else 0.0
    item = Item(part, circuit if shared else "", life, shared, chances, ratio, state)
    own = updated(prior, ratio) if state is None else float(state)
    chance = Chance(
        part,
        age,
        shape,
        scale,
        start,
        prior,
        cases,
        f"own cases ({cases})" if cases else wear.rests_on,
        own_signs,
        ratio,
        own,
        own,
        life,
        shared,
        circuit,
        state,
    )
    return item, chance
