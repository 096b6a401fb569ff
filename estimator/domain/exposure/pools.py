"""Parts of one machine that share their parameters: what their chances are averaged over together.

Parts of a pool share one scale and shape, so what is not known of these makes them good or bad
together: the factors are conditioned on a grid over it. A part that is alone in its pool on this
machine is taken at its mean chance. For its own occurrence that is exact (a mixture of chances is
their mean); only how strongly it goes with its neighbours differs, by the spread of its threshold.

One pool keeps its grid as it is, up to MOST_GRID_POINTS. Beyond, and with several pools, each is
brought to a few points by Gauss quadrature of its chance: with n points its moments to the order
2 n - 1 are kept, so that two points hold exactly how often none, one or both of two like parts are
worn, and three do so for four. Where the members differ in age, each one's chance is carried by
the polynomial in the mean chance that fits it best, which keeps its mean.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from estimator.domain.exposure.own_cases import Parameters
from estimator.domain.exposure.wear_out import Age

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

MOST_GRID_POINTS = 32
MOST_POINTS = 5  # of one pool beside others
LEAST_POINTS = 2
_ALIKE = 1e-9  # chances nearer than this are one


@dataclass(frozen=True, slots=True)
class Pool:
    """A pool as far as this machine goes: the points of its members' chances."""

    name: str
    weights: tuple[float, ...]
    chances: Mapping[str, tuple[float, ...]]  # part -> chance at each point

    @property
    def importance(self) -> float:
        """How far what is not known moves the number of worn members, as a variance."""
        totals = [sum(one) for one in zip(*self.chances.values(), strict=True)]
        weighted = list(zip(self.weights, totals, strict=True))
        mean = sum(weight * total for weight, total in weighted)
        return float(sum(weight * (total - mean) ** 2 for weight, total in weighted))


@dataclass(frozen=True, slots=True)
class SharedGrid:
    """The grid over which a machine's pools are averaged together."""

    weights: tuple[float, ...]
    chances: Mapping[str, tuple[float, ...]]  # part -> chance at each point of the grid
    averaged: tuple[str, ...]  # pools averaged over the grid
    at_mean: tuple[str, ...]  # pools of several parts for which the grid had no room


def pool_on(name: str, parameters: Parameters, ages: Mapping[str, Age]) -> Pool:
    """A pool with the chances of its members on this machine."""
    weights = tuple(map(float, parameters.weights))
    chances = {
        part: tuple(map(float, parameters.chances(age))) for part, age in ages.items()
    }  # fmt: skip
    return Pool(name, weights, chances)


def shared_grid(pools: Sequence[Pool]) -> SharedGrid:
    """Points of all pools together; `pools` are those with several members on this machine.

    Where there are too many pools, those that move least are taken at their mean.
    """
    wide = sorted(
        (pool for pool in pools if len(pool.weights) > 1 and pool.importance > 0),
        key=lambda pool: (-pool.importance, pool.name),
    )
    room = 0
    while LEAST_POINTS ** (room + 1) <= MOST_GRID_POINTS and room < len(wide):
        room += 1
    taken = sorted(wide[:room], key=lambda pool: pool.name)
    if len(taken) > 1 or any(len(pool.weights) > MOST_GRID_POINTS for pool in taken):
        points = _points_each(len(taken))
        taken = [_compressed(pool, points) for pool in taken]
    weights, chances = _joined(taken)
    at_mean = tuple(sorted(pool.name for pool in wide[room:]))
    return SharedGrid(weights, chances, tuple(pool.name for pool in taken), at_mean)


def _points_each(pools: int) -> int:
    """The most points for each of so many pools that fit the grid."""
    points = MOST_POINTS
    while points > LEAST_POINTS and points**pools > MOST_GRID_POINTS:
        points -= 1
    return points


def _joined(pools: Sequence[Pool]) -> tuple[tuple[float, ...], dict[str, tuple[float, ...]]]:
    """Every combination of the pools' points, since their parameters are independent."""
    joint: list[tuple[float, tuple[int, ...]]] = [(1.0, ())]
    for pool in pools:
        joint = [
            (weight * own, (*where, index))
            for weight, where in joint
            for index, own in enumerate(pool.weights)
        ]
    chances = {
        part: tuple(row[where[place]] for _, where in joint)
        for place, pool in enumerate(pools)
        for part, row in pool.chances.items()
    }
    return tuple(weight for weight, _ in joint), chances


def _compressed(pool: Pool, points: int) -> Pool:
    """The pool on a few points that keep the moments of its members' mean chance.

    Gauss quadrature of a discrete measure by the Lanczos process (Golub and Welsch, 1969): nodes
    are eigenvalues of the tridiagonal matrix of the recurrence, weights the squared first
    components of its eigenvectors. A member's chance at a node is its projection on the
    polynomials below degree `points`, evaluated there.
    """
    import numpy as np

    weights = np.array(pool.weights)
    root = np.sqrt(weights / weights.sum())
    rows = np.array(list(pool.chances.values()))
    basis, matrix = _lanczos(rows.mean(axis=0), root, points)
    _, vectors = np.linalg.eigh(matrix)
    first = vectors[0]
    at_nodes = (rows * root) @ basis @ (vectors / first)
    kept = np.clip(at_nodes, 0.0, 1.0)
    return Pool(
        pool.name,
        tuple(map(float, first**2)),
        {part: tuple(map(float, row)) for part, row in zip(pool.chances, kept, strict=True)},
    )


def _lanczos(values: Floats, root: Floats, points: int) -> tuple[Floats, Floats]:
    """(basis, tridiagonal matrix) of the polynomials in `values` orthonormal under the measure;
    fewer than `points` where the values take fewer."""
    import numpy as np

    basis = [root / np.linalg.norm(root)]
    diagonal: list[float] = []
    beside: list[float] = []
    while True:
        step = values * basis[-1]
        diagonal.append(float(step @ basis[-1]))
        for _ in range(2):  # twice is enough to stay orthogonal
            for one in basis:
                step = step - (step @ one) * one
        size = float(np.linalg.norm(step))
        if len(basis) == points or size < _ALIKE:
            break
        beside.append(size)
        basis.append(step / size)
    matrix: Floats = np.diag(diagonal) + np.diag(beside, 1) + np.diag(beside, -1)
    return np.stack(basis, axis=1), matrix
