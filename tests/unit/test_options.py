"""Options side by side: each reckoned in full, and the chosen one equal to the job itself."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.catalogue.rows import REBUILD_LEVELS
from estimator.domain.options import NoOptions, level_option, level_options, way_options
from estimator.domain.priced_job import reckon
from tests.golden.golden_job import golden_inputs
from tests.unit.changed import settings_changed


@pytest.fixture(scope="module")
def unworn():
    """The golden job where no part has a chance of wear: every level is reckoned in no time."""
    job, cat = golden_inputs()
    return reckon(job, replace(cat, wear={}))


@pytest.fixture(scope="module")
def levels(unworn):
    return {option.level: option for option in level_options(unworn)}


def test_the_job_s_own_level_is_the_job_itself(unworn, levels):
    own = levels["full"]
    assert (own.net, own.contingency) == (unworn.price.net, unworn.contingency.amount)
    assert own.firm + own.provisional + own.contingency == own.net
    assert own.ready_covered == unworn.finish.days[0.8]
    assert own == level_option(unworn)


def test_every_level_is_there_and_the_smaller_one_is_cheaper(levels):
    assert tuple(levels) == REBUILD_LEVELS
    full, driveline = levels["full"], levels["driveline"]
    assert driveline.net < full.net
    assert driveline.hours < full.hours
    assert driveline.ready_likely < full.ready_likely
    assert driveline.firm + driveline.provisional + driveline.contingency == driveline.net
    assert (full.usual_low, driveline.usual_high) == (Decimal("0.50"), Decimal("0.45"))


def test_another_level_is_what_a_job_of_that_level_comes_to(unworn, levels):
    other = reckon(replace(unworn.job, level="driveline"), unworn.cat)
    assert levels["driveline"].net == other.price.net
    assert levels["driveline"].share_of_new == other.share_of_new
    assert levels["driveline"].ready_covered == other.finish.days[0.8]


@pytest.mark.parametrize("part", ["P-FIP", "P-CRK", "P-HB1"])
def test_ways_of_an_open_part(priced, part):
    options = way_options(priced, part)
    assert {option.way for option in options} == {
        remedy.way for remedy in priced.cat.remedies[part]
    }
    chosen = [option for option in options if option.chosen]
    assert [(one.net, one.contingency) for one in chosen] == [
        (priced.price.net, priced.contingency.amount)
    ]
    by_cost = sorted(options, key=lambda one: one.likely.minor)
    held = [one.contingency.minor for one in by_cost]
    assert held == sorted(set(held))  # each way its own sum, the dearer the more
    for option in options:
        assert option.low <= option.likely <= option.high


def test_ways_of_a_part_priced_by_its_chance(priced):
    (only,) = way_options(priced, "P-MPR")
    assert only.chosen
    assert only.net == priced.price.net


def test_choosing_a_way_for_one_part_leaves_its_neighbours_alone(priced):
    """P-HB2 stands in one "not seen" with nine others: they must not be put right with it."""
    sure = for_class(settings_changed(priced.cat.catalogue, firm_chance=Decimal("0.66")), "WL28")
    with_firm_seat = reckon(priced.job, sure)
    assert "P-HB2" in with_firm_seat.firm_by_chance
    options = {option.way: option for option in way_options(with_firm_seat, "P-HB2")}
    assert options["recondition"].chosen
    assert options["recondition"].net == with_firm_seat.price.net


def test_a_part_without_a_choice_is_named(priced):
    with pytest.raises(NoOptions, match="P-LIN"):
        way_options(priced, "P-LIN")
    with pytest.raises(NoOptions, match="P-XXX"):
        way_options(priced, "P-XXX")


def test_a_part_found_sound_leaves_nothing_to_choose(priced):
    """Steering rods were seen sound over their full stroke, and no remedy is stated for them."""
    with pytest.raises(NoOptions, match="P-SRD"):
        way_options(priced, "P-SRD")
