"""A triangular cost, as published tables state them: any cost that can say the same few things
fits the program's distribution.

Mean (a + m + b) / 3, variance (a^2 + m^2 + b^2 - am - ab - mb) / 18 and transform
-2 [(b - m) e^(iat) - (b - a) e^(imt) + (m - a) e^(ibt)] / [(b - a)(m - a)(b - m) t^2]: closed forms
from memory, held against scipy's triangular distribution in the tests.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True)
class Triangular:
    """Least, most likely and most, all different."""

    low: float
    likely: float
    high: float

    @property
    def mean(self) -> float:
        return (self.low + self.likely + self.high) / 3

    @property
    def variance(self) -> float:
        a, m, b = self.low, self.likely, self.high
        return (a * a + m * m + b * b - a * m - a * b - m * b) / 18

    def transforms(self, frequencies: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        t = np.asarray(frequencies)
        a, m, b = self.low, self.likely, self.high
        factor = -2 / ((b - a) * (m - a) * (b - m))
        corners = ((b - m, a), (a - b, m), (m - a, b))
        waves = sum(weight * np.exp(1j * at * t) for weight, at in corners)
        turned = sum(weight * 1j * at * np.exp(1j * at * t) for weight, at in corners)
        mass = factor * waves / t**2
        slope = factor * (turned / t**2 - 2 * waves / t**3)
        return mass, -1j * slope

    def reached(self, share: float) -> float:
        a, m, b = self.low, self.likely, self.high
        at_mode = (m - a) / (b - a)
        if share <= at_mode:
            return a + float(share * (b - a) * (m - a)) ** 0.5
        return b - float((1 - share) * (b - a) * (b - m)) ** 0.5
