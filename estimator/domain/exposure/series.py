"""Reading a distribution off its transform: a Fourier series on an interval that holds it.

F(x) = (x - start + 2 Re sum_k phi(t_k) (exp(-i t_k start) - exp(-i t_k x)) / (i t_k)) / period,
t_k = 2 pi k / period. Any number of transforms on the same frequencies are read off at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]

RIPPLE = 2e-6  # moves a percentile by some millionths of the deviation
SMALL = 1e-2  # waves no larger are cut off as they are
BLUR = 4.0  # width of the blur of larger ones, times the last frequency
LAST = 8  # waves at the end that count
FEWEST_CELLS = 512
NARROW = 1e-10  # of the period: where a percentile is found
MOST_STEPS = 60


@dataclass(frozen=True, slots=True, eq=False)
class Series:
    """The frame of the series: an interval and the frequencies, with the `fade` of each.

    Transforms are of distributions of mass one, complex, over the frequencies (last axis). Sums
    and interval are in the quote's currency.
    """

    start: float
    period: float
    frequencies: Floats
    fade: Floats

    def chance_below(self, transform: Waves, total: float) -> float:
        """P(no more than `total`)."""
        import numpy as np

        return float(self.chances_below(transform, np.array([total]))[0])

    def chances_below(self, transform: Waves, totals: Floats) -> Floats:
        """P(no more) for each of the rising `totals`; never falling."""
        import numpy as np

        t = self.frequencies
        weight = transform * self.fade / (1j * t)
        waves = np.exp(-1j * t * self.start) - np.exp(-1j * np.outer(totals, t))
        # Sums, not a matrix product: so small a product is slowed by the library's threads.
        series = 2 * (waves * weight).sum(axis=1).real
        chances = np.clip((totals - self.start + series) / self.period, 0.0, 1.0)
        chances = np.where(totals <= self.start, 0.0, chances)
        chances = np.where(totals >= self.start + self.period, 1.0, chances)
        result: Floats = np.maximum.accumulate(chances)  # the series may ripple by a hair
        return result

    def percentile(self, transform: Waves, share: float) -> float:
        """The total that is not exceeded with probability `share` (0 < share < 1)."""
        return float(self.percentiles(transform[None, :], [share])[0])

    def percentiles(self, transforms: Waves, shares: Sequence[float]) -> Floats:
        """For each transform (row, t) the total not exceeded with its share; one transform may
        stand for all shares. Raises ValueError on a share outside 0 to 1."""
        import numpy as np

        for share in shares:
            if not 0 < share < 1:
                raise ValueError(f"a share of outcomes lies between 0 and 1, not {share}")
        wanted = np.asarray(shares, dtype=float)
        coefficients = transforms * self.fade / (1j * self.frequencies)
        shifted = coefficients * np.exp(-1j * self.frequencies * self.start)
        low, high = self._brackets(shifted, wanted)
        return self._narrowed(shifted, wanted, low, high)

    def _brackets(self, shifted: Waves, shares: Floats) -> tuple[Floats, Floats]:
        """Cells, as offsets from the start, in which each share is passed for the first time."""
        import numpy as np

        cells = FEWEST_CELLS
        while cells < 4 * len(self.frequencies):
            cells *= 2
        padded = np.zeros((len(shifted), cells // 2 + 1), dtype=complex)
        padded[:, 1 : 1 + shifted.shape[1]] = np.conj(shifted)
        waves = np.fft.irfft(padded, cells, axis=1) * cells
        offsets = np.arange(cells) * (self.period / cells)
        chances = (offsets + 2 * shifted.sum(axis=1).real[:, None] - waves) / self.period
        above = np.maximum.accumulate(chances, axis=1) >= shares[:, None]
        first = np.where(above.any(axis=1), above.argmax(axis=1), cells)
        low = np.maximum(first - 1, 0) * (self.period / cells)
        return low, np.maximum(first, 1) * (self.period / cells)

    def _narrowed(self, shifted: Waves, shares: Floats, low: Floats, high: Floats) -> Floats:
        """Newton's steps, halved where they would leave the bracket."""
        import numpy as np

        t = self.frequencies
        at = (low + high) / 2
        ground = 2 * shifted.sum(axis=1).real
        slopes = 1j * t * shifted
        for _ in range(MOST_STEPS):
            waves = np.exp(-1j * np.outer(at, t))
            miss = (at + ground - 2 * (waves * shifted).sum(axis=1).real) / self.period - shares
            density = (1 + 2 * (waves * slopes).sum(axis=1).real) / self.period
            low, high = np.where(miss < 0, at, low), np.where(miss < 0, high, at)
            with np.errstate(divide="ignore", invalid="ignore"):
                step = at - miss / density
            inside = (density > 0) & (step > low) & (step < high)
            after = np.where(inside, step, (low + high) / 2)
            moved = np.abs(after - at).max()
            at = after
            if moved <= NARROW * self.period:
                break
        result: Floats = at + self.start
        return result


def has_faded(numbers: Floats, transform: Waves, ripple: float = RIPPLE) -> bool:
    """Whether the series may end here; `numbers` are those of its waves, from the first on.

    Waves of size m that are left out from the k-th on, each with a phase of its own, move the
    cumulative chance by about m / (pi sqrt(k)): that is less than a third of `ripple`.
    """
    import numpy as np

    count = float(numbers[-1])
    return float(np.abs(transform[-LAST:]).max()) < ripple * sqrt(count)


def fade_of(frequencies: Floats, transform: Waves) -> Floats:
    """Weights that settle a series that never fades: ones where its last waves are small enough.

    Steps (parts that are there or not, at a fixed cost) never fade: they are blurred by a normal
    far narrower than anything that is read off. What is left of smaller ones moves less uncut than
    blurred.
    """
    result: Floats = settled(frequencies, transform[None, :])[0]
    return result


def settled(frequencies: Floats, transforms: Waves) -> Floats:
    """`fade_of` of each transform (row, t)."""
    import numpy as np

    left = np.abs(transforms[:, -LAST:]).max(axis=1)
    blur = np.exp(-0.5 * (BLUR * frequencies / frequencies[-1]) ** 2)
    result: Floats = np.where((left < SMALL)[:, None], 1.0, blur)
    return result
