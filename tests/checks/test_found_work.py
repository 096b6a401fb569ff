"""A count of found work against scipy's counts, enumerated, and against Panjer's recursion.

Sources: scipy.stats.poisson and nbinom (BSD); H. H. Panjer, "Recursive evaluation of a family of
compound distributions", ASTIN Bulletin 12 (1981), from memory: with p_n = (a + b / n) p_{n-1} and
lattice masses f, g_0 = G(f_0) and g_s = sum_j (a + b j / s) f_j g_{s-j} / (1 - a f_0).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import nbinom, poisson

from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.factors import FactorModel
from estimator.domain.exposure.found_work import FoundCount
from estimator.domain.exposure.pert import Pert

CASES = [(0.3, 0.0), (2.0, 0.0), (7.5, 0.0), (0.3, 0.5), (2.0, 1.0), (7.5, 0.25), (1.0, 3.0)]


def count_of(expected: float, over: float):
    return nbinom(1 / over, 1 / (1 + over * expected)) if over else poisson(expected)


@pytest.mark.parametrize(("expected", "over"), CASES)
def test_moments_by_enumeration(expected, over):
    each, numbers = Pert(200, 400, 900), np.arange(2000)
    weights = count_of(expected, over).pmf(numbers)
    mean = (weights * numbers * each.mean).sum()
    second = (weights * (numbers * each.variance + (numbers * each.mean) ** 2)).sum()
    cost = FoundCount(expected, over, each)
    assert cost.mean == pytest.approx(mean, rel=1e-8)
    assert cost.variance == pytest.approx(second - mean**2, rel=1e-7)
    assert count_of(expected, over).sf(cost.most) <= 1e-9


@pytest.mark.parametrize(("expected", "over"), CASES)
def test_transforms_by_enumeration(expected, over):
    """E exp(itS) = sum of p_n phi(t)^n, and its slope."""
    each, numbers = Pert(200, 400, 900), np.arange(1500)
    weights = count_of(expected, over).pmf(numbers)
    t = np.array([1e-5, 3e-4, 0.002, 0.01, 0.04])
    wave, single = each.transforms(t)
    mass = (weights * wave[:, None] ** numbers).sum(axis=1)
    moment = (weights[1:] * numbers[1:] * wave[:, None] ** numbers[:-1]).sum(axis=1) * single
    got_mass, got_moment = FoundCount(expected, over, each).transforms(t)
    assert np.allclose(got_mass, mass, atol=1e-9)
    assert np.allclose(got_moment, moment, rtol=1e-7, atol=1e-6)


@pytest.mark.parametrize(("expected", "over"), CASES)
def test_a_fixed_cost_counts_in_steps(expected, over):
    """400 each: 400 x the count's own quantile."""
    cost = FoundCount(expected, over, Pert(400, 400, 400))
    assert cost.reached(0) == 0
    for share in (0.2, 0.55, 0.8, 0.93, 0.99):
        wanted = 400 * float(count_of(expected, over).ppf(share))
        assert cost.reached(share) == wanted


@pytest.mark.parametrize(("expected", "over"), [(1.5, 0.0), (1.5, 0.8), (4.0, 0.3)])
def test_quantiles_against_panjer(expected, over):
    """One costs 200 to 900 in cells of 10; the recursion and the two readings agree."""
    from scipy.special import betainc

    each, cell = Pert(200, 400, 900), 10.0
    cost = FoundCount(expected, over, each)
    edges = (np.arange(92) - 0.5) * cell
    shares = np.clip((edges - each.low) / 700, 0, 1)
    f = np.diff(betainc(each.alpha, each.beta, shares))
    size = int(cost.high / cell) + 1
    a, b, start = 0.0, expected, np.exp(-expected)
    if over:
        a = over * expected / (1 + over * expected)
        b, start = a * (1 / over - 1), (1 - a) ** (1 / over)
    g = np.zeros(size)
    g[0] = start  # f has nothing at 0
    for s in range(1, size):
        j = np.arange(1, min(s, len(f) - 1) + 1)
        g[s] = ((a + b * j / s) * f[j] * g[s - j]).sum()
    below = np.cumsum(g)
    total = Distribution(FactorModel([], []), {}, {"found/X": cost})
    for share in (0.5, 0.8, 0.9, 0.97):
        wanted = float(np.searchsorted(below, share)) * cell
        assert cost.reached(share) == pytest.approx(wanted, abs=2 * cell)
        assert total.percentile(share) == pytest.approx(wanted, abs=2 * cell)
