"""What the workshop's own teardowns say of a pool of like parts.

Each case is current-status data: worn or not at known hours, never taken for the hour at which it
became so. The posterior over (scale, shape) is taken on a grid around the starting values, prior
exp(-(ln m_scale / s)^2 / 2 - (ln m_shape / b)^2 / 2), and every part of the pool is averaged over
the grid together, since they share the parameters.

Few cases leave the posterior wide, and 27 fixed points hold it. Once fewer than LEAST_SPREAD of
them carry the weight (1 / sum of squares), a grid laid over the posterior itself takes their place,
so that many cases go on sharpening the answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from estimator.domain.catalogue.work_rows import OwnCase
from estimator.domain.exposure.wear_out import Age

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

SCALE_MULTIPLES = (0.6, 0.7, 0.8, 0.9, 1.0, 1.15, 1.3, 1.5, 1.75)
SHAPE_MULTIPLES = (0.7, 1.0, 1.4)
LEAST_SPREAD = 6.0
FIRST_REACH = 6.0  # prior standard deviations to each side that are searched for the posterior
FIRST_POINTS = (33, 25)  # along ln scale and ln shape
MOST_LOOKS = 6  # grids tried to find the posterior
FINE_REACH = 4.0  # posterior standard deviations to each side
FINE_POINTS = (25, 17)
KEPT = 512  # posteriors kept for the next reckoning
_LEAST = 1e-12  # a case the grid calls impossible must not wipe out the grid
_LARGEST_POWER = 100.0  # beyond, every part is worn
_CELLS = 4_000_000  # numbers held at a time

Case = tuple[float, bool]  # hours x duty, worn


@dataclass(frozen=True, slots=True)
class GridPoint:
    """One (scale, shape) with its weight; the weights of a pool add up to one."""

    scale: float
    shape: float
    weight: float


@dataclass(frozen=True, slots=True, eq=False)
class Parameters:
    """What is known of a pool's (scale, shape): points with weights that add up to one."""

    scales: Floats
    shapes: Floats
    weights: Floats

    def chances(self, age: Age) -> Floats:
        """Chance of being worn at `age`, over its doubt, at each point."""
        return _chances_at(age, self.scales, self.shapes)[0]

    def interval(self, age: Age, share: float) -> tuple[float, float]:
        """The chance's central interval: between its (1 - share) / 2 and (1 + share) / 2 points,
        with the doubt of the hours among what is not known."""
        import numpy as np

        _, chances = _chances_at(age, self.scales, self.shapes)
        over_ages = np.array([weight for _, weight in age.spread])
        weights = (self.weights[:, None] * over_ages).ravel()
        order = np.argsort(chances, axis=None, kind="stable")
        # a point's weight lies around it: half below, half above
        reached = np.cumsum(weights[order]) - 0.5 * weights[order]
        ends = np.interp([(1 - share) / 2, (1 + share) / 2], reached, chances.ravel()[order])
        return float(ends[0]), float(ends[1])


def _chances_at(age: Age, scales: Floats, shapes: Floats) -> tuple[Floats, Floats]:
    """(chance at each point averaged over the doubt, chance at each point and age)."""
    import numpy as np

    ages = np.array([now for now, _ in age.spread])
    weights = np.array([weight for _, weight in age.spread])
    before = (age.sound / scales) ** shapes
    hazard = (ages[None, :] / scales[:, None]) ** shapes[:, None] - before[:, None]
    chances: Floats = -np.expm1(-hazard)
    return chances @ weights, chances


def as_cases(cases: Iterable[OwnCase]) -> tuple[Case, ...]:
    """Cases as hours x duty and whether worn."""
    return tuple((float(case.hours * case.duty), case.worn) for case in cases)


def pool_grid(
    scale: float, shape: float, cases: Sequence[OwnCase], scale_spread: float, shape_spread: float
) -> tuple[GridPoint, ...]:
    """Posterior on the 27 points; a single point of weight one where there is no case."""
    if not cases:
        return (GridPoint(scale, shape, 1.0),)
    found = _posterior_at(
        _coarse(),
        (scale, shape),
        as_cases(cases),
        (scale_spread, shape_spread),
    )
    return tuple(
        GridPoint(float(one), float(two), float(weight))
        for one, two, weight in zip(found.scales, found.shapes, found.weights, strict=True)
    )


@lru_cache(maxsize=KEPT)
def pool_parameters(
    scale: float, shape: float, cases: tuple[Case, ...], scale_spread: float, shape_spread: float
) -> Parameters:
    """What a pool's chances are averaged over: the starting values alone where there is no case,
    27 points while they hold the posterior, else a grid over it."""
    import numpy as np

    if not cases:
        return Parameters(np.array([scale]), np.array([shape]), np.ones(1))
    coarse = _posterior_at(
        _coarse(),
        (scale, shape),
        cases,
        (scale_spread, shape_spread),
    )
    if 1 / float((coarse.weights**2).sum()) >= LEAST_SPREAD:
        return coarse
    return fine_parameters(scale, shape, cases, scale_spread, shape_spread)


@lru_cache(maxsize=KEPT)
def fine_parameters(
    scale: float, shape: float, cases: tuple[Case, ...], scale_spread: float, shape_spread: float
) -> Parameters:
    """The posterior on a fine grid laid over it; the prior itself where there is no case.

    A first grid finds where it lies. Where it lies between the points, it is looked for again on
    a closer one.
    """
    import numpy as np

    start, spreads = (scale, shape), (scale_spread, shape_spread)
    middle, deviation = np.zeros(2), np.array(spreads)
    reach = FIRST_REACH * deviation
    for _ in range(MOST_LOOKS if cases else 0):
        found = _posterior_at(_lattice(middle, reach, FIRST_POINTS), start, cases, spreads)
        steps = 2 * reach / (np.array(FIRST_POINTS) - 1)
        logs = np.log(np.stack([found.scales / scale, found.shapes / shape]))
        middle = (found.weights * logs).sum(axis=1)
        deviation = ((found.weights * (logs - middle[:, None]) ** 2).sum(axis=1)) ** 0.5
        if (deviation >= steps).all():
            break
        reach = np.maximum(FINE_REACH * deviation, 2 * steps)
    return _posterior_at(
        _lattice(middle, FINE_REACH * deviation, FINE_POINTS), start, cases, spreads
    )


def _lattice(middle: Floats, reach: Floats, points: tuple[int, int]) -> Floats:
    """Multiples of scale and shape, evenly spaced in their logarithms; a row each."""
    import numpy as np

    along = [
        np.exp(np.linspace(centre - far, centre + far, count))
        for centre, far, count in zip(middle, reach, points, strict=True)
    ]
    return np.stack(np.meshgrid(*along, indexing="ij"), axis=-1).reshape(-1, 2)


def _coarse() -> Floats:
    """The 27 fixed multiples of scale and shape."""
    import numpy as np

    return np.array([(a, b) for a in SCALE_MULTIPLES for b in SHAPE_MULTIPLES])


def _posterior_at(
    multiples: Floats,
    start: tuple[float, float],
    cases: Sequence[Case],
    spreads: tuple[float, float],
) -> Parameters:
    """Prior times likelihood at each multiple of the starting values, made to add up to one."""
    import numpy as np

    scales, shapes = multiples[:, 0] * start[0], multiples[:, 1] * start[1]
    logs = -0.5 * ((np.log(multiples) / np.array(spreads)) ** 2).sum(axis=1)
    hours = np.array([hours for hours, _ in cases], dtype=float)
    worn = np.array([worn for _, worn in cases], dtype=bool)
    step = max(_CELLS // len(multiples), 1)
    for first in range(0, len(hours), step):
        logs = logs + _log_likelihood(
            scales, shapes, hours[first : first + step], worn[first : first + step]
        )
    weights = np.exp(logs - logs.max())
    return Parameters(scales, shapes, weights / weights.sum())


def _log_likelihood(
    scales: Floats, shapes: Floats, hours: Floats, worn: NDArray[np.bool_]
) -> Floats:
    """ln P(cases | scale, shape) at each point; in logarithms, since the product over a long
    history would vanish."""
    import numpy as np

    powers = shapes[:, None] * np.log(hours[None, :] / scales[:, None])
    hazard = np.exp(np.minimum(powers, _LARGEST_POWER))
    chance = np.where(worn, -np.expm1(-hazard), np.exp(-hazard))
    total: Floats = np.log(np.maximum(chance, _LEAST)).sum(axis=1)
    return total
