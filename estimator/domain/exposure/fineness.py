"""Whether the nodes of the factors are fine enough for a total.

Given a factor x, the total has a mean m(x) and a deviation s(x); its chance of passing a sum turns
from nothing to one while m moves by about s, that is within s / |m'| of the factor. Averaged over
the normal factor what counts is a width w with 1 / w^2 = 1 + (m' / s)^2. For the life factor s
takes in all that the circuits bring; for a circuit's factor, all but what that factor brings.
Part of what the life factor brings counts there too: it smears the edge as well.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from estimator.domain.exposure.factors import FactorModel
from estimator.domain.exposure.nodes import LIFE_STEPS, SHARED_STEPS
from estimator.domain.exposure.open_circuit import HEAVY, OpenCircuit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Places = NDArray[np.intp]
    Flags = NDArray[np.bool_]

PER_EDGE = 1.25  # the longest step, in widths of the edge
SMEARED = 0.25  # share of what the life factor brings that is counted for a circuit: some of it
#               moves with the circuit and smears nothing


def limits_of(
    model: FactorModel,
    circuits: Sequence[OpenCircuit],
    points: Places,
    weights: Floats,
    moments: tuple[Floats, Floats],
) -> dict[str, float]:
    """Steps that the nodes should not exceed, for the factors whose nodes do: by circuit, and
    under "" for the life factor. Empty where all are fine enough.

    `points` are the rows of each circuit at each point of the grid, `weights` and `moments` (mean
    and variance of the total) over (point, life node).
    """
    import numpy as np

    mean, variance = moments
    by_life = float((weights * mean**2).sum() - (weights * mean).sum() ** 2)
    heavy = np.minimum(weights[:, 1:], weights[:, :-1]) > HEAVY
    rise = np.abs(np.diff(mean, axis=1)) / model.life_step
    found = {"": _limit(np.minimum(variance[:, 1:], variance[:, :-1]), rise, heavy, LIFE_STEPS)}
    for place, circuit in enumerate(circuits):
        if circuit.name and circuit.parts:
            own, rises = (array[points[:, place]] for array in circuit.driven)
            left = variance + SMEARED * by_life - own
            found[circuit.name] = _limit(left, rises, weights > HEAVY, SHARED_STEPS)
    now = {one.name: one.given.step for one in circuits if one.name} | {"": model.life_step}
    return {name: limit for name, limit in found.items() if now[name] > limit * 1.0001}


def _limit(variance: Floats, rise: Floats, heavy: Flags, steps: tuple[float, ...]) -> float:
    """The longest of the steps that is short enough everywhere; the shortest where none is."""
    import numpy as np

    steep = np.square(rise[heavy])
    width = 1 / np.sqrt(1 + steep / np.maximum(variance[heavy], 1e-30 + 1e-12 * steep))
    shortest = float(width.min(initial=1.0))
    return next((step for step in steps if step <= PER_EDGE * shortest), steps[-1])
