"""What the total would be if a look or test gave a certain answer: its chance, mean and transform.

For an answer A that speaks of parts and circuits, E[exp(it total); A] is the same product as the
total's own, with P(A | worn) q exp(itX) + P(A | sound)(1 - q) in the place of a part's factor, and
the circuit's weights times P(A | its factor) where a test of the circuit answers. Only the circuits
that are spoken of are worked out again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from estimator.domain.exposure.chunk import Chunk
from estimator.domain.exposure.circuit_given import circuit_given
from estimator.domain.exposure.distribution import Alive, Distribution, nobody_waits
from estimator.domain.exposure.factors import CircuitTest
from estimator.domain.exposure.left_out import besides_worn
from estimator.domain.exposure.open_circuit import Members, OpenCircuit
from estimator.domain.exposure.product import averaged, product
from estimator.domain.exposure.series import settled

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]

IMPOSSIBLE = 1e-12  # a chance below which nothing is said of what would follow

Answers = Mapping[str, tuple[float, float]]
"""What a look says of parts: P(answer | worn), P(answer | sound) of each."""


@dataclass(frozen=True, slots=True, eq=False)
class Outcome:
    """What follows from an answer.

    `chance` is P(answer), `mean` E[total | answer] and `transform` E[exp(it total) | answer] at
    the distribution's frequencies. The total is all of it, whatever the answer settles included.
    Of an answer that cannot be, chance 0, mean and transform are those of the distribution.
    """

    chance: float
    mean: float
    transform: Waves


@dataclass(frozen=True, slots=True, eq=False)
class Opened:
    """What follows if a part is opened: found worn or found sound. `apart` is found worn with its
    own cost left out of the total: what is still open then."""

    worn: Outcome
    sound: Outcome
    apart: Outcome


def worn_and_sound(distribution: Distribution, alive: Alive = nobody_waits) -> dict[str, Opened]:
    """For each open part what follows if it is opened; all parts in one pass.

    `alive` is called every few milliseconds of work; what it raises passes through.
    """
    sums, mean, found = _worn_moments(distribution), distribution.moments.mean, {}
    for part, besides in besides_worn(distribution, alive).items():
        cost = distribution.costs[part]
        chance, first = sums[part]
        worn = besides * distribution.masses_of(cost)
        found[part] = Opened(
            _outcome(distribution, chance, first, worn),
            _outcome(distribution, 1 - chance, mean - first, distribution.transform - worn),
            _outcome(distribution, chance, first - chance * cost.mean, besides),
        )
    return found


def by_answer(worn: Outcome, sound: Outcome, if_worn: float, if_sound: float) -> Outcome:
    """What follows from an answer about one part, given with P(answer | worn) = `if_worn` and
    P(answer | sound) = `if_sound`."""
    weights = if_worn * worn.chance, if_sound * sound.chance
    chance = sum(weights)
    if chance < IMPOSSIBLE:
        weights, chance = (worn.chance, sound.chance), 0.0
    shares = [weight / sum(weights) for weight in weights]
    return Outcome(
        chance,
        shares[0] * worn.mean + shares[1] * sound.mean,
        shares[0] * worn.transform + shares[1] * sound.transform,
    )


def outcome_if(
    distribution: Distribution,
    parts: Answers,
    tests: Sequence[CircuitTest] = (),
    alive: Alive = nobody_waits,
) -> Outcome:
    """What follows from answers about open parts and of circuit tests, all given together.

    A part found worn is (1, 0), found sound (0, 1). `alive` is called every few milliseconds of
    work; what it raises passes through. Raises ValueError on a part that is not open and on a
    circuit that the machine has not.
    """
    if strange := sorted(set(parts) - set(distribution.open_items)):
        raise ValueError(f"{', '.join(strange)} is not open")
    model = distribution.model
    if strange := sorted({test.circuit for test in tests} - set(model.circuits)):
        raise ValueError(f"nothing lives in circuit {', '.join(strange)}")
    touched = {distribution.open_items[part].circuit for part in parts}
    touched |= {test.circuit for test in tests}
    asked = {
        place: _Asked(circuit, parts, tests)
        for place, circuit in enumerate(distribution.circuits)
        if circuit.name in touched
    }
    chance, first = _moments(distribution, asked)
    return _outcome(distribution, chance, first, _transform(distribution, asked, alive))


def percentiles(
    distribution: Distribution, outcomes: Sequence[Outcome], share: float
) -> tuple[float, ...]:
    """The total that is not exceeded with probability `share` after each outcome, all at once."""
    import numpy as np

    if not outcomes:
        return ()
    transforms = np.array([outcome.transform for outcome in outcomes])
    transforms = transforms * settled(distribution.frequencies, transforms)
    found = distribution.series.percentiles(transforms, [share] * len(outcomes))
    return tuple(float(one) for one in found)


def _outcome(distribution: Distribution, chance: float, first: float, transform: Waves) -> Outcome:
    """From sums over the outcome to means given it."""
    if chance < IMPOSSIBLE:
        return Outcome(0.0, distribution.moments.mean, distribution.transform)
    return Outcome(min(chance, 1.0), first / chance, transform / chance)


class _Asked:
    """A circuit with what answers say of its parts and its factor. Arrays as in `OpenCircuit`.

    A test turns sharply with the factor: the circuit is worked out again with it, on nodes as fine
    as it needs. `told` is P(answers of tests | row, life).
    """

    def __init__(
        self, circuit: OpenCircuit, answers: Answers, tests: Sequence[CircuitTest]
    ) -> None:
        import numpy as np

        key = circuit.given.key
        own = tuple(test for test in tests if test.circuit == circuit.name)
        self.circuit, self.answers = circuit, answers
        if own:
            given = circuit_given(replace(key, tests=(*key.tests, *own)))
            self.circuit = OpenCircuit(given, dict(circuit.key.costs))
        self.told: Floats = np.exp(self.circuit.given.evidence - circuit.given.evidence)

    def _weights(self, row: int) -> Floats:
        told = self.told[min(row, len(self.told) - 1)]
        weights: Floats = self.circuit.row_weights(row) * told[:, None]
        return weights

    def waves(self, rows: Sequence[int], chunk: Chunk) -> dict[int, Waves]:
        """E[exp(it .) P(answers | parts, factor)] by row: (life, t)."""
        base = self._product(self.circuit.plain, self.circuit.plain.chances, chunk)
        found = {}
        for row in rows:
            weights = self._weights(row)
            own = self._product(self.circuit.pooled, self.circuit.row_chances(row), chunk)
            found[row] = averaged(base * own, weights)
        return found

    def _product(self, members: Members, chances: Floats, chunk: Chunk) -> Waves:
        spoken = [part in self.answers for part in members.parts]
        swings = chunk.swings(members.costs)
        silent = [not one for one in spoken]
        result = product(chances[silent], swings[silent])
        for place, part in enumerate(members.parts):
            if spoken[place]:
                worn, sound = self.answers[part]
                result *= sound + chances[place][:, None] * (worn * (swings[place] + 1) - sound)
        return result

    def moments(self, row: int) -> tuple[Floats, Floats]:
        """(P(answers), E[what its parts cost; answers]) given life, at one row."""
        weights = self._weights(row)
        mass, mean = self._node_moments(self.circuit.plain, self.circuit.plain.chances)
        own_mass, own_mean = self._node_moments(self.circuit.pooled, self.circuit.row_chances(row))
        mass = (mass * own_mass).reshape(weights.shape) * weights
        mean = (mean + own_mean).reshape(weights.shape)
        return mass.sum(axis=1), (mass * mean).sum(axis=1)

    def _node_moments(self, members: Members, chances: Floats) -> tuple[Floats, Floats]:
        """(P(answers), mean cost given them) at each node."""
        import numpy as np

        mass, mean = np.ones(chances.shape[1]), np.zeros(chances.shape[1])
        for part, cost, chance in zip(members.parts, members.costs, chances, strict=True):
            worn, sound = self.answers.get(part, (1.0, 1.0))
            own = sound * (1 - chance) + worn * chance
            mass = mass * own
            mean = mean + worn * chance * cost.mean / np.maximum(own, IMPOSSIBLE**2)
        return mass, mean


def _moments(distribution: Distribution, asked: Mapping[int, _Asked]) -> tuple[float, float]:
    """(P(answers), E[total; answers])."""
    import numpy as np

    weights = distribution.weights
    mean = sum(cost.mean for cost in distribution.spreads.values()) + 0 * weights
    for place, circuit in enumerate(distribution.circuits):
        rows = distribution.points[:, place]
        if place in asked:
            own = {row: asked[place].moments(row) for row in distribution.rows_of(place)}
            mass = np.array([own[int(row)][0] for row in rows])
            first = np.array([own[int(row)][1] for row in rows])
            weights = weights * mass
            mean = mean + first / np.maximum(mass, IMPOSSIBLE**2)
        else:
            mean = mean + circuit.moments[0][rows]
    return float(weights.sum()), float((weights * mean).sum())


def _transform(distribution: Distribution, asked: Mapping[int, _Asked], alive: Alive) -> Waves:
    """E[exp(it total); answers] at every frequency."""
    import numpy as np

    found = []
    for chunk in distribution.chunks:
        circuits = dict(chunk.circuits)
        for place, one in asked.items():
            alive()
            circuits[one.circuit.name] = one.waves(distribution.rows_of(place), chunk)
        found.append(distribution.total(Chunk(chunk.frequencies, chunk.transforms, circuits)))
    result: Waves = np.concatenate(found)
    return result


def _worn_moments(distribution: Distribution) -> dict[str, tuple[float, float]]:
    """(P(worn), E[total; worn]) of every open part."""
    lines = sum(cost.mean for cost in distribution.spreads.values())
    means = [one.moments[0][distribution.points[:, place]]
             for place, one in enumerate(distribution.circuits)]  # fmt: skip
    everything = sum(means) + lines
    found: dict[str, tuple[float, float]] = {}
    for place, circuit in enumerate(distribution.circuits):
        others = everything - means[place]
        for row in distribution.rows_of(place):
            here = distribution.points[:, place] == row
            weights = distribution.weights[here]
            joint = weights.sum(axis=0), (weights * others[here]).sum(axis=0)
            for part, (chance, first) in circuit.worn_moments(row, *joint).items():
                before = found.get(part, (0.0, 0.0))
                found[part] = before[0] + chance, before[1] + first
    return found
