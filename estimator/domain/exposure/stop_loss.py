"""What lies beyond a sum: the mean of all that passes it, E max(S - held, 0).

Actuaries call it the stop-loss premium. From the distribution's own series

    F(x) = (x - a) / P + (2 / P) Re sum f(t) (exp(-ita) - exp(-itx)) / (it),   t = 2 pi k / P,

(a the start of the series, P its period), integrated term by term from a to the sum held:

    E max(held - S, 0) = (held - a)^2 / (2 P)
        + (2 / P) Re sum f(t) / (it) ((held - a) exp(-ita) - (exp(-ita) - exp(-it held)) / (it))

and E max(S - held, 0) = E S - held + E max(held - S, 0).
"""

from __future__ import annotations

from estimator.domain.exposure.distribution import Distribution

BLUR = 4.0  # standard deviations of the blur that stands for a step, beyond which it is past
BLUR_TURNS = 4.0  # one deviation of it, in radians of the last frequency (`series.fade_of`)


def mean_beyond(distribution: Distribution, held: float) -> float:
    """E max(S - held, 0), S what is found above base; never below nothing. What a step at `held`
    itself would put in by its blur is left out."""
    width = _blur(distribution)
    if not width:
        return _mean_beyond(distribution, held)
    # Between here and the end of the blur nothing new is passed.
    return _mean_beyond(distribution, held + width) + width * chance_beyond(distribution, held)


def chance_beyond(distribution: Distribution, held: float) -> float:
    """P(S > held). Where the distribution has steps, which its series blurs, a step at `held`
    itself is counted as not beyond."""
    return 1 - distribution.chance_below(held + _blur(distribution))


def _mean_beyond(distribution: Distribution, held: float) -> float:
    import numpy as np

    series = distribution.series
    start, period, mean = series.start, series.period, distribution.moments.mean
    if held <= start:
        return mean - held
    if held >= start + period:
        return 0.0
    t = series.frequencies
    at_start, at_held = np.exp(-1j * t * start), np.exp(-1j * t * held)
    wave = distribution.transform * series.fade / (1j * t)
    reach = held - start
    terms = wave * (reach * at_start - (at_start - at_held) / (1j * t))
    below = reach**2 / (2 * period) + 2 / period * float(terms.real.sum())
    return max(mean - held + below, 0.0)


def _blur(distribution: Distribution) -> float:
    """How far a step is smeared out to one side; nothing where the series settles by itself."""
    series = distribution.series
    settles = float(series.fade[-1]) == 1
    return 0.0 if settles else BLUR * BLUR_TURNS / float(series.frequencies[-1])
