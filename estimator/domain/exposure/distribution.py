"""Distribution of what may be found: sum of parts that may be worn and lines that may move.

Given the factors the parts are independent, so their characteristic functions multiply: first
within a circuit over its nodes, then over circuits under each life node, then over life and grid.
One Fourier series on a grid of frequencies gives the cumulative distribution. Sampling is only a
check in the tests.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from math import pi
from operator import mul
from typing import TYPE_CHECKING

from estimator.domain.exposure.chunk import CHUNKS, Chunk, transforms_of
from estimator.domain.exposure.cost import Cost
from estimator.domain.exposure.factors import FactorModel
from estimator.domain.exposure.fineness import limits_of
from estimator.domain.exposure.interval import ends, growths, period_for
from estimator.domain.exposure.open_circuit import OpenCircuit
from estimator.domain.exposure.series import Series, fade_of, has_faded

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]
    Places = NDArray[np.intp]

CURVE_FROM, CURVE_TO = 0.001, 0.999  # shares of outcomes between which the curve is drawn
LIGHT = 1e-10  # grid points lighter than this are left out

Alive = Callable[[], None]


def nobody_waits() -> None:
    """A listener that never cancels."""


@dataclass(frozen=True, slots=True)
class Moments:
    """Mean and standard deviation of the total."""

    mean: float
    deviation: float


class Distribution:
    """Total of open parts (costs if worn) and spreads (always there, may be negative).

    `costs` is keyed by part, `spreads` by line: the change of a provisional line from its likely
    value. `alive` is called every few milliseconds of the work done here; what it raises passes
    through. What `before` knows of a circuit is taken over where nothing of it has changed;
    `computed` names the circuits ("" for parts in none) that were worked out anew. It never
    changes once it is made. `model` is the one given, on finer nodes where the total asks for
    them. Raises ValueError where there is nothing at all to distribute.
    """

    def __init__(
        self,
        model: FactorModel,
        costs: Mapping[str, Cost],
        spreads: Mapping[str, Cost],
        alive: Alive = nobody_waits,
        before: Distribution | None = None,
    ) -> None:
        import numpy as np

        if not costs and not spreads:
            raise ValueError("nothing is exposed and nothing is provisional")
        self.costs = dict(costs)
        self.spreads = dict(spreads)
        self.open_items = {item.part: item for item in model.items if item.part in costs}
        self._take(model, before)
        if limits := limits_of(model, self.circuits, self.points, self.weights, self._given_life()):
            finer = model.finer({**model.limits, **limits}, before.model if before else None)
            self._take(finer, before)
        self.moments = self._moments()
        self.chunks: tuple[Chunk, ...]
        self.series: Series
        start, period = self._support()
        kept: tuple[Chunk, ...] = ()
        same: frozenset[str] = frozenset()
        if before is not None and before.series.period == period:
            kept = before.chunks
            same = frozenset(one.name for one in self.circuits if one in before.circuits)
        self.computed = tuple(one.name for one in self.circuits if one.name not in same)
        self.chunks = tuple(self._work_out(period, kept, same, alive))
        self.frequencies = np.concatenate([chunk.frequencies for chunk in self.chunks])
        self.transform = np.concatenate([self.total(chunk) for chunk in self.chunks])
        fade = fade_of(self.frequencies, self.transform)
        self.series = Series(start, period, self.frequencies, fade)

    def _take(self, model: FactorModel, before: Distribution | None) -> None:
        """Build on a model."""
        self.model = model
        self.circuits = self._circuits(before)
        self.points, self.weights = self._points()

    def _circuits(self, before: Distribution | None) -> tuple[OpenCircuit, ...]:
        """Every circuit with its open parts, if any; those of `before` where they are alike."""
        known = {} if before is None else {one.key: one for one in before.circuits}
        found = []
        for given in self.model.given.values():
            parts = [item.part for item in given.key.members if item.part in self.open_items]
            circuit = OpenCircuit(given, {part: self.costs[part] for part in parts})
            found.append(known.get(circuit.key, circuit))
        return tuple(found)

    def _points(self) -> tuple[Places, Floats]:
        """(row of each circuit at each point, weight of each point and life node).

        Grid points at which every circuit has the same row are one; the lightest are left out.
        """
        import numpy as np

        rows = np.array([one.given.rows for one in self.circuits], dtype=np.intp)
        rows = rows.reshape(len(self.circuits), len(self.model.grid)).T
        points, where = np.unique(rows, axis=0, return_inverse=True)
        weights = np.zeros((len(points), len(self.model.life)))
        np.add.at(weights, where.ravel(), self.model.weights)
        heavy = weights.sum(axis=1) > LIGHT
        return points[heavy], weights[heavy] / weights[heavy].sum()

    def rows_of(self, place: int) -> list[int]:
        """Rows of the circuit at that place that carry enough weight to matter."""
        return sorted({int(row) for row in self.points[:, place]})

    # -- moments and interval -----------------------------------------------------------------

    def _given_life(self) -> tuple[Floats, Floats]:
        """(mean, variance) of the total given (point, life node)."""
        mean = sum(cost.mean for cost in self.spreads.values()) + 0 * self.weights
        variance = sum(cost.variance for cost in self.spreads.values()) + 0 * self.weights
        for place, circuit in enumerate(self.circuits):
            own_mean, own_variance = circuit.moments
            mean = mean + own_mean[self.points[:, place]]
            variance = variance + own_variance[self.points[:, place]]
        return mean, variance

    def _moments(self) -> Moments:
        """Exact mean and deviation, by conditioning on grid, life and circuits."""
        mean, variance = self._given_life()
        total = float((self.weights * mean).sum())
        second = float((self.weights * (variance + mean**2)).sum())
        return Moments(total, max(second - total**2, 0.0) ** 0.5)

    def _support(self) -> tuple[float, float]:
        """(start, length) of the interval the series lives on."""
        low = sum(min(cost.low, 0.0) for cost in self.costs.values())
        low += sum(cost.low for cost in self.spreads.values())
        high = sum(max(cost.high, 0.0) for cost in self.costs.values())
        high += sum(cost.high for cost in self.spreads.values())
        size = max(abs(low), abs(high))
        low, high = ends(low, high, self.moments.mean, self.moments.deviation, self._growth)
        return period_for(low, high, size)

    def _growth(self, rates: Floats) -> Floats:
        """ln of an upper bound of E exp(s total)."""
        import numpy as np
        from scipy.special import logsumexp

        logs = np.log(np.maximum(self.weights, 1e-300))[:, :, None]
        logs = logs + growths(tuple(self.spreads.values()), rates).sum(axis=0)
        for place, circuit in enumerate(self.circuits):
            logs = logs + circuit.growth(rates)[self.points[:, place]]
        result: Floats = logsumexp(logs, axis=(0, 1))
        return result

    # -- transform ----------------------------------------------------------------------------

    def _work_out(
        self, period: float, kept: Sequence[Chunk], same: frozenset[str], alive: Alive
    ) -> Iterator[Chunk]:
        """Chunk after chunk of frequencies, until the transform has faded. `kept` are chunks of
        the same period, in which the circuits named in `same` are as they are here."""
        import numpy as np

        first, step = 1, 2 * pi / period
        for number, count in enumerate(CHUNKS):
            frequencies = step * np.arange(first, first + count, dtype=np.float64)
            old = kept[number] if number < len(kept) else None
            chunk = self._chunk(frequencies, old, same, alive)
            yield chunk
            if has_faded(frequencies / step, self.total(chunk)):
                return
            first += count

    def _chunk(
        self, frequencies: Floats, old: Chunk | None, same: frozenset[str], alive: Alive
    ) -> Chunk:
        costs = dict.fromkeys((*self.costs.values(), *self.spreads.values()))
        transforms = transforms_of(costs, frequencies, {} if old is None else old.transforms)
        bare = Chunk(frequencies, transforms, {})
        circuits: dict[str, Mapping[int, Waves]] = {}
        for place, circuit in enumerate(self.circuits):
            rows = self.rows_of(place)
            known: Mapping[int, Waves] = {}
            if old is not None and circuit.name in same:
                known = old.circuits[circuit.name]
            missing = [row for row in rows if row not in known]
            if missing:
                alive()
                known = {**known, **circuit.waves(missing, bare.swings)}
            circuits[circuit.name] = known
        return Chunk(frequencies, transforms, circuits)

    def total(self, chunk: Chunk) -> Waves:
        """E exp(it total) at a chunk's frequencies."""
        parts = self.over_points(chunk, range(len(self.circuits))).sum(axis=0)
        result: Waves = parts * self.spread_transform(chunk)
        return result

    def over_points(
        self, chunk: Chunk, places: Sequence[int], points: Floats | None = None
    ) -> Waves:
        """Sum over the points (or those that `points` is true of) of weight x product of the
        circuits at `places`: (life, t)."""
        import numpy as np

        waves = [chunk.circuits[self.circuits[place].name] for place in places]
        chosen = np.arange(len(self.points)) if points is None else np.flatnonzero(points)
        single = [wave for wave, place in zip(waves, places, strict=True) if self._single(place)]
        several = [
            (wave, place)
            for wave, place in zip(waves, places, strict=True)
            if not self._single(place)
        ]
        if not several:
            weights = self.weights[chosen].sum(axis=0)
            result: Waves = np.ones(len(chunk.frequencies), dtype=complex) * weights[:, None]
        else:
            result = np.zeros((len(self.model.life), len(chunk.frequencies)), dtype=complex)
            for point in chosen:
                rows = [wave[int(self.points[point, place])] for wave, place in several]
                result += reduce(mul, rows) * self.weights[point][:, None]
        for wave in single:
            (only,) = wave.values()
            result = result * only
        return result

    def _single(self, place: int) -> bool:
        return self.circuits[place].row_count == 1

    def spread_transform(self, chunk: Chunk) -> Waves:
        """E exp(it .) of all provisional lines together."""
        import numpy as np

        start: Waves = np.ones(len(chunk.frequencies), dtype=complex)
        waves = (chunk.transforms[cost][0] for cost in self.spreads.values())
        result: Waves = reduce(mul, waves, start)
        return result

    def masses_of(self, cost: Cost) -> Waves:
        """E exp(itX) of one of its costs at every frequency."""
        import numpy as np

        result: Waves = np.concatenate([chunk.transforms[cost][0] for chunk in self.chunks])
        return result

    def moments_of(self, cost: Cost) -> Waves:
        """E X exp(itX) of one of its costs at every frequency."""
        import numpy as np

        result: Waves = np.concatenate([chunk.transforms[cost][1] for chunk in self.chunks])
        return result

    @property
    def start(self) -> float:
        """Where the interval of the series begins."""
        return self.series.start

    @property
    def period(self) -> float:
        """How long the interval of the series is."""
        return self.series.period

    @property
    def fade(self) -> Floats:
        """Weights of the series' waves: below one where they have to be settled."""
        return self.series.fade

    # -- reading off --------------------------------------------------------------------------

    def chance_below(self, total: float) -> float:
        """P(what is found comes to no more than `total`)."""
        return self.series.chance_below(self.transform, total)

    def chances_below(self, totals: Floats) -> Floats:
        """P(what is found comes to no more) for each of the rising `totals`; never falling."""
        return self.series.chances_below(self.transform, totals)

    def percentile(self, share: float) -> float:
        """The total that is not exceeded with probability `share` (0 < share < 1)."""
        return self.series.percentile(self.transform, share)

    def percentiles(self, shares: Sequence[float]) -> tuple[float, ...]:
        """The totals that are not exceeded with these probabilities."""
        found = self.series.percentiles(self.transform[None, :], shares)
        return tuple(float(one) for one in found)

    def curve(self, points: int) -> tuple[tuple[float, float], ...]:
        """(total, chance that it is not exceeded) at `points` evenly spaced totals, from where
        next to nothing lies below to where next to nothing lies above."""
        import numpy as np

        low, high = self.percentiles((CURVE_FROM, CURVE_TO))
        totals = np.linspace(low, high, points)
        chances = self.chances_below(totals)
        return tuple((float(x), float(y)) for x, y in zip(totals, chances, strict=True))
