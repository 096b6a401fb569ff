"""Chance of being worn at an age nobody has looked behind."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import exp

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.exposure.wear_out import (
    Age,
    WearOutError,
    age_of,
    chance_worn,
    scale_from_chance,
    scale_of,
)
from estimator.domain.job import Event
from tests.unit.changed import machine_changed, walked

SHAPES = st.floats(0.5, 6)
SCALES = st.floats(2000, 60000)


def event(hours: int, renewed=(), seen_sound=()) -> Event:
    return Event(Decimal(hours), "worked on", (), tuple(renewed), tuple(seen_sound))


@pytest.mark.parametrize(("chance", "shape"), [(0.09, 3.0), (0.5, 1.0), (0.97, 2.5)])
def test_a_starting_chance_comes_back_at_its_own_hours(chance, shape):
    scale = scale_from_chance(chance, 15000, shape)
    assert chance_worn(Age(15000, 0, ""), scale, shape) == pytest.approx(chance, rel=1e-12)


def test_worked_by_hand():
    # P-TGR: age 17,089 h; 0.094311 x (17,089 / 15,000) ^ 3 = 0.139456; 1 - e ^ -0.139456
    scale = scale_from_chance(0.09, 15000, 3.0)
    assert chance_worn(Age(17089, 0, ""), scale, 3.0) == pytest.approx(0.130169, abs=1e-6)
    # P-CRK, seen sound at 9,430: 0.083382 x (1.47869 - 0.24846) = 0.102578
    scale = scale_from_chance(0.08, 15000, 3.0)
    assert chance_worn(Age(17089, 9430, ""), scale, 3.0) == pytest.approx(0.097492, abs=1e-6)


def test_at_the_scale_two_thirds_are_worn():
    assert chance_worn(Age(20000, 0, ""), 20000, 2.7) == pytest.approx(1 - exp(-1))


@given(st.floats(0, 50000), st.floats(0, 50000), SCALES, SHAPES)
def test_older_is_never_less_likely_worn(one, other, scale, shape):
    younger, older = sorted((one, other))
    assert chance_worn(Age(younger, 0, ""), scale, shape) <= chance_worn(
        Age(older, 0, ""), scale, shape
    )


@given(st.floats(0, 50000), st.floats(0, 50000), SCALES, SHAPES)
def test_seen_sound_never_raises_the_chance_and_just_now_leaves_none(one, other, scale, shape):
    seen, now = sorted((one, other))
    assert chance_worn(Age(now, seen, ""), scale, shape) <= chance_worn(
        Age(now, 0, ""), scale, shape
    )
    assert chance_worn(Age(now, now, ""), scale, shape) == 0


@given(st.floats(0, 1e9), SCALES, SHAPES)
def test_a_chance_lies_between_nothing_and_one(age, scale, shape):
    assert 0 <= chance_worn(Age(age, 0, ""), scale, shape) <= 1


@pytest.mark.parametrize(
    ("age", "scale", "shape"),
    [(Age(1, 2, ""), 100, 2), (Age(1, 0, ""), 0, 2), (Age(1, 0, ""), 100, 0)],
)
def test_what_cannot_be_is_refused(age, scale, shape):
    with pytest.raises(WearOutError):
        chance_worn(age, scale, shape)


@pytest.mark.parametrize(
    ("chance", "hours", "shape"), [(0, 1, 1), (1, 1, 1), (0.5, 0, 1), (0.5, 1, 0), (-0.1, 1, 1)]
)
def test_a_starting_chance_that_cannot_be_is_refused(chance, hours, shape):
    with pytest.raises(WearOutError):
        scale_from_chance(chance, hours, shape)


def test_a_row_gives_its_scale_or_its_starting_chance(cat):
    row = cat.wear["P-TGR"]
    # 15,000 / 0.0943107 ^ (1/3)
    assert scale_of(row) == pytest.approx(32953.7, abs=0.1)
    typed = replace(row, scale_hours=Decimal(30000), starting_chance=None, at_hours=None)
    assert scale_of(typed) == 30000


# -- age ----------------------------------------------------------------------------------------


def test_a_part_is_as_old_as_the_machine_times_its_duty(job):
    age = age_of("P-UJT", job)
    assert (age.now, age.sound) == (pytest.approx(14860 * 1.15), 0)


def test_a_renewed_part_is_as_old_as_its_last_renewal(job):
    assert age_of("P-HED", job).now == pytest.approx(6660 * 1.15)
    twice = machine_changed(job, history=(event(3000, ["P-HED"]), event(9000, ["P-HED"])))
    assert age_of("P-HED", twice).now == pytest.approx(5860 * 1.15)


def test_a_part_seen_sound_is_given_sound_then(job):
    age = age_of("P-CRK", job)
    assert (age.now, age.sound) == (pytest.approx(17089), pytest.approx(9430))
    assert "8,200" in age.counted_from


def test_a_look_before_a_renewal_says_nothing_of_the_new_part(job):
    history = (event(5000, seen_sound=["P-HED"]), event(9000, ["P-HED"]))
    age = age_of("P-HED", machine_changed(job, history=history))
    assert (age.now, age.sound) == (pytest.approx(5860 * 1.15), 0)


def test_a_look_after_a_renewal_is_not_forgotten(job):
    """Renewed at 3,000 h and seen sound at 9,000 h, it is sound at 6,000 h of its own."""
    history = (event(3000, ["P-HED"]), event(9000, seen_sound=["P-HED"]))
    age = age_of("P-HED", machine_changed(job, history=history))
    assert age.now == pytest.approx(11860 * 1.15)
    assert age.sound == pytest.approx(6000 * 1.15)


def test_harder_duty_ages_a_part(job):
    easy, hard = machine_changed(job, duty=Decimal("0.8")), machine_changed(job, duty=Decimal(2))
    assert age_of("P-UJT", easy).now < age_of("P-UJT", job).now < age_of("P-UJT", hard).now


# -- a meter that cannot be trusted ----------------------------------------------------------------


def test_doubt_is_of_the_hours_since_the_part_was_known(job):
    """Whole hours where it was never opened; since the overhaul where it was renewed or seen."""
    doubted = machine_changed(job, hours_doubt=Decimal("0.2"))
    for part in ("P-UJT", "P-HED", "P-CRK"):
        age = age_of(part, doubted)
        ages = [now for now, _ in age.spread]
        assert ages == sorted(ages) and ages[0] > age.sound
        assert sum(weight for _, weight in age.spread) == pytest.approx(1)
        (middle,) = [now for now in ages if abs(now - age.now) < 1e-6]
        assert middle == pytest.approx(age_of(part, job).now)
    assert age_of("P-UJT", job).spread == ((pytest.approx(17089), 1.0),)


@given(st.floats(0.05, 0.6), st.floats(0.8, 6), st.floats(0.02, 0.98))
def test_doubt_moves_a_chance_towards_the_middle(doubt, shape, chance):
    """Small chances rise, large ones fall; which is small and large the shape says."""
    scale = scale_from_chance(chance, 15000, shape)
    plain = chance_worn(Age(15000, 0, ""), scale, shape)
    wide = chance_worn(Age(15000, 0, "", doubt), scale, shape)
    assert 0 < wide < 1
    if plain < 0.15:
        assert wide > plain
    if plain > 0.9:
        assert wide < plain


def test_more_doubt_widens_the_interval(job, cat):
    def width(doubt: str) -> float:
        chance = walked(machine_changed(job, hours_doubt=Decimal(doubt)), cat).known.chances
        return chance["P-TGR"].high - chance["P-TGR"].low

    assert width("0") < width("0.2") < width("0.5")
