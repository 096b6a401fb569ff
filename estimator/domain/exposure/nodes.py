"""How far apart the nodes of the factors may stand.

Factors are integrated on evenly spaced nodes weighed by the normal density (the trapezoid rule).
For a function as smooth as a normal of width s the error falls as exp(-2 (pi s / h)^2) with the
step h: half a standard deviation leaves nothing that could be seen, until something narrower comes
in. Four things do, and then the next finer step is taken:

* a high loading: seen along its own factor the edge of P(worn | factors) leaves sqrt(1 - a^2) or
  sqrt(1 - b^2) of the normal's width, and across both sqrt(1 - a^2 - b^2);
* a test of a circuit, whose answer turns within `width` of the factor;
* many settled parts: what is left to know of a factor is narrower than a standard deviation;
* many parts that hang on one factor: the total given the factor is so well known that its chance
  of passing a sum turns within a short way of the factor (`fineness`).

All in standard deviations of the factor. Error of P80 of 300 groups under five circuits, and the
largest error of a chance with forty of them settled (`tests/bench/exposure_ratios.py --nodes`):

    step of life, circuit    nodes      P80      chance
    0.2      0.2             61 x 59    -        -
    0.46     0.48            27 x 25     2e-9    4e-7
    0.6      0.65            21 x 19    -3e-7    5e-7
    0.7      0.7             19 x 17    -2e-6    6e-7
    0.9      1.0             15 x 13     2e-4    1e-4

A circuit's factor is never coarser than a usual test of it needs, so that asking what one would
say changes no node. The ends lie where next to nothing is left even when settled parts pull a
factor two deviations up.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import pi, sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from estimator.domain.exposure.items import CircuitTest, Item

    Floats = NDArray[np.float64]

LIFE_REACH, SHARED_REACH = 6.0, 5.76
LIFE_STEPS = tuple(LIFE_REACH / nodes for nodes in (13, 20, 30, 40, 60, 80))
SHARED_STEPS = tuple(SHARED_REACH / nodes for nodes in (12, 18, 24, 36, 48, 72, 120, 180))
PER_WIDTH = 1.1  # the longest step, in widths of what is integrated
EXPONENT = 32.0  # across two factors exp(-EXPONENT / 2) may be left


def evenly_spaced(step: float, reach: float) -> tuple[Floats, Floats]:
    """Evenly spaced nodes on [-reach, reach] with standard-normal weights that add up to one."""
    import numpy as np

    nodes = np.linspace(-reach, reach, 2 * round(reach / step) + 1)
    weights = np.exp(-0.5 * nodes**2)
    return nodes, weights / weights.sum()


def too_wide(step: float, width: float) -> bool:
    """Whether nodes so far apart are too few for what is so wide."""
    return step > PER_WIDTH * width


def life_steps(items: Iterable[Item], limit: float) -> tuple[float, ...]:
    """Steps of the life factor that the loadings and the limit allow, the longest first; the
    finest always."""
    width = sqrt(1 - max((item.life for item in items), default=0.0) ** 2)
    return _from(LIFE_STEPS, lambda step: step <= limit and not too_wide(step, width))


def shared_steps(
    members: Sequence[Item], tests: Sequence[CircuitTest], limit: float
) -> tuple[float, ...]:
    """Steps of a circuit's factor that its loadings, tests and the limit allow, the longest
    first; the finest always."""
    widths = [sqrt(1 - item.shared**2) for item in members]
    widths += [test.width / sqrt(1 + test.width**2) for test in tests]
    alone = min(widths, default=1.0)
    owns = [1 - item.life**2 - item.shared**2 for item in members if item.life]
    across = min(owns, default=1.0)

    def fine(step: float) -> bool:
        turns = (2 * pi / step) ** 2 + (2 * pi / LIFE_STEPS[0]) ** 2
        return step <= limit and not too_wide(step, alone) and turns * across >= EXPONENT

    return _from(SHARED_STEPS, fine)


def least_deviation(nodes: Floats, weights: Floats) -> float:
    """The least standard deviation over the last axis of `weights`, in any of its rows."""
    mean = (weights * nodes).sum(axis=-1)
    variance = (weights * nodes**2).sum(axis=-1) - mean**2
    return sqrt(max(float(variance.min()), 0.0))


def _from(steps: tuple[float, ...], fine: Callable[[float], bool]) -> tuple[float, ...]:
    while len(steps) > 1 and not fine(steps[0]):
        steps = steps[1:]
    return steps
