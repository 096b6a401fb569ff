"""Where a total can lie: an interval outside of which next to nothing is found.

Chernoff's bound, P(S > x) <= exp(-s x) E exp(sS), with E exp(sX) of each cost from above by
Bennett's lemma for its mean m, variance v and most h: b = h - m,
E exp(s (X - m)) <= (b^2 exp(-s v / b) + v exp(s b)) / (b^2 + v) (Bennett 1962; both from memory,
checked in the tests). It holds for any cost, so that only these four figures are asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil, log
from typing import TYPE_CHECKING

from estimator.domain.exposure.cost import Cost

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

TAIL = 1e-9  # of the outcomes may lie beyond either end
RATES = (1.5, 3.0, 4.5, 6.5, 10.0)  # s, in deviations of the total
MOST_EXPONENT = 500.0  # so that nothing overflows
WIDER = 1.25  # one period to the next: small changes of a job keep it, and so its frequencies
MARGIN, LEAST_MARGIN = 0.02, 0.001

Growth = Callable[["Floats"], "Floats"]
"""s -> ln of an upper bound of E exp(sS), for s of one sign."""


def ends(
    low: float, high: float, mean: float, deviation: float, growth: Growth
) -> tuple[float, float]:
    """(lower, upper) end of where the total can lie, nearer than `low` and `high` where safe."""
    import numpy as np

    reach = high - low
    if deviation <= 0 or reach <= min(RATES) * deviation:
        return low, high
    rates = np.minimum(np.array(RATES) / deviation, MOST_EXPONENT / reach)
    rates = np.unique(rates)
    upper = float(((growth(rates) - log(TAIL)) / rates).min())
    lower = low
    if mean - low > 4 * deviation:
        lower = float((-(growth(-rates) - log(TAIL)) / rates).max())
    return max(low, lower), min(high, upper)


def period_for(low: float, high: float, size: float) -> tuple[float, float]:
    """(start, period) of a series that holds `low` to `high` with room on either side.

    `size` is the largest sum met. Periods come in steps of WIDER, so that one finding more or
    less mostly keeps the frequencies.
    """
    margin = max(MARGIN * (high - low), LEAST_MARGIN * size)
    needed = high - low + 2 * margin
    if needed <= 0:
        return low - 0.5, 1.0
    period = WIDER ** ceil(log(needed) / log(WIDER) - 1e-9)
    return low - margin - (period - needed) / 2, period


def growths(costs: Sequence[Cost], rates: Floats) -> Floats:
    """ln of an upper bound of E exp(sX), over (cost, s); all rates of one sign."""
    import numpy as np

    if not costs:
        return np.zeros((0, len(rates)))
    up = float(rates[0]) > 0
    figures = np.array(
        [
            (cost.mean, cost.variance, (cost.high - cost.mean) if up else (cost.mean - cost.low))
            for cost in costs
        ]
    )
    mean, variance, beyond = figures[:, 0:1], figures[:, 1:2], figures[:, 2:3]
    still = (beyond <= 0) | (variance <= 0)
    beyond = np.where(still, 1.0, beyond)
    variance = np.where(still, 0.0, variance)
    s = np.abs(rates)
    bound = np.log(beyond**2 * np.exp(-s * variance / beyond) + variance * np.exp(s * beyond))
    bound = bound - np.log(beyond**2 + variance)
    result: Floats = rates * mean + np.where(still, 0.0, bound)
    return result
