"""What the workshop's own teardowns say of a pool of like parts."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.catalogue.work_rows import OwnCase
from estimator.domain.exposure.own_cases import (
    as_cases,
    fine_parameters,
    pool_grid,
    pool_parameters,
)
from estimator.domain.exposure.wear_out import Age, chance_worn
from tests.unit.changed import rows_changed, walked

SCALE, SHAPE = 20000.0, 2.5


def case(hours: int, worn: bool, duty: str = "1") -> OwnCase:
    return OwnCase(
        pool="seats", machine_class="any", hours=Decimal(hours), duty=Decimal(duty), worn=worn,
        origin="own",
    )  # fmt: skip


def chance_of(cases, hours: float = 15000.0) -> float:
    grid = pool_grid(SCALE, SHAPE, cases, 0.25, 0.30)
    return sum(p.weight * chance_worn(Age(hours, 0, ""), p.scale, p.shape) for p in grid)


CASES = st.lists(
    st.builds(case, st.integers(2000, 25000), st.booleans(), st.sampled_from(["0.8", "1", "1.3"])),
    min_size=1,
    max_size=12,
)


def test_without_a_case_the_starting_value_stands_alone():
    (point,) = pool_grid(SCALE, SHAPE, (), 0.25, 0.30)
    assert (point.scale, point.shape, point.weight) == (SCALE, SHAPE, 1.0)


@given(CASES)
def test_weights_are_shares(cases):
    grid = pool_grid(SCALE, SHAPE, cases, 0.25, 0.30)
    assert len(grid) == 27
    assert sum(point.weight for point in grid) == pytest.approx(1)
    assert all(point.weight >= 0 for point in grid)


@given(CASES, st.integers(2000, 25000))
def test_one_more_worn_case_never_lowers_the_chance_and_one_sound_never_raises_it(cases, hours):
    """Shape is held: with it free an early failure may also mean a longer, flatter life."""

    def held(all_cases):
        return sum(
            point.weight * chance_worn(Age(15000, 0, ""), point.scale, point.shape)
            for point in pool_grid(SCALE, SHAPE, all_cases, 0.25, 1e-3)
        )

    before = held(cases)
    assert held([*cases, case(hours, worn=True)]) >= before - 1e-9
    assert held([*cases, case(hours, worn=False)]) <= before + 1e-9


@given(CASES, st.randoms(use_true_random=False))
def test_the_order_of_cases_does_not_matter(cases, random):
    shuffled = list(cases)
    random.shuffle(shuffled)
    assert chance_of(shuffled) == pytest.approx(chance_of(cases), abs=1e-12)


def test_duty_counts_like_hours():
    assert chance_of([case(10000, worn=True, duty="1.5")]) == pytest.approx(
        chance_of([case(15000, worn=True)])
    )


def test_impossible_cases_do_not_wipe_out_the_grid():
    new_and_worn = [case(1, worn=True)] * 30
    assert 0 < chance_of(new_and_worn) < 1


@pytest.mark.parametrize("count", [200, 2000])
def test_a_workshop_with_very_many_cases_still_gets_an_answer(count):
    """A long history must sharpen the answer, not underflow it."""
    cases = [case(9000 + 7 * number % 9000, worn=number % 3 == 0) for number in range(count)]
    assert 0.05 < chance_of(cases) < 0.95


def test_seats_share_their_cases_and_say_how_many(golden_walk):
    for part in ("P-HB1", "P-HB2", "P-HB3", "P-HB4"):
        chance = golden_walk.known.chances[part]
        assert chance.own_cases == 14
        assert chance.rests_on == "own cases (14)"
        assert chance.start == pytest.approx(0.316272, abs=1e-6)
        assert chance.prior == pytest.approx(0.423475, abs=1e-6)
    assert golden_walk.known.chances["P-CRK"].rests_on == "starting value"
    assert golden_walk.known.chances["P-RFC"].rests_on == "judged"


def test_pools_of_several_parts_are_averaged_over_together_and_lone_parts_at_their_mean(
    job, catalogue
):
    pools = {"P-LB1": "barrels", "P-LB2": "barrels", "P-CRK": "cranks"}
    wear = tuple(
        replace(row, pool=pools.get(row.part, row.pool)) for row in catalogue.tables["wear"]
    )
    more = [replace(case(12000, worn=True), pool=pool) for pool in ("barrels", "cranks", "P-TGR")]
    three = rows_changed(catalogue, "wear", wear)
    three = rows_changed(three, "own_cases", (*catalogue.tables["own_cases"], *more))
    known = walked(job, for_class(three, "WL28")).known
    assert known.pools_averaged == ("barrels", "hub bearing seat")
    assert known.pools_at_mean == ()
    assert known.chances["P-HB1"].prior == pytest.approx(0.423475, abs=1e-6)
    assert known.chances["P-CRK"].rests_on == known.chances["P-TGR"].rests_on == "own cases (1)"
    assert known.chances["P-TGR"].prior > known.chances["P-TGR"].start
    grids = {len(item.chances) for item in known.model.items}
    assert grids == {1, 25}  # 5 points each


def test_many_cases_go_on_sharpening_the_answer():
    """Where 27 points no longer hold it, a grid over the posterior itself does."""
    cases = as_cases(
        [case(6000 + 137 * number % 20000, worn=number % 3 == 0) for number in range(400)]
    )
    age = Age(15000.0, 0.0, "")
    few = pool_parameters(SCALE, SHAPE, cases[:10], 0.25, 0.30)
    many = pool_parameters(SCALE, SHAPE, cases, 0.25, 0.30)
    assert (len(few.weights), len(many.weights)) == (27, 425)
    wide, narrow = few.interval(age, 0.8), many.interval(age, 0.8)
    assert narrow[1] - narrow[0] < 0.3 * (wide[1] - wide[0])
    assert narrow[0] < float(many.weights @ many.chances(age)) < narrow[1]


def test_the_two_grids_agree_where_one_takes_over_from_the_other():
    """Some thirty cases, where the 27 points are about to give way."""
    cases = as_cases([case(9000 + 400 * number, worn=number % 4 == 0) for number in range(30)])
    coarse = pool_parameters(SCALE, SHAPE, cases, 0.25, 0.30)
    fine = fine_parameters(SCALE, SHAPE, cases, 0.25, 0.30)
    age = Age(15000.0, 0.0, "")
    both = [float(one.weights @ one.chances(age)) for one in (coarse, fine)]
    assert both[0] == pytest.approx(both[1], abs=0.02)


def test_the_interval_holds_the_chance_and_every_sign_moves_it_along(golden_walk):
    for chance in golden_walk.known.chances.values():
        if chance.state is None:
            assert 0 < chance.low < chance.after < chance.high < 1, chance.part
    hub, other = (golden_walk.known.chances[part] for part in ("P-HB2", "P-HB1"))
    assert hub.low > other.low and hub.high > other.high  # the front right one showed a sign


@settings(max_examples=15)
@given(st.integers(1, 13))
def test_fewer_cases_are_counted_as_fewer(count):
    from tests.golden.golden_job import golden_inputs

    job, cat = golden_inputs()
    few = rows_changed(cat.catalogue, "own_cases", cat.catalogue.tables["own_cases"][:count])
    chance = walked(job, for_class(few, "WL28")).known.chances["P-HB1"]
    assert chance.rests_on == f"own cases ({count})"
