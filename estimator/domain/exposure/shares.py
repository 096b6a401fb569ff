"""What each part and line puts into a given total: E[its own sum | total], which adds up to it.

The same Fourier series as the distribution, with E[X exp(itX)] in the place of one part's
transform and the others as they are.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from estimator.domain.exposure.distribution import Alive, Distribution, nobody_waits
from estimator.domain.exposure.left_out import besides_worn
from estimator.domain.exposure.series import fade_of, has_faded

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]

NO_DENSITY = 1e-9
RIPPLE = 2e-5  # coarser than a percentile asks for: what it misses is scaled away


def conditional_means(
    distribution: Distribution, total: float, alive: Alive = nobody_waits
) -> dict[str, float]:
    """E[each sum | total] by part and line, scaled so that they add up to `total`.

    `alive` is called every few milliseconds of work; what it raises passes through, and ends it.

    The scaling only mends the last places of the series (a relative 1e-6 or less where the
    distribution is smooth); where the density at `total` vanishes, plain means are returned.
    """
    import numpy as np

    chunks, count = _enough(distribution)
    t, transform = distribution.frequencies[:count], distribution.transform[:count]
    wave = fade_of(t, transform) * np.exp(-1j * t * total)
    density = 1.0 + 2 * float((transform * wave).real.sum())
    means = expected_sums(distribution)
    if density <= NO_DENSITY:
        return means
    found = {}
    for part, besides in besides_worn(distribution, alive, chunks).items():
        moments = distribution.moments_of(distribution.costs[part])[:count]
        found[part] = means[part] + 2 * float((besides * moments * wave).sum().real)
    for line, besides in _besides_lines(distribution, chunks).items():
        moments = distribution.moments_of(distribution.spreads[line])[:count]
        found[line] = means[line] + 2 * float((besides * moments * wave).sum().real)
    return _scaled({name: value / density for name, value in found.items()}, total)


def _enough(distribution: Distribution) -> tuple[int, int]:
    """(chunks, frequencies) that the split of a total needs, which is not read as finely."""
    count = 0
    for number, chunk in enumerate(distribution.chunks, 1):
        count += len(chunk.frequencies)
        t, transform = distribution.frequencies[:count], distribution.transform[:count]
        if has_faded(t / t[0], transform, RIPPLE):
            return number, count
    return len(distribution.chunks), count


def expected_sums(distribution: Distribution) -> dict[str, float]:
    """E[each part's and line's own sum]."""
    model = distribution.model
    means = {
        part: model.chance(item) * distribution.costs[part].mean
        for part, item in distribution.open_items.items()
    }
    return means | {line: cost.mean for line, cost in distribution.spreads.items()}


def worn_transforms(distribution: Distribution, alive: Alive = nobody_waits) -> dict[str, Waves]:
    """For each open part E[exp(it total); the part is worn] at the distribution's frequencies.

    All parts in one pass. At t = 0 it would be the chance that the part is worn; see `outcomes`.
    """
    return {
        part: besides * distribution.masses_of(distribution.costs[part])
        for part, besides in besides_worn(distribution, alive).items()
    }


def _scaled(values: dict[str, float], total: float) -> dict[str, float]:
    """Spread what the series misses of `total` in proportion to size."""
    missing = total - sum(values.values())
    weight = sum(abs(value) for value in values.values())
    if weight == 0:
        return values
    return {name: value + missing * abs(value) / weight for name, value in values.items()}


def _besides_lines(distribution: Distribution, chunks: int) -> dict[str, Waves]:
    """For each line E exp(it (total - its own change)) at the first so many chunks."""
    import numpy as np

    if not distribution.spreads:
        return {}
    places = range(len(distribution.circuits))
    parts = np.concatenate(
        [
            distribution.over_points(chunk, places).sum(axis=0)
            for chunk in distribution.chunks[:chunks]
        ]
    )
    count = len(parts)
    waves = [distribution.masses_of(cost)[:count] for cost in distribution.spreads.values()]
    rest = leave_one_out(waves)
    return {line: parts * one for line, one in zip(distribution.spreads, rest, strict=True)}


def leave_one_out(waves: Sequence[Waves]) -> list[Waves]:
    """Product of all but one, for each; ones where there is a single factor."""
    import numpy as np

    before: list[Waves] = [np.ones_like(waves[0])]
    for wave in waves[:-1]:
        before.append(before[-1] * wave)
    after: list[Waves] = [np.ones_like(waves[-1])]
    for wave in reversed(waves[1:]):
        after.append(after[-1] * wave)
    return [left * right for left, right in zip(before, reversed(after), strict=True)]
