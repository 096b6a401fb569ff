"""Distribution of what may be found: sum of parts that may be worn and lines that may move.

Given the factors the parts are independent, so their characteristic functions multiply: first
within a circuit over its nodes, then over circuits under each life node, then over life and grid.
One Fourier series on a grid of frequencies gives the cumulative distribution. Sampling is only a
check in the tests.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import pi
from typing import TYPE_CHECKING

from estimator.domain.exposure.factors import FactorModel, Item
from estimator.domain.exposure.pert import Pert

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]

CHUNK = 128
MOST_FREQUENCIES = 1024
FADED = 5e-6  # a transform this small moves a percentile by some millionths of itself
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
    through. Raises ValueError where there is nothing at all to distribute.
    """

    def __init__(
        self,
        model: FactorModel,
        costs: Mapping[str, Pert],
        spreads: Mapping[str, Pert],
        alive: Alive = nobody_waits,
    ) -> None:
        if not costs and not spreads:
            raise ValueError("nothing is exposed and nothing is provisional")
        self.model = model
        self.costs = dict(costs)
        self.spreads = dict(spreads)
        self.open_items = {item.part: item for item in model.items if item.part in costs}
        self._chances = {part: model.open_given(item) for part, item in self.open_items.items()}
        self._waves: dict[tuple[str, float, int], tuple[Waves, Waves]] = {}
        self.moments = self._moments()
        self._start, self._period = self._support()
        self.frequencies, self.transform, self.fade = self._total_transform(alive)

    # -- moments ------------------------------------------------------------------------------

    def _moments(self) -> Moments:
        """Exact mean and deviation, by conditioning on grid, life and circuits."""
        import numpy as np

        weights = self.model.weights
        mean = np.zeros_like(weights)
        variance = np.zeros_like(weights)
        for circuit in ("", *self.model.circuits):
            parts = [i for i in self.model.members(circuit) if i.part in self.costs]
            if not parts:
                continue
            inner, spread = self._circuit_moments(circuit, parts)
            mean = mean + inner
            variance = variance + spread
        for spread_cost in self.spreads.values():
            mean = mean + spread_cost.mean
            variance = variance + spread_cost.variance
        total = float((weights * mean).sum())
        second = float((weights * (variance + mean**2)).sum())
        return Moments(total, max(second - total**2, 0.0) ** 0.5)

    def _circuit_moments(self, circuit: str, parts: Sequence[Item]) -> tuple[Floats, Floats]:
        import numpy as np

        mean: Floats = np.zeros((1, 1, 1))
        variance: Floats = np.zeros((1, 1, 1))
        for item in parts:
            cost = self.costs[item.part]
            chance = self._chances[item.part]
            mean = mean + chance * cost.mean
            variance = variance + chance * cost.variance + chance * (1 - chance) * cost.mean**2
        if not circuit:
            return mean[:, :, 0], variance[:, :, 0]
        weights = self.model.circuit_weights[circuit]
        average = (weights * mean).sum(axis=2)
        second = (weights * (variance + mean**2)).sum(axis=2)
        return average, second - average**2

    # -- transform ----------------------------------------------------------------------------

    def _support(self) -> tuple[float, float]:
        """(start, length) of the interval the series lives on: all of it, or 14 deviations."""
        low = sum(min(cost.low, 0.0) for cost in self.costs.values())
        low += sum(cost.low for cost in self.spreads.values())
        high = sum(max(cost.high, 0.0) for cost in self.costs.values())
        high += sum(cost.high for cost in self.spreads.values())
        reach = self.moments.mean + 14 * self.moments.deviation
        high = min(high, reach) if reach > low else high
        margin = max(0.02 * (high - low), 0.001 * max(abs(low), abs(high)))
        return low - margin, high - low + 2 * margin

    def _total_transform(self, alive: Alive) -> tuple[Floats, Waves, Floats]:
        import numpy as np

        step = 2 * pi / self._period
        frequencies: list[Floats] = []
        pieces: list[Waves] = []
        for first in range(1, MOST_FREQUENCIES, CHUNK):
            chunk = step * np.arange(first, first + CHUNK, dtype=np.float64)
            piece = self._at(chunk, alive)
            frequencies.append(chunk)
            pieces.append(piece)
            if np.abs(piece).max() < FADED:
                break
        all_frequencies = np.concatenate(frequencies)
        transform = np.concatenate(pieces)
        fade = np.ones_like(all_frequencies)
        if np.abs(pieces[-1]).max() >= FADED:
            # Steps (parts that are there or not, at a fixed cost) never fade: blur them by a
            # normal far narrower than anything that is read off, so that the series settles.
            fade = np.exp(-0.5 * (4.0 / all_frequencies[-1] * all_frequencies) ** 2)
        return all_frequencies, transform, fade

    def _at(self, frequencies: Floats, alive: Alive) -> Waves:
        """E exp(it total) at each frequency."""
        given = self._given_life(frequencies, alive)
        spread = self.spread_transform(frequencies)
        total: Waves = (self.model.weights[:, :, None] * given).sum(axis=(0, 1)) * spread
        return total

    def spread_transform(self, frequencies: Floats) -> Waves:
        """E exp(it .) of all provisional lines together."""
        import numpy as np

        product: Waves = np.ones(len(frequencies), dtype=complex)
        for line in self.spreads:
            product = product * self.transforms(line, frequencies)[0]
        return product

    def transforms(self, name: str, frequencies: Floats) -> tuple[Waves, Waves]:
        """(E exp(itX), E X exp(itX)) of one part or line, kept once a run of frequencies."""
        key = (name, float(frequencies[0]), len(frequencies))
        if key not in self._waves:
            cost = self.costs[name] if name in self.costs else self.spreads[name]
            self._waves[key] = cost.transforms(frequencies)
        return self._waves[key]

    def _given_life(self, frequencies: Floats, alive: Alive) -> Waves:
        """Product over circuits of E exp(it .) given (grid, life): shape (grid, life, t)."""
        import numpy as np

        product: Waves = np.ones(
            (len(self.model.grid), len(self.model.life), len(frequencies)), dtype=complex
        )
        for circuit in ("", *self.model.circuits):
            alive()
            if any(item.part in self.costs for item in self.model.members(circuit)):
                product = product * self.circuit_transform(circuit, frequencies)
        return product

    def circuit_transform(self, circuit: str, frequencies: Floats) -> Waves:
        """E exp(it .) of one circuit's parts given (grid, life), its own factor averaged out."""
        import numpy as np

        parts = [i for i in self.model.members(circuit) if i.part in self.costs]
        plain = [item for item in parts if len(item.chances) == 1]
        pooled = [item for item in parts if len(item.chances) > 1]
        base: Waves = np.ones((1, 1, 1), dtype=complex)
        for item in plain:
            base = base * self.item_wave(item, 0, frequencies)
        weights = self.model.circuit_weights[circuit] if circuit else np.ones((1, 1, 1))
        if not pooled and weights.shape[0] == 1:
            return averaged(base, weights[0])[None]
        result: Waves = np.zeros(
            (len(self.model.grid), len(self.model.life), len(frequencies)), dtype=complex
        )
        for point in self.heavy_points():
            wave = base
            for item in pooled:
                wave = wave * self.item_wave(item, point, frequencies)
            result[point] = averaged(wave, weights[min(point, weights.shape[0] - 1)])
        return result

    def heavy_points(self) -> list[int]:
        """Grid points that carry enough weight to matter."""
        weights = self.model.weights.sum(axis=1)
        return [point for point in range(len(weights)) if weights[point] > LIGHT]

    def item_wave(self, item: Item, point: int, frequencies: Floats) -> Waves:
        """1 - q + q E exp(itX) over (life, circuit, t)."""
        chance = self.chance_at(item, point)[:, :, None]
        wave: Waves = 1 + chance * (self.transforms(item.part, frequencies)[0] - 1)
        return wave

    def chance_at(self, item: Item, point: int) -> Floats:
        """P(worn | life, circuit) of an open item at one grid point."""
        chance = self._chances[item.part]
        at: Floats = chance[min(point, chance.shape[0] - 1)]
        return at

    # -- reading off --------------------------------------------------------------------------

    def chance_below(self, total: float) -> float:
        """P(what is found comes to no more than `total`)."""
        import numpy as np

        if total <= self._start:
            return 0.0
        if total >= self._start + self._period:
            return 1.0
        t = self.frequencies
        waves = (np.exp(-1j * t * self._start) - np.exp(-1j * t * total)) / (1j * t)
        series = 2 * float((self.transform * self.fade * waves).real.sum())
        return min(max((total - self._start + series) / self._period, 0.0), 1.0)

    def chances_below(self, totals: Floats) -> Floats:
        """P(what is found comes to no more) for each of the rising `totals`; never falling."""
        import numpy as np

        t, weight = self.frequencies, self.transform * self.fade / (1j * self.frequencies)
        waves = np.exp(-1j * t * self._start) - np.exp(-1j * np.outer(totals, t))
        # Sums, not a matrix product: so small a product is slowed by the library's threads.
        series = 2 * (waves * weight).sum(axis=1).real
        chances = np.clip((totals - self._start + series) / self._period, 0.0, 1.0)
        chances = np.where(totals <= self._start, 0.0, chances)
        chances = np.where(totals >= self._start + self._period, 1.0, chances)
        result: Floats = np.maximum.accumulate(chances)  # the series may ripple by a hair
        return result

    def curve(self, points: int) -> tuple[tuple[float, float], ...]:
        """(total, chance that it is not exceeded) at `points` evenly spaced totals, from where
        next to nothing lies below to where next to nothing lies above."""
        import numpy as np

        totals = np.linspace(self.percentile(CURVE_FROM), self.percentile(CURVE_TO), points)
        chances = self.chances_below(totals)
        return tuple((float(x), float(y)) for x, y in zip(totals, chances, strict=True))

    def percentile(self, share: float) -> float:
        """The total that is not exceeded with probability `share` (0 < share < 1)."""
        if not 0 < share < 1:
            raise ValueError(f"a share of outcomes lies between 0 and 1, not {share}")
        low, high = self._start, self._start + self._period
        for _ in range(60):
            middle = (low + high) / 2
            if self.chance_below(middle) < share:
                low = middle
            else:
                high = middle
        return (low + high) / 2


def averaged(wave: Waves, weights: Floats) -> Waves:
    """Average over the circuit axis: (life, circuit, t) with (life or 1, circuit) -> (life, t)."""
    import numpy as np

    if weights.shape[1] == 1:
        return wave[:, 0, :]
    result: Waves = np.einsum("lct,lc->lt", wave, weights)
    return result
