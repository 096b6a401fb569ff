"""Parts that share their parameters: how their grid is brought to few points."""

from __future__ import annotations

from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.exposure.own_cases import Case, Parameters, pool_parameters
from estimator.domain.exposure.pools import MOST_GRID_POINTS, Pool, pool_on, shared_grid
from estimator.domain.exposure.wear_out import Age

SCALE, SHAPE = 20000.0, 2.5
AGE = Age(15000.0, 0.0, "")


def parameters(cases: list[Case]) -> Parameters:
    return pool_parameters(SCALE, SHAPE, tuple(cases), 0.25, 0.30)


def pool(name: str, ages: list[float], cases: list[Case]) -> Pool:
    members = {f"{name}{place}": Age(age, 0.0, "") for place, age in enumerate(ages)}
    return pool_on(name, parameters(cases), members)


CASES = st.lists(st.tuples(st.floats(4000, 30000), st.booleans()), min_size=1, max_size=40)


def moment(weights, chances, order: int) -> float:
    return sum(w * c**order for w, c in zip(weights, chances, strict=True))


def test_one_pool_keeps_its_27_points():
    one = pool("a", [15000.0] * 4, [(12000.0, True), (14000.0, False)])
    grid = shared_grid([one])
    assert (len(grid.weights), grid.averaged, grid.at_mean) == (27, ("a",), ())
    assert grid.chances["a0"] == one.chances["a0"]


@given(CASES, CASES)
def test_beside_another_it_keeps_its_moments(first, second):
    """Five points each: exact to the ninth moment, so also how many of four are worn."""
    pools = [pool("a", [15000.0] * 4, first), pool("b", [9000.0] * 2, second)]
    grid = shared_grid(pools)
    assert len(grid.weights) <= 25
    assert sum(grid.weights) == pytest.approx(1, abs=1e-12)
    for one in pools:
        part = f"{one.name}0"
        for order in range(1, 8):
            exact = moment(one.weights, one.chances[part], order)
            assert moment(grid.weights, grid.chances[part], order) == pytest.approx(exact, rel=1e-7)

    def three_of_four(weights, chances) -> float:
        return sum(
            w * comb(4, 3) * c**3 * (1 - c) for w, c in zip(weights, chances, strict=True)
        )  # fmt: skip

    exact = three_of_four(pools[0].weights, pools[0].chances["a0"])
    assert three_of_four(grid.weights, grid.chances["a0"]) == pytest.approx(exact, rel=1e-7)


@given(CASES, st.lists(st.floats(1000, 40000), min_size=2, max_size=4))
def test_members_of_different_age_keep_their_means_and_go_together(cases, ages):
    mixed = pool("a", ages, cases)
    grid = shared_grid([mixed, pool("b", [15000.0] * 2, cases)])
    for part in mixed.chances:
        exact = moment(mixed.weights, mixed.chances[part], 1)
        assert moment(grid.weights, grid.chances[part], 1) == pytest.approx(exact, abs=2e-3)
        assert all(0 <= one <= 1 for one in grid.chances[part])


def test_pools_are_independent_of_each_other():
    cases = [(12000.0, True), (14000.0, False)]
    grid = shared_grid([pool("a", [15000.0] * 2, cases), pool("b", [9000.0] * 2, cases)])
    both = sum(
        w * a * b
        for w, a, b in zip(grid.weights, grid.chances["a0"], grid.chances["b0"], strict=True)
    )
    a, b = (moment(grid.weights, grid.chances[part], 1) for part in ("a0", "b0"))
    assert both == pytest.approx(a * b, rel=1e-9)


@pytest.mark.parametrize(("count", "points"), [(2, 25), (3, 27), (4, 16), (5, 32), (9, 32)])
def test_the_grid_never_grows_beyond_its_bound(count, points):
    """The more pools, the fewer points each; those that move least are at their mean."""
    cases = [(12000.0, True), (14000.0, False)]
    pools = [pool(f"p{n}", [15000.0 - 1000 * n] * 2, cases) for n in range(count)]
    grid = shared_grid(pools)
    assert len(grid.weights) == points <= MOST_GRID_POINTS
    assert len(grid.averaged) == min(count, 5)
    assert set(grid.averaged) | set(grid.at_mean) == {f"p{n}" for n in range(count)}
    assert not set(grid.at_mean) & set(grid.chances)


def test_a_sharp_posterior_of_one_pool_is_brought_to_few_points():
    cases = [(6000.0 + 53 * n % 20000, n % 3 == 0) for n in range(400)]
    one = pool("a", [15000.0] * 4, cases)
    assert len(one.weights) > MOST_GRID_POINTS
    grid = shared_grid([one])
    assert len(grid.weights) == 5
    exact = moment(one.weights, one.chances["a0"], 2)
    assert moment(grid.weights, grid.chances["a0"], 2) == pytest.approx(exact, rel=1e-9)


def test_without_cases_nothing_is_shared():
    grid = shared_grid([pool("a", [15000.0] * 4, [])])
    assert (grid.weights, grid.averaged, grid.at_mean) == ((1.0,), (), ())
