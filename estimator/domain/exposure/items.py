"""Parts and circuit tests as the factors see them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]


class LoadingError(ValueError):
    """Loadings whose squares add up to one or more."""


@dataclass(frozen=True, slots=True)
class Item:
    """One part as the factors see it.

    `chances` holds one chance per point of the shared grid, or a single one. `state` is None for
    a part still open, else whether it was settled as worn. `ratio` carries its own signs.
    """

    part: str
    circuit: str  # "" where it lives in no shared oil
    life: float
    shared: float  # loading on the circuit
    chances: tuple[float, ...]
    ratio: float = 1.0
    state: bool | None = None

    def __post_init__(self) -> None:
        if not self.life**2 + self.shared**2 < 1:
            raise LoadingError(
                f"{self.part}: the squares of its loadings {self.life} and {self.shared} add up to"
                " one or more, which leaves nothing of its own"
            )
        if not all(0 <= chance <= 1 for chance in self.chances):
            raise ValueError(f"{self.part}: a chance lies between 0 and 1")
        if not 0 <= self.ratio < float("inf"):
            raise ValueError(f"{self.part}: a likelihood ratio is 0 or more, not {self.ratio}")


@dataclass(frozen=True, slots=True)
class CircuitTest:
    """A test of a circuit's oil.

    P(alarm | c) = (1 - sp) + (se + sp - 1) Phi((c - centre) / width), c the circuit's factor.
    """

    circuit: str
    alarm: bool
    sensitivity: float
    specificity: float
    centre: float
    width: float

    def answered(self, factor: Floats) -> Floats:
        """P(this answer | the circuit's factor), over an array of factors."""
        from scipy.special import ndtr

        gain = self.sensitivity + self.specificity - 1
        alarm: Floats = (1 - self.specificity) + gain * ndtr((factor - self.centre) / self.width)
        return alarm if self.alarm else 1 - alarm
