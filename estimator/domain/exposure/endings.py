"""The ways a look may end, each with what would then be open: worn or sound where a part is opened,
alarm or clear for every part that a test reads, alarm or clear where it speaks of a circuit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from estimator.domain.catalogue.catalogue import Settings
from estimator.domain.exposure.chances_after import ChancesAfter
from estimator.domain.exposure.distribution import Alive, Distribution
from estimator.domain.exposure.factors import CircuitTest
from estimator.domain.exposure.looks import Answer, Look
from estimator.domain.exposure.outcomes import Outcome, by_answer, outcome_if, worn_and_sound

MOST_ANSWERS = 6  # parts of one look that are told apart, those of the most doubt: 64 endings
LEAST = 1e-12  # chance of an ending below which it is left out
FOUND_WORN, FOUND_SOUND = (1.0, 0.0), (0.0, 1.0)  # P(answer | worn), P(answer | sound)


@dataclass(frozen=True, slots=True)
class Ending:
    """One way a look may end: what is left open, the mean cost of what was found for certain, and
    the chance of each part that is open still. `opened_worn`: the opened part was found worn.
    `nothing_left`: nothing is open or provisional any more."""

    left: Outcome
    certain: float
    chances: Mapping[str, float]
    opened_worn: bool = False
    nothing_left: bool = False


class Endings:
    """How any look at the parts of a distribution may end."""

    def __init__(self, distribution: Distribution, settings: Settings, alive: Alive) -> None:
        self.distribution = distribution
        self._centre = float(settings.circuit_test_centre)
        self._width = float(settings.circuit_test_width)
        self._alive = alive
        self._chances = ChancesAfter(distribution.model)
        self._opened = worn_and_sound(distribution, alive)
        self.now: Mapping[str, float] = self._chances.now

    def of(self, look: Look) -> tuple[Ending, ...]:
        """Every way the look may end that is not next to impossible."""
        if look.circuit:
            found = self._circuit(look)
        elif look.test is None:
            found = self._opening(look.parts[0])
        else:
            found = self._test(look.answers)
        return tuple(one for one in found if one.left.chance > LEAST)

    def _opening(self, part: str) -> Iterator[Ending]:
        opened = self._opened[part]
        last = len(self.distribution.costs) == 1 and not self.distribution.spreads
        for worn in (True, False):
            left = opened.apart if worn else opened.sound
            _, chances = self._chances.after({part: FOUND_WORN if worn else FOUND_SOUND})
            rest = {name: one for name, one in chances.items() if name != part}
            certain = self.distribution.costs[part].mean if worn else 0.0
            yield Ending(left, certain, rest, worn, nothing_left=last)

    def _test(self, answers: Sequence[Answer]) -> Iterator[Ending]:
        read = self._most_doubtful(answers)
        for alarms in product((True, False), repeat=len(read)):
            said = {
                one.part: (one.if_worn, one.if_sound)
                if alarm
                else (1 - one.if_worn, 1 - one.if_sound)
                for one, alarm in zip(read, alarms, strict=True)
            }
            _, chances = self._chances.after(said)
            yield Ending(self._left(said), 0.0, chances)

    def _left(self, said: Mapping[str, tuple[float, float]]) -> Outcome:
        if len(said) > 1:
            return outcome_if(self.distribution, said, (), self._alive)
        [(part, (if_worn, if_sound))] = said.items()
        opened = self._opened[part]
        return by_answer(opened.worn, opened.sound, if_worn, if_sound)

    def _most_doubtful(self, answers: Sequence[Answer]) -> list[Answer]:
        """Those whose cost is the least certain, where a look reads more than is told apart."""

        def doubt(one: Answer) -> float:
            chance, cost = self.now[one.part], self.distribution.costs[one.part]
            return chance * (1 - chance) * cost.mean**2

        most = sorted(answers, key=doubt, reverse=True)[:MOST_ANSWERS]
        return [one for one in answers if one in most]

    def _circuit(self, look: Look) -> Iterator[Ending]:
        assert look.test is not None  # what speaks of a circuit is a test
        sensitivity, specificity = float(look.test.sensitivity), float(look.test.specificity)
        for alarm in (True, False):
            asked = CircuitTest(
                look.circuit, alarm, sensitivity, specificity, self._centre, self._width
            )
            _, chances = self._chances.after({}, (asked,))
            yield Ending(outcome_if(self.distribution, {}, (asked,), self._alive), 0.0, chances)
