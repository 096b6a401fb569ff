"""What an answer would do to the chances of everything still open.

An answer is a likelihood over the factors: it tilts the weights of the circuits it speaks of, and
through the life factor and the shared grid those of all others. Parts of circuits that it does not
touch move by those alone, so that their chance given them is taken once for all answers.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from estimator.domain.exposure.circuit_given import CircuitGiven
from estimator.domain.exposure.factors import CircuitTest, FactorModel

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

Answers = Mapping[str, tuple[float, float]]
"""By part: (chance of the answer if it is worn, chance of the answer if it is sound)."""


class ChancesAfter:
    """Chances of the open parts of a model, as they are (`now`) and as any answer would leave
    them. Arrays run over (row, life, node) as in `CircuitGiven`."""

    def __init__(self, model: FactorModel) -> None:
        import numpy as np

        self.model = model
        self._circuit_of = {
            part: name for name, given in model.given.items() for part in given.worn
        }
        self._average: dict[str, Floats] = {}  # by circuit: (part, row, life)
        for name, given in model.given.items():
            own = [(given.weights * worn).sum(axis=2) for worn in given.worn.values()]
            shape = (0, len(given.first_points), len(model.life))
            rows = np.broadcast_arrays(*own, np.zeros(shape[1:]))[:-1]
            self._average[name] = np.array(rows) if rows else np.zeros(shape)
        self.now = self._chances(model.weights, ())

    def after(
        self, answers: Answers, tests: Sequence[CircuitTest] = ()
    ) -> tuple[float, dict[str, float]]:
        """(chance of these answers together, chance of each open part given them).

        Answers are about open parts by name, `tests` about circuits; raises KeyError for others.
        An answer that cannot be leaves the chances as they are.
        """
        tilts = self._tilts(answers, tests)
        likelihood = {
            name: self._over_grid(name, (self.model.given[name].weights * tilt).sum(axis=2))
            for name, tilt in tilts.items()
        }
        joint = self.model.weights
        for one in likelihood.values():
            joint = joint * one
        chance = float(joint.sum())
        if chance <= 0:
            return 0.0, dict(self.now)
        chances = self._chances(joint / chance, tuple(tilts))
        for name, tilt in tilts.items():
            rest = self.model.weights / chance
            for other, one in likelihood.items():
                if other != name:
                    rest = rest * one
            chances |= self._within(name, tilt, rest, answers)
        return min(chance, 1.0), chances

    def _chances(self, joint: Floats, but: Sequence[str]) -> dict[str, float]:
        """Chances of all parts but those of some circuits; `joint` weighs (grid point, life)."""
        found: dict[str, float] = {}
        for name, given in self.model.given.items():
            if name not in but:
                rows = self._by_row(given, joint)
                sums = (self._average[name] * rows).sum(axis=(1, 2))
                found |= {
                    part: min(float(one), 1.0) for part, one in zip(given.worn, sums, strict=True)
                }
        return found

    def _tilts(self, answers: Answers, tests: Sequence[CircuitTest]) -> dict[str, Floats]:
        """P(answers | row, life, node) for each circuit that they speak of."""
        tilts: dict[str, Floats] = {}
        for part, (if_worn, if_sound) in answers.items():
            name = self._circuit_of[part]
            worn = self.model.given[name].worn[part]
            tilts[name] = tilts.get(name, 1.0) * (if_sound + (if_worn - if_sound) * worn)
        for test in tests:
            answered = test.answered(self.model.given[test.circuit].nodes)[None, None, :]
            tilts[test.circuit] = tilts.get(test.circuit, 1.0) * answered
        return tilts

    def _within(self, name: str, tilt: Floats, rest: Floats, answers: Answers) -> dict[str, float]:
        """Chances of the parts of a circuit that was spoken of."""
        given = self.model.given[name]
        weighed = given.weights * tilt
        rows = self._by_row(given, rest)
        found = {}
        for part, chance in given.worn.items():
            worn = weighed * chance
            if part in answers:
                if_worn, if_sound = answers[part]
                worn = worn * _share(if_worn, if_sound + (if_worn - if_sound) * chance)
            found[part] = min(float((worn.sum(axis=2) * rows).sum()), 1.0)
        return found

    def _over_grid(self, name: str, array: Floats) -> Floats:
        """(row or 1, life) as (grid point or 1, life)."""
        return self.model.given[name].over_grid(array)

    @staticmethod
    def _by_row(given: CircuitGiven, joint: Floats) -> Floats:
        """(grid point, life) gathered by row: (row, life)."""
        import numpy as np

        count = len(given.first_points)
        if count == 1:
            whole: Floats = joint.sum(axis=0, keepdims=True)
            return whole
        result: Floats = np.zeros((count, joint.shape[1]))
        np.add.at(result, given.rows, joint)
        return result


def _share(part: float, whole: Floats) -> Floats:
    """part / whole; nothing where the whole is nothing."""
    import numpy as np

    result: Floats = np.divide(part, whole, out=np.zeros_like(whole), where=whole > 0)
    return result
