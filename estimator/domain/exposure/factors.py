"""Worn together: one factor for the machine's life and care, one for each fluid circuit.

A part is worn if a L + b C + sqrt(1 - a^2 - b^2) e > z, with L, C and e independent standard
normal and z chosen so that its chance alone is p (a Gaussian factor model). Given the factors the
parts are independent; parts that were settled, signs and circuit tests condition the factors. All
of it is done by quadrature on evenly spaced nodes, which for a smooth function of a normal is
accurate to far more places than anything that goes in (`nodes`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from math import inf
from typing import TYPE_CHECKING

from estimator.domain.exposure.circuit_given import (
    LEAST_CHANCE,
    CircuitGiven,
    Key,
    circuit_given,
    worn_given,
)
from estimator.domain.exposure.items import CircuitTest, Item, LoadingError
from estimator.domain.exposure.nodes import (
    LIFE_REACH,
    evenly_spaced,
    least_deviation,
    life_steps,
    too_wide,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

__all__ = ["LEAST_CHANCE", "CircuitTest", "FactorModel", "Item", "LoadingError"]


class FactorModel:
    """Factors conditioned on everything known; answers what is left open. It never changes.

    `grid` holds the weights of the points over which pooled parts share their parameters.
    Arrays run over (grid point, life node, circuit node). What `before` knows of a circuit is
    taken over where its parts and tests are the same; `computed` names the circuits ("" for parts
    in none) that were worked out anew. `limits` are the longest steps between nodes that what is
    made of the model allows, by circuit and under "" for the life factor.
    """

    def __init__(
        self,
        items: Sequence[Item],
        tests: Sequence[CircuitTest],
        grid: Sequence[float] = (1.0,),
        before: FactorModel | None = None,
        limits: Mapping[str, float] | None = None,
    ) -> None:
        import numpy as np

        self.limits = dict(limits or {})
        self.items = tuple(items)
        self.tests = tuple(tests)
        self.grid = np.asarray(grid, dtype=float)
        self.circuits = tuple(sorted({item.circuit for item in items} - {""}))
        known = {} if before is None else {one.key: one for one in before.given.values()}
        for step in life_steps(items, self.limits.get("", inf)):
            self.given: Mapping[str, CircuitGiven] = self._given(step, known)
            self.life, weights = evenly_spaced(step, LIFE_REACH)
            self.weights = self._joint(weights)
            if not too_wide(step, least_deviation(self.life, self.weights.sum(axis=0))):
                break
        self.computed = tuple(name for name, one in self.given.items() if one.key not in known)

    def _given(self, step: float, known: Mapping[Key, CircuitGiven]) -> dict[str, CircuitGiven]:
        """Every circuit, and the parts in none, given the factors."""
        found = {}
        for circuit in ("", *self.circuits):
            tests = tuple(test for test in self.tests if circuit and test.circuit == circuit)
            limit = self.limits.get(circuit, inf) if circuit else inf
            members = tuple(self.members(circuit))
            key = Key(circuit, members, tests, step, len(self.grid), limit)
            found[circuit] = known.get(key) or circuit_given(key)
        return found

    def _joint(self, life_weights: Floats) -> Floats:
        """P(grid point, life node | evidence), shape (grid, life); adds up to one."""
        import numpy as np

        with np.errstate(divide="ignore"):  # a grid point may weigh nothing
            logs = np.log(self.grid)[:, None] + np.log(life_weights)[None, :]
        for given in self.given.values():
            logs = logs + given.over_grid(given.evidence)
        joint = np.exp(logs - logs.max())
        result: Floats = joint / joint.sum()
        return result

    @property
    def life_step(self) -> float:
        """How far apart the nodes of the life factor are."""
        return float(self.life[1] - self.life[0])

    def finer(self, limits: Mapping[str, float], before: FactorModel | None) -> FactorModel:
        """The same model on nodes no farther apart than `limits`."""
        return FactorModel(self.items, self.tests, self.grid.tolist(), before, limits)

    def members(self, circuit: str) -> list[Item]:
        """Items of one circuit ("" for those in none)."""
        return [item for item in self.items if item.circuit == circuit]

    def worn_given(self, item: Item) -> Floats:
        """P(worn | grid, life, circuit) before its own signs; circuit axis 1 long where none."""
        one: Floats = worn_given([item], self.life, self.given[item.circuit].nodes)[0]
        return one

    def open_given(self, item: Item) -> Floats:
        """P(worn | grid, life, circuit) of an open item with its own signs taken in."""
        given = self.given[item.circuit]
        return given.over_grid(given.worn[item.part])

    @cached_property
    def circuit_weights(self) -> Mapping[str, Floats]:
        """For each circuit P(circuit node | grid, life, evidence): (grid or 1, life, circuit)."""
        found = {name: self.given[name] for name in self.circuits}
        return {name: given.over_grid(given.weights) for name, given in found.items()}

    def row_weights(self, circuit: str) -> Floats:
        """P(row, life node | evidence) of a circuit's rows (`CircuitGiven`): (row, life)."""
        import numpy as np

        given = self.given[circuit]
        result: Floats = np.zeros((len(given.first_points), len(self.life)))
        np.add.at(result, given.rows, self.weights)
        return result

    def chance(self, item: Item) -> float:
        """Chance that an open item is worn, after everything known."""
        given = self.given[item.circuit]
        worn = (given.weights * given.worn[item.part]).sum(axis=2)
        # Sums of weights may end a hair beyond one.
        return min(float((self.row_weights(item.circuit) * worn).sum()), 1.0)

    def life_moments(self) -> tuple[float, float]:
        """(mean, standard deviation) of the life factor after everything known."""
        weights = self.weights.sum(axis=0)
        mean = float((weights * self.life).sum())
        return mean, float((weights * (self.life - mean) ** 2).sum()) ** 0.5

    def circuit_moments(self, circuit: str) -> tuple[float, float]:
        """(mean, standard deviation) of a circuit's factor after everything known."""
        given = self.given[circuit]
        weights = (self.row_weights(circuit)[:, :, None] * given.weights).sum(axis=(0, 1))
        mean = float((weights * given.nodes).sum())
        return mean, float((weights * (given.nodes - mean) ** 2).sum()) ** 0.5
