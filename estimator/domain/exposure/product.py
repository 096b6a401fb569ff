"""Products of many factors 1 + q u over many nodes: the work behind every transform.

Two factors are multiplied out as [1, q, q', q q'] . [1, u, u', u u'], a real matrix product of
inner length four, which takes about half of what two products of arrays do.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]
    Waves = NDArray[np.complex128]

BLOCK = 16_000  # nodes x frequencies taken together, so that they stay in the processor's cache
CANCELS = 1e-6  # |1 + q u|^2 below which a factor is not divided out again


def product(chances: Floats, swings: Waves) -> Waves:
    """prod over i of (1 + q_i(node) u_i(t)): (item, node) and (item, t) give (node, t)."""
    return product_of_pairs(pairs_of(chances), swings)


def pairs_of(chances: Floats) -> Floats:
    """[1, q, q', q q'] of every two items at each node: (pair, node, 4)."""
    import numpy as np

    count, nodes = chances.shape
    pairs = np.zeros(((count + 1) // 2, nodes, 4))
    pairs[:, :, 0] = 1.0
    pairs[:, :, 1] = chances[::2]
    pairs[: count // 2, :, 2] = chances[1::2]
    np.multiply(pairs[:, :, 1], pairs[:, :, 2], out=pairs[:, :, 3])
    return pairs


def product_of_pairs(pairs: Floats, swings: Waves) -> Waves:
    """As `product`, of chances brought into pairs (`pairs_of`)."""
    import numpy as np

    columns = _columns(swings).view(float)
    result: Waves = np.ones((pairs.shape[1], swings.shape[1]), dtype=complex)
    step = max(BLOCK // swings.shape[1], 1)
    for start in range(0, len(result), step):
        part = result[start : start + step]
        factor = np.empty_like(part)
        real = factor.view(float)
        for pair, column in zip(pairs, columns, strict=True):
            np.matmul(pair[start : start + step], column, out=real)
            np.multiply(part, factor, out=part)
    return result


def product_of_reals(pairs: Floats, swings: Floats) -> Floats:
    """As `product_of_pairs`, of real u: (pair, node, 4) and (item, s) give (node, s)."""
    import numpy as np

    result: Floats = np.ones((pairs.shape[1], swings.shape[1]))
    for pair, column in zip(pairs, _columns(swings), strict=True):
        result *= pair @ column
    return result


def _columns(swings: NDArray[Any]) -> NDArray[Any]:
    """[1, u, u', u u'] of every two items: (pair, 4, t)."""
    import numpy as np

    count = len(swings)
    columns = np.zeros(((count + 1) // 2, 4, swings.shape[1]), dtype=swings.dtype)
    columns[:, 0] = 1.0
    columns[:, 1] = swings[::2]
    columns[: count // 2, 2] = swings[1::2]
    np.multiply(columns[:, 1], columns[:, 2], out=columns[:, 3])
    return columns


def averaged(wave: Waves, weights: Floats) -> Waves:
    """Average over a circuit's nodes: (life x node, t) with (life, node) gives (life, t)."""
    import numpy as np

    lives, nodes = weights.shape
    if nodes == 1:
        return wave * weights
    parts = wave.view(float).reshape(lives, nodes, -1)
    result: Waves = np.matmul(weights[:, None, :], parts)[:, 0, :].view(complex)
    return result


class Divider:
    """Sums over nodes of what is left of a product when one of its factors is replaced by q.

    `weighted` is the whole product, weighed, over (node, t). Dividing is as exact as multiplying
    unless a factor all but vanishes: then `without` answers None.
    """

    def __init__(self, weighted: Waves) -> None:
        import numpy as np

        self._real = np.ascontiguousarray(weighted.real)
        self._imag = np.ascontiguousarray(weighted.imag)
        self._size, self._part = np.empty_like(self._real), np.empty_like(self._real)

    def without(self, chance: Floats, swing: Waves) -> Waves | None:
        """sum over nodes of q x weighted / (1 + q u), over t; None where it cannot be divided.

        1 / (1 + q u) = (1 + q conj u) / |1 + q u|^2, so that two real sums with q and q^2 do.
        """
        import numpy as np

        nodes = np.empty((len(chance), 3))
        nodes[:, 0] = 1.0
        nodes[:, 1] = chance
        np.multiply(chance, chance, out=nodes[:, 2])
        waves = np.array([np.ones(len(swing)), 2 * swing.real, np.abs(swing) ** 2])
        np.matmul(nodes, waves, out=self._size)
        if self._size.min() < CANCELS:
            return None
        np.divide(1.0, self._size, out=self._size)
        sums = nodes.T[1:]
        np.multiply(self._real, self._size, out=self._part)
        real = sums @ self._part
        np.multiply(self._imag, self._size, out=self._part)
        both = real + 1j * (sums @ self._part)
        result: Waves = both[0] + swing.conj() * both[1]
        return result
