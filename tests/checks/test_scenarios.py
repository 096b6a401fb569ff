"""Scenarios of the finish, one step at a time, against scipy's beta distribution.

A single step has an exact distribution: its likely time by a PERT multiple, or the day on which
its parts come. 5,000 scenarios put a quantile within one per cent of it.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from math import ceil

import numpy as np
import pytest
from scipy import stats

from estimator.domain.programme.programme import Programme
from estimator.domain.programme.scenarios import Finish, draw_worn, finish_dates

SHARES = (0.1, 0.2, 0.5, 0.8, 0.9)


def multiple(spread: tuple[Decimal, ...], share: float) -> float:
    """Quantile of a PERT multiple."""
    low, likely, high = (float(one) for one in spread)
    alpha = 1 + 4 * (likely - low) / (high - low)
    beta = 1 + 4 * (high - likely) / (high - low)
    return float(stats.beta(alpha, beta, loc=low, scale=high - low).ppf(share))


def finish_of(golden, *steps, exposed=()) -> Finish:
    """Finish of a programme made of these steps only."""
    programme = Programme(
        {step.id: step for step in steps}, golden.programme.time, 0.0, golden.job.start
    )
    return finish_dates(programme, exposed, golden.known, golden.cat.settings, Decimal("0.8"))


def bare(golden, code: str, **changed):
    """A step of the golden programme that waits for nothing."""
    return replace(golden.programme.steps[code], after=(), lead_weeks=0.0, **changed)


@pytest.mark.parametrize(
    ("code", "spread"), [("X02", "outwork_spread"), ("A15", "work_spread")], ids=["outwork", "work"]
)
def test_time_of_one_step(golden, code, spread):
    step = bare(golden, code, elapsed=100.0)
    hours = finish_of(golden, step).hours
    wanted = [100 * multiple(getattr(golden.cat.settings, spread), share) for share in SHARES]
    assert [hours[share] for share in SHARES] == pytest.approx(wanted, abs=1)


def test_parts_that_come_late(golden):
    """Six weeks' lead: the quantile of the days, a part day counted whole, on the calendar."""
    step = replace(bare(golden, "A15", elapsed=0.0), lead_weeks=6.0)
    hours, time = finish_of(golden, step).hours, golden.programme.time
    for share in SHARES:
        days = 42 * multiple(golden.cat.settings.lead_spread, share)
        wanted = [time.hour_of(time.start + timedelta(days=ceil(days) + off)) for off in (-1, 0, 1)]
        assert hours[share] in wanted, share


def test_two_steps_in_a_row_take_longer_than_side_by_side(golden):
    one, other = bare(golden, "A15", elapsed=100.0), bare(golden, "A08", elapsed=100.0)
    apart = finish_of(golden, one, other)
    in_a_row = finish_of(golden, replace(one, after=("A08",)), other)
    spread = golden.cat.settings.work_spread
    # by hand: the later of two ends by t with F(t)^2
    assert apart.hours[0.5] == pytest.approx(100 * multiple(spread, 0.5**0.5), abs=1)
    random = np.random.default_rng(1)
    low, likely, high = (float(value) for value in spread)
    alpha, beta = 1 + 4 * (likely - low) / (high - low), 1 + 4 * (high - likely) / (high - low)
    drawn = 2 * low * 100 + 100 * (high - low) * random.beta(alpha, beta, (2, 400_000)).sum(axis=0)
    assert in_a_row.hours[0.8] == pytest.approx(float(np.quantile(drawn, 0.8)), abs=1)
    assert in_a_row.on_longest == {"A08": 1.0, "A15": 1.0}
    assert sum(apart.on_longest.values()) == pytest.approx(1)


def test_a_worn_part_adds_its_days_as_often_as_it_is_worn(golden):
    part = next(one for one in golden.exposed if one.part == "P-CWR")  # chance 0.361
    step = bare(golden, part.activity, elapsed=0.0)
    hours = finish_of(golden, step, exposed=(part,)).hours
    grown = part.added_days * golden.programme.time.hours_per_day
    assert [hours[share] for share in SHARES] == [0, 0, 0, grown, grown]


def test_draws_are_worn_as_often_as_the_chances_say(golden):
    parts = tuple(part.part for part in golden.exposed)
    count = 60_000
    worn = draw_worn(golden.known, parts, np.random.default_rng(7), count)
    for part in golden.exposed:
        chance = part.chance.after
        error = (chance * (1 - chance) / count) ** 0.5
        assert abs(worn[part.part].mean() - chance) < 4.5 * error, part.part


def test_draws_are_worn_together_as_the_model_says(golden):
    """Two parts of one circuit: how often both are worn, against the sum over all nodes."""
    model, count = golden.known.model, 60_000
    one, other = (item for item in model.items if item.part in ("P-CON", "P-TVB"))
    assert one.circuit == other.circuit == "TO"
    both = model.open_given(one) * model.open_given(other) * model.circuit_weights["TO"]
    wanted = float((model.weights * both.sum(axis=2)).sum())
    worn = draw_worn(golden.known, (one.part, other.part), np.random.default_rng(7), count)
    found = float((worn[one.part] & worn[other.part]).mean())
    assert abs(found - wanted) < 4.5 * (wanted * (1 - wanted) / count) ** 0.5
    assert wanted > model.chance(one) * model.chance(other)
