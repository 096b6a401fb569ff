"""What chance decides in each scenario, drawn once for a programme and used again.

None of it depends on what was found: a finding moves the chance that a draw is held against, never
the draw. So dates before and after a finding differ by the finding alone, and the dear part of the
work (multiples of durations and lead times) is done once for each contract.

The draws of a job's whole exposure come from one stream in a fixed order: factors, circuits, parts,
then for each activity its lead time and its duration. Ways and counts of found work have streams
of their own, seeded beside it: a job without them, and the rest of one with them, keep their
scenarios.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Settings
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.exposed_parts import Known
from estimator.domain.exposure.found_work import Found, draw_counts
from estimator.domain.exposure.pert import Pert
from estimator.domain.programme.network import order
from estimator.domain.programme.programme import Programme, Step, parts_ready

if TYPE_CHECKING:
    import numpy as np
    from numpy.random import Generator
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]

OF_WAYS, OF_COUNTS = 1, 2  # numbers of the streams beside the main one


@dataclass(frozen=True, slots=True, eq=False)
class WornDraws:
    """Even draws from 0 to 1 that say which parts are worn, one for each scenario."""

    factors: Floats  # of the shared grid's point and the life factor together
    circuits: Mapping[str, Floats]
    parts: Mapping[str, Floats]

    def worn(self, known: Known, parts: tuple[str, ...]) -> dict[str, Flags]:
        """Worn or not, for each part and scenario, with the factors as findings left them."""
        import numpy as np

        model = known.model
        joint = model.weights.ravel()
        point, life = np.unravel_index(_chosen(joint, self.factors), model.weights.shape)
        node = {"": np.zeros(len(self.factors), dtype=np.intp)}
        for circuit in model.circuits:
            steps = np.cumsum(model.circuit_weights[circuit], axis=2)
            rows = steps[np.minimum(point, steps.shape[0] - 1), life]
            beyond = (self.circuits[circuit][:, None] > rows).sum(axis=1)
            node[circuit] = beyond.clip(max=steps.shape[2] - 1)
        items = {item.part: item for item in model.items}
        worn = {}
        for part in parts:
            item = items[part]
            chance = model.open_given(item)
            given = chance[np.minimum(point, chance.shape[0] - 1), life, node[item.circuit]]
            worn[part] = self.parts[part] < given
        return worn


@dataclass(frozen=True, slots=True, eq=False)
class ScenarioDraws:
    """Everything drawn for a programme, one value for each scenario. It never changes."""

    count: int
    worn: WornDraws
    ways: Mapping[str, Floats]  # 0 to 1, for parts that are put right in one of several ways
    found: Mapping[str, NDArray[np.int64]]  # how many of each kind of found work
    ready: Mapping[str, Floats]  # working hour at which a step's parts are there
    takes: Mapping[str, Floats]  # working hours a step takes with nothing found worn


def draw_worn_draws(
    circuits: tuple[str, ...], parts: tuple[str, ...], random: Generator, count: int
) -> WornDraws:
    """The draws that say which of `parts` are worn."""
    factors = random.random(count)
    return WornDraws(
        factors,
        {circuit: random.random(count) for circuit in circuits},
        {part: random.random(count) for part in parts},
    )


def draw_scenarios(
    programme: Programme,
    exposed: tuple[ExposedPart, ...],
    known: Known,
    settings: Settings,
    found: tuple[Found, ...] = (),
) -> ScenarioDraws:
    """What chance decides for a programme, seeded from the settings: the same inputs give the same
    draws. `exposed` and `found` are all that the job holds, before anything is opened."""
    import numpy as np

    count = settings.scenarios
    random = np.random.default_rng(settings.scenario_seed)
    names = tuple(part.part for part in exposed)
    worn = draw_worn_draws(known.model.circuits, names, random, count)
    of_ways = np.random.default_rng([settings.scenario_seed, OF_WAYS])
    several = [part.part for part in exposed if len(part.ways) > 1]
    of_counts = np.random.default_rng([settings.scenario_seed, OF_COUNTS])
    ready, takes = {}, {}
    for name in order({step.id: step.after for step in programme.steps.values()}):
        step = programme.steps[name]
        ready[name] = _ready(step, programme, settings, random)
        takes[name] = _takes(step, settings, random)
    return ScenarioDraws(
        count,
        worn,
        {part: of_ways.random(count) for part in several},
        {one.key: draw_counts(one.cost, of_counts, count) for one in found},
        ready,
        takes,
    )


def _chosen(weights: Floats, drawn: Floats) -> NDArray[np.intp]:
    """Places chosen by weight: as numpy's own weighted choice does."""
    steps = (weights / weights.sum()).cumsum()
    steps /= steps[-1]
    places: NDArray[np.intp] = steps.searchsorted(drawn, side="right")
    return places


def _pert(spread: tuple[Decimal, Decimal, Decimal], random: Generator, count: int) -> Floats:
    cost = Pert(*(float(one) for one in spread))
    return cost.low + (cost.high - cost.low) * random.beta(cost.alpha, cost.beta, count)


def _takes(step: Step, settings: Settings, random: Generator) -> Floats:
    spread = settings.outwork_spread if step.kind == "outwork" else settings.work_spread
    return step.elapsed * _pert(spread, random, settings.scenarios)


def _ready(step: Step, programme: Programme, settings: Settings, random: Generator) -> Floats:
    """Working hour at which a step's parts are there, in each scenario."""
    import numpy as np

    count = settings.scenarios
    if not step.lead_weeks:
        return np.zeros(count)
    days = np.ceil(step.lead_weeks * 7 * _pert(settings.lead_spread, random, count) - 1e-9)
    each, where = np.unique(days, return_inverse=True)
    ready: Floats = np.array([parts_ready(programme.time, float(one)) for one in each])[where]
    return ready
