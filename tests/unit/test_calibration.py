"""How quotes held: counts, losses, the best flat percentage, and what may be claimed."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.calibration import (
    BETTER,
    BETTER_IN_HINDSIGHT,
    FEW_JOBS,
    HOLDS,
    LEVELS,
    OPEN,
    TOO_FEW,
    TOO_HIGH,
    TOO_LOW,
    WORSE,
    Estimate,
    QuotedJob,
    Score,
    against_flat,
    best_flat,
    calibrate,
    inside,
    pinball,
    score,
    verdict,
    wilson,
)

sums = st.floats(50_000, 500_000)


@st.composite
def jobs(draw: st.DrawFn) -> QuotedJob:
    base = draw(sums)
    steps = [base * draw(st.floats(0, 0.2)) for _ in range(4)]
    points = base + np.cumsum(steps)
    return QuotedJob(
        base, dict(zip((0.1, 0.5, 0.8, 0.9), points.tolist(), strict=True)),
        float(points[1]), base * draw(st.floats(0.9, 1.8)),
    )  # fmt: skip


many = st.lists(jobs(), min_size=2, max_size=12)


@given(many)
@settings(max_examples=15, deadline=None)
def test_counts_are_counts(some: list[QuotedJob]) -> None:
    found = calibrate(some)
    for row in found.reliability:
        assert row.inside == sum(job.final <= job.percentiles[row.stated] for job in some)
        assert row.low <= row.share <= row.high
    counts = [row.inside for row in found.reliability]
    assert counts == sorted(counts)  # inside a lower percentile is inside a higher one
    assert [row.stated for row in found.inside] == list(LEVELS)


@given(many, st.randoms(use_true_random=False))
@settings(max_examples=15, deadline=None)
def test_the_order_of_jobs_has_no_say(some: list[QuotedJob], random: Random) -> None:
    shuffled = list(some)
    random.shuffle(shuffled)
    one, two = calibrate(some), calibrate(shuffled)
    assert (one.inside, one.verdict, one.flat) == (two.inside, two.verdict, two.flat)
    for first, second in zip(one.scores, two.scores, strict=True):
        assert first.quoted == pytest.approx(second.quoted)
        assert first.flat_left_out == pytest.approx(second.flat_left_out)
        assert first.against_left_out.high == pytest.approx(second.against_left_out.high)


@given(many, st.floats(0.01, 200))
@settings(max_examples=15, deadline=None)
def test_the_scale_of_the_currency_has_no_say(some: list[QuotedJob], scale: float) -> None:
    scaled = [
        QuotedJob(
            job.base * scale, {s: p * scale for s, p in job.percentiles.items()},
            job.mean * scale, job.final * scale,
        )
        for job in some
    ]  # fmt: skip
    for one, two in zip(calibrate(some).scores, calibrate(scaled).scores, strict=True):
        assert one.quoted == pytest.approx(two.quoted, abs=1e-12)
        assert one.flat_share == pytest.approx(two.flat_share, abs=1e-12)
        assert one.against_hindsight.low == pytest.approx(two.against_hindsight.low, abs=1e-12)


@given(st.sampled_from(LEVELS), st.floats(-3, 3))
def test_the_pinball_loss_is_least_at_the_true_percentile(stated: float, other: float) -> None:
    """Over evenly weighted outcomes of a known law (its own percentiles stand for draws)."""
    outcomes = np.sinh(np.linspace(-2, 2, 2001))  # any law: rising, symmetric, uneven
    true = float(np.quantile(outcomes, stated, method="inverted_cdf"))
    least = float(pinball(stated, true, outcomes).mean())
    assert least <= float(pinball(stated, other, outcomes).mean()) + 1e-12


def test_the_pinball_loss_by_hand() -> None:
    """8 in 10 quoted as 110: 120 misses by 10 x 0.8, 100 by 10 x 0.2."""
    assert pinball(0.8, 110.0, np.array([120.0, 100.0, 110.0])) == pytest.approx([8.0, 2.0, 0.0])


@given(st.sampled_from(LEVELS), st.lists(st.floats(-1, 3), min_size=1, max_size=15),
       st.floats(-2, 4))  # fmt: skip
def test_no_flat_percentage_beats_the_best(stated: float, finals: list[float], at: float) -> None:
    there = np.array(finals)
    least = float(pinball(stated, best_flat(stated, there), there).mean())
    assert least <= float(pinball(stated, at, there).mean()) + 1e-12


@given(many, st.sampled_from(LEVELS))
@settings(max_examples=15, deadline=None)
def test_left_out_is_chosen_from_the_others_and_never_does_better(
    some: list[QuotedJob], stated: float
) -> None:
    found = score(some, stated)
    finals = [job.over(job.final) for job in some]
    losses = [
        float(pinball(stated, best_flat(stated, np.array(finals[:n] + finals[n + 1 :])), final))
        for n, final in enumerate(finals)
    ]
    assert found.flat_left_out == pytest.approx(np.mean(losses))
    assert found.flat_hindsight <= found.flat_left_out + 1e-12


def job(final: float, quoted: float = 110.0) -> QuotedJob:
    return QuotedJob(100.0, {0.5: quoted - 5, 0.8: quoted, 0.9: quoted + 5}, quoted - 4, final)


def test_what_may_be_claimed() -> None:
    as_stated = [job(100.0)] * 5 + [job(107.0)] * 3 + [job(113.0)] + [job(130.0)]
    assert verdict([]).kind == TOO_FEW
    assert verdict(as_stated).kind == TOO_FEW
    assert verdict(as_stated * 2).kind == HOLDS
    assert len(as_stated * 2) == FEW_JOBS
    low = verdict([job(130.0)] * 8)
    assert (low.kind, low.at is not None and low.at.inside) == (TOO_LOW, 0)
    assert verdict([job(100.0)] * 60).kind == TOO_HIGH


def test_looking_at_three_levels_is_allowed_for() -> None:
    """15 of 24 inside 8 in 10: outside the plain interval, inside the one for three looks."""
    some = [job(100.0)] * 12 + [job(107.0)] * 3 + [job(113.0)] * 6 + [job(130.0)] * 3
    assert inside(some, 0.8).high < 0.8
    assert verdict(some).kind == HOLDS


def test_against_a_flat_percentage_nothing_more_than_the_intervals_allow() -> None:
    def scored(fair: tuple[float, float], hard: tuple[float, float]) -> tuple[Score, ...]:
        spans = [Estimate(sum(one) / 2, *one) for one in (fair, hard)]
        return (Score(0.8, 1.0, 0.1, 1.0, 1.0, spans[1], spans[0]),)

    assert against_flat(scored((-2, -1), (-1, 1)), 40) == BETTER
    assert against_flat(scored((-2, -1), (-2, -1)), 40) == BETTER_IN_HINDSIGHT
    assert against_flat(scored((1, 2), (1, 2)), 40) == WORSE
    assert against_flat(scored((-1, 1), (-1, 2)), 40) == OPEN
    assert against_flat(scored((-2, -1), (-2, -1)), FEW_JOBS - 1) == OPEN
    assert against_flat((), 40) == OPEN


def test_limits_and_bad_input() -> None:
    found = calibrate([])
    assert (found.jobs, found.inside, found.scores, found.above_mean) == (0, (), (), None)
    assert calibrate([job(100.0)]).scores == ()
    with pytest.raises(ValueError, match="above nothing"):
        QuotedJob(0.0, {}, 0.0, 1.0)
    with pytest.raises(ValueError, match=r"\[0\.9\]"):
        calibrate([replace(job(100.0), percentiles={0.5: 1.0, 0.8: 2.0})])
    with pytest.raises(ValueError, match="two are needed"):
        score([job(100.0)], 0.8)
    for count, of in ((3, 2), (0, 0), (-1, 4)):
        with pytest.raises(ValueError, match="no share"):
            wilson(count, of)
