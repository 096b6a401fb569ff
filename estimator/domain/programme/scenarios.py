"""How far the finish may run on: a few thousand scenarios with the same chances as the money.

Critical paths join by maxima, so the finish has no product form like the cost; it is sampled. In
each scenario the factors are drawn as the inspection left them, each open part is worn or not,
work, outwork and lead times take PERT multiples of their likely values, and an activity grows by
the longest added days of its worn parts (the wait for an answer included).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Settings
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.exposed_parts import Known
from estimator.domain.exposure.pert import Pert
from estimator.domain.programme.network import order
from estimator.domain.programme.programme import Programme, Step, parts_ready
from estimator.domain.programme.working_time import WorkingTime

if TYPE_CHECKING:
    import numpy as np
    from numpy.random import Generator
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]

PERCENTILES = (0.1, 0.2, 0.5, 0.8, 0.9)


@dataclass(frozen=True, slots=True)
class WeekShare:
    """Share of the scenarios that end in one week."""

    monday: date
    share: float


@dataclass(frozen=True, slots=True)
class Finish:
    """When the machine is ready, by share of scenarios, and what is longest how often."""

    hours: Mapping[float, float]
    days: Mapping[float, date]
    scenarios: int
    on_longest: Mapping[str, float]  # share of scenarios in which a step is on the longest path
    step_finish: Mapping[str, tuple[date, date]]  # (5 in 10, 8 in 10)
    weeks: tuple[WeekShare, ...] = ()  # every week from the first to the last that any ends in

    def longest_first(self, least: float = 0.0) -> tuple[tuple[str, float], ...]:
        """(step, share of scenarios in which it is on the longest path), the surest first; those
        at or below `least` are left out."""
        found = [(name, share) for name, share in self.on_longest.items() if share > least]
        return tuple(sorted(found, key=lambda one: (-one[1], one[0])))


def finish_dates(
    programme: Programme,
    exposed: tuple[ExposedPart, ...],
    known: Known,
    settings: Settings,
    confidence: Decimal,
) -> Finish:
    """Finish by share of scenarios; `confidence` is added to the usual percentiles.

    The draw is seeded from the settings, so that the same inputs give the same dates.
    """
    import numpy as np

    count = settings.scenarios
    random = np.random.default_rng(settings.scenario_seed)
    added = _added_hours(exposed, known, programme, random, count)
    names = order({step.id: step.after for step in programme.steps.values()})
    finish: dict[str, Floats] = {}
    for name in names:
        step = programme.steps[name]
        ready = _ready(step, programme, settings, random, count)
        waits = [finish[one] for one in step.after if one in finish]
        begin = np.maximum.reduce([ready, *waits])
        finish[name] = begin + _duration(step, settings, random, count) + added.get(name, 0.0)
    total = np.maximum.reduce(list(finish.values()))
    shares = sorted({*PERCENTILES, float(confidence)})
    hours = {share: float(np.quantile(total, share)) for share in shares}
    time = programme.time
    return Finish(
        hours,
        {share: time.finish_day(hour) for share, hour in hours.items()},
        count,
        _on_longest(programme, names, finish, total),
        {
            name: (
                time.finish_day(float(np.quantile(ends, 0.5))),
                time.finish_day(float(np.quantile(ends, 0.8))),
            )
            for name, ends in finish.items()
        },
        _weeks(total, time),
    )


def _weeks(total: Floats, time: WorkingTime) -> tuple[WeekShare, ...]:
    """How many scenarios end in each calendar week, weeks without any in between included."""
    import numpy as np

    numbers = np.ceil(total / time.hours_per_day - 1e-9).astype(int)
    ends, counts = np.unique(numbers, return_counts=True)
    mondays: dict[date, int] = {}
    for end, count in zip(ends.tolist(), counts.tolist(), strict=True):
        day = time.finish_day(end * time.hours_per_day)
        monday = day - timedelta(days=day.weekday())
        mondays[monday] = mondays.get(monday, 0) + count
    first, last = min(mondays), max(mondays)
    every = (first + timedelta(weeks=week) for week in range((last - first).days // 7 + 1))
    return tuple(WeekShare(one, mondays.get(one, 0) / len(total)) for one in every)


def _pert(spread: tuple[Decimal, Decimal, Decimal], random: Generator, count: int) -> Floats:
    cost = Pert(*(float(one) for one in spread))
    return cost.low + (cost.high - cost.low) * random.beta(cost.alpha, cost.beta, count)


def _duration(step: Step, settings: Settings, random: Generator, count: int) -> Floats:
    spread = settings.outwork_spread if step.kind == "outwork" else settings.work_spread
    return step.elapsed * _pert(spread, random, count)


def _ready(
    step: Step, programme: Programme, settings: Settings, random: Generator, count: int
) -> Floats:
    """Working hour at which a step's parts are there, in each scenario."""
    import numpy as np

    if not step.lead_weeks:
        return np.zeros(count)
    days = np.ceil(step.lead_weeks * 7 * _pert(settings.lead_spread, random, count) - 1e-9)
    each, where = np.unique(days, return_inverse=True)
    ready: Floats = np.array([parts_ready(programme.time, float(one)) for one in each])[where]
    return ready


def _added_hours(
    exposed: tuple[ExposedPart, ...],
    known: Known,
    programme: Programme,
    random: Generator,
    count: int,
) -> dict[str, Floats]:
    """Hours each activity grows by: the longest added days of its parts found worn."""
    import numpy as np

    worn = draw_worn(known, tuple(part.part for part in exposed), random, count)
    added: dict[str, Floats] = {}
    for part in exposed:
        hours = part.added_days * programme.time.hours_per_day
        grown = np.where(worn[part.part], hours, 0.0)
        added[part.activity] = np.maximum(added.get(part.activity, 0.0), grown)
    return added


def draw_worn(
    known: Known, parts: tuple[str, ...], random: Generator, count: int
) -> dict[str, Flags]:
    """Worn or not, for each part and scenario, with the factors as the findings left them."""
    import numpy as np

    model = known.model
    joint = model.weights.ravel()
    drawn = random.choice(len(joint), size=count, p=joint / joint.sum())
    point, life = np.unravel_index(drawn, model.weights.shape)
    node: dict[str, NDArray[np.intp]] = {"": np.zeros(count, dtype=np.intp)}
    for circuit in model.circuits:
        weights = model.circuit_weights[circuit]
        steps = np.cumsum(weights, axis=2)
        rows = steps[np.minimum(point, steps.shape[0] - 1), life]
        node[circuit] = (
            (random.random(count)[:, None] > rows).sum(axis=1).clip(max=weights.shape[2] - 1)
        )
    items = {item.part: item for item in model.items}
    worn = {}
    for part in parts:
        item = items[part]
        chance = model.open_given(item)
        given = chance[np.minimum(point, chance.shape[0] - 1), life, node[item.circuit]]
        worn[part] = random.random(count) < given
    return worn


def _on_longest(
    programme: Programme, names: tuple[str, ...], finish: dict[str, Floats], total: Floats
) -> dict[str, float]:
    """Share of scenarios in which each step is on the longest path.

    Traced back from the end through the predecessor that finished last, also where the step then
    waited for parts: the path says whose turn it was, the parts list says what was awaited.
    """
    import numpy as np

    on = {name: finish[name] >= total for name in names}
    for name in reversed(names):
        before = [one for one in programme.steps[name].after if one in finish]
        if not before:
            continue
        last = np.maximum.reduce([finish[one] for one in before])
        for one in before:
            on[one] = on[one] | (on[name] & (finish[one] >= last))
    return {name: float(flags.mean()) for name, flags in on.items()}
