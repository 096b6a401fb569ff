"""What the workshop's own teardowns say of a pool of like parts.

Each case is current-status data: worn or not at known hours. The posterior over (scale, shape) is
taken on a grid around the starting values, prior
exp(-(ln m_scale / s)^2 / 2 - (ln m_shape / b)^2 / 2), and every part of the pool is averaged over
the grid together, since they share the parameters.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log

from estimator.domain.catalogue.work_rows import OwnCase
from estimator.domain.exposure.wear_out import Age, chance_worn

SCALE_MULTIPLES = (0.6, 0.7, 0.8, 0.9, 1.0, 1.15, 1.3, 1.5, 1.75)
SHAPE_MULTIPLES = (0.7, 1.0, 1.4)
_LEAST = 1e-12  # a case the grid calls impossible must not wipe out the grid


@dataclass(frozen=True, slots=True)
class GridPoint:
    """One (scale, shape) with its weight; the weights of a pool add up to one."""

    scale: float
    shape: float
    weight: float


def pool_grid(
    scale: float, shape: float, cases: Sequence[OwnCase], scale_spread: float, shape_spread: float
) -> tuple[GridPoint, ...]:
    """Posterior over scale and shape; a single point of weight one where there is no case."""
    if not cases:
        return (GridPoint(scale, shape, 1.0),)
    logs: list[tuple[float, float, float]] = []
    for m_scale in SCALE_MULTIPLES:
        for m_shape in SHAPE_MULTIPLES:
            prior = (
                -0.5 * (log(m_scale) / scale_spread) ** 2 - 0.5 * (log(m_shape) / shape_spread) ** 2
            )
            likelihood = _log_likelihood(scale * m_scale, shape * m_shape, cases)
            logs.append((scale * m_scale, shape * m_shape, prior + likelihood))
    most = max(weight for _, _, weight in logs)
    total = sum(exp(weight - most) for _, _, weight in logs)
    return tuple(GridPoint(one, two, exp(weight - most) / total) for one, two, weight in logs)


def _log_likelihood(scale: float, shape: float, cases: Sequence[OwnCase]) -> float:
    """In logarithms: the product over a long history would vanish."""
    total = 0.0
    for case in cases:
        age = Age(float(case.hours * case.duty), 0.0, "")
        chance = chance_worn(age, scale, shape)
        total += log(max(chance if case.worn else 1.0 - chance, _LEAST))
    return total
