"""PERT costs: a beta distribution on [low, high] with its mode at likely.

alpha = 1 + 4 (likely - low) / (high - low), beta = 1 + 4 (high - likely) / (high - low);
mean (low + 4 likely + high) / 6, variance (mean - low)(high - mean) / 7 (closed forms from
memory, checked in the tests against scipy).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

NODES = 64
PANEL_NODES = 12
BLOCK = 16  # evenly spaced frequencies taken together
EVEN = 1e-12  # how far from even a step may be, of the highest frequency


@dataclass(frozen=True, slots=True)
class Pert:
    """Low, likely and high of one cost, as floats in the quote's currency."""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.likely <= self.high:
            raise ValueError(f"{self.low}, {self.likely}, {self.high} do not rise")

    @property
    def alpha(self) -> float:
        """First shape of the beta distribution; 1 where low = high."""
        width = self.high - self.low
        return 1.0 if width == 0 else 1 + 4 * (self.likely - self.low) / width

    @property
    def beta(self) -> float:
        """Second shape of the beta distribution; 1 where low = high."""
        width = self.high - self.low
        return 1.0 if width == 0 else 1 + 4 * (self.high - self.likely) / width

    @property
    def mean(self) -> float:
        """Mean cost."""
        return (self.low + 4 * self.likely + self.high) / 6

    @property
    def variance(self) -> float:
        """Variance of the cost."""
        return (self.mean - self.low) * (self.high - self.mean) / 7

    def transforms(
        self, frequencies: NDArray[np.float64]
    ) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
        """(E exp(itX), E X exp(itX)) at each frequency t (rising)."""
        import numpy as np

        width = self.high - self.low
        turns = float(frequencies[-1]) * width / 2
        points, weights = _unit_nodes(self.alpha, self.beta, turns)
        values = self.low + width * points
        if (steps := _even_steps(frequencies)) is not None:
            return _even_transforms(frequencies, steps, values, weights)
        waves = np.exp(1j * frequencies[:, None] * values[None, :])
        # Sums, not a matrix product: so small a product is slowed by the library's threads.
        return (waves * weights).sum(axis=1), (waves * (weights * values)).sum(axis=1)

    def moved(self, by: float) -> Pert:
        """The same cost shifted by `by`."""
        return Pert(self.low + by, self.likely + by, self.high + by)


def _even_steps(frequencies: NDArray[np.float64]) -> float | None:
    """The step of evenly spaced frequencies that fill whole blocks; None for others."""
    import numpy as np

    count = len(frequencies)
    if count < 2 * BLOCK or count % BLOCK:
        return None
    step = float(frequencies[-1] - frequencies[0]) / (count - 1)
    even = frequencies[0] + step * np.arange(count)
    return step if np.abs(frequencies - even).max() <= EVEN * abs(frequencies[-1]) else None


def _even_transforms(
    frequencies: NDArray[np.float64],
    step: float,
    values: NDArray[np.float64],
    weights: NDArray[np.float64],
) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
    """As `Pert.transforms`: exp(i(a + b)x) = exp(iax) exp(ibx) spares nearly all exponentials."""
    import numpy as np

    firsts = np.exp(1j * frequencies[::BLOCK, None] * values[None, :])
    within = np.exp(1j * step * np.arange(BLOCK)[:, None] * values[None, :])
    mass = np.einsum("aj,bj->ab", firsts * weights, within).ravel()
    moment = np.einsum("aj,bj->ab", firsts * (weights * values), within).ravel()
    return mass, moment


def _unit_nodes(
    alpha: float, beta: float, turns: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """(points on [0, 1], weights) that carry a beta distribution up to `turns` radians.

    Gauss-Jacobi nodes are exact while the wave turns less often than there are nodes; beyond,
    panels of Gauss-Legendre nodes follow the wave.
    """
    if turns <= 0.6 * NODES:
        return _jacobi_nodes(alpha, beta)
    return _panel_nodes(alpha, beta, int(turns / 6) + 1)


@lru_cache(maxsize=4096)
def _jacobi_nodes(alpha: float, beta: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    from scipy.special import roots_jacobi

    points, weights = roots_jacobi(NODES, beta - 1, alpha - 1)
    return (points + 1) / 2, weights / weights.sum()


@lru_cache(maxsize=64)
def _panel_nodes(
    alpha: float, beta: float, panels: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    import numpy as np

    inner, inner_weights = np.polynomial.legendre.leggauss(PANEL_NODES)
    starts = np.arange(panels)[:, None] / panels
    points = (starts + (inner[None, :] + 1) / 2 / panels).ravel()
    density = points ** (alpha - 1) * (1 - points) ** (beta - 1)
    weights = np.tile(inner_weights, panels) * density
    return points, weights / weights.sum()
