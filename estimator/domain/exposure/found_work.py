"""Work found while working: seized pins, broken studs, pipe ends too corroded to seal again.

Nobody can say beforehand which stud breaks; how many break is a count with a stated mean, and each
costs so much. The sum S of N of them, each X, has the transform E exp(itS) = G(E exp(itX)), G the
generating function of N (any text on compound distributions, e.g. Feller I, ch. XII):

* Poisson with mean m: G(z) = exp(m (z - 1));
* negative binomial with mean m and overdispersion k: G(z) = (1 + k m (1 - z)) ** (-1 / k), whose
  variance is m + k m^2: a machine on which one pin is seized has more of them.

E S = m E X, Var S = m Var X + Var N (E X)^2, and E S exp(itS) = G'(E exp(itX)) E X exp(itX).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import FoundWork
from estimator.domain.charge_rate import charge_rate, cost_rate
from estimator.domain.exposure.pert import Compound, Pert
from estimator.domain.job import Job
from estimator.domain.pricing import exchange_rate

if TYPE_CHECKING:
    import numpy as np
    from numpy.random import Generator
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]

PREFIX = "found/"
BEYOND = 1e-9  # chance of more of them than `most` counts
MOST_COUNTED = 100_000
CELLS = 4096  # of the lattice on which a sum alone is read off
HOURS = 1000  # machine hours that a count "per 1000 h" goes by
RANGE_TO = 0.95  # share of outcomes up to which a range of found work is shown
POISSON = 1e-6  # overdispersion below which the two counts are one


@dataclass(frozen=True, slots=True)
class FoundCount(Compound):
    """Cost of all that is found of one kind: `expected` of them, each costing `each`.

    `overdispersion` 0 is a Poisson count, above it a negative binomial one. Units: the quote's
    currency. Raises ValueError on a count or overdispersion below zero, and on a cost below zero.
    """

    expected: float
    overdispersion: float
    each: Pert

    def __post_init__(self) -> None:
        if not 0 <= self.expected < float("inf"):
            raise ValueError(f"an expected count lies at or above 0, not {self.expected}")
        if not 0 <= self.overdispersion < float("inf"):
            raise ValueError(f"an overdispersion lies at or above 0, not {self.overdispersion}")
        if self.each.low < 0:
            raise ValueError(f"what is found costs nothing or more, not {self.each.low}")

    @property
    def count_variance(self) -> float:
        """Variance of how many are found."""
        return self.expected + self.overdispersion * self.expected**2

    @property
    def low(self) -> float:
        """Nothing is found."""
        return 0.0

    @property
    def high(self) -> float:
        """So many, each at its highest, that next to nothing lies beyond."""
        return self.most * self.each.high

    @property
    def most(self) -> int:
        """The count that is exceeded with a chance of no more than BEYOND."""
        return _most(self.expected, self.overdispersion)

    @property
    def mean(self) -> float:
        """Mean cost of all of them."""
        return self.expected * self.each.mean

    @property
    def variance(self) -> float:
        """Variance of the cost of all of them."""
        return self.expected * self.each.variance + self.count_variance * self.each.mean**2

    @property
    def perts(self) -> tuple[Pert, ...]:
        """What one of them costs."""
        return (self.each,)

    def transforms_by(self, waves: Mapping[Pert, tuple[Waves, Waves]]) -> tuple[Waves, Waves]:
        """(E exp(itS), E S exp(itS)) from the transforms of one."""
        wave, moment = waves[self.each]
        value, slope = _generated(wave, self.expected, self.overdispersion)
        return value, slope * moment

    def reached(self, share: float) -> float:
        """The cost that is not exceeded with probability `share`, 0 to 1: exact where each costs
        the same, else read off a lattice of CELLS cells, so good to about `high` / CELLS. Raises
        ValueError outside 0 to 1."""
        import numpy as np

        if not 0 <= share <= 1:
            raise ValueError(f"a share of outcomes lies between 0 and 1, not {share}")
        if share in (0, 1) or self.high == 0:
            return self.high if share else 0.0
        if self.each.low == self.each.high:
            return self.each.low * _reached(self.expected, self.overdispersion, share)
        below = _chances_below(self)
        first = int(np.searchsorted(below, share))
        if first == 0:
            return 0.0
        step = self.high / CELLS
        part = (share - below[first - 1]) / (below[first] - below[first - 1])
        return min(
            (first - 0.5 + float(part)) * step, self.high
        )  # a cell holds half a step either side


def _generated(wave: Waves, expected: float, over: float) -> tuple[Waves, Waves]:
    """(G(z), G'(z)) of the count at z, the transform of one."""
    import numpy as np

    if over <= POISSON:
        value: Waves = np.exp(expected * (wave - 1))
        return value, expected * value
    inside = 1 + over * expected * (1 - wave)  # its real part is 1 or more: no branch is crossed
    value = inside ** (-1 / over)
    return value, expected * value / inside


def draw_counts(cost: FoundCount, random: Generator, count: int) -> NDArray[np.int64]:
    """How many are found in each of `count` scenarios."""
    if cost.overdispersion <= POISSON or cost.expected == 0:
        return random.poisson(cost.expected, count)
    over = cost.overdispersion
    return random.negative_binomial(1 / over, 1 / (1 + over * cost.expected), count)


@lru_cache(maxsize=512)
def _most(expected: float, over: float) -> int:
    if expected == 0:
        return 0
    return max(_least(lambda count: _beyond(count, expected, over) <= BEYOND), 1)


def _reached(expected: float, over: float, share: float) -> float:
    """The count that is not exceeded with probability `share`."""
    return float(_least(lambda count: 1 - _beyond(count, expected, over) >= share))


def _beyond(count: int, expected: float, over: float) -> float:
    """P(more than `count` are found): the regularised incomplete gamma function for a Poisson
    count, the beta function for a negative binomial one (closed forms from memory, checked in the
    tests against scipy.stats, which takes long to load)."""
    from scipy.special import betainc, gammainc

    if over <= POISSON:
        return float(gammainc(count + 1, expected))
    none = 1 / (1 + over * expected)
    return float(betainc(count + 1, 1 / over, 1 - none))


def _least(enough: Callable[[int], bool]) -> int:
    """The least count that is enough, MOST_COUNTED where none below it is; `enough` never turns
    back."""
    high = 1
    while high < MOST_COUNTED and not enough(high):
        high *= 2
    low, high = (high // 2 if high > 1 else -1), min(high, MOST_COUNTED)
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if enough(middle) else (middle, high)
    return high


@lru_cache(maxsize=128)
def _chances_below(cost: FoundCount) -> Floats:
    """P(S <= cell) over the lattice: the cost of one laid on cells, its discrete transform through
    G, and back."""
    import numpy as np
    from scipy.special import betainc

    step, each = cost.high / CELLS, cost.each
    cells = np.zeros(2 * CELLS)
    edges = (np.arange(CELLS + 2) - 0.5) * step
    shares = np.clip((edges - each.low) / (each.high - each.low), 0, 1)
    cells[: CELLS + 1] = np.diff(betainc(each.alpha, each.beta, shares))
    value, _ = _generated(np.fft.fft(cells), cost.expected, cost.overdispersion)
    masses = np.clip(np.fft.ifft(value).real[: CELLS + 1], 0, None)
    below: Floats = np.minimum(np.cumsum(masses), 1.0)
    below[-1] = 1.0
    return below


@dataclass(frozen=True, slots=True)
class Found:
    """One kind of work that may be found on this machine, in the quote's currency.

    `expected` is how many on this machine: by its hours, or for the job. `cost` is at selling
    price, `workshop_cost` what the workshop itself pays for it.
    """

    row: FoundWork
    group: str
    hours_run: float
    expected: float
    cost: FoundCount
    workshop_cost: FoundCount

    @property
    def id(self) -> str:
        """Code of its catalogue row."""
        return self.row.id

    @property
    def key(self) -> str:
        """Its name among what makes up the contingency, such as found/FW03."""
        return PREFIX + self.row.id

    @property
    def name(self) -> str:
        """As printed."""
        return self.row.name

    @property
    def component(self) -> str:
        """Component it is found on."""
        return self.row.component

    @property
    def shown_range(self) -> tuple[float, float, float]:
        """(nothing, mean, what 19 in 20 outcomes do not exceed), at selling price."""
        return 0.0, self.cost.mean, max(self.cost.mean, self.cost.reached(RANGE_TO))

    @property
    def activity(self) -> str:
        """Step of the programme that it holds up."""
        return self.row.activity

    @property
    def added_days(self) -> float:
        """Working days that each of them adds to its step."""
        return float(self.row.added_days)


def found_work(job: Job, cat: ClassCatalogue) -> tuple[Found, ...]:
    """Every kind of work that may be found at the job's level and was not taken out by hand, in
    the order of the breakdown. Raises NoRate."""
    out = {change.row_id for change in job.removed}
    found = [
        _found(row, job, cat)
        for row in cat.found_work.values()
        if job.takes(row) and row.id not in out
    ]
    kept = [one for one in found if one.expected > 0]
    return tuple(sorted(kept, key=lambda one: (one.group, one.component, one.id)))


def _found(row: FoundWork, job: Job, cat: ClassCatalogue) -> Found:
    hours = float(job.hours_run(row.component))
    times = hours / HOURS if row.per == "1000 h" else 1.0
    expected, over = float(row.count) * times, float(row.overdispersion)
    trade = cat.trades[row.trade]
    labour, parts = exchange_rate(job, trade.currency), exchange_rate(job, row.currency)
    markup = 1 + cat.markups[row.markup].share if row.markup else 1
    difficulty = cat.difficulty[row.difficulty].factor

    def each(rate: float, cost: float) -> Pert:
        low, likely, high = (
            float(one * difficulty) for one in (row.hours_low, row.hours, row.hours_high)
        )
        return Pert(low * rate + cost, likely * rate + cost, high * rate + cost)

    sold = each(float(charge_rate(trade) * labour), float(row.parts_cost * parts * markup))
    paid = each(float(cost_rate(trade) * labour), float(row.parts_cost * parts))
    return Found(
        row,
        cat.group_of(row.component),
        hours,
        expected,
        FoundCount(expected, over, sold),
        FoundCount(expected, over, paid),
    )
