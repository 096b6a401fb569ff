"""What would follow from an answer, against the model conditioned on that very answer."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings

from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.factors import CircuitTest, FactorModel, Item
from estimator.domain.exposure.outcomes import (
    by_answer,
    outcome_if,
    percentiles,
    worn_and_sound,
)
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.shares import worn_transforms
from tests.unit.exposure.models import Open, item, opens
from tests.unit.exposure.test_distribution import distribution_of

GRID = (0.2, 0.5, 0.3)
ITEMS = (
    item("A", 0.3, "EO"),
    item("B", 0.5, "EO", ratio=2.0),
    item("C", 0.2, "HO"),
    Item("D", "HO", 0.4, 0.3, (0.1, 0.3, 0.5)),
    Item("E", "HO", 0.4, 0.3, (0.1, 0.3, 0.5), ratio=0.5),
    item("F", 0.15),
    item("G", 0.4, "HO", state=True),
    item("K", 0.4, "KO", state=False),
)
COSTS = {
    "A": Pert(1000, 1500, 3000), "B": Pert(400, 500, 900), "C": Pert(3000, 3500, 6000),
    "D": Pert(700, 800, 1000), "E": Pert(700, 800, 1000), "F": Pert(5000, 5100, 8000),
}  # fmt: skip
SPREADS = {"line": Pert(-500, 0, 900)}
OIL = CircuitTest("HO", True, 0.65, 0.80, 0.5, 0.5)


def made(items=ITEMS, tests=(), costs=COSTS, spreads=SPREADS) -> Distribution:
    return Distribution(FactorModel(items, tests, GRID), costs, spreads)


@pytest.fixture(scope="module")
def whole() -> Distribution:
    return made()


def settled(part: str, worn: bool, more=()) -> Distribution:
    """The same machine with a part settled; a worn one's cost is certain to come."""
    states = {part: worn, **dict(more)}
    items = [replace(one, state=states.get(one.part, one.state), ratio=1.0)
             if one.part in states else one for one in ITEMS]  # fmt: skip
    costs = {name: cost for name, cost in COSTS.items() if name not in states}
    spreads = SPREADS | {name: COSTS[name] for name, found in states.items() if found}
    return made(items, costs=costs, spreads=spreads)


@pytest.mark.parametrize("part", sorted(COSTS))
def test_an_outcome_is_the_model_with_the_part_settled(whole, part):
    opened = worn_and_sound(whole)[part]
    for worn, outcome in ((True, opened.worn), (False, opened.sound)):
        wanted = settled(part, worn)
        assert outcome.mean == pytest.approx(wanted.moments.mean, rel=1e-9)
        for share in (0.5, 0.8):
            (found,) = percentiles(whole, [outcome], share)
            assert found == pytest.approx(wanted.percentile(share), rel=2e-4), (worn, share)


@pytest.mark.parametrize("part", sorted(COSTS))
def test_the_chance_of_an_outcome_is_the_chance_of_the_part(whole, part):
    chance = whole.model.chance(whole.open_items[part])
    opened = worn_and_sound(whole)[part]
    assert opened.worn.chance == pytest.approx(chance, abs=1e-9)
    assert opened.apart.chance == opened.worn.chance
    assert opened.sound.chance == pytest.approx(1 - chance, abs=1e-9)


@pytest.mark.parametrize("part", sorted(COSTS))
def test_a_worn_part_s_own_cost_can_be_left_out(whole, part):
    """What is found is firm from then on; the rest is the machine with the part settled."""
    apart = worn_and_sound(whole)[part].apart
    items = [replace(one, state=True, ratio=1.0) if one.part == part else one for one in ITEMS]
    wanted = made(items, costs={name: cost for name, cost in COSTS.items() if name != part})
    assert apart.mean == pytest.approx(wanted.moments.mean, rel=1e-9)
    (found,) = percentiles(whole, [apart], 0.8)
    assert found == pytest.approx(wanted.percentile(0.8), rel=5e-4)


def test_worn_transforms_are_those_of_the_outcomes(whole):
    for part, transform in worn_transforms(whole).items():
        one = outcome_if(whole, {part: (1.0, 0.0)})
        assert transform == pytest.approx(one.chance * one.transform, abs=1e-12)


def test_two_parts_in_two_circuits_at_once(whole):
    for worn in ((True, True), (True, False), (False, True), (False, False)):
        answers = {p: (1.0, 0.0) if w else (0.0, 1.0) for p, w in zip("AD", worn, strict=True)}
        found = outcome_if(whole, answers)
        wanted = settled("A", worn[0], [("D", worn[1])])
        assert found.mean == pytest.approx(wanted.moments.mean, rel=1e-9)
        (at,) = percentiles(whole, [found], 0.8)
        assert at == pytest.approx(wanted.percentile(0.8), rel=2e-4)


def test_an_uncertain_answer_is_bayes_rule(whole):
    """A sign with likelihood ratio 0.8 / 0.3, given by the model itself."""
    items = [replace(one, ratio=one.ratio * 0.8 / 0.3) if one.part == "D" else one
             for one in ITEMS]  # fmt: skip
    wanted = made(items)
    found = outcome_if(whole, {"D": (0.8, 0.3)})
    opened = worn_and_sound(whole)["D"]
    linear = by_answer(opened.worn, opened.sound, 0.8, 0.3)
    for one in (found, linear):
        assert one.mean == pytest.approx(wanted.moments.mean, rel=1e-9)
        (at,) = percentiles(whole, [one], 0.8)
        assert at == pytest.approx(wanted.percentile(0.8), rel=2e-4)
    chance = whole.model.chance(ITEMS[3])
    assert linear.chance == pytest.approx(0.8 * chance + 0.3 * (1 - chance))
    assert linear.transform == pytest.approx(found.transform, abs=1e-12)


@pytest.mark.parametrize("alarm", [True, False])
@pytest.mark.parametrize("circuit", ["HO", "EO", "KO"])
def test_a_circuit_s_answer_is_the_model_with_the_test(whole, circuit, alarm):
    test = replace(OIL, circuit=circuit, alarm=alarm)
    wanted = made(tests=(test,))
    found = outcome_if(whole, {}, [test])
    # with the test the nodes are finer
    assert found.mean == pytest.approx(wanted.moments.mean, rel=1e-7)
    (at,) = percentiles(whole, [found], 0.8)
    assert at == pytest.approx(wanted.percentile(0.8), rel=2e-4)


def test_answers_taken_together_weigh_to_the_whole(whole):
    answers = [
        outcome_if(whole, {"A": part}, [replace(OIL, alarm=alarm)])
        for part in ((0.9, 0.2), (0.1, 0.8))
        for alarm in (True, False)
    ]
    assert sum(one.chance for one in answers) == pytest.approx(1)
    assert sum(one.chance * one.mean for one in answers) == pytest.approx(whole.moments.mean)
    mixed = sum(one.chance * one.transform for one in answers)
    assert mixed == pytest.approx(whole.transform, abs=1e-8)


def test_an_answer_that_cannot_be_says_nothing(whole):
    found = outcome_if(whole, {"A": (0.0, 0.0)})
    assert (found.chance, found.mean) == (0.0, whole.moments.mean)
    certain = distribution_of(Open((item("A", 1.0),), (Pert(1, 2, 3),)))
    opened = worn_and_sound(certain)["A"]
    worn, sound = opened.worn, opened.sound
    assert (worn.chance, sound.chance) == (pytest.approx(1), pytest.approx(0))
    assert by_answer(worn, sound, 0.0, 1.0).mean == pytest.approx(2)


def test_what_is_not_there_is_refused(whole):
    with pytest.raises(ValueError, match="Z is not open"):
        outcome_if(whole, {"Z": (1, 0)})
    with pytest.raises(ValueError, match="circuit QO"):
        outcome_if(whole, {}, [replace(OIL, circuit="QO")])
    assert percentiles(whole, [], 0.8) == ()


def test_a_factor_that_vanishes_is_left_out_all_the_same():
    """With chance a half and a cost that turns the wave right round, 1 - q + q exp(itX) is
    nothing: it cannot be divided out again."""
    fixed = Pert(1000, 1000, 1000)
    parts = (item("A", 0.5, life=0.0), item("B", 0.5, life=0.0), item("C", 0.3, life=0.0))
    total = distribution_of(Open(parts, (fixed, fixed, Pert(500, 500, 500))))
    t = total.frequencies
    wave = np.exp(1000j * t)
    wanted = 0.5 * wave * (1 + wave) / 2 * (0.7 + 0.3 * np.exp(500j * t))
    assert worn_transforms(total)["A"] == pytest.approx(wanted, abs=1e-12)


@settings(max_examples=6)
@given(opens(1, 3))
def test_opening_a_part_moves_no_mean(found):
    total = distribution_of(found)
    for one in worn_and_sound(total).values():
        mean = one.worn.chance * one.worn.mean + one.sound.chance * one.sound.mean
        assert mean == pytest.approx(total.moments.mean)
