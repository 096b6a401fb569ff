"""What the distribution asks of a cost: any distribution of a sum, as long as it can say these."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class Cost(Protocol):
    """One uncertain sum X in the quote's currency, on a closed interval.

    A cost does not change once it is made, is hashable, and two that are equal have the same
    transforms: results are kept by it. Units: the quote's currency; a frequency is its inverse.
    """

    @property
    def low(self) -> float:
        """The least X can be."""

    @property
    def high(self) -> float:
        """The most X can be."""

    @property
    def mean(self) -> float:
        """E X."""

    @property
    def variance(self) -> float:
        """Var X."""

    def transforms(
        self, frequencies: NDArray[np.float64]
    ) -> tuple[NDArray[np.complex128], NDArray[np.complex128]]:
        """(E exp(itX), E X exp(itX)) at each frequency t; t is above 0 and rises."""

    def reached(self, share: float) -> float:
        """The sum that X does not exceed with probability `share`, 0 to 1.

        Raises ValueError outside that.
        """
