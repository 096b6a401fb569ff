"""The total of what may be found, against sums that can be done by hand or listed in full."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import beta

from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.factors import FactorModel
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.shares import conditional_means, expected_sums
from tests.unit.exposure.models import Open, item, opens

SHARES = (0.1, 0.5, 0.8, 0.95)


def distribution_of(found: Open, spreads=None) -> Distribution:
    costs = {one.part: cost for one, cost in zip(found.items, found.costs, strict=True)}
    return Distribution(FactorModel(list(found.items), []), costs, spreads or {})


def test_nothing_at_all_is_refused():
    with pytest.raises(ValueError, match="nothing"):
        Distribution(FactorModel([], []), {}, {})


def test_a_part_worn_for_certain_leaves_its_cost_alone():
    found = Open((item("A", 1.0),), (Pert(100, 150, 300),))
    total = distribution_of(found)
    cost = beta(2, 4, loc=100, scale=200)
    for share in SHARES:
        assert total.percentile(share) == pytest.approx(cost.ppf(share), abs=0.05)
    assert total.moments.mean == pytest.approx(1000 / 6)
    assert total.moments.deviation == pytest.approx(cost.std(), rel=1e-6)


def test_a_provisional_line_may_move_down_as_well_as_up():
    total = Distribution(FactorModel([], []), {}, {"line": Pert(-300, 0, 60)})
    cost = beta(1 + 4 * 300 / 360, 1 + 4 * 60 / 360, loc=-300, scale=360)
    for share in SHARES:
        assert total.percentile(share) == pytest.approx(cost.ppf(share), abs=0.05)
    assert total.moments.mean == pytest.approx(-40)


@pytest.mark.parametrize("life", [0.0, 0.5])
def test_fixed_costs_agree_with_every_case_listed(life):
    """Three parts of fixed cost, eight cases; with a shared life the cases are weighed by
    the model's own joint chances, opened one after the other."""
    parts = [item(name, chance, life=life)
             for name, chance in (("A", 0.3), ("B", 0.5), ("C", 0.1))]  # fmt: skip
    costs = {"A": 1000.0, "B": 2500.0, "C": 7000.0}
    total = distribution_of(
        Open(tuple(parts), tuple(Pert(costs[p.part], costs[p.part], costs[p.part]) for p in parts))
    )
    cases: list[tuple[float, float]] = []
    for states in product((True, False), repeat=3):
        weight, opened = 1.0, []
        for part, worn in zip(parts, states, strict=True):
            rest = [one for one in parts if one.part not in {o.part for o in opened}]
            chance = FactorModel([*opened, *rest], []).chance(part)
            weight *= chance if worn else 1 - chance
            opened.append(item(part.part, part.chances[0], life=life, state=worn))
        cases.append(
            (sum(costs[p.part] for p, worn in zip(parts, states, strict=True) if worn), weight)
        )
    for level in (-300.0, 500.0, 1750.0, 3000.0, 5000.0, 7500.0, 9000.0, 10000.0, 11000.0):
        wanted = sum(weight for cost, weight in cases if cost <= level)
        assert total.chance_below(level) == pytest.approx(wanted, abs=2e-3)
    assert total.moments.mean == pytest.approx(sum(c * w for c, w in cases))


@settings(max_examples=8)
@given(opens())
def test_the_curve_rises_and_the_moments_are_the_parts_own(found):
    total = distribution_of(found)
    read = [total.percentile(share) for share in (0.05, 0.2, 0.5, 0.8, 0.95)]
    width = sum(cost.high for cost in found.costs)
    assert all(one <= other + 1e-3 * width for one, other in zip(read, read[1:], strict=False))
    assert read[-1] <= width * 1.03
    assert read[0] >= -0.03 * width
    mean = sum(
        total.model.chance(one) * cost.mean
        for one, cost in zip(found.items, found.costs, strict=True)
    )
    assert total.moments.mean == pytest.approx(mean)
    assert sum(expected_sums(total).values()) == pytest.approx(mean)


@settings(max_examples=6)
@given(opens(2, 3), st.randoms(use_true_random=False))
def test_the_order_of_parts_does_not_matter(found, random):
    pairs = list(zip(found.items, found.costs, strict=True))
    random.shuffle(pairs)
    shuffled = Open(tuple(one for one, _ in pairs), tuple(cost for _, cost in pairs))
    here, there = distribution_of(found), distribution_of(shuffled)
    assert there.percentile(0.8) == pytest.approx(here.percentile(0.8), rel=1e-6, abs=1e-3)


@settings(max_examples=5)
@given(opens(1, 2), st.sampled_from([0.1, 10.0, 1000.0]))
def test_the_scale_of_the_currency_does_not_matter(found, by):
    here, there = distribution_of(found), distribution_of(found.scaled(by))
    width = sum(cost.high for cost in found.costs)
    assert there.moments.mean == pytest.approx(here.moments.mean * by)
    for share in (0.5, 0.8, 0.95):
        assert there.percentile(share) / by == pytest.approx(
            here.percentile(share), abs=5e-3 * width
        )


@settings(max_examples=5)
@given(opens(2, 3))
def test_contributions_add_up_to_the_total_they_are_given(found):
    total = distribution_of(found)
    at = total.percentile(0.8)
    means = conditional_means(total, at)
    assert set(means) == {one.part for one in found.items}
    assert sum(means.values()) == pytest.approx(at, abs=1e-6 * max(1.0, abs(at)))


def test_at_a_high_total_the_dear_part_carries_most_of_it():
    found = Open(
        (item("cheap", 0.5), item("dear", 0.2)), (Pert(90, 100, 120), Pert(4000, 5000, 7000))
    )
    means = conditional_means(distribution_of(found), 5100.0)
    assert means["dear"] > 0.95 * 5100
    assert 30 < means["cheap"] < 130


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1, 1.5, float("nan")])
def test_a_share_of_outcomes_lies_between_nothing_and_all(share):
    with pytest.raises(ValueError, match="between 0 and 1"):
        distribution_of(Open((item("A"),), (Pert(1, 2, 3),))).percentile(share)
