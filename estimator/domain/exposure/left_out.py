"""What a total is made of besides one part: E[exp(it (total - its cost)); the part is worn].

One pass over all parts: the whole product is divided by each part's factor in turn, and where that
factor all but vanishes the product of the others is taken instead.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from estimator.domain.exposure.chunk import Chunk
from estimator.domain.exposure.distribution import Alive, Distribution, nobody_waits
from estimator.domain.exposure.open_circuit import Members, OpenCircuit
from estimator.domain.exposure.product import Divider, product

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]

MOST_TOGETHER = 32  # frequencies, so that a circuit's nodes stay in the processor's cache


def besides_worn(
    distribution: Distribution, alive: Alive = nobody_waits, chunks: int | None = None
) -> dict[str, Waves]:
    """For each open part E[exp(it (total - its own cost)); it is worn] at every frequency, or at
    those of the first so many chunks.

    `alive` is called every few milliseconds of work; what it raises passes through, and ends it.
    """
    import numpy as np

    pieces: dict[str, list[Waves]] = {part: [] for part in distribution.open_items}
    for chunk in distribution.chunks[:chunks]:
        spread = distribution.spread_transform(chunk)
        for place, circuit in enumerate(distribution.circuits):
            others = _others(distribution, chunk, place)
            for row in others:
                others[row] = others[row] * spread
            alive()
            for first in range(0, len(spread), MOST_TOGETHER):
                some = slice(first, first + MOST_TOGETHER)
                near = {row: np.ascontiguousarray(wave[:, some]) for row, wave in others.items()}
                swings = {part.parts: chunk.swings(part.costs)[:, some]
                          for part in (circuit.plain, circuit.pooled)}  # fmt: skip
                found = _OneCircuit(circuit, swings[circuit.plain.parts],
                                    swings[circuit.pooled.parts], near).besides(alive)  # fmt: skip
                for part, wave in found.items():
                    pieces[part].append(wave)
    return {part: np.concatenate(waves) for part, waves in pieces.items()}


def _others(distribution: Distribution, chunk: Chunk, place: int) -> dict[int, Waves]:
    """For each row of a circuit the weighed product of all other circuits: (life, t)."""
    import numpy as np

    elsewhere = [other for other in range(len(distribution.circuits)) if other != place]
    found = {}
    for row in distribution.rows_of(place):
        wave = distribution.over_points(chunk, elsewhere, distribution.points[:, place] == row)
        shape = (len(distribution.model.life), wave.shape[1])
        found[row] = np.broadcast_to(wave, shape)
    return found


class _OneCircuit:
    """One circuit's parts left out one by one, at some frequencies."""

    def __init__(
        self, circuit: OpenCircuit, plain: Waves, pooled: Waves, others: Mapping[int, Waves]
    ) -> None:
        self.circuit, self.plain, self.pooled, self.others = circuit, plain, pooled, others

    def besides(self, alive: Alive) -> dict[str, Waves]:
        """Each part's E[exp(it (total - its cost)); worn]."""
        import numpy as np

        circuit = self.circuit
        base = product(circuit.plain.chances, self.plain)
        found: dict[str, Waves] = {}
        gathered: Waves = np.zeros_like(base)
        for row, others in self.others.items():
            weights = circuit.row_weights(row)
            outer = (weights[:, :, None] * others[:, None, :]).reshape(base.shape)
            if circuit.pooled.parts:
                alive()
                own = circuit.row_chances(row)
                _add(found, circuit.pooled, _left_out(own, self.pooled, outer * base))
                outer = outer * product(own, self.pooled)
            gathered += outer
        alive()
        _add(found, circuit.plain, _left_out(circuit.plain.chances, self.plain, gathered, base))
        return found


def _add(found: dict[str, Waves], members: Members, waves: list[Waves]) -> None:
    for part, wave in zip(members.parts, waves, strict=True):
        found[part] = found[part] + wave if part in found else wave


def _left_out(
    chances: Floats, swings: Waves, outer: Waves, inner: Waves | None = None
) -> list[Waves]:
    """For each item sum over nodes of outer x q x product of the others' factors; `inner` is the
    product of all where it is known."""
    import numpy as np

    divider = Divider(outer * (product(chances, swings) if inner is None else inner))
    found = []
    for place, (chance, swing) in enumerate(zip(chances, swings, strict=True)):
        wave = divider.without(chance, swing)
        if wave is None:
            others = np.arange(len(chances)) != place
            rest = outer * product(chances[others], swings[others])
            wave = (rest * chance[:, None]).sum(axis=0)
        found.append(wave)
    return found
