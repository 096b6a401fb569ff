"""Worn together: one factor for the machine's life and care, one for each fluid circuit.

A part is worn if a L + b C + sqrt(1 - a^2 - b^2) e > z, with L, C and e independent standard
normal and z chosen so that its chance alone is p (a Gaussian factor model). Given the factors the
parts are independent; parts that were settled, signs and circuit tests condition the factors. All
of it is done by quadrature on evenly spaced nodes, which for a smooth function of a normal is
accurate to far more places than anything that goes in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

LIFE_NODES, LIFE_REACH = 25, 5.4
CIRCUIT_NODES, CIRCUIT_REACH = 21, 5.0
LEAST_CHANCE = 1e-12


class LoadingError(ValueError):
    """Loadings whose squares add up to one or more."""


@dataclass(frozen=True, slots=True)
class Item:
    """One part as the factors see it.

    `chances` holds one chance per point of the shared grid, or a single one. `state` is None for
    a part still open, else whether it was settled as worn. `ratio` carries its own signs.
    """

    part: str
    circuit: str  # "" where it lives in no shared oil
    life: float
    shared: float  # loading on the circuit
    chances: tuple[float, ...]
    ratio: float = 1.0
    state: bool | None = None

    def __post_init__(self) -> None:
        if self.life**2 + self.shared**2 >= 1:
            raise LoadingError(f"{self.part}: loadings {self.life} and {self.shared} are too high")
        if not all(0 <= chance <= 1 for chance in self.chances):
            raise ValueError(f"{self.part}: a chance lies between 0 and 1")


@dataclass(frozen=True, slots=True)
class CircuitTest:
    """A test of a circuit's oil.

    P(alarm | c) = (1 - sp) + (se + sp - 1) Phi((c - centre) / width), c the circuit's factor.
    """

    circuit: str
    alarm: bool
    sensitivity: float
    specificity: float
    centre: float
    width: float


class FactorModel:
    """Factors conditioned on everything known; answers what is left open.

    `grid` holds the weights of the points over which pooled parts share their parameters.
    Arrays run over (grid point, life node, circuit node).
    """

    def __init__(
        self, items: Sequence[Item], tests: Sequence[CircuitTest], grid: Sequence[float] = (1.0,)
    ) -> None:
        import numpy as np

        self.items = tuple(items)
        self.grid = np.asarray(grid, dtype=float)
        self.life, self._life_weights = _nodes(LIFE_NODES, LIFE_REACH)
        self.shared, self._shared_weights = _nodes(CIRCUIT_NODES, CIRCUIT_REACH)
        self.circuits = tuple(sorted({item.circuit for item in items} - {""}))
        self._tests: dict[str, list[CircuitTest]] = {}
        for test in tests:
            self._tests.setdefault(test.circuit, []).append(test)

    def members(self, circuit: str) -> list[Item]:
        """Items of one circuit ("" for those in none)."""
        return [item for item in self.items if item.circuit == circuit]

    def worn_given(self, item: Item) -> Floats:
        """P(worn | grid, life, circuit) before its own signs; circuit axis 1 long where none."""
        import numpy as np
        from scipy.special import ndtr, ndtri

        # -ndtri(p), not ndtri(1 - p): exact in both tails, and 0 and 1 give infinities
        threshold = -ndtri(np.asarray(item.chances, dtype=float))
        result: Floats = ndtr(self._pull(item, threshold))
        return result

    def _pull(self, item: Item, threshold: Floats) -> Floats:
        """(a L + b C - z) / sqrt(1 - a^2 - b^2) over (grid, life, circuit)."""
        import numpy as np

        own = (1 - item.life**2 - item.shared**2) ** 0.5
        nodes = self.shared if item.circuit else np.zeros(1)
        pull = item.life * self.life[None, :, None] + item.shared * nodes[None, None, :]
        result: Floats = (pull - threshold[:, None, None]) / own
        return result

    def open_given(self, item: Item) -> Floats:
        """P(worn | factors) of an open item with its own signs taken in."""
        chance = self.worn_given(item)
        result: Floats = item.ratio * chance / (1 - chance + item.ratio * chance)
        return result

    def _log_likelihood(self, circuit: str) -> Floats:
        """ln P(what is known of a circuit's parts and oil | grid, life, circuit).

        In logarithms: a machine with many hours and many sound parts is so unlikely at each node
        that the plain product would vanish.
        """
        import numpy as np
        from scipy.special import ndtr

        total: Floats = np.zeros((1, len(self.life), len(self.shared) if circuit else 1))
        for item in self.members(circuit):
            if item.state is not None:
                total = total + self._log_settled(item)
            elif item.ratio != 1.0:
                chance = self.worn_given(item)
                total = total + np.log(1 - chance + item.ratio * chance)
        for test in self._tests.get(circuit, ()):
            answer = (1 - test.specificity) + (test.sensitivity + test.specificity - 1) * ndtr(
                (self.shared - test.centre) / test.width
            )
            seen = answer if test.alarm else 1 - answer
            total = total + np.log(np.maximum(seen, LEAST_CHANCE))[None, None, :]
        return total

    def _log_settled(self, item: Item) -> Floats:
        """ln P(worn) or ln P(sound) of a settled part; a chance of 0 or 1 is taken as next to it,
        since what was found was found."""
        import numpy as np
        from scipy.special import log_ndtr, ndtri

        sign = 1.0 if item.state else -1.0
        chances = np.clip(np.asarray(item.chances, dtype=float), LEAST_CHANCE, 1 - LEAST_CHANCE)
        result: Floats = log_ndtr(sign * self._pull(item, -ndtri(chances)))
        return result

    @cached_property
    def _circuit_logs(self) -> Mapping[str, Floats]:
        """ln(P(circuit node) x likelihood) for each circuit: (grid or 1, life, circuit)."""
        import numpy as np

        nodes = np.log(self._shared_weights)
        return {circuit: self._log_likelihood(circuit) + nodes for circuit in self.circuits}

    @cached_property
    def circuit_weights(self) -> Mapping[str, Floats]:
        """For each circuit P(circuit node | grid, life, evidence): (grid or 1, life, circuit)."""
        import numpy as np

        weights = {}
        for circuit, logs in self._circuit_logs.items():
            joint = np.exp(logs - logs.max(axis=2, keepdims=True))
            weights[circuit] = joint / joint.sum(axis=2, keepdims=True)
        return weights

    @cached_property
    def weights(self) -> Floats:
        """P(grid point, life node | evidence), shape (grid, life); adds up to one."""
        import numpy as np
        from scipy.special import logsumexp

        logs = np.log(self.grid)[:, None] + np.log(self._life_weights)[None, :]
        logs = logs + self._log_likelihood("")[:, :, 0]
        for circuit_logs in self._circuit_logs.values():
            logs = logs + logsumexp(circuit_logs, axis=2)
        joint = np.exp(logs - logs.max())
        result: Floats = joint / joint.sum()
        return result

    def chance(self, item: Item) -> float:
        """Chance that an open item is worn, after everything known."""
        given = self.open_given(item)
        if item.circuit:
            given = (given * self.circuit_weights[item.circuit]).sum(axis=2)
        else:
            given = given[:, :, 0]
        # Sums of weights may end a hair beyond one.
        return min(float((self.weights * given).sum()), 1.0)

    def life_moments(self) -> tuple[float, float]:
        """(mean, standard deviation) of the life factor after everything known."""
        weights = self.weights.sum(axis=0)
        mean = float((weights * self.life).sum())
        return mean, float((weights * (self.life - mean) ** 2).sum()) ** 0.5

    def circuit_moments(self, circuit: str) -> tuple[float, float]:
        """(mean, standard deviation) of a circuit's factor after everything known."""
        joint = self.weights[:, :, None] * self.circuit_weights[circuit]
        weights = joint.sum(axis=(0, 1))
        mean = float((weights * self.shared).sum())
        return mean, float((weights * (self.shared - mean) ** 2).sum()) ** 0.5


def _nodes(count: int, reach: float) -> tuple[Floats, Floats]:
    """Evenly spaced nodes on [-reach, reach] with standard-normal weights that add up to one."""
    import numpy as np

    nodes = np.linspace(-reach, reach, count)
    weights = np.exp(-0.5 * nodes**2)
    return nodes, weights / weights.sum()
