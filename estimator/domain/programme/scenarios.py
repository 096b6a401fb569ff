"""How far the finish may run on: a few thousand scenarios with the same chances as the money.

Critical paths join by maxima, so the finish has no product form like the cost; it is sampled. In
each scenario the factors are drawn as the inspection left them, each open part is worn or not,
work, outwork and lead times take PERT multiples of their likely values, and an activity grows by
the longest added days of its worn parts (the wait for an answer included). A worn part draws the
way it is put right in, where several may come about, and with it that way's days. Work found while
working is drawn as a count; each of them adds its days to its activity, one after the other.

What is drawn stands in `scenario_draws`; here it becomes dates.
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
from estimator.domain.exposure.found_work import Found
from estimator.domain.programme.network import order
from estimator.domain.programme.programme import Programme
from estimator.domain.programme.scenario_draws import (
    ScenarioDraws,
    draw_scenarios,
    draw_worn_draws,
)
from estimator.domain.programme.working_time import WorkingTime

if TYPE_CHECKING:
    import numpy as np
    from numpy.random import Generator
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Flags = NDArray[np.bool_]

PERCENTILES = (0.1, 0.2, 0.5, 0.8, 0.9)


@dataclass(frozen=True, slots=True)
class Sure:
    """Working days that an activity takes longer for certain."""

    activity: str
    days: float


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


def finish_dates(  # noqa: PLR0913 - so many things move a finish
    programme: Programme,
    exposed: tuple[ExposedPart, ...],
    known: Known,
    settings: Settings,
    confidence: Decimal,
    found: tuple[Found, ...] = (),
    sure: tuple[Sure, ...] = (),
    waits: Mapping[str, float] | None = None,
    *,
    draws: ScenarioDraws | None = None,
    of_steps: bool = True,
) -> Finish:
    """Finish by share of scenarios; `confidence` is added to the usual percentiles.

    `sure` are days that are certain by now: like those of worn parts, the longest of an activity
    counts. `waits` are working days an activity stood still, on top. The draw is seeded from the
    settings, so that the same inputs give the same dates. `draws`, of this programme with at least
    these parts and found work, spare drawing again. Without `of_steps` the finish alone is told:
    `on_longest`, `step_finish` and `weeks` stay empty.
    """
    import numpy as np

    if draws is None:
        draws = draw_scenarios(programme, exposed, known, settings, found)
    added = _added_hours(exposed, known, programme, draws)
    _add_found_hours(added, found, programme, draws)
    _add_certain_hours(added, sure, waits or {}, programme)
    names = order({step.id: step.after for step in programme.steps.values()})
    finish: dict[str, Floats] = {}
    for name in names:
        earlier = [finish[one] for one in programme.steps[name].after if one in finish]
        begin = np.maximum.reduce([draws.ready[name], *earlier])
        finish[name] = begin + draws.takes[name] + added.get(name, 0.0)
    total = np.maximum.reduce(list(finish.values()))
    shares = sorted({*PERCENTILES, float(confidence)})
    hours = dict(zip(shares, np.quantile(total, shares).tolist(), strict=True))
    time = programme.time
    return Finish(
        hours,
        {share: time.finish_day(hour) for share, hour in hours.items()},
        draws.count,
        _on_longest(programme, names, finish, total) if of_steps else {},
        _step_days(finish, time) if of_steps else {},
        _weeks(total, time) if of_steps else (),
    )


def _step_days(finish: dict[str, Floats], time: WorkingTime) -> dict[str, tuple[date, date]]:
    """The days by which each step is done, 5 in 10 and 8 in 10."""
    import numpy as np

    half, most = np.quantile(np.array(list(finish.values())), [0.5, 0.8], axis=1).tolist()
    return {
        name: (time.finish_day(first), time.finish_day(second))
        for name, first, second in zip(finish, half, most, strict=True)
    }


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


def _added_hours(
    exposed: tuple[ExposedPart, ...], known: Known, programme: Programme, draws: ScenarioDraws
) -> dict[str, Floats]:
    """Hours each activity grows by: the longest added days of its parts found worn, each put right
    in the way it draws."""
    import numpy as np

    hours_per_day = programme.time.hours_per_day
    worn = draws.worn.worn(known, tuple(part.part for part in exposed))
    added: dict[str, Floats] = {}
    for part in exposed:
        drawn = _drawn_ways(part, draws)
        for number, way in enumerate(part.ways):
            takes = worn[part.part] if drawn is None else worn[part.part] & (drawn == number)
            grown = np.where(takes, way.added_days * hours_per_day, 0.0)
            added[way.activity] = np.maximum(added.get(way.activity, 0.0), grown)
    return added


def _drawn_ways(part: ExposedPart, draws: ScenarioDraws) -> NDArray[np.intp] | None:
    """Number of the way in each scenario; None where there is but one."""
    import numpy as np

    if len(part.ways) == 1:
        return None
    steps = np.cumsum([way.share for way in part.ways])[:-1]
    return np.searchsorted(steps, draws.ways[part.part], side="right")


def _add_found_hours(
    added: dict[str, Floats], found: tuple[Found, ...], programme: Programme, draws: ScenarioDraws
) -> None:
    """Adds the days of work found while working to `added`, on top of what worn parts add."""
    import numpy as np

    for one in found:
        hours = draws.found[one.key].astype(np.float64) * (
            one.added_days * programme.time.hours_per_day
        )
        before = added.get(one.activity)
        added[one.activity] = hours if before is None else before + hours


def _add_certain_hours(
    added: dict[str, Floats],
    sure: tuple[Sure, ...],
    waits: Mapping[str, float],
    programme: Programme,
) -> None:
    """Raises `added` to the longest of what is certain, and adds what activities stood still."""
    import numpy as np

    per_day = programme.time.hours_per_day
    for one in sure:
        before = added.get(one.activity, np.zeros(1))
        added[one.activity] = np.maximum(before, one.days * per_day)
    for activity, days in waits.items():
        added[activity] = added.get(activity, np.zeros(1)) + days * per_day


def draw_worn(
    known: Known, parts: tuple[str, ...], random: Generator, count: int
) -> dict[str, Flags]:
    """Worn or not, for each part and scenario, with the factors as the findings left them."""
    return draw_worn_draws(known.model.circuits, parts, random, count).worn(known, parts)


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
