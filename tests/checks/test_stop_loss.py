"""The mean of what passes a sum, against closed forms and against drawing it.

For one part that is worn with chance p and then costs X, E max(pX - K, 0) = p E max(X - K, 0) for
K >= 0; with X a beta on [a, b] of shapes (alpha, beta), E max(X - K, 0) follows from the
regularised incomplete beta function (the limited expected value of a beta, e.g. Klugman, Panjer
and Willmot, Loss Models, appendix A; from memory, checked here by scipy's own integral).
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import betainc
from scipy.stats import beta as beta_law

from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.factors import FactorModel, Item
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.stop_loss import chance_beyond, mean_beyond

COST = Pert(1000.0, 1400.0, 2600.0)


def one_part(chance: float, cost: Pert = COST) -> Distribution:
    item = Item("P", "", 0.0, 0.0, (chance,))
    return Distribution(FactorModel([item], ()), {"P": cost}, {})


def beyond_of(cost: Pert, held: float) -> float:
    """E max(X - held, 0) of a PERT cost."""
    width, a, b = cost.high - cost.low, cost.alpha, cost.beta
    at = min(max((held - cost.low) / width, 0.0), 1.0)
    above = cost.low * (1 - betainc(a, b, at))
    above += width * a / (a + b) * (1 - betainc(a + 1, b, at))
    return above - held * (1 - betainc(a, b, at))


@pytest.mark.parametrize("held", [1000.0, 1250.0, 1600.0, 2400.0, 2600.0])
def test_the_closed_form_is_the_integral(held):
    law = beta_law(COST.alpha, COST.beta, COST.low, COST.high - COST.low)
    wanted, _ = quad(law.sf, held, COST.high)
    assert beyond_of(COST, held) == pytest.approx(wanted, abs=1e-6)


@pytest.mark.parametrize("chance", [0.05, 0.3, 0.9])
@pytest.mark.parametrize("held", [0.0, 600.0, 1250.0, 1600.0, 2400.0])
def test_one_part(chance, held):
    found = mean_beyond(one_part(chance), held)
    assert found == pytest.approx(chance * beyond_of(COST, max(held, 0.0)), abs=0.05)


@pytest.mark.parametrize("chance", [0.05, 0.3, 0.9])
def test_chance_that_one_part_passes_a_sum(chance):
    """Nothing passes nothing: unless it is worn, the sum is not passed."""
    distribution = one_part(chance)
    assert chance_beyond(distribution, 0.0) == pytest.approx(chance, abs=1e-3)
    assert chance_beyond(distribution, 500.0) == pytest.approx(chance, abs=1e-3)
    half = 1 - betainc(COST.alpha, COST.beta, (1600 - 1000) / 1600)
    assert chance_beyond(distribution, 1600.0) == pytest.approx(
        chance * half, abs=0.01
    )  # the blur of the step at 0
    assert chance_beyond(distribution, 2700.0) == pytest.approx(0, abs=1e-6)


def test_far_below_and_far_above():
    distribution = one_part(0.3)
    assert mean_beyond(distribution, -1e6) == pytest.approx(0.3 * COST.mean + 1e6)
    assert mean_beyond(distribution, 1e6) == 0


def test_parts_that_go_together_against_two_million_draws():
    """Three parts and a line, one life factor and one circuit: four standard errors."""
    loads = {"A": (0.4, 0.45, 0.2), "B": (0.4, 0.45, 0.35), "C": (0.5, 0.0, 0.3)}
    costs = {"A": Pert(4000, 5100, 7800), "B": Pert(1300, 1550, 2000), "C": Pert(2200, 2700, 3900)}
    line = Pert(-800.0, 0.0, 1500.0)
    items = [
        Item(name, "TO" if shared else "", life, shared, (chance,))
        for name, (life, shared, chance) in loads.items()
    ]
    distribution = Distribution(FactorModel(items, ()), costs, {"X": line})
    random = np.random.Generator(np.random.PCG64(20261116))
    count = 2_000_000
    life, circuit = random.standard_normal((2, count))
    total = _drawn(line, random, count)
    for name, (a, b, chance) in loads.items():
        own = (1 - a**2 - b**2) ** 0.5 * random.standard_normal(count)
        worn = a * life + b * circuit + own > -_quantile(chance)
        total += worn * _drawn(costs[name], random, count)
    for held in (-500.0, 0.0, 2000.0, 5000.0, 9000.0):
        passed = np.maximum(total - held, 0)
        error = float(passed.std()) / count**0.5
        assert mean_beyond(distribution, held) == pytest.approx(passed.mean(), abs=4 * error)
        share = float((total > held).mean())
        spread = 4 * (share * (1 - share) / count) ** 0.5
        assert chance_beyond(distribution, held) == pytest.approx(share, abs=spread + 1e-9)


def _drawn(cost: Pert, random: np.random.Generator, count: int) -> np.ndarray:
    return cost.low + (cost.high - cost.low) * random.beta(cost.alpha, cost.beta, count)


def _quantile(chance: float) -> float:
    from scipy.special import ndtri

    return float(ndtri(chance))
