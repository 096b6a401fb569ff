"""Wear-out chances, the workshop's own cases, and PERT costs.

Sources: the NIST/SEMATECH e-Handbook (8.4.1.3, Weibull fit of censored life data), scipy 1.17.1,
and the hub-seat grid of the golden job, which was computed apart.
"""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate, stats

from estimator.domain.catalogue.work_rows import OwnCase
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.evidence import likelihood_ratio, updated
from estimator.domain.exposure.factors import FactorModel, Item
from estimator.domain.exposure.own_cases import SCALE_MULTIPLES, SHAPE_MULTIPLES, pool_grid
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.wear_out import (
    Age,
    WearOutError,
    age_of,
    chance_worn,
    scale_from_chance,
    scale_of,
)
from tests.golden.golden_job import CATALOGUE, expected_rows, input_rows

QUICK = settings(deadline=None, max_examples=100, database=None)
SHAPES = st.floats(0.5, 6)
SCALES = st.floats(500, 60_000)

# Published: NIST/SEMATECH e-Handbook 8.4.1.3, ten failures, ten units still running at 500 h.
FAILED_AT = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386]
RUNNING_AT = [500] * 10
NIST_SCALE, NIST_SHAPE = 606.5280, 1.7208


# -- chance of being worn -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sound", "now", "chance"),
    [
        # computed from the NIST fit with scipy, and with lifelines 0.30.3, alike
        (0, 300, 0.257539),
        (300, 500, 0.342589),
        (500, 800, 0.590604),
    ],
)
def test_chance_given_it_was_sound(sound, now, chance):
    found = chance_worn(Age(now, sound, ""), NIST_SCALE, NIST_SHAPE)
    assert found == pytest.approx(chance, abs=1e-4)


def test_the_published_fit_is_the_most_likely():
    """Our chances put in place of the likelihood: no neighbouring scale and shape does better."""

    def log_likelihood(scale: float, shape: float) -> float:
        # density from the chance by a small step, so that only the code under check is used
        step = 1e-4
        density = [
            (chance_worn(Age(h + step, 0, ""), scale, shape)
             - chance_worn(Age(h - step, 0, ""), scale, shape)) / (2 * step)
            for h in FAILED_AT
        ]  # fmt: skip
        running = [1 - chance_worn(Age(h, 0, ""), scale, shape) for h in RUNNING_AT]
        return float(np.log([*density, *running]).sum())

    best = log_likelihood(NIST_SCALE, NIST_SHAPE)
    assert best == pytest.approx(-75.135, abs=1e-3)  # published, the sign lost in the stored text
    for scale, shape in ((1.02, 1), (0.98, 1), (1, 1.02), (1, 0.98)):
        assert log_likelihood(NIST_SCALE * scale, NIST_SHAPE * shape) < best


@QUICK
@given(now=st.floats(0, 80_000), share=st.floats(0, 1), scale=SCALES, shape=SHAPES)
def test_chance_against_scipy(now, share, scale, shape):
    sound = now * share
    life = stats.weibull_min(shape, scale=scale)
    alive_now, alive_then = life.logsf(now), life.logsf(sound)
    found = chance_worn(Age(now, sound, ""), scale, shape)
    assert found == pytest.approx(-np.expm1(alive_now - alive_then), abs=1e-12)


@QUICK
@given(chance=st.floats(0.001, 0.999), hours=st.floats(100, 50_000), shape=SHAPES)
def test_scale_from_a_chance_gives_the_chance_back(chance, hours, shape):
    scale = scale_from_chance(chance, hours, shape)
    assert chance_worn(Age(hours, 0, ""), scale, shape) == pytest.approx(chance, abs=1e-12)
    assert stats.weibull_min(shape, scale=scale).cdf(hours) == pytest.approx(chance, abs=1e-12)


@QUICK
@given(st.floats(0, 40_000), st.floats(0, 40_000), SCALES, SHAPES)
def test_more_hours_never_lower_the_chance(one, other, scale, shape):
    less, more = sorted((one, other))
    assert chance_worn(Age(less, 0, ""), scale, shape) <= chance_worn(
        Age(more, 0, ""), scale, shape
    )


@pytest.mark.parametrize(
    ("chance", "hours", "shape"), [(0, 1, 2), (1, 1, 2), (0.5, 0, 2), (0.5, 9, 0)]
)
def test_a_scale_that_cannot_be_is_refused(chance, hours, shape):
    with pytest.raises(WearOutError):
        scale_from_chance(chance, hours, shape)


def test_an_age_before_it_was_seen_sound_is_refused():
    with pytest.raises(WearOutError):
        chance_worn(Age(900, 1000, ""), 5000, 2)


@pytest.mark.parametrize(
    ("part", "now", "sound", "chance"),
    [
        # worked by hand: hours x duty 1.15 at 14,860 h; overhaul at 8,200 h
        ("P-TGR", 17_089, 0, 0.130169),  # never opened: -ln 0.91 x (17,089 / 15,000)^3
        ("P-CRK", 17_089, 9_430, 0.097492),  # seen sound: 0.083382 x (1.47869 - 0.24846)
        ("P-HED", 7_659, 0, 0.052183),  # renewed: 0.287682 x 0.186295
    ],
)
def test_ages_worked_by_hand(golden, golden_catalogue, part, now, sound, chance):
    age, row = age_of(part, golden.job), golden_catalogue.wear[part]
    assert (age.now, age.sound) == pytest.approx((now, sound))
    assert chance_worn(age, scale_of(row), float(row.shape)) == pytest.approx(chance, abs=1e-6)


# -- signs ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("test", "alarm", "ratio"),
    [
        # by hand: se / (1 - sp) on an alarm, (1 - se) / sp on none (Bayes' rule, textbooks)
        ("T-CDM", True, 0.80 / 0.15),
        ("T-CDM", False, 0.20 / 0.85),
        ("T-HUB", True, 0.55 / 0.20),
    ],
)
def test_likelihood_ratios(golden_catalogue, test, alarm, ratio):
    found = likelihood_ratio(golden_catalogue.tests[test], alarm=alarm)
    assert found == pytest.approx(ratio, rel=1e-12)


def test_bayes_rule_worked_by_hand():
    # main pump: odds 1.61237 x 5.3333 = 8.5993 -> 0.895826; front right hub seat 0.423475 x 2.75
    assert updated(0.617207, 16 / 3) == pytest.approx(0.895826, abs=1e-6)
    assert updated(0.423475, 2.75) == pytest.approx(0.668870, abs=1e-6)


@QUICK
@given(chance=st.floats(0.001, 0.999), se=st.floats(0.05, 0.99), sp=st.floats(0.05, 0.99))
def test_alarm_and_no_alarm_average_to_the_chance(chance, se, sp):
    """What a test may say leaves the chance, on average, where it was."""
    alarm = se * chance + (1 - sp) * (1 - chance)
    after = alarm * updated(chance, se / (1 - sp)) + (1 - alarm) * updated(chance, (1 - se) / sp)
    assert after == pytest.approx(chance, abs=1e-12)


# -- the workshop's own cases ---------------------------------------------------------------------


def hub_cases() -> tuple[OwnCase, ...]:
    return tuple(
        OwnCase(
            origin="own", pool=row["pool"], machine_class=row["machine_class"],
            hours=Decimal(row["hours"]), duty=Decimal(row["duty"]), worn=row["worn"] == "1",
        )
        for row in input_rows(CATALOGUE / "own_cases.csv")
    )  # fmt: skip


def hub_start() -> tuple[float, float]:
    row = next(row for row in input_rows(CATALOGUE / "wear.csv") if row["part"] == "P-HB1")
    chance, hours, shape = (float(row[n]) for n in ("starting_chance", "at_hours", "shape"))
    return scale_from_chance(chance, hours, shape), shape


def test_hub_grid_before_any_case_and_after_fourteen():
    # expected: computed apart (hub grid of the golden job)
    scale, shape = hub_start()
    wanted = expected_rows("hub_grid")
    grid = pool_grid(scale, shape, hub_cases(), 0.25, 0.30)
    assert len(grid) == len(wanted) == 27
    for point, row in zip(grid, wanted, strict=True):
        assert point.scale == pytest.approx(float(row["weibull_scale_h"]), abs=0.006)
        assert point.weight == pytest.approx(float(row["weight_after_own_cases"]), abs=1e-8)


def test_hub_grid_against_numpy_and_scipy():
    """The same posterior written with arrays and scipy's Weibull."""
    scale, shape = hub_start()
    cases = hub_cases()
    multiples = np.array([(a, b) for a in SCALE_MULTIPLES for b in SHAPE_MULTIPLES])
    prior = np.exp(-0.5 * ((np.log(multiples) / [0.25, 0.30]) ** 2).sum(axis=1))
    wanted_prior = [float(row["prior_weight"]) for row in expected_rows("hub_grid")]
    assert prior / prior.sum() == pytest.approx(wanted_prior, abs=1e-8)
    life = stats.weibull_min(shape * multiples[:, 1], scale=scale * multiples[:, 0])
    log_weight = np.log(prior)
    for case in cases:
        hours = float(case.hours * case.duty)
        log_weight += life.logcdf(hours) if case.worn else life.logsf(hours)
    weight = np.exp(log_weight)
    grid = pool_grid(scale, shape, cases, 0.25, 0.30)
    assert [point.weight for point in grid] == pytest.approx(weight / weight.sum(), abs=1e-12)


def test_without_cases_the_starting_value_stands():
    assert [(p.scale, p.shape, p.weight) for p in pool_grid(9000, 2, (), 0.25, 0.3)] == [
        (9000, 2, 1)
    ]


def test_worn_cases_raise_the_chance_and_sound_ones_lower_it():
    age = Age(15_000, 0, "")

    def chance(worn: bool) -> float:
        case = OwnCase(origin="own", pool="p", machine_class="c", hours=Decimal(12_000),
                       duty=Decimal(1), worn=worn)  # fmt: skip
        grid = pool_grid(20_000, 2.5, [case] * 6, 0.25, 0.3)
        return sum(point.weight * chance_worn(age, point.scale, point.shape) for point in grid)

    assert chance(False) < chance_worn(age, 20_000, 2.5) < chance(True)


# -- PERT costs -----------------------------------------------------------------------------------


@st.composite
def perts(draw, least=-5_000, most=50_000):
    low, likely, high = sorted(draw(st.lists(st.integers(least, most), min_size=3, max_size=3)))
    return Pert(float(low), float(likely), float(high + 1))


def as_beta(cost: Pert):
    """The same distribution in scipy's words."""
    width = cost.high - cost.low
    alpha = 1 + 4 * (cost.likely - cost.low) / width
    beta = 1 + 4 * (cost.high - cost.likely) / width
    return stats.beta(alpha, beta, loc=cost.low, scale=width)


@QUICK
@given(perts())
def test_pert_moments_against_scipy(cost):
    mean, variance = as_beta(cost).stats("mv")
    assert cost.mean == pytest.approx(float(mean), rel=1e-9, abs=1e-6)
    assert cost.variance == pytest.approx(float(variance), rel=1e-9, abs=1e-6)
    # not ((high - low) / 6)^2, another number that some texts give
    assert cost.variance <= (cost.high - cost.low) ** 2 / 12 + 1e-6


@pytest.mark.parametrize(
    ("low", "likely", "high", "mean", "variance"),
    [
        # by hand: (low + 4 likely + high) / 6; (mean - low)(high - mean) / 7
        (4200, 5100, 7800, 5400, 1200 * 2400 / 7),
        (0, 0, 6, 1, 5 / 7),
        (500, 500, 500, 500, 0),
    ],
)
def test_pert_moments_by_hand(low, likely, high, mean, variance):
    cost = Pert(low, likely, high)
    assert cost.mean == pytest.approx(mean)
    assert cost.variance == pytest.approx(variance)


def integrated(cost: Pert, t: float) -> tuple[complex, complex]:
    """E exp(itX) and E X exp(itX) by adaptive quadrature."""
    density = as_beta(cost).pdf
    points = np.linspace(cost.low, cost.high, 2 + int(abs(t) * (cost.high - cost.low) / 6))

    def integral(function) -> float:
        return sum(
            integrate.quad(function, a, b, epsabs=1e-11, epsrel=1e-9, limit=200)[0]
            for a, b in zip(points, points[1:], strict=False)
        )

    first = integral(lambda x: np.cos(t * x) * density(x)) + 1j * integral(
        lambda x: np.sin(t * x) * density(x)
    )
    second = integral(lambda x: x * np.cos(t * x) * density(x)) + 1j * integral(
        lambda x: x * np.sin(t * x) * density(x)
    )
    return first, second


@pytest.mark.parametrize(
    "cost",
    [Pert(4200, 5100, 7800), Pert(-1254, 0, 148), Pert(1000, 1000, 4000), Pert(100, 900, 900)],
    ids=["skewed", "spread of a line", "likely = low", "likely = high"],
)
@pytest.mark.parametrize("turns", [0.3, 3.0, 20.0, 38.0, 45.0, 120.0])
def test_transforms_against_integration(cost, turns):
    """The half-width turns by so many radians: up to 38.4 Gauss-Jacobi nodes serve and are good
    to the last places; beyond, panels are good to 2e-4 at the ends where the density has a kink."""
    width = cost.high - cost.low
    frequencies = np.array([turns / 5, turns]) * 2 / width
    waves, weighted = cost.transforms(frequencies)
    size = max(abs(cost.low), abs(cost.high))
    near = 2e-8 if turns <= 38.4 else 2e-4
    for position, t in enumerate(frequencies):
        first, second = integrated(cost, float(t))
        assert waves[position] == pytest.approx(first, abs=near)
        assert weighted[position] == pytest.approx(second, abs=near * size)


def test_a_fixed_cost_transforms_exactly():
    t = np.array([0.001, 0.01, 1.0])
    waves, weighted = Pert(700, 700, 700).transforms(t)
    assert waves == pytest.approx(np.exp(700j * t), abs=1e-12)
    assert weighted == pytest.approx(700 * np.exp(700j * t), abs=1e-9)


@settings(deadline=None, max_examples=6, database=None)
@given(perts(least=0), st.floats(0.01, 0.99))
def test_moments_of_a_part_that_may_be_worn(cost, chance):
    """Bernoulli x PERT, closed form: mean p m, variance p s2 + p (1 - p) m2 (memory)."""
    model = FactorModel([Item("P", "", 0.0, 0.0, (chance,))], ())
    moments = Distribution(model, {"P": cost}, {}).moments
    assert moments.mean == pytest.approx(chance * cost.mean, rel=1e-9, abs=1e-9)
    variance = chance * cost.variance + chance * (1 - chance) * cost.mean**2
    assert moments.deviation**2 == pytest.approx(variance, rel=1e-7, abs=1e-7)


@pytest.mark.parametrize(("low", "likely", "high"), [(3, 2, 4), (1, 5, 4), (5, 4, 3)])
def test_costs_that_do_not_rise_are_refused(low, likely, high):
    with pytest.raises(ValueError, match="do not rise"):
        Pert(low, likely, high)
