"""The distribution of what may be found, against exact cases.

Nothing of the program's Fourier series is used on the other side: mixtures come from scipy 1.17.1,
sums from enumeration of every outcome or from numpy's convolution.
"""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from scipy import signal, stats

from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.factors import FactorModel, Item
from estimator.domain.exposure.interval import growths
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.shares import conditional_means
from tests.checks.triangular import Triangular


def alone(chances: dict[str, float]) -> FactorModel:
    """Parts that have nothing to do with each other."""
    return FactorModel(
        [Item(part, "", 0.0, 0.0, (chance,)) for part, chance in chances.items()], ()
    )


def as_beta(cost: Pert):
    """PERT in scipy's words."""
    return stats.beta(cost.alpha, cost.beta, loc=cost.low, scale=cost.high - cost.low)


# -- one part -------------------------------------------------------------------------------------


@pytest.mark.parametrize("chance", [0.15, 0.5, 0.84])
@pytest.mark.parametrize(
    "cost", [Pert(4200, 5100, 7800), Pert(1500, 1500, 4000), Pert(2900, 8700, 8800)]
)
def test_one_part_against_the_exact_mixture(chance, cost):
    """Nothing with 1 - p, else a PERT: F(x) = 1 - p + p F_beta(x)."""
    found = Distribution(alone({"P": chance}), {"P": cost}, {})
    beta = as_beta(cost)
    for share in (0.5, 0.8, 0.9, 0.99):
        if share > 1 - chance + 0.01:
            wanted = beta.ppf((share - (1 - chance)) / chance)
            assert found.percentile(share) == pytest.approx(wanted, rel=2e-3), share
        elif share < 1 - chance - 0.01:
            assert found.percentile(share) == pytest.approx(0, abs=0.002 * cost.high), share
    for x in (0.3 * cost.low, *beta.ppf([0.1, 0.5, 0.9])):
        wanted = 1 - chance + chance * beta.cdf(x)
        assert found.chance_below(x) == pytest.approx(wanted, abs=2e-3), x
    assert found.moments.mean == pytest.approx(chance * cost.mean, rel=1e-9)


# -- fixed costs, by enumeration ------------------------------------------------------------------

FIXED = {"A": (0.3, 1000), "B": (0.65, 2300), "C": (0.1, 7700), "D": (0.5, 3100), "E": (0.05, 4900),
         "F": (0.8, 640)}  # fmt: skip


def enumerated() -> tuple[np.ndarray, np.ndarray]:
    """(totals rising, chance of each) over all 64 outcomes."""
    outcomes: dict[float, float] = {}
    for states in product((0, 1), repeat=len(FIXED)):
        total, chance = 0.0, 1.0
        for worn, (p, cost) in zip(states, FIXED.values(), strict=True):
            total += worn * cost
            chance *= p if worn else 1 - p
        outcomes[total] = outcomes.get(total, 0.0) + chance
    totals = np.array(sorted(outcomes))
    return totals, np.array([outcomes[total] for total in totals])


@pytest.fixture(scope="module")
def fixed() -> Distribution:
    costs = {part: Pert(cost, cost, cost) for part, (_, cost) in FIXED.items()}
    return Distribution(alone({part: p for part, (p, _) in FIXED.items()}), costs, {})


def test_fixed_costs_against_every_outcome(fixed):
    """Between the steps the distribution is exact; within 1 % of the range of a step it is not
    asked for, since a series of smooth waves rounds the corners."""
    totals, chances = enumerated()
    steps = np.cumsum(chances)
    margin = 0.005 * totals[-1]
    checked = 0
    for low, high, wanted in zip(totals, totals[1:], steps, strict=False):
        if high - low > 2 * margin:
            assert fixed.chance_below((low + high) / 2) == pytest.approx(wanted, abs=1e-6)
            checked += 1
    assert checked >= 20
    assert fixed.chance_below(totals[-1] + 2 * margin) == pytest.approx(1, abs=1e-6)


def test_moments_of_fixed_costs(fixed):
    totals, chances = enumerated()
    mean = float((totals * chances).sum())
    assert fixed.moments.mean == pytest.approx(mean, rel=1e-12)
    deviation = float((chances * (totals - mean) ** 2).sum() ** 0.5)
    assert fixed.moments.deviation == pytest.approx(deviation, rel=1e-12)


# -- sums of spreads, by convolution --------------------------------------------------------------

# Published: GAO-20-195G, Table 12, thousands of dollars per air vehicle: least, most likely, most.
GAO = [
    (17955, 19645, 21785), (8500, 10553, 13000), (4000, 4306, 5100), (4100, 4305, 4650),
    (550, 600, 650), (32300, 35547, 52500), (1950, 2136, 2600),
]  # fmt: skip


def convolved() -> tuple[np.ndarray, np.ndarray]:
    """(totals, cumulative chance) of the seven as PERT, convolved on a grid of one thousand."""
    mass = np.ones(1)
    for low, mode, high in GAO:
        edges = np.arange(low - 0.5, high + 1)
        cells = np.diff(as_beta(Pert(low, mode, high)).cdf(edges))
        mass = signal.fftconvolve(mass, cells)
    start = sum(low for low, _, _ in GAO)
    return start + np.arange(len(mass)) + 0.5, np.cumsum(mass)


def test_sum_of_seven_spreads_against_convolution():
    spreads = {str(number): Pert(*row) for number, row in enumerate(GAO)}
    found = Distribution(alone({}), {}, spreads)
    assert sum(row[1] for row in GAO) == 77092  # published: "$77 million"
    totals, cumulative = convolved()
    for share in (0.05, 0.1, 0.5, 0.7, 0.8, 0.9, 0.95):
        wanted = float(np.interp(share, cumulative, totals))
        assert found.percentile(share) == pytest.approx(wanted, rel=2e-5), share
    point = float(np.interp(77092, totals, cumulative))
    assert found.chance_below(77092) == pytest.approx(point, abs=1e-4)
    assert found.moments.mean == pytest.approx(sum(Pert(*row).mean for row in GAO))
    variance = sum(Pert(*row).variance for row in GAO)
    assert found.moments.deviation == pytest.approx(variance**0.5)


# -- the same table as triangles -------------------------------------------------------------------

# Computed from the published inputs (triangular, independent) by convolution on a grid of one
# thousand, by two million draws and by openturns 1.27, which agree within 0.02 %; GAO's own
# simulated percentiles were not found.
GAO_PERCENTILES = {0.1: 76715, 0.5: 81602, 0.7: 84569, 0.8: 86446, 0.9: 88910}
GAO_MEAN, GAO_DEVIATION, GAO_POINT = 82244, 4599.61, 0.1258


@pytest.fixture(scope="module")
def triangles() -> Distribution:
    spreads = {str(number): Triangular(*row) for number, row in enumerate(GAO)}
    return Distribution(alone({}), {}, spreads)


def test_the_triangular_cost_is_scipy_s():
    for least, mode, most in GAO:
        cost = Triangular(least, mode, most)
        wanted = stats.triang((mode - least) / (most - least), loc=least, scale=most - least)
        assert cost.mean == pytest.approx(wanted.mean())
        assert cost.variance == pytest.approx(wanted.var())
        assert [cost.reached(p) for p in (0.05, 0.5, 0.9)] == pytest.approx(
            list(wanted.ppf([0.05, 0.5, 0.9]))
        )
        t = np.array([2e-4, 2e-3])
        points = np.linspace(least, most, 200_001)
        density = wanted.pdf(points)
        for found, weight in zip(cost.transforms(t), (1.0, points), strict=True):
            integrated = [np.trapezoid(density * weight * np.exp(1j * one * points), points)
                          for one in t]  # fmt: skip
            assert found == pytest.approx(np.array(integrated), rel=1e-6)


def test_the_seven_elements_as_published(triangles):
    assert triangles.moments.mean == pytest.approx(GAO_MEAN, abs=0.5)
    assert triangles.moments.deviation == pytest.approx(GAO_DEVIATION, abs=0.01)
    for share, wanted in GAO_PERCENTILES.items():
        assert triangles.percentile(share) == pytest.approx(wanted, rel=2e-4), share
    assert triangles.chance_below(77092) == pytest.approx(GAO_POINT, abs=1e-4)


def test_the_seven_elements_by_convolution(triangles):
    """Exact but for the grid of one thousand dollars, over which each cell's mean is kept."""
    mass = np.ones(1)
    for least, mode, most in GAO:
        edges = np.arange(least - 0.5, most + 1)
        shape = stats.triang((mode - least) / (most - least), loc=least, scale=most - least)
        mass = signal.fftconvolve(mass, np.diff(shape.cdf(edges)))
    totals = sum(least for least, _, _ in GAO) + np.arange(len(mass)) + 0.5
    for share in GAO_PERCENTILES:
        wanted = float(np.interp(share, np.cumsum(mass), totals))
        assert triangles.percentile(share) == pytest.approx(wanted, rel=1e-5), share


def test_the_seven_elements_by_draws(triangles):
    """Two hundred thousand draws, fixed seed: within four of their standard errors."""
    random = np.random.default_rng(2195)
    count = 200_000
    total = sum(random.triangular(*row, count) for row in GAO)
    assert triangles.moments.mean == pytest.approx(total.mean(), abs=4 * GAO_DEVIATION / count**0.5)
    for share in GAO_PERCENTILES:
        level = triangles.percentile(share)
        error = (share * (1 - share) / count) ** 0.5
        assert (total <= level).mean() == pytest.approx(share, abs=4 * error), share


def test_each_element_s_share_adds_up(triangles):
    level = triangles.percentile(0.8)
    shares = conditional_means(triangles, level)
    assert sum(shares.values()) == pytest.approx(level, rel=1e-9)
    # the widest range carries most of what the percentile lies above the mean
    above = {name: shares[name] - triangles.spreads[name].mean for name in shares}
    assert max(above, key=above.__getitem__) == str(GAO.index((32300, 35547, 52500)))


# -- the interval ----------------------------------------------------------------------------------


@pytest.mark.parametrize("cost", [Pert(4200, 5100, 7800), Pert(-900, 0, 50), Pert(10, 10, 90)])
@pytest.mark.parametrize("rate", [0.3, 2.0, 6.0, -0.3, -2.0, -6.0])
def test_growth_is_bounded_from_above(cost, rate):
    """Bennett's lemma against scipy's integration of E exp(sX)."""
    s = rate / cost.variance**0.5
    beta = as_beta(cost)
    wanted = beta.expect(lambda x: np.exp(s * (x - cost.mean)))
    (bound,) = growths([cost], np.array([s]))
    assert np.log(wanted) <= bound[0] - s * cost.mean + 1e-9


def test_next_to_nothing_lies_beyond_the_interval():
    """Sixty fixed costs: exact binomial tails beyond the ends of the series."""
    costs = {f"P{n}": Pert(100, 100, 100) for n in range(60)}
    found = Distribution(alone(dict.fromkeys(costs, 0.02)), costs, {})
    beyond = (found.start + found.period) / 100
    assert beyond < 30  # nearer than the sixty that could be
    assert stats.binom(60, 0.02).sf(beyond) < 1e-8


# -- contributions -------------------------------------------------------------------------------


def test_two_fixed_parts_contribute_by_bayes_rule():
    """By hand: totals 1000 and 3000 can only come from A alone and from B alone."""
    costs = {"A": Pert(1000, 1000, 1000), "B": Pert(3000, 3000, 3000)}
    found = Distribution(alone({"A": 0.5, "B": 0.3}), costs, {})
    assert conditional_means(found, 1000)["A"] == pytest.approx(1000, abs=1)
    assert conditional_means(found, 3000)["B"] == pytest.approx(3000, abs=1)
