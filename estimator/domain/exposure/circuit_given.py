"""One fluid circuit given the factors: what is known of it, and the chances of its open parts.

Everything is evaluated on the nodes of the life factor and of the circuit's own factor
(`nodes`); parts in no circuit stand in circuit "", whose factor is a single node.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from estimator.domain.exposure.nodes import (
    LIFE_REACH,
    SHARED_REACH,
    evenly_spaced,
    least_deviation,
    shared_steps,
    too_wide,
)

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from estimator.domain.exposure.items import CircuitTest, Item

    Floats = NDArray[np.float64]
    Places = NDArray[np.intp]

LEAST_CHANCE = 1e-12
USUAL_LIFE = 3.2  # beyond, a circuit's factor is pressed against the end of its nodes
_TINY = 1e-300


@dataclass(frozen=True, slots=True)
class Key:
    """All that a circuit's figures rest on: two of the same key have the same figures."""

    circuit: str
    members: tuple[Item, ...]
    tests: tuple[CircuitTest, ...]
    life_step: float
    points: int  # of the grid
    limit: float  # the longest step of its own factor


@dataclass(frozen=True, slots=True, eq=False)
class CircuitGiven:
    """What is known of one circuit on every node; it never changes.

    Grid points at which all its members have the same chances share a row. `weights` is
    P(circuit node | row, life node, what is known of it), shape (row, life, node); `evidence` is
    ln P(what is known of it | row, life node), shape (row, life); `rows` gives the row of each
    grid point; `worn` holds for each open part P(worn | row or 1, life, node) with its own signs.
    """

    key: Key
    rows: Places
    first_points: tuple[int, ...]  # the first grid point of each row
    nodes: Floats
    weights: Floats
    evidence: Floats
    worn: Mapping[str, Floats]

    @property
    def step(self) -> float:
        """How far apart the nodes of its factor are; 0 where there is but one."""
        return float(self.nodes[1] - self.nodes[0]) if len(self.nodes) > 1 else 0.0

    def over_grid(self, array: Floats) -> Floats:
        """An array by row as one by grid point (or of length 1 where there is one row)."""
        result: Floats = array if array.shape[0] == 1 else array[self.rows]
        return result


def circuit_given(key: Key) -> CircuitGiven:
    """Work a circuit out."""
    import numpy as np

    rows, firsts = _rows(key.members, key.points)
    members = [_at_rows(item, firsts) for item in key.members]
    life, _ = evenly_spaced(key.life_step, LIFE_REACH)
    for step in shared_steps(members, key.tests, key.limit) if key.circuit else (1.0,):
        nodes, node_weights = np.zeros(1), np.ones(1)
        if key.circuit:
            nodes, node_weights = evenly_spaced(step, SHARED_REACH)
        logs = np.log(node_weights) + _log_likelihood(members, key.tests, life, nodes)
        most = logs.max(axis=2, keepdims=True)
        joint = np.exp(logs - most)
        total = joint.sum(axis=2, keepdims=True)
        weights = joint / total
        usual = weights[:, abs(life) <= USUAL_LIFE]
        if not key.circuit or not too_wide(step, least_deviation(nodes, usual)):
            break
    evidence = (most + np.log(total))[:, :, 0]
    worn = _worn(members, life, nodes)
    return CircuitGiven(key, rows, firsts, nodes, weights, evidence, worn)


def _rows(members: Sequence[Item], points: int) -> tuple[Places, tuple[int, ...]]:
    """(row of each grid point, first grid point of each row): points at which every member has
    the same chance are one."""
    import numpy as np

    pooled = [item.chances for item in members if len(item.chances) > 1]
    if not pooled:
        return np.zeros(points, dtype=np.intp), (0,)
    seen: dict[tuple[float, ...], int] = {}
    firsts: list[int] = []
    rows = []
    for point, chances in enumerate(zip(*pooled, strict=True)):
        if chances not in seen:
            seen[chances] = len(firsts)
            firsts.append(point)
        rows.append(seen[chances])
    return np.array(rows, dtype=np.intp), tuple(firsts)


def _at_rows(item: Item, firsts: Sequence[int]) -> Item:
    if len(item.chances) == 1:
        return item
    return replace(item, chances=tuple(item.chances[point] for point in firsts))


def _pull(items: Sequence[Item], life: Floats, nodes: Floats, least: float = 0.0) -> Floats:
    """(a L + b C - z) / sqrt(1 - a^2 - b^2) over (item, row, life, node); the items have as many
    chances each. Chances below `least` or as near to one are taken as that."""
    import numpy as np
    from scipy.special import ndtri

    loads = np.array([(item.life, item.shared) for item in items])
    own = np.sqrt(1 - (loads**2).sum(axis=1))
    chances = np.array([item.chances for item in items])
    # -ndtri(p), not ndtri(1 - p): exact in both tails, and 0 and 1 give infinities
    edge = -ndtri(np.clip(chances, least, 1 - least) if least else chances) / own[:, None]
    a, b = loads.T / own
    pull = a[:, None, None] * life[:, None] + b[:, None, None] * nodes
    result: Floats = pull[:, None] - edge[:, :, None, None]
    return result


def worn_given(items: Sequence[Item], life: Floats, nodes: Floats) -> Floats:
    """P(worn | row, life, node) of each item before its own signs, stacked."""
    from scipy.special import ndtr

    result: Floats = ndtr(_pull(items, life, nodes))
    return result


def with_signs(chance: Floats, ratio: float) -> Floats:
    """P(worn | factors) with the part's own signs taken in."""
    import numpy as np

    result: Floats = ratio * chance / np.maximum(1 - chance + ratio * chance, _TINY)
    return result


def _worn(members: Sequence[Item], life: Floats, nodes: Floats) -> dict[str, Floats]:
    found: dict[str, Floats] = {}
    for alike in _alike([item for item in members if item.state is None]):
        for item, chance in zip(alike, worn_given(alike, life, nodes), strict=True):
            found[item.part] = chance if item.ratio == 1 else with_signs(chance, item.ratio)
    return found


def _alike(items: Sequence[Item]) -> list[list[Item]]:
    """Items with a single chance together, the others one by one."""
    plain = [item for item in items if len(item.chances) == 1]
    return ([plain] if plain else []) + [[item] for item in items if len(item.chances) > 1]


def _log_likelihood(
    members: Sequence[Item], tests: Sequence[CircuitTest], life: Floats, nodes: Floats
) -> Floats:
    """ln P(what is known of a circuit's parts and oil | row, life, node).

    In logarithms: a machine with many hours and many sound parts is so unlikely at each node
    that the plain product would vanish. A settled part's chance of 0 or 1 is taken as next to it,
    since what was found was found.
    """
    import numpy as np
    from scipy.special import log_ndtr

    total: Floats = np.zeros((1, len(life), len(nodes)))
    for alike in _alike([item for item in members if item.state is not None]):
        pull = _pull(alike, life, nodes, LEAST_CHANCE)
        signs = np.array([1.0 if item.state else -1.0 for item in alike])
        total = total + log_ndtr(signs[:, None, None, None] * pull).sum(axis=0)
    for item in members:
        if item.state is None and item.ratio != 1.0:
            chance = worn_given([item], life, nodes)[0]
            total = total + np.log(np.maximum(1 - chance + item.ratio * chance, LEAST_CHANCE))
    for test in tests:
        total = total + np.log(np.maximum(test.answered(nodes), LEAST_CHANCE))
    return total
