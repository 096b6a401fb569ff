"""Whether quotes held: how often final sums stayed inside the percentiles that were quoted.

Everything is reckoned relative to the base that was quoted (firm and provisional work), so that
jobs of every size and currency count alike. Only jobs quoted with a distribution take part.

* **Inside**: a final sum no higher than the quoted percentile. The share of jobs inside is shown
  with Wilson's interval (E. B. Wilson, 1927), which keeps near its confidence also for few jobs.
* **Pinball loss** at a share s: s x (final - quoted) where the final sum is above the quoted one,
  (1 - s) x (quoted - final) where it is below; least on average for the true percentile
  (R. Koenker and G. Bassett, 1978). Less is better.
* **The flat percentage** that it is compared with is one percentage of base for all jobs. The best
  of all is chosen with the very final sums that it is judged by (*in hindsight*): a handicap for
  the quoted percentiles, since nobody could have known it. *Left out* chooses it for each job from
  all other jobs: what a workshop could have known at best, and so the fair comparison.
* The interval of the difference is a bootstrap over jobs, each job's two losses kept together and
  the flat percentages as they were chosen; jobs count as independent of each other. It is too
  narrow by some for fewer than about twenty jobs.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

CONFIDENCE = 0.95
LEVELS = (0.5, 0.8, 0.9)
FEW_JOBS = 20  # with fewer, that nothing speaks against the quotes says nothing for them
RESAMPLES, SEED = 2000, 1927
DRAWN_AT_ONCE = 500_000  # bounds the memory that many jobs take
TOO_FEW, HOLDS, TOO_LOW, TOO_HIGH = "too few", "holds", "too low", "too high"
FLAT_AT = 0.8  # share at which the quoted percentiles are told from a flat percentage in words
BETTER_IN_HINDSIGHT, BETTER, WORSE, OPEN = "better in hindsight", "better", "worse", "open"


@dataclass(frozen=True, slots=True)
class QuotedJob:
    """A closed job: final sums that were quoted for it by share of outcomes (0.8 for P80), and the
    final sum it came to, all in one currency and before tax."""

    base: float
    percentiles: Mapping[float, float]
    mean: float
    final: float

    def __post_init__(self) -> None:
        if not self.base > 0:
            raise ValueError(f"the base that was quoted is above nothing, not {self.base}")

    def over(self, amount: float) -> float:
        """A sum as a share of base above it."""
        return (amount - self.base) / self.base


@dataclass(frozen=True, slots=True)
class Inside:
    """How many jobs stayed inside a quoted percentile; `low` to `high` is the interval (95 %) of
    the share that would in the long run."""

    stated: float
    inside: int
    jobs: int
    low: float
    high: float

    @property
    def share(self) -> float:
        """Share of jobs inside."""
        return self.inside / self.jobs


@dataclass(frozen=True, slots=True)
class Estimate:
    """A mean over jobs with its interval (95 %), as shares of base."""

    mean: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Score:
    """Mean pinball losses at a share, as shares of base: of the quoted percentiles, of the best
    flat percentage in hindsight (`flat_share` of base) and of the best one left out. Differences
    are quoted less flat: below nothing where the quoted percentiles did better."""

    stated: float
    quoted: float
    flat_share: float
    flat_hindsight: float
    flat_left_out: float
    against_hindsight: Estimate
    against_left_out: Estimate


@dataclass(frozen=True, slots=True)
class Verdict:
    """What may be claimed of some jobs: TOO_LOW where more final sums than stated went past a
    quoted percentile, TOO_HIGH where fewer did, HOLDS where nothing contradicts the quotes, TOO_FEW
    where nothing does with so few jobs that nothing could.

    TOO_LOW and TOO_HIGH name the level that speaks most clearly. They are claimed only where the
    interval, widened for looking at three levels (Bonferroni), leaves the stated share outside.
    """

    kind: str
    jobs: int
    at: Inside | None = None


@dataclass(frozen=True, slots=True)
class Calibration:
    """How the quoted distributions of some jobs did."""

    jobs: int
    inside: tuple[Inside, ...]  # at LEVELS
    reliability: tuple[Inside, ...]  # at every share that was quoted for all jobs
    scores: tuple[Score, ...]  # at LEVELS; empty for fewer than two jobs
    above_mean: Estimate | None  # final less quoted mean; None for fewer than two jobs
    verdict: Verdict
    flat: str  # what may be claimed against the best flat percentage, see `against_flat`

    def at(self, stated: float) -> Inside | None:
        """How many stayed inside at one of LEVELS; None where there are no jobs."""
        return next((one for one in self.inside if one.stated == stated), None)


def calibrate(jobs: Sequence[QuotedJob]) -> Calibration:
    """How the quoted distributions of `jobs` did. Raises ValueError where one lacks a percentile
    of LEVELS."""
    for job in jobs:
        if lacking := [level for level in LEVELS if level not in job.percentiles]:
            raise ValueError(f"a job lacks its percentiles at {lacking}")
    shares = sorted(set.intersection(*(set(job.percentiles) for job in jobs))) if jobs else []
    enough = len(jobs) > 1
    scores = tuple(score(jobs, level) for level in LEVELS) if enough else ()
    return Calibration(
        jobs=len(jobs),
        inside=tuple(inside(jobs, level) for level in LEVELS) if jobs else (),
        reliability=tuple(inside(jobs, share) for share in shares),
        scores=scores,
        above_mean=_bootstrap(job.over(job.final) - job.over(job.mean) for job in jobs)
        if enough
        else None,
        verdict=verdict(jobs),
        flat=against_flat(scores, len(jobs)),
    )


def wilson(inside_count: int, jobs: int, confidence: float = CONFIDENCE) -> tuple[float, float]:
    """Wilson's interval of a share, `inside_count` of `jobs`, clipped to 0 to 1. Raises ValueError
    where there are no jobs or more inside than there are."""
    from scipy.special import ndtri

    if not 0 <= inside_count <= jobs or jobs == 0:
        raise ValueError(f"{inside_count} of {jobs} is no share")
    z = float(ndtri(0.5 + confidence / 2))
    share, square = inside_count / jobs, z * z / jobs
    middle = (share + square / 2) / (1 + square)
    half = z / (1 + square) * sqrt(share * (1 - share) / jobs + square / (4 * jobs))
    low = 0.0 if inside_count == 0 else max(middle - half, 0.0)
    return low, 1.0 if inside_count == jobs else min(middle + half, 1.0)


def inside(jobs: Sequence[QuotedJob], stated: float, confidence: float = CONFIDENCE) -> Inside:
    """How many of `jobs` stayed inside the percentile quoted at a share. Raises ValueError where
    there are none, KeyError where one lacks it."""
    count = sum(job.final <= job.percentiles[stated] for job in jobs)
    return Inside(stated, count, len(jobs), *wilson(count, len(jobs), confidence))


def pinball(stated: float, quoted: Floats | float, final: Floats | float) -> Floats:
    """Pinball loss of quoted percentiles at a share, job by job."""
    import numpy as np

    above = np.asarray(final, dtype=float) - quoted
    losses: Floats = np.asarray(np.maximum(stated * above, (stated - 1) * above))
    return losses


def best_flat(stated: float, finals: Floats) -> float:
    """The one figure whose mean pinball loss over `finals` is least: their empirical percentile
    (the lowest such figure)."""
    import numpy as np

    place = max(int(np.ceil(stated * len(finals) - 1e-9)), 1) - 1
    return float(np.sort(finals)[place])


def _left_out(stated: float, finals: Floats) -> Floats:
    """For each job the best flat figure of all others."""
    import numpy as np

    order = np.argsort(finals, kind="stable")
    rising, others = finals[order], len(finals) - 1
    place = max(int(np.ceil(stated * others - 1e-9)), 1) - 1
    # Taking one out moves those above it down by a place.
    chosen = np.where(np.arange(len(finals)) <= place, rising[place + 1], rising[place])
    back: Floats = np.empty(len(finals))
    back[order] = chosen
    return back


def score(jobs: Sequence[QuotedJob], stated: float) -> Score:
    """Pinball losses of the percentiles quoted at a share against the best flat percentage of
    base. Raises ValueError for fewer than two jobs."""
    import numpy as np

    if len(jobs) < 2:  # noqa: PLR2004 - leaving one out leaves none
        raise ValueError("a flat percentage is chosen from other jobs: two are needed at least")
    finals = np.array([job.over(job.final) for job in jobs])
    quoted = pinball(stated, np.array([job.over(job.percentiles[stated]) for job in jobs]), finals)
    flat = best_flat(stated, finals)
    hindsight = pinball(stated, flat, finals)
    left_out = pinball(stated, _left_out(stated, finals), finals)
    return Score(
        stated,
        float(quoted.mean()),
        flat,
        float(hindsight.mean()),
        float(left_out.mean()),
        _bootstrap(quoted - hindsight),
        _bootstrap(quoted - left_out),
    )


def _bootstrap(values: Iterable[float]) -> Estimate:
    """Mean over jobs with a percentile bootstrap's interval; the order of jobs has no say."""
    import numpy as np

    found = np.sort(np.fromiter(values, dtype=float))
    random = np.random.default_rng(SEED)
    at_once = max(DRAWN_AT_ONCE // len(found), 1)
    means = np.concatenate(
        [
            found[random.integers(0, len(found), (min(at_once, RESAMPLES - done), len(found)))]
            .mean(axis=1)
            for done in range(0, RESAMPLES, at_once)
        ]
    )  # fmt: skip
    outside = (1 - CONFIDENCE) / 2
    low, high = np.quantile(means, (outside, 1 - outside))
    return Estimate(float(found.mean()), float(low), float(high))


def verdict(jobs: Sequence[QuotedJob]) -> Verdict:
    """What may be claimed of the quotes of these jobs."""
    count = len(jobs)
    confidence = 1 - (1 - CONFIDENCE) / len(LEVELS)
    against = []
    for level in LEVELS if jobs else ():
        found = inside(jobs, level, confidence)
        apart = max(found.low - level, level - found.high)
        if apart > 0:
            against.append((apart, inside(jobs, level)))
    if against:
        at = max(against, key=lambda one: one[0])[1]
        return Verdict(TOO_LOW if at.share < at.stated else TOO_HIGH, count, at)
    return Verdict(HOLDS if count >= FEW_JOBS else TOO_FEW, count)


def against_flat(scores: Sequence[Score], jobs: int) -> str:
    """What may be claimed at FLAT_AT: BETTER_IN_HINDSIGHT (than any flat percentage could have
    been), BETTER (than the best one of the other jobs), WORSE than that, or OPEN. With fewer than
    FEW_JOBS always OPEN, as the interval of the difference is not to be relied on."""
    found = next((one for one in scores if one.stated == FLAT_AT), None)
    if found is None or jobs < FEW_JOBS:
        return OPEN
    if found.against_hindsight.high < 0:
        return BETTER_IN_HINDSIGHT
    if found.against_left_out.high < 0:
        return BETTER
    return WORSE if found.against_left_out.low > 0 else OPEN
