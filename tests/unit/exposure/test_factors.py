"""Worn together: the factors, and what evidence on one part says of the others."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.exposure.evidence import updated
from estimator.domain.exposure.factors import CircuitTest, FactorModel, Item, LoadingError
from tests.unit.exposure.models import chances, item, items

NEAR = 1e-6  # of the quadrature: far finer than any chance that goes in
OIL = CircuitTest("EO", True, 0.65, 0.80, 0.5, 0.5)


def after(parts: list[Item], tests=(), at: int = 0) -> float:
    return FactorModel(parts, tests).chance(parts[at])


@given(items(1, 1))
def test_a_part_by_itself_keeps_its_chance(parts):
    alone = [replace(parts[0], ratio=1.0)]
    assert after(alone) == pytest.approx(alone[0].chances[0], abs=NEAR)


@given(items(2, 5))
def test_closed_parts_without_evidence_keep_their_chances(parts):
    quiet = [replace(one, ratio=1.0) for one in parts]
    for number, one in enumerate(quiet):
        assert after(quiet, at=number) == pytest.approx(one.chances[0], abs=NEAR)


@given(chances(), st.sampled_from([0.1, 0.4, 2.0, 8.0]))
def test_without_loadings_its_own_sign_is_bayes_rule(chance, ratio):
    part = item("P", chance, life=0.0, ratio=ratio)
    assert after([part]) == pytest.approx(updated(chance, ratio), abs=NEAR)


@given(chances(), st.sampled_from([0.1, 0.4, 2.0, 8.0]), st.floats(0, 0.6), st.floats(0.05, 0.6))
def test_with_loadings_its_own_sign_still_is_bayes_rule(chance, ratio, life, shared):
    part = item("P", chance, "EO", life, shared, ratio)
    assert after([part]) == pytest.approx(updated(chance, ratio), abs=NEAR)


@settings(max_examples=40)
@given(items(1, 5, settled=True), st.floats(1.0, 20.0))
def test_more_evidence_of_wear_never_lowers_the_chance_of_that_part(parts, ratio):
    open_parts = [replace(parts[0], state=None), *parts[1:]]
    more = [replace(open_parts[0], ratio=open_parts[0].ratio * ratio), *open_parts[1:]]
    assert after(more) >= after(open_parts) - 1e-12


@settings(max_examples=40)
@given(items(2, 5, settled=True))
def test_a_neighbour_found_worn_never_lowers_a_chance_and_found_sound_never_raises_it(parts):
    first = replace(parts[0], state=None)
    worn, closed, sound = (
        after([first, replace(parts[1], state=state), *parts[2:]]) for state in (True, None, False)
    )
    assert sound - 1e-12 <= closed + 1e-12
    assert closed - 1e-12 <= worn + 1e-12


@settings(max_examples=30)
@given(items(2, 5, settled=True), st.randoms(use_true_random=False))
def test_the_order_of_parts_does_not_matter(parts, random):
    open_parts = [replace(parts[0], state=None), *parts[1:]]
    shuffled = list(open_parts)
    random.shuffle(shuffled)
    here = FactorModel(open_parts, [])
    there = FactorModel(shuffled, [])
    for one in open_parts:
        if one.state is None:
            assert there.chance(one) == pytest.approx(here.chance(one), abs=1e-12)


def test_an_oil_alarm_raises_its_circuit_and_a_clear_sample_lowers_it():
    parts = [item("A", 0.3, "EO"), item("B", 0.3, "HO"), item("C", 0.3)]
    quiet, loud, clear = (
        FactorModel(parts, tests)
        for tests in ([], [OIL], [replace(OIL, alarm=False)])
    )  # fmt: skip
    assert clear.chance(parts[0]) < quiet.chance(parts[0]) < loud.chance(parts[0])
    for other in parts[1:]:  # another oil, or none: the test attaches to its own circuit only
        assert loud.chance(other) == pytest.approx(quiet.chance(other), abs=NEAR)


def test_worn_parts_pull_the_factors_up_and_sound_ones_down():
    closed = [item("A", 0.3, "EO"), item("B", 0.3, "EO")]
    rest = FactorModel(closed, [])
    worn = FactorModel([closed[0], replace(closed[1], state=True)], [])
    sound = FactorModel([closed[0], replace(closed[1], state=False)], [])
    assert rest.life_moments()[0] == pytest.approx(0, abs=NEAR)
    assert rest.life_moments()[1] == pytest.approx(1, abs=1e-5)
    assert sound.life_moments()[0] < 0 < worn.life_moments()[0]
    assert sound.circuit_moments("EO")[0] < 0 < worn.circuit_moments("EO")[0]
    assert worn.life_moments()[1] < 1


def test_two_parts_go_bad_together_as_a_bivariate_normal_says():
    """P(both) from scipy's bivariate normal with correlation a a' + b b'."""
    from scipy.stats import multivariate_normal, norm

    first, second = item("A", 0.3, "EO", 0.5, 0.4), item("B", 0.2, "EO", 0.3, 0.6)
    shared = 0.5 * 0.3 + 0.4 * 0.6
    both = multivariate_normal([0, 0], [[1, shared], [shared, 1]]).cdf(
        [norm.ppf(0.3), norm.ppf(0.2)]
    )
    got = after([first, replace(second, state=True)])
    assert got == pytest.approx(both / 0.2, abs=1e-5)


def test_other_circuits_share_the_machine_s_life_alone():
    from scipy.stats import multivariate_normal, norm

    first, second = item("A", 0.3, "EO", 0.5, 0.4), item("B", 0.2, "HO", 0.3, 0.6)
    both = multivariate_normal([0, 0], [[1, 0.15], [0.15, 1]]).cdf([norm.ppf(0.3), norm.ppf(0.2)])
    assert after([first, replace(second, state=True)]) == pytest.approx(both / 0.2, abs=1e-5)


@pytest.mark.parametrize("chance", [0.0, 1.0])
def test_the_impossible_and_the_certain_stay_so(chance):
    parts = [item("A", chance, "EO"), item("B", 0.3, "EO", state=True)]
    assert after(parts) == pytest.approx(chance, abs=1e-12)


@settings(max_examples=30)
@given(items(1, 5, settled=True))
def test_a_chance_lies_between_nothing_and_one(parts):
    model = FactorModel(parts, [OIL] if any(one.circuit == "EO" for one in parts) else [])
    assert float(model.weights.sum()) == pytest.approx(1)
    for one in parts:
        if one.state is None:
            assert 0 <= model.chance(one) <= 1


@pytest.mark.parametrize("chance", [1e-12, 1e-30, 1e-100])
@pytest.mark.parametrize("count", [1, 4, 12])
def test_very_unlikely_wear_found_again_and_again_stays_a_chance(chance, count):
    """A nearly new machine with many parts worn out: strange, but a machine may be so."""
    worn = [item(f"W{number}", chance, "EO", state=True) for number in range(count)]
    assert 0.2 <= after([item("A", 0.2, "EO"), *worn]) <= 1


@pytest.mark.parametrize("circuit", ["", "EO"])
def test_a_part_thought_worn_for_certain_may_still_be_found_sound(circuit):
    """At 60,000 h a chance rounds to one; the finding is a fact, the chance a belief."""
    parts = [item("A", 0.2, circuit), item("B", 1.0, circuit, state=False)]
    assert 0 <= after(parts) <= 0.2


@pytest.mark.parametrize(("life", "shared"), [(1.0, 0.0), (0.8, 0.6), (0.0, 1.0)])
def test_loadings_that_leave_a_part_nothing_of_its_own_are_refused(life, shared):
    with pytest.raises(LoadingError, match="A"):
        Item("A", "EO", life, shared, (0.3,))


@pytest.mark.parametrize("chance", [-0.01, 1.01, float("nan")])
def test_a_chance_that_is_none_is_refused(chance):
    with pytest.raises(ValueError, match="chance"):
        Item("A", "", 0.3, 0.0, (chance,))


@pytest.mark.parametrize("ratio", [-0.1, float("inf"), float("nan")])
def test_a_likelihood_ratio_that_is_none_is_refused(ratio):
    with pytest.raises(ValueError, match="A: a likelihood ratio"):
        Item("A", "", 0.3, 0.0, (0.3,), ratio)


@pytest.mark.parametrize("chance", [0.3, 1.0])
def test_a_sign_that_rules_wear_out_leaves_no_chance(chance):
    """A test that never misses (a ratio of nothing): worn is ruled out, whatever was thought."""
    parts = [item("A", chance, "EO", ratio=0.0), item("B", 0.3, "EO")]
    assert after(parts) == pytest.approx(0, abs=1e-9)
    assert 0 <= after(parts, at=1) <= 0.3
