"""Open first: what each look that is still possible would tell, before anyone decides on it.

For each look and each way it may end there are a chance, the distribution of what would then be
open, and the chances of its parts.

* **Expected fall** of (percentile - mean) at the job's confidence: as it is, less its mean over the
  endings. A part that is opened leaves the distribution: worn, its cost is firm scope; sound, it
  costs nothing. A test leaves every cost where it is and moves chances only.
* **Chance that it changes a disposition**: of endings after which some part is put right as firm
  scope that is not now, or no longer is: the opened part is found worn, an exposed part reaches the
  chance at which it is priced as firm, or one priced as firm by its chance falls below that. (A
  part found sound stays outside the scope, where it stands now.)
* **Chance that it changes the decision** to go on: of endings after which the price before tax lies
  on the other side of what a rebuild is worth. That price is base + what was found (at its mean
  cost if worn) + the contingency for what is left. Parts that a test makes near certain stay in
  the distribution, where they weigh as much.

Opening moves money from exposed to firm; over all endings the mean of the final cost stays what it
is, so no look is shown as a saving.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from estimator.domain.catalogue.catalogue import Settings
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.endings import Ending, Endings
from estimator.domain.exposure.looks import Look
from estimator.domain.exposure.outcomes import percentiles

Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Held:
    """What looks are held against. `base` and `limit` are sums before tax in the quote's currency,
    `firm_chance` the chance at which a part is priced as firm, `firm` those so priced now."""

    base: float
    limit: float
    confidence: float
    firm_chance: float
    firm: frozenset[str]


@dataclass(frozen=True, slots=True)
class Worth:
    """What one look would tell. `fall` is in the quote's currency, and a hair below 0 where the
    look tells nothing of the spread; the two chances lie between 0 and 1."""

    look: Look
    fall: float
    changes_disposition: float
    changes_decision: float


def spread_now(distribution: Distribution, confidence: float) -> float:
    """Percentile less mean of what may be found, as it is now."""
    return distribution.percentile(confidence) - distribution.moments.mean


def worth_of_looks(
    distribution: Distribution,
    looks: Sequence[Look],
    held: Held,
    settings: Settings,
    progress: Progress,
) -> tuple[Worth, ...]:
    """What each look would tell, the largest fall first.

    `progress` is told how many looks are done, of how many, every few milliseconds of work; what it
    raises passes through and ends it.
    """
    count = len(looks)
    done = 0

    def alive() -> None:
        progress(done, count)

    alive()
    endings = Endings(distribution, settings, alive)
    found: list[tuple[Look, tuple[Ending, ...]]] = []
    for look in looks:
        found.append((look, endings.of(look)))
        done += 1
        alive()
    left = [ending.left for _, own in found for ending in own]
    reached = iter(percentiles(distribution, left, held.confidence))
    ranking = _Ranking(distribution, held, endings.now)
    worth = [ranking.worth(look, own, [next(reached) for _ in own]) for look, own in found]
    return tuple(sorted(worth, key=lambda one: (-one.fall, one.look.id)))


class _Ranking:
    """The distribution as it is, for every look to be held against."""

    def __init__(
        self, distribution: Distribution, held: Held, chances: Mapping[str, float]
    ) -> None:
        self.held = held
        self.chances = chances
        self.mean = distribution.moments.mean
        self.reached = distribution.percentile(held.confidence)
        self.inside = self._inside(self.reached, self.mean, 0.0)

    def worth(self, look: Look, endings: Sequence[Ending], reached: Sequence[float]) -> Worth:
        spread = disposition = decision = 0.0
        for ending, percentile in zip(endings, reached, strict=True):
            chance = ending.left.chance
            # Where nothing is left the series would blur so sharp a step.
            at, mean = (0.0, 0.0) if ending.nothing_left else (percentile, ending.left.mean)
            spread += chance * (at - mean)
            if ending.opened_worn or self._moves_scope(ending.chances):
                disposition += chance
            if self._inside(at, mean, ending.certain) != self.inside:
                decision += chance
        fall = self.reached - self.mean - spread
        return Worth(look, fall, min(disposition, 1.0), min(decision, 1.0))

    def _inside(self, reached: float, mean: float, certain: float) -> bool:
        """Whether the price before tax is still worth it."""
        return self.held.base + certain + max(reached, mean, 0.0) <= self.held.limit

    def _moves_scope(self, chances: Mapping[str, float]) -> bool:
        """Whether some part crosses the chance at which it is priced as firm, up or down."""
        least, firm = self.held.firm_chance, self.held.firm
        return any((chance >= least) != (part in firm) for part, chance in chances.items())
