"""PERT costs: a beta distribution on [low, high] with its mode at likely.

alpha = 1 + 4 (likely - low) / (high - low), beta = 1 + 4 (high - likely) / (high - low);
mean (low + 4 likely + high) / 6, variance (mean - low)(high - mean) / 7 (closed forms from
memory, checked in the tests against scipy).
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MOST_TURNS = 10.0  # radians, either side of the middle, up to which the moments' series serves
LAST_TERM = 1e-18
SHAPES = 6  # alpha + beta of every PERT
NODES = 64
PANEL_NODES = 12


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
        masses, moments = pert_transforms([self], frequencies)
        return masses[0], moments[0]

    def reached(self, share: float) -> float:
        """The cost that is not exceeded with probability `share`, 0 to 1: the inverse of the
        regularised incomplete beta function. Raises ValueError outside that."""
        from scipy.special import betaincinv

        if not 0 <= share <= 1:
            raise ValueError(f"a share of outcomes lies between 0 and 1, not {share}")
        if self.low == self.high:
            return self.low
        return self.low + (self.high - self.low) * float(betaincinv(self.alpha, self.beta, share))

    def moved(self, by: float) -> Pert:
        """The same cost shifted by `by`."""
        return Pert(self.low + by, self.likely + by, self.high + by)


class Compound(ABC):
    """A cost made of PERT costs, so that the transforms of many are worked out in one go."""

    __slots__ = ()

    @property
    @abstractmethod
    def perts(self) -> tuple[Pert, ...]:
        """The costs it is made of."""

    @abstractmethod
    def transforms_by(
        self, waves: Mapping[Pert, tuple[NDArray[np.complex128], NDArray[np.complex128]]]
    ) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
        """(E exp(itX), E X exp(itX)) from those of `perts` at the same frequencies."""

    def transforms(
        self, frequencies: NDArray[np.float64]
    ) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
        """(E exp(itX), E X exp(itX)) at each frequency t (rising)."""
        masses, moments = pert_transforms(self.perts, frequencies)
        return self.transforms_by(
            dict(zip(self.perts, zip(masses, moments, strict=True), strict=True))
        )


def pert_transforms(
    costs: Sequence[Pert], frequencies: NDArray[np.float64]
) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
    """(E exp(itX), E X exp(itX)) of each cost at each frequency t: two arrays over (cost, t)."""
    import numpy as np

    low, likely, high = np.array([(cost.low, cost.likely, cost.high) for cost in costs]).T
    half, middle = (high - low) / 2, (low + high) / 2
    turns = half[:, None] * frequencies
    masses = np.empty(turns.shape, dtype=complex)
    moments = np.empty(turns.shape, dtype=complex)
    near = turns[:, -1] <= MOST_TURNS
    if near.any():
        width = np.where(high > low, high - low, 1.0)
        # alpha - beta; alpha + beta is 6 for every PERT (where low = high, any will do)
        tilt = 4 * (2 * likely - low - high) / width
        mass, moment = _from_moments(tilt[near], turns[near])
        turned = np.exp(1j * (middle[near, None] * frequencies))
        masses[near] = mass * turned
        moments[near] = middle[near, None] * masses[near] + half[near, None] * moment * turned
    for place in np.flatnonzero(~near).tolist():
        masses[place], moments[place] = _from_nodes(costs[place], frequencies)
    return masses, moments


def _from_moments(
    tilt: NDArray[np.float64], turns: NDArray[np.float64]
) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
    """(E exp(ihY), E Y exp(ihY)) by power series, Y the beta variable brought to [-1, 1].

    Its moments follow from (k + alpha + beta) m_(k+1) = (alpha - beta) m_k + k m_(k-1), which is
    the integral of d/dy [y^k (1 - y^2) density].
    """
    import numpy as np

    before, now = np.zeros_like(tilt), np.ones_like(tilt)
    term = np.ones_like(turns)  # h^k / k!
    sums = np.zeros((4, *turns.shape))  # mass and moment: real, imaginary
    most, size, k = float(turns.max()), 1.0, 0
    while True:
        after = (tilt * now + k * before) / (k + SHAPES)
        sign = -1.0 if k % 4 in (2, 3) else 1.0
        sums[k % 2] += (sign * now)[:, None] * term
        sums[2 + k % 2] += (sign * after)[:, None] * term
        if size < LAST_TERM:
            break
        before, now, k = now, after, k + 1
        term *= turns / k
        size *= most / k
    return sums[0] + 1j * sums[1], sums[2] + 1j * sums[3]


def _from_nodes(
    cost: Pert, frequencies: NDArray[np.float64]
) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
    """As `Pert.transforms`, where the wave turns often within the spread of the cost."""
    import numpy as np

    width = cost.high - cost.low
    points, weights = _unit_nodes(cost.alpha, cost.beta, float(frequencies[-1]) * width / 2)
    values = cost.low + width * points
    waves = np.exp(1j * frequencies[:, None] * values[None, :])
    # Sums, not a matrix product: so small a product is slowed by the library's threads.
    return (waves * weights).sum(axis=1), (waves * (weights * values)).sum(axis=1)


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
