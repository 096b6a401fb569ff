"""The ways of putting a worn part right with their chances, and the cost that follows from them.

A part found worn is put right in exactly one way: mostly reconditioned, say, and replaced where it
is beyond that. Its cost is a mixture, so its distribution function, transforms and moments about
zero are those of the ways weighted by their chances; the variance is E X^2 - (E X)^2 (the law of
total variance; any text on mixtures).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from estimator.domain.exposure.pert import Compound, Pert

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

WHOLE = 1e-9  # how far from one the chances of all ways may add up to
HALVINGS = 60


@dataclass(frozen=True, slots=True)
class WayWhenWorn:
    """One way of putting a part right if it is found worn.

    `share` is its chance, given worn. `cost` is at selling price, `workshop_cost` what the
    workshop itself pays for it, both in the quote's currency. `added_days` are working days.
    """

    way: str
    share: float
    cost: Pert
    workshop_cost: Pert
    added_days: float
    activity: str
    rests_on: str


@dataclass(frozen=True, slots=True)
class WaysWhenWorn(Compound):
    """Cost of a worn part as a mixture over its ways: (chance, cost) of each, the usual one first.

    Raises ValueError where the chances are no chances or do not add up to one.
    """

    ways: tuple[tuple[float, Pert], ...]

    def __post_init__(self) -> None:
        shares = [share for share, _ in self.ways]
        if not shares or not all(0 <= share <= 1 for share in shares):
            raise ValueError(f"chances of ways lie between 0 and 1, not {shares}")
        if abs(sum(shares) - 1) > WHOLE:
            raise ValueError(f"chances of the ways add up to {sum(shares):g}, not to 1")

    @property
    def low(self) -> float:
        """Lowest cost of any way that may come about."""
        return min(cost.low for share, cost in self.ways if share > 0)

    @property
    def likely(self) -> float:
        """Likely cost of the usual way."""
        return self.ways[0][1].likely

    @property
    def high(self) -> float:
        """Highest cost of any way that may come about."""
        return max(cost.high for share, cost in self.ways if share > 0)

    @property
    def mean(self) -> float:
        """Mean cost over the ways."""
        return sum(share * cost.mean for share, cost in self.ways)

    @property
    def variance(self) -> float:
        """Variance of the cost: within the ways and between them."""
        mean = self.mean
        return sum(share * (cost.variance + (cost.mean - mean) ** 2) for share, cost in self.ways)

    @property
    def perts(self) -> tuple[Pert, ...]:
        """Costs of the ways that may come about."""
        return tuple(cost for share, cost in self.ways if share > 0)

    def transforms_by(
        self, waves: Mapping[Pert, tuple[NDArray[np.complex128], NDArray[np.complex128]]]
    ) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
        """(E exp(itX), E X exp(itX)) from those of the ways."""
        import numpy as np

        points = len(waves[self.perts[0]][0])
        mass = np.zeros(points, dtype=complex)
        moment = np.zeros(points, dtype=complex)
        for share, cost in self.ways:
            if share > 0:
                own_mass, own_moment = waves[cost]
                mass += share * own_mass
                moment += share * own_moment
        return mass, moment

    def chance_below(self, total: float) -> float:
        """P(X <= total)."""
        return min(sum(share * _chance_below(cost, total) for share, cost in self.ways), 1.0)

    def reached(self, share: float) -> float:
        """The cost that is not exceeded with probability `share`, 0 to 1, by bisection.

        Raises ValueError outside that.
        """
        if not 0 <= share <= 1:
            raise ValueError(f"a share of outcomes lies between 0 and 1, not {share}")
        if share in (0, 1):
            return self.high if share else self.low
        low, high = self.low, self.high
        if self.chance_below(low) >= share:
            return low
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            if self.chance_below(middle) < share:
                low = middle
            else:
                high = middle
        return high


WornCost = Pert | WaysWhenWorn
"""What a worn part costs: one way alone, or a mixture over several."""


def worn_cost(ways: tuple[tuple[float, Pert], ...]) -> WornCost:
    """The cost of a part with these ways, the usual one first: a plain one where no other way can
    come about. Raises as `WaysWhenWorn`."""
    cost = WaysWhenWorn(ways)
    return ways[0][1] if ways[0][0] == 1 else cost


def _chance_below(cost: Pert, total: float) -> float:
    """P(X <= total) of one way: the regularised incomplete beta function."""
    from scipy.special import betainc

    if total >= cost.high:
        return 1.0
    if total < cost.low:
        return 0.0
    at = (total - cost.low) / (cost.high - cost.low)
    return float(betainc(cost.alpha, cost.beta, at))
