"""The calibration against published intervals, and what it can tell of forecasters known to be
right or wrong."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import binom, binomtest, norm

from estimator.domain.calibration import (
    BETTER,
    BETTER_IN_HINDSIGHT,
    HOLDS,
    LEVELS,
    TOO_HIGH,
    TOO_LOW,
    QuotedJob,
    calibrate,
    inside,
    verdict,
    wilson,
)

# Wilson, 95 %: computed beforehand with scipy and statsmodels 0.15.0, which agree.
TABLE = [
    (0, 10, 0.0, 0.277533),
    (3, 10, 0.107791, 0.603222),
    (7, 40, 0.087454, 0.319500),
    (20, 20, 0.838875, 1.0),
]


@pytest.mark.parametrize(("count", "jobs", "low", "high"), TABLE)
def test_the_interval_is_the_one_in_the_table(
    count: int, jobs: int, low: float, high: float
) -> None:
    assert wilson(count, jobs) == pytest.approx((low, high), abs=1e-6)


@pytest.mark.parametrize("confidence", [0.8, 0.95, 1 - 0.05 / 3])
def test_the_interval_is_scipys(confidence: float) -> None:
    for jobs in (1, 7, 40, 2000):
        for count in {0, 1, jobs // 3, jobs - 1, jobs}:
            there = binomtest(count, jobs).proportion_ci(confidence, "wilson")
            assert wilson(count, jobs, confidence) == pytest.approx(
                (there.low, there.high), abs=1e-12
            )


def test_the_interval_covers_as_often_as_it_says() -> None:
    """Coverage reckoned exactly over all counts, averaged over shares: near 95 % for few jobs."""
    for jobs in (12, 40):
        spans = np.array([wilson(count, jobs) for count in range(jobs + 1)])
        covered = []
        for share in np.linspace(0.05, 0.95, 61):
            within = (spans[:, 0] <= share) & (share <= spans[:, 1])
            covered.append(float(binom.pmf(np.arange(jobs + 1), jobs, share)[within].sum()))
        assert np.mean(covered) == pytest.approx(0.95, abs=0.012)


NORMAL = {share: float(norm.ppf(share)) for share in (0.1, *LEVELS)}


def forecast(
    count: int, spread: float, seed: int, *, shift: float = 0.0, each: float = 0.25
) -> list[QuotedJob]:
    """Jobs whose final sum is normal about a centre of its own, quoted by somebody who knows the
    centre, takes the deviation for `spread` times what it is, and errs by `shift` deviations."""
    random = np.random.default_rng(seed)
    found = []
    for _ in range(count):
        base = float(random.uniform(80_000, 400_000))
        centre = base * float(random.uniform(1.05, 1.05 + each))
        deviation = 0.05 * base
        quoted = {
            share: centre + deviation * (shift + spread * normal)
            for share, normal in NORMAL.items()
        }
        final = centre + deviation * float(random.standard_normal())
        found.append(QuotedJob(base, quoted, centre + shift * deviation, final))
    return found


def test_a_forecaster_who_is_right_passes() -> None:
    """Of 200 workshops with 40 jobs each, no more than about 1 in 20 is called wrong wrongly."""
    wrong = sum(verdict(forecast(40, 1.0, seed)).kind != HOLDS for seed in range(200))
    assert wrong <= 16  # P(more | 5 %) is 2 in 100
    found = calibrate(forecast(2000, 1.0, 1))
    assert found.verdict.kind == HOLDS
    for row in found.reliability:
        assert row.low <= row.stated <= row.high
    assert found.above_mean is not None
    assert found.above_mean.low <= 0 <= found.above_mean.high
    assert found.flat == BETTER_IN_HINDSIGHT  # who knows each job beats one figure for all


def test_how_soon_an_overconfident_forecaster_is_shown_up() -> None:
    """Deviations taken for half of what they are: 8 in 10 holds in 66 %, 9 in 10 in 74 %. With 40
    jobs that is told in about three workshops of four, with 2,000 in every one."""
    assert float(norm.cdf(0.5 * norm.ppf(0.8))) == pytest.approx(0.663, abs=1e-3)
    told = sum(verdict(forecast(40, 0.5, seed)).kind == TOO_LOW for seed in range(200))
    assert 0.65 <= told / 200 <= 0.9
    assert all(verdict(forecast(2000, 0.5, seed)).kind == TOO_LOW for seed in range(3))


def test_who_quotes_too_low_or_too_high_is_told_apart() -> None:
    """Everything one deviation too low or too high: 8 in 10 holds in 44 % or 97 %."""
    for shift, kind in ((-1.0, TOO_LOW), (1.0, TOO_HIGH)):
        told = [verdict(forecast(40, 1.0, seed, shift=shift)).kind == kind for seed in range(60)]
        assert sum(told) >= 54
        found = calibrate(forecast(2000, 1.0, 3, shift=shift))
        assert found.verdict.kind == kind
        held = inside(forecast(2000, 1.0, 3, shift=shift), 0.8)
        expected = float(norm.cdf(norm.ppf(0.8) + shift))
        assert held.low <= expected <= held.high


def test_who_knows_nothing_of_a_job_does_not_beat_a_flat_percentage() -> None:
    """One percentile for all jobs, the true one of them all: as good as flat, and not claimed to
    be better."""
    random = np.random.default_rng(8)
    finals = 100_000 * (1.1 + 0.05 * random.standard_normal(400))
    quoted = {share: 100_000 * (1.1 + 0.05 * float(norm.ppf(share))) for share in (0.1, *LEVELS)}
    found = calibrate([QuotedJob(100_000.0, quoted, 110_000.0, float(one)) for one in finals])
    assert found.flat not in (BETTER, BETTER_IN_HINDSIGHT)
    for one in found.scores:
        assert abs(one.against_left_out.mean) < 0.001
