"""The open parts of one circuit: what they cost together, given the machine's life and care.

Arrays over (row, life, ...) as in `circuit_given`: a row stands for all grid points at which the
circuit's parts have the same chances. The circuit's own factor is averaged out here, so that the
circuits multiply under each life node.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from estimator.domain.exposure.circuit_given import CircuitGiven, Key
from estimator.domain.exposure.cost import Cost
from estimator.domain.exposure.interval import growths
from estimator.domain.exposure.product import (
    averaged,
    pairs_of,
    product,
    product_of_pairs,
    product_of_reals,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]

HEAVY = 1e-4  # nodes lighter than this are not looked at for how fine they are

Swings = Callable[[Sequence[Cost]], "Waves"]
"""Costs -> E exp(itX) - 1 of each, over (cost, t)."""


@dataclass(frozen=True, slots=True)
class OpenKey:
    """All that the figures of a circuit's open parts rest on."""

    given: Key
    costs: tuple[tuple[str, Cost], ...]


@dataclass(frozen=True)
class Members:
    """Parts with their costs and their chances, over (part, node) or (part, row, node)."""

    parts: tuple[str, ...]
    costs: tuple[Cost, ...]
    chances: Floats


class OpenCircuit:
    """The open parts of a circuit with their costs. It never changes."""

    def __init__(self, given: CircuitGiven, costs: Mapping[str, Cost]) -> None:
        self.given = given
        self.key = OpenKey(given.key, tuple(costs.items()))
        self.name = given.key.circuit
        self.row_count = len(given.first_points)
        self.plain = self._members(costs, plain=True)
        self.pooled = self._members(costs, plain=False)

    def _members(self, costs: Mapping[str, Cost], *, plain: bool) -> Members:
        import numpy as np

        worn = self.given.worn
        parts = tuple(part for part in costs if (len(worn[part]) == 1) is plain)
        nodes = self.given.weights[0].size
        if not parts:
            return Members((), (), np.zeros((0, nodes)))
        chances = np.array([worn[part] for part in parts])
        shape = (len(parts), nodes) if plain else (len(parts), chances.shape[1], nodes)
        return Members(parts, tuple(costs[part] for part in parts), chances.reshape(shape))

    @property
    def parts(self) -> tuple[str, ...]:
        """Its open parts."""
        return self.plain.parts + self.pooled.parts

    def row_chances(self, row: int) -> Floats:
        """Chances of the pooled parts at one row: (part, life x node)."""
        chances = self.pooled.chances
        result: Floats = chances[:, row] if self.pooled.parts else chances
        return result

    def row_weights(self, row: int) -> Floats:
        """P(node | life, what is known) at one row: (life, node)."""
        weights: Floats = self.given.weights[min(row, len(self.given.weights) - 1)]
        return weights

    def waves(self, rows: Sequence[int], swings: Swings) -> dict[int, Waves]:
        """E exp(it .) of its parts by row, the circuit's own factor averaged out: (life, t)."""
        import numpy as np

        base = product_of_pairs(self.pairs, swings(self.plain.costs))
        if not self.parts:
            one = np.ones((len(self.given.evidence[0]), base.shape[1]), dtype=complex)
            return dict.fromkeys(rows, one)
        if not self.pooled.parts:
            return {row: averaged(base, self.row_weights(row)) for row in rows}
        pooled = swings(self.pooled.costs)
        return {
            row: averaged(base * product(self.row_chances(row), pooled), self.row_weights(row))
            for row in rows
        }

    @cached_property
    def pairs(self) -> Floats:
        """Chances of the plain parts as `product_of_pairs` takes them."""
        return pairs_of(self.plain.chances)

    @cached_property
    def moments(self) -> tuple[Floats, Floats]:
        """(mean, variance) of what its parts cost together, given (row, life)."""
        import numpy as np

        means, variances = [], []
        plain = _node_moments(self.plain.costs, self.plain.chances)
        for row in range(self.row_count):
            own = _node_moments(self.pooled.costs, self.row_chances(row))
            weights = self.row_weights(row)
            mean = (plain[0] + own[0]).reshape(weights.shape)
            variance = (plain[1] + own[1]).reshape(weights.shape)
            average = (weights * mean).sum(axis=1)
            means.append(average)
            variances.append((weights * (variance + mean**2)).sum(axis=1) - average**2)
        return np.array(means), np.array(variances)

    @cached_property
    def driven(self) -> tuple[Floats, Floats]:
        """(variance that the circuit's own factor brings, steepest rise of the mean along it) of
        what its parts cost together, given (row, life)."""
        import numpy as np

        step = self.given.step
        variances, rises = [], []
        plain = _node_moments(self.plain.costs, self.plain.chances)[0]
        for row in range(self.row_count):
            weights = self.row_weights(row)
            own = _node_moments(self.pooled.costs, self.row_chances(row))[0]
            mean = (plain + own).reshape(weights.shape)
            average = (weights * mean).sum(axis=1)
            variances.append((weights * mean**2).sum(axis=1) - average**2)
            if step:
                heavy = np.minimum(weights[:, 1:], weights[:, :-1]) > HEAVY
                rises.append((np.abs(np.diff(mean, axis=1)) * heavy).max(axis=1) / step)
            else:
                rises.append(np.zeros(len(weights)))
        return np.array(variances), np.array(rises)

    def worn_moments(
        self, row: int, weights: Floats, others: Floats
    ) -> dict[str, tuple[float, float]]:
        """(P(worn), E[total; worn]) of each part at one row.

        `weights` are P(row, life node), `others` the same times the mean cost of all else.
        """
        import numpy as np

        nodes = self.row_weights(row)
        pairs = ((self.plain, self.plain.chances), (self.pooled, self.row_chances(row)))
        mean = sum(_node_moments(members.costs, chances)[0] for members, chances in pairs)
        joint = (nodes * weights[:, None]).ravel()
        total = joint * mean + (nodes * others[:, None]).ravel()
        found = {}
        for members, chances in pairs:
            means = np.array([cost.mean for cost in members.costs])
            worn, sums = chances @ joint, chances @ total
            own = means * (worn - (chances**2) @ joint)
            for part, chance, first in zip(members.parts, worn, sums + own, strict=True):
                found[part] = float(chance), float(first)
        return found

    def growth(self, rates: Floats) -> Floats:
        """ln of an upper bound of E exp(s .) of its parts given (row, life): (row, life, s)."""
        import numpy as np

        plain = product_of_reals(self.pairs, np.expm1(growths(self.plain.costs, rates)))
        pooled = np.expm1(growths(self.pooled.costs, rates))
        found = []
        for row in range(self.row_count):
            weights = self.row_weights(row)
            factor = plain * product_of_reals(pairs_of(self.row_chances(row)), pooled)
            factor = factor.reshape(*weights.shape, len(rates))
            found.append(np.log(np.einsum("lcs,lc->ls", factor, weights)))
        return np.array(found)


def _node_moments(costs: Sequence[Cost], chances: Floats) -> tuple[Floats, Floats]:
    """(mean, variance) of the sum at each node."""
    import numpy as np

    means = np.array([cost.mean for cost in costs])
    squares = means**2
    second = np.array([cost.variance for cost in costs]) + squares
    mean: Floats = (chances * means[:, None]).sum(axis=0)
    variance: Floats = (chances * second[:, None] - chances**2 * squares[:, None]).sum(axis=0)
    return mean, variance
