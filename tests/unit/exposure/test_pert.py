"""PERT costs: shapes, moments, and transforms against scipy's beta distribution."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from scipy.integrate import quad
from scipy.stats import beta

from estimator.domain.exposure.pert import Pert
from tests.unit.exposure.models import perts


def as_beta(cost: Pert):
    return beta(cost.alpha, cost.beta, loc=cost.low, scale=cost.high - cost.low)


@given(perts())
def test_mean_and_variance_are_those_of_the_beta_distribution(cost):
    if cost.low == cost.high:
        assert (cost.mean, cost.variance) == (cost.low, 0)
    else:
        assert cost.mean == pytest.approx(as_beta(cost).mean())
        assert cost.variance == pytest.approx(as_beta(cost).var(), rel=1e-9)


def test_mean_by_hand():
    assert Pert(4200, 5100, 7800).mean == 5400


@pytest.mark.parametrize(
    "cost", [Pert(0, 100, 400), Pert(-300, 0, 50), Pert(10, 10, 90), Pert(10, 90, 90)]
)
@pytest.mark.parametrize("turns", [0.1, 3.0, 40.0, 400.0, 4000.0])
def test_transforms_agree_with_numerical_integration(cost, turns):
    """Up to some hundreds of turns of the wave within the spread of the cost."""
    frequency = turns / (cost.high - cost.low)
    first, second = cost.transforms(np.array([frequency]))
    density = as_beta(cost).pdf
    for got, factor in ((first[0], lambda x: 1.0), (second[0], lambda x: x)):
        # quad's own weights follow the wave, which plain nodes would not
        real, _ = quad(lambda x, f=factor: f(x) * density(x), cost.low, cost.high,
                       weight="cos", wvar=frequency, limit=400)  # fmt: skip
        imaginary, _ = quad(lambda x, f=factor: f(x) * density(x), cost.low, cost.high,
                            weight="sin", wvar=frequency, limit=400)  # fmt: skip
        assert got == pytest.approx(complex(real, imaginary), abs=2e-4 * max(1, abs(cost.high)))


def test_a_fixed_cost_turns_as_one_wave():
    fixed = Pert(250.0, 250.0, 250.0)
    first, second = fixed.transforms(np.array([0.01, 0.02]))
    assert first == pytest.approx(np.exp(1j * np.array([2.5, 5.0])))
    assert second == pytest.approx(250 * np.exp(1j * np.array([2.5, 5.0])))


@given(perts())
def test_at_no_frequency_a_transform_is_one_and_the_mean(cost):
    first, second = cost.transforms(np.array([1e-12]))
    assert first[0] == pytest.approx(1)
    assert second[0] == pytest.approx(cost.mean)


@pytest.mark.parametrize("values", [(2, 1, 3), (1, 3, 2), (3, 2, 1), (1, float("nan"), 2)])
def test_what_does_not_rise_is_refused(values):
    with pytest.raises(ValueError, match="rise"):
        Pert(*values)


def test_a_cost_can_be_moved():
    assert Pert(1, 2, 4).moved(-2) == Pert(-1, 0, 2)


@given(perts())
def test_what_is_reached_is_the_quantile_of_the_beta_distribution(cost):
    for share in (0.0, 0.1, 0.5, 0.8, 1.0):
        wanted = cost.low if cost.low == cost.high else as_beta(cost).ppf(share)
        assert cost.reached(share) == pytest.approx(wanted, rel=1e-9)


@pytest.mark.parametrize("share", [-0.1, 1.1, float("nan")])
def test_no_cost_is_reached_by_a_share_that_is_none(share):
    with pytest.raises(ValueError, match="between 0 and 1"):
        Pert(1, 2, 3).reached(share)
