"""How far the finish may run on: the same chances as the money, drawn the same way each time."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from scipy.stats import nbinom, poisson

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.found_work import Found, FoundCount
from estimator.domain.exposure.pert import Pert
from estimator.domain.programme.programme import build_programme
from estimator.domain.programme.scenarios import draw_worn, finish_dates
from tests.unit.changed import settings_changed, walked
from tests.unit.exposure.models import exposed, item, known
from tests.unit.exposure.test_found_work import row

STILL = (Decimal(1), Decimal(1), Decimal(1))


@pytest.fixture(scope="module")
def golden(job, cat, golden_walk):
    return build_programme(job, cat, golden_walk.scope)


def finish_of(programme, got, settings, confidence="0.8", exposed=None):
    parts = got.exposed if exposed is None else exposed
    return finish_dates(programme, parts, got.known, settings, Decimal(confidence))


def test_without_spread_and_without_wear_the_finish_is_the_programme_s(cat, golden, golden_walk):
    still = replace(cat.settings, work_spread=STILL, outwork_spread=STILL, lead_spread=STILL)
    got = finish_of(golden, golden_walk, still, exposed=())
    assert set(got.days.values()) == {golden.finish_day}
    assert all(hour == pytest.approx(golden.finish_hour) for hour in got.hours.values())
    critical = {name for name, step in golden.steps.items() if abs(step.timing.slack) < 1e-6}
    assert {name for name, share in got.on_longest.items() if share == 1} >= critical


@pytest.mark.parametrize(("days", "added"), [((3, 5), 5), ((5, 5), 5), ((0, 0), 0)])
def test_of_several_worn_parts_the_longest_wait_counts(cat, golden, days, added):
    """Two parts of the last step, worn for certain: they are waited for at the same time."""
    still = replace(cat.settings, work_spread=STILL, outwork_spread=STILL, lead_spread=STILL)
    parts = tuple(
        exposed(name, Pert(1, 2, 3), float(one), "A34")
        for name, one in zip("AB", days, strict=True)
    )
    certain = known([item("A", 1.0), item("B", 1.0)])
    got = finish_dates(golden, parts, certain, still, Decimal("0.8"))
    wanted = golden.finish_hour + 8 * added
    assert list(got.hours.values()) == pytest.approx([wanted] * len(got.hours))


def two_ways(days: tuple[float, float], share: float = 0.7) -> ExposedPart:
    """A part of the last step with two ways, the first with chance `share`."""
    part = exposed("A", Pert(1, 2, 3), days[0], "A34")
    first = replace(part.ways[0], share=share)
    return replace(part, ways=(first, replace(first, share=1 - share, added_days=days[1])))


def test_a_worn_part_draws_its_way_and_takes_its_days(cat, golden):
    """Worn for certain: seven in ten take 2 days, three in ten take 10."""
    still = replace(cat.settings, work_spread=STILL, outwork_spread=STILL, lead_spread=STILL)
    certain = known([item("A", 1.0)])
    got = finish_dates(golden, (two_ways((2, 10)),), certain, still, Decimal("0.68"))
    assert got.hours[0.5] == got.hours[0.68] == pytest.approx(golden.finish_hour + 16)
    assert got.hours[0.8] == pytest.approx(golden.finish_hour + 80)


def test_ways_with_the_same_days_are_one_way(cat, golden):
    """The draws of the ways move no other draw."""
    certain = known([item("A", 0.5)])
    confidence = Decimal("0.8")
    alone = (exposed("A", Pert(1, 2, 3), 4.0, "A34"),)
    plain = finish_dates(golden, alone, certain, cat.settings, confidence)
    mixed = finish_dates(golden, (two_ways((4, 4)),), certain, cat.settings, confidence)
    assert mixed == plain


@pytest.mark.parametrize("over", [0.0, 0.8])
def test_found_work_adds_its_days_one_after_the_other(cat, golden, over):
    """Some two of them on the last step, half a day each: the count's own quantiles, in hours."""
    still = replace(cat.settings, work_spread=STILL, outwork_spread=STILL, lead_spread=STILL)
    cost = FoundCount(2.0, over, Pert(100, 200, 400))
    half_a_day = row(added_days=Decimal("0.5"), activity="A34")
    found = (Found(half_a_day, "G11", 0.0, 2.0, cost, cost),)
    got = finish_dates(golden, (), known([]), still, Decimal("0.8"), found)
    for share in (0.2, 0.5, 0.8, 0.9):
        count = poisson.ppf(share, 2.0) if not over else nbinom.ppf(share, 1 / over, 1 / 2.6)
        assert got.hours[share] == pytest.approx(golden.finish_hour + 4 * count, abs=4.01)
    assert got.hours[0.8] > golden.finish_hour


def test_found_work_moves_no_other_draw(cat, golden, golden_walk):
    """Work that adds no days, or is held up nowhere, leaves every date as it is."""
    cost = FoundCount(2.0, 0.0, Pert(100, 200, 400))
    found = (Found(row(added_days=Decimal(0), activity="A34"), "G11", 0.0, 2.0, cost, cost),)
    plain = finish_of(golden, golden_walk, cat.settings)
    confidence = Decimal("0.8")
    got = finish_dates(
        golden, golden_walk.exposed, golden_walk.known, cat.settings, confidence, found
    )
    assert got == plain


def test_the_same_inputs_give_the_same_dates_and_another_seed_near_ones(cat, golden, golden_walk):
    first = finish_of(golden, golden_walk, cat.settings)
    assert finish_of(golden, golden_walk, cat.settings) == first
    reseeded = finish_of(golden, golden_walk, replace(cat.settings, scenario_seed=7))
    assert reseeded.hours != first.hours
    assert abs((reseeded.days[0.8] - first.days[0.8]).days) <= 4


def test_later_shares_end_later(cat, golden, golden_walk):
    got = finish_of(golden, golden_walk, cat.settings)
    hours = [got.hours[share] for share in sorted(got.hours)]
    days = [got.days[share] for share in sorted(got.days)]
    assert hours == sorted(hours)
    assert days == sorted(days)
    for likely, covered in got.step_finish.values():
        assert likely <= covered


@pytest.mark.parametrize("confidence", ["0.5", "0.8", "0.93"])
def test_the_confidence_of_the_job_is_among_the_shares(cat, golden, golden_walk, confidence):
    got = finish_of(golden, golden_walk, cat.settings, confidence)
    assert set(got.days) == {0.1, 0.2, 0.5, 0.8, 0.9, float(confidence)}


def test_what_may_be_worn_only_lengthens(cat, golden, golden_walk):
    with_wear = finish_of(golden, golden_walk, cat.settings)
    without = finish_of(golden, golden_walk, cat.settings, exposed=())
    for share in (0.2, 0.5, 0.8):
        assert with_wear.hours[share] >= without.hours[share] - 1


def test_parts_are_drawn_worn_as_often_as_their_chance_says(golden_walk):
    parts = tuple(one.part for one in golden_walk.exposed)
    count = 20000
    worn = draw_worn(golden_walk.known, parts, np.random.default_rng(1), count)
    for part in parts:
        chance = golden_walk.known.chances[part].after
        error = (chance * (1 - chance) / count) ** 0.5
        assert worn[part].mean() == pytest.approx(chance, abs=5 * error)


def test_parts_of_one_oil_are_drawn_worn_together(golden_walk):
    parts = ("P-TGR", "P-TVB")
    worn = draw_worn(golden_walk.known, parts, np.random.default_rng(1), 20000)
    both = (worn["P-TGR"] & worn["P-TVB"]).mean()
    assert both > 1.1 * worn["P-TGR"].mean() * worn["P-TVB"].mean()


def test_the_last_step_is_always_on_the_longest_path(cat, golden, golden_walk):
    got = finish_of(golden, golden_walk, cat.settings)
    assert got.on_longest["A34"] == 1
    assert all(0 <= share <= 1 for share in got.on_longest.values())


def test_a_scope_of_nothing_ends_the_day_it_starts(job, catalogue):
    """Rows of no level at all: no work, no wait, no error."""
    cat = for_class(settings_changed(catalogue, scenarios=200), "WL28")
    empty = replace(cat, operations={}, parts={}, outwork={}, wear={})
    got = walked(replace(job, findings=()), empty)
    programme = build_programme(job, empty, got.scope)
    finish = finish_of(programme, got, empty.settings)
    assert set(finish.days.values()) == {job.start}
