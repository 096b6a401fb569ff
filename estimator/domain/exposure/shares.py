"""What each part and line puts into a given total: E[its own sum | total], which adds up to it.

The same Fourier series as the distribution, with E[X exp(itX)] in the place of one part's
transform and the others as they are (leave-one-out products, since a transform may be zero).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from estimator.domain.exposure.distribution import CHUNK, Alive, nobody_waits
from estimator.domain.exposure.factors import Item

if TYPE_CHECKING:
    from estimator.domain.exposure.distribution import Distribution, Floats, Waves

NO_DENSITY = 1e-9


def conditional_means(
    distribution: Distribution, total: float, alive: Alive = nobody_waits
) -> dict[str, float]:
    """E[each sum | total] by part and line, scaled so that they add up to `total`.

    `alive` is called every few milliseconds of work; what it raises passes through, and ends it.

    The scaling only mends the last places of the series (a relative 1e-6 or less where the
    distribution is smooth); where the density at `total` vanishes, plain means are returned.
    """
    import numpy as np

    t = distribution.frequencies
    wave = distribution.fade * np.exp(-1j * t * total)
    density = 1.0 + 2 * float((distribution.transform * wave).real.sum())
    means = expected_sums(distribution)
    if density <= NO_DENSITY:
        return means
    found = dict(means)
    for first in range(0, len(t), CHUNK):
        chunk = slice(first, first + CHUNK)
        for name, part in _series(distribution, t[chunk], wave[chunk], alive).items():
            found[name] += 2 * part
    result = {name: value / density for name, value in found.items()}
    return _scaled(result, total)


def expected_sums(distribution: Distribution) -> dict[str, float]:
    """E[each part's and line's own sum]."""
    model = distribution.model
    means = {
        part: model.chance(item) * distribution.costs[part].mean
        for part, item in distribution.open_items.items()
    }
    return means | {line: cost.mean for line, cost in distribution.spreads.items()}


def _scaled(values: dict[str, float], total: float) -> dict[str, float]:
    """Spread what the series misses of `total` in proportion to size."""
    missing = total - sum(values.values())
    weight = sum(abs(value) for value in values.values())
    if weight == 0:
        return values
    return {name: value + missing * abs(value) / weight for name, value in values.items()}


def _series(distribution: Distribution, t: Floats, wave: Waves, alive: Alive) -> dict[str, float]:
    """Real part of the sum over `t` of each one's transform times `wave`."""
    import numpy as np

    model = distribution.model
    spread = distribution.spread_transform(t)
    circuits = [
        circuit
        for circuit in ("", *model.circuits)
        if any(item.part in distribution.costs for item in model.members(circuit))
    ]
    transforms = []
    for circuit in circuits:
        alive()
        transforms.append(distribution.circuit_transform(circuit, t))
    weights = model.weights[:, :, None]
    found: dict[str, float] = {}
    for position, circuit in enumerate(circuits):
        others = weights * (spread * wave)
        for place, transform in enumerate(transforms):
            if place != position:
                others = others * transform
        found |= _within_circuit(distribution, circuit, t, others, alive)
    everything = weights * wave
    for transform in transforms:
        everything = everything * transform
    outer = everything.sum(axis=(0, 1))
    waves = [distribution.transforms(line, t) for line in distribution.spreads]
    without = _leave_one_out([pair[0] for pair in waves])
    for line, pair, rest in zip(distribution.spreads, waves, without, strict=True):
        found[line] = float(np.sum(outer * rest * pair[1]).real)
    return found


def _within_circuit(
    distribution: Distribution, circuit: str, t: Floats, others: Waves, alive: Alive
) -> dict[str, float]:
    """Series of each part of a circuit; `others` holds all the rest, over (grid, life, t)."""
    import numpy as np

    model = distribution.model
    parts = [item for item in model.members(circuit) if item.part in distribution.costs]
    plain = [item for item in parts if len(item.chances) == 1]
    pooled = [item for item in parts if len(item.chances) > 1]
    inner = model.circuit_weights[circuit] if circuit else np.ones((1, len(model.life), 1))
    by_point = bool(pooled) or inner.shape[0] > 1
    found = dict.fromkeys((item.part for item in parts), 0.0)
    plain_waves = [distribution.item_wave(item, 0, t) for item in plain]
    all_plain = _product(plain_waves)
    gathered: Waves = np.zeros((1, 1, 1), dtype=complex)
    for point in distribution.heavy_points() if by_point else [0]:
        alive()
        outer = others[point] if by_point else others.sum(axis=0)
        share = inner[min(point, inner.shape[0] - 1)]
        waves = [distribution.item_wave(item, point, t) for item in pooled]
        rest_of_all = outer[:, None, :] * share[:, :, None]
        gathered = gathered + rest_of_all * _product(waves)
        for item, rest in zip(pooled, _leave_one_out(waves), strict=True):
            chance = distribution.chance_at(item, point)[:, :, None]
            found[item.part] += _real_sum(
                rest_of_all * all_plain * rest * chance, item, t, distribution
            )
    for item, rest in zip(plain, _leave_one_out(plain_waves), strict=True):
        chance = distribution.chance_at(item, 0)[:, :, None]
        found[item.part] += _real_sum(gathered * rest * chance, item, t, distribution)
    return found


def _real_sum(weighted: Waves, item: Item, t: Floats, distribution: Distribution) -> float:
    """Real part of the sum over everything of `weighted` times E[X exp(itX)]."""
    second = distribution.transforms(item.part, t)[1]
    return float((weighted.sum(axis=(0, 1)) * second).sum().real)


def _product(waves: Sequence[Waves]) -> Waves:
    """Product of all; one where there is none."""
    import numpy as np

    product: Waves = np.ones((1, 1, 1), dtype=complex)
    for wave in waves:
        product = product * wave
    return product


def _leave_one_out(waves: Sequence[Waves]) -> list[Waves]:
    """Product of all but one, for each; ones where there is a single factor."""
    import numpy as np

    if not waves:
        return []
    before: list[Waves] = [np.ones_like(waves[0])]
    for wave in waves[:-1]:
        before.append(before[-1] * wave)
    after: list[Waves] = [np.ones_like(waves[-1])]
    for wave in reversed(waves[1:]):
        after.append(after[-1] * wave)
    return [left * right for left, right in zip(before, reversed(after), strict=True)]
