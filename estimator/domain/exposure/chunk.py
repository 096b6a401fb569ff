"""What is worked out at neighbouring frequencies: costs, and circuits given the life factor."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from estimator.domain.exposure.cost import Cost
from estimator.domain.exposure.pert import Compound, Pert, pert_transforms

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]

CHUNKS = (48, 32, 48, 64, 64, 128, 128, 256, 256)  # frequencies taken together


@dataclass(frozen=True, slots=True, eq=False)
class Chunk:
    """What was worked out at some neighbouring frequencies."""

    frequencies: Floats
    transforms: Mapping[Cost, tuple[Waves, Waves]]  # E exp(itX), E X exp(itX) of each cost
    circuits: Mapping[str, Mapping[int, Waves]]  # E exp(it .) of its parts by row: (life, t)

    def swings(self, costs: Sequence[Cost]) -> Waves:
        """E exp(itX) - 1 of each cost: (cost, t)."""
        import numpy as np

        if not costs:
            return np.zeros((0, len(self.frequencies)), dtype=complex)
        return np.array([self.transforms[cost][0] for cost in costs]) - 1


def transforms_of(
    costs: Mapping[Cost, None],
    frequencies: Floats,
    known: Mapping[Cost, tuple[Waves, Waves]],
) -> dict[Cost, tuple[Waves, Waves]]:
    """Transforms of each cost at some frequencies, those known taken over."""
    found = {cost: known[cost] for cost in costs if cost in known}
    missing = [cost for cost in costs if cost not in found]
    # All in one go, those of compound costs too: so short an array is mostly calls.
    perts = list(dict.fromkeys(pert for cost in missing for pert in _perts_of(cost)))
    waves: dict[Pert, tuple[Waves, Waves]] = {}
    if perts:
        masses, moments = pert_transforms(perts, frequencies)
        waves = dict(zip(perts, zip(masses, moments, strict=True), strict=True))
    for cost in missing:
        if isinstance(cost, Pert):
            found[cost] = waves[cost]
        elif isinstance(cost, Compound):
            found[cost] = cost.transforms_by(waves)
        else:
            found[cost] = cost.transforms(frequencies)
    return found


def _perts_of(cost: Cost) -> tuple[Pert, ...]:
    if isinstance(cost, Pert):
        return (cost,)
    return cost.perts if isinstance(cost, Compound) else ()
