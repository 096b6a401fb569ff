"""Cost of a worn part over the ways of putting it right: moments, transforms, quantiles."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import beta

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.exposure.cost_when_worn import chosen_remedy
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.ways_when_worn import WaysWhenWorn, worn_cost
from tests.unit.changed import row_changed, settings_changed, walked
from tests.unit.exposure.models import perts

HUB = WaysWhenWorn(((0.85, Pert(850, 1080, 1700)), (0.15, Pert(2300, 2600, 3300))))


@st.composite
def mixtures(draw, most: int = 3) -> WaysWhenWorn:
    parts = draw(st.lists(st.integers(1, 100), min_size=2, max_size=most))
    costs = draw(st.lists(perts(), min_size=len(parts), max_size=len(parts)))
    shares = [part / sum(parts) for part in parts]
    return WaysWhenWorn(tuple(zip(shares, costs, strict=True)))


def over_each(mixture: WaysWhenWorn, function) -> float:
    """Integral of function(x) x density, way by way, so that no edge is missed."""
    return sum(
        share
        * quad(
            lambda x, cost=cost: (
                function(x) * beta.pdf(x, cost.alpha, cost.beta, cost.low, cost.high - cost.low)
            ),
            cost.low,
            cost.high,
        )[0]
        for share, cost in mixture.ways
    )


def test_moments_against_numerical_integration():
    mean = over_each(HUB, lambda x: x)
    assert HUB.mean == pytest.approx(mean, rel=1e-9)
    assert HUB.variance == pytest.approx(over_each(HUB, lambda x: (x - mean) ** 2), rel=1e-9)
    # by hand: 0.85 x 1,145 + 0.15 x 2,666.67
    assert HUB.mean == pytest.approx(0.85 * (850 + 4 * 1080 + 1700) / 6 + 0.15 * 16000 / 6)
    assert (HUB.low, HUB.likely, HUB.high) == (850, 1080, 3300)


@pytest.mark.parametrize("t", [1e-5, 1e-3, 0.005, 0.02])
def test_transforms_against_numerical_integration(t):
    mass, moment = HUB.transforms(np.array([t]))
    cosine, sine = (over_each(HUB, lambda x, f=f: f(t * x)) for f in (np.cos, np.sin))
    assert mass[0] == pytest.approx(cosine + 1j * sine, abs=1e-8)
    first = over_each(HUB, lambda x: x * np.cos(t * x))
    second = over_each(HUB, lambda x: x * np.sin(t * x))
    assert moment[0] == pytest.approx(first + 1j * second, abs=1e-4)


@pytest.mark.parametrize("share", [0.01, 0.5, 0.8, 0.85, 0.9, 0.99])
def test_quantiles_against_scipy(share):
    at = HUB.reached(share)
    below = sum(
        part * beta.cdf(at, cost.alpha, cost.beta, cost.low, cost.high - cost.low)
        for part, cost in HUB.ways
    )
    assert below == pytest.approx(share, abs=1e-9)


def test_between_the_ways_nothing_lies():
    """Nobody pays what lies between reconditioning at its dearest and replacing at its cheapest."""
    assert HUB.chance_below(1700) == pytest.approx(0.85)
    assert HUB.chance_below(2299) == pytest.approx(0.85)
    assert HUB.reached(0.0) == 850
    assert HUB.reached(1.0) == pytest.approx(3300)


def test_fixed_costs_make_steps():
    steps = WaysWhenWorn(((0.5, Pert(100, 100, 100)), (0.5, Pert(300, 300, 300))))
    assert [steps.reached(share) for share in (0.2, 0.5, 0.51, 1.0)] == pytest.approx(
        [100, 100, 300, 300]
    )
    assert (steps.mean, steps.variance) == (200, 10_000)


@given(mixtures())
def test_a_mean_lies_between_those_of_the_ways(mixture):
    means = [cost.mean for _, cost in mixture.ways]
    assert min(means) - 1e-9 <= mixture.mean <= max(means) + 1e-9
    assert mixture.low - 1e-9 <= mixture.mean <= mixture.high + 1e-9
    least = sum(share * cost.variance for share, cost in mixture.ways)
    assert mixture.variance >= least - 1e-6


@given(mixtures(), st.sampled_from([0.01, 1.25, 100.0]))
def test_another_currency_scales_it(mixture, rate):
    other = WaysWhenWorn(
        tuple(
            (share, Pert(cost.low * rate, cost.likely * rate, cost.high * rate))
            for share, cost in mixture.ways
        )
    )
    assert other.mean == pytest.approx(mixture.mean * rate)
    assert other.variance == pytest.approx(mixture.variance * rate**2, rel=1e-6)
    assert other.reached(0.7) == pytest.approx(mixture.reached(0.7) * rate, rel=1e-6)
    t = np.array([1e-4, 2e-4])
    mass, moment = mixture.transforms(t)
    other_mass, other_moment = other.transforms(t / rate)
    assert np.allclose(mass, other_mass)
    assert np.allclose(moment * rate, other_moment)


@given(mixtures(), st.floats(0.001, 0.999))
def test_a_higher_share_reaches_no_less(mixture, share):
    assert mixture.reached(share) <= mixture.reached(min(share + 0.1, 1.0)) + 1e-6


@pytest.mark.parametrize(
    "shares", [(0.5, 0.4), (0.7, 0.7), (-0.1, 1.1), (1.2, -0.2), (float("nan"), 0.5), ()]
)
def test_chances_that_are_none_are_refused(shares):
    with pytest.raises(ValueError, match="chances of"):
        WaysWhenWorn(tuple((share, Pert(1, 2, 3)) for share in shares))


def test_a_share_of_outcomes_outside_nought_to_one_is_refused():
    with pytest.raises(ValueError, match="share of outcomes"):
        HUB.reached(1.01)


def test_one_way_alone_is_a_plain_cost():
    cost = Pert(1, 2, 3)
    assert worn_cost(((1.0, cost),)) is cost
    assert worn_cost(((1.0, cost), (0.0, Pert(5, 6, 7)))) is cost


# On a job


def with_shares(catalogue, recondition: str, replace_: str):
    shares = {"recondition": Decimal(recondition), "replace": Decimal(replace_)}
    rows = tuple(
        replace(row, share=shares[row.way]) if row.part == "P-CRK" else row
        for row in catalogue.tables["remedies"]
    )
    return replace(catalogue, tables={**catalogue.tables, "remedies": rows})


def part_of(job, cat, code="P-CRK"):
    return next(one for one in walked(job, cat).exposed if one.part == code)


def test_without_chances_the_usual_way_counts_alone(job, cat):
    part = part_of(job, cat)
    assert [one.way for one in part.ways] == ["recondition"]
    assert part.cost == Pert(1150, 1400, 2600)
    assert part.workshop_cost == Pert(1150 * 0.8, 1400 * 0.8, 2600 * 0.8)


def test_with_chances_all_ways_count(job, catalogue):
    part = part_of(job, for_class(with_shares(catalogue, "0.88", "0.12"), "WL28"))
    assert [(one.way, one.share) for one in part.ways] == [("recondition", 0.88), ("replace", 0.12)]
    assert part.cost == WaysWhenWorn(
        ((0.88, Pert(1150, 1400, 2600)), (0.12, Pert(5600, 6400, 7900)))
    )
    assert (part.way, part.added_days, part.cost.likely) == ("recondition", 7, 1400)


def test_a_way_chosen_for_the_job_counts_alone(job, catalogue):
    cat = for_class(with_shares(catalogue, "0.88", "0.12"), "WL28")
    for way, low in (("recondition", 1150), ("replace", 5600)):
        part = part_of(replace(job, ways={"P-CRK": way}), cat)
        assert [(one.way, one.share) for one in part.ways] == [(way, 1.0)]
        assert part.cost.low == low


def test_a_usual_way_that_never_comes_about_still_names_the_part(job, catalogue):
    part = part_of(job, for_class(with_shares(catalogue, "0", "1"), "WL28"))
    assert part.way == "recondition"
    assert (part.cost.low, part.cost.high) == (5600, 7900)
    assert part.cost.mean == pytest.approx(Pert(5600, 6400, 7900).mean)


def test_the_workshop_pays_its_own_share(job, catalogue):
    own = row_changed(catalogue, "remedies", "P-CRK", workshop_share=Decimal("0.7"))
    assert part_of(job, for_class(own, "WL28")).workshop_cost.likely == pytest.approx(980)
    general = settings_changed(catalogue, workshop_cost_share=Decimal("0.5"))
    assert part_of(job, for_class(general, "WL28")).workshop_cost.likely == pytest.approx(700)


def test_no_selling_figure_moves_with_what_the_workshop_pays(job, catalogue, golden_walk):
    dear = for_class(settings_changed(catalogue, workshop_cost_share=Decimal("0.95")), "WL28")
    assert [one.cost for one in walked(job, dear).exposed] == [
        one.cost for one in golden_walk.exposed
    ]


def test_the_usual_way_is_the_one_marked(cat):
    remedy = chosen_remedy("P-FIP", cat, {})
    assert remedy is not None
    assert remedy.way == "exchange"
