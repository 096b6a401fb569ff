"""Which parts of a job stay open, at what chance and cost."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.exposure.cost_when_worn import chosen_remedy
from estimator.domain.exposure.pert import Pert
from estimator.domain.job import Event, ExchangeRate
from tests.unit.changed import (
    INSPECTED,
    finding_added,
    finding_changed,
    finding_dropped,
    finding_made,
    machine_changed,
    row_changed,
    row_dropped,
    settings_changed,
    terms_changed,
    walked,
)


def chance(got, part: str) -> float:
    return got.known.chances[part].after


def test_open_are_the_parts_nobody_measured(golden_walk, cat):
    for part in golden_walk.open_parts:
        assert not golden_walk.called[part].settled
        assert part in cat.wear
    assert len(golden_walk.open_parts) == 45
    assert "P-UJT" not in golden_walk.open_parts  # measured
    assert "P-LIN" not in golden_walk.open_parts  # renewed at this level in any case


def test_a_measurement_closes_its_part_and_moves_the_others(job, cat, golden_walk):
    worn = finding_made("N1", kind="visual", part=("P-CMS",), component="C01B", result="worn")
    sound = replace(worn, result="sound")
    got_worn = walked(finding_added(job, worn), cat)
    got_sound = walked(finding_added(job, sound), cat)
    for got in (got_worn, got_sound):
        assert "P-CMS" not in got.open_parts
    for part in ("P-CRK", "P-TGR", "P-RIM"):
        assert chance(got_sound, part) < chance(golden_walk, part) < chance(got_worn, part)
    # its own oil more than another's
    rise = chance(got_worn, "P-TGS") / chance(golden_walk, "P-TGS")
    assert rise > chance(got_worn, "P-TGR") / chance(golden_walk, "P-TGR")


def test_within_gauge_error_a_part_is_neither_open_nor_evidence(job, cat, golden_walk):
    """I35, the rear discs: provisional, priced, and no word on the parts beside them."""
    assert golden_walk.called["P-BDR"].worn is None
    without = walked(finding_dropped(job, "I35"), cat)
    for part in golden_walk.open_parts:
        assert chance(without, part) == pytest.approx(chance(golden_walk, part), abs=1e-12)
    # universal joints have a chance of their own, which a doubtful reading must put out of play
    doubtful = walked(finding_changed(job, "I23", measured=Decimal("0.26")), cat)
    assert doubtful.called["P-UJT"].by.gauge_limit == "rebuild"
    assert "P-UJT" not in doubtful.known.chances
    assert doubtful.line("P-UJT").certainty == "provisional"


def test_more_hours_or_harder_duty_never_lower_a_chance(job, cat, golden_walk):
    older = walked(machine_changed(job, hours=Decimal(16000)), cat)
    harder = walked(machine_changed(job, duty=Decimal("1.3")), cat)
    for part, one in golden_walk.known.chances.items():
        assert older.known.chances[part].prior >= one.prior
        assert harder.known.chances[part].prior >= one.prior


def test_a_renewal_lowers_the_chance_of_its_part(job, cat, golden_walk):
    event = Event(Decimal(14000), "gears renewed", (), ("P-TGR",), ())
    renewed = walked(machine_changed(job, history=(*job.machine.history, event)), cat)
    assert chance(renewed, "P-TGR") < chance(golden_walk, "P-TGR") / 10


def test_not_seen_and_not_mentioned_carry_the_same_prior(job, cat, golden_walk):
    unmentioned = walked(finding_dropped(job, "I22", "I80", "I82"), cat)
    for part in golden_walk.open_parts:
        assert chance(unmentioned, part) == pytest.approx(chance(golden_walk, part), abs=1e-12)


def test_an_alarm_raises_its_part_and_a_clear_test_lowers_it(job, cat, golden_walk):
    cells = {"measure": "M0505", "component": "C05A", "unit": "deg"}
    bare = walked(finding_dropped(job, "I31"), cat)
    alarm = walked(finding_changed(job, "I31", measured=Decimal("5.6")), cat)
    clear = walked(
        finding_added(
            finding_dropped(job, "I31"), finding_made("N1", **cells, measured=Decimal(4))
        ),
        cat,
    )
    assert chance(clear, "P-CWF") < chance(bare, "P-CWF") < chance(alarm, "P-CWF")
    assert chance(clear, "P-CWF") == pytest.approx(chance(golden_walk, "P-CWF"))


def test_an_oil_alarm_raises_every_part_of_its_circuit(job, cat, golden_walk):
    """I33, the front axle: from clear to alarm; the rear axle has oil of its own."""
    alarm = walked(finding_changed(job, "I33", metals=("Fe 640",)), cat)
    for part in ("P-CWF", "P-PLF", "P-HB1", "P-HB2", "P-AHF", "P-BPF"):
        assert chance(alarm, part) > chance(golden_walk, part) * 1.05
    for part in ("P-CWR", "P-PLR"):
        assert chance(alarm, part) == pytest.approx(chance(golden_walk, part), rel=0.1)


def test_the_threshold_of_firm_scope_is_the_workshop_s_own(job, catalogue, golden_walk):
    assert set(golden_walk.firm) == {"P-MPR"}
    never = for_class(settings_changed(catalogue, firm_chance=Decimal(1)), "WL28")
    assert walked(job, never).firm == {}
    assert "P-MPR" in walked(job, never).open_parts
    low = for_class(settings_changed(catalogue, firm_chance=Decimal("0.5")), "WL28")
    for part in walked(job, low).firm:
        assert chance(golden_walk, part) >= 0.5


def test_a_driveline_rebuild_leaves_the_rest_unopened(job, cat):
    got = walked(replace(job, level="driveline"), cat)
    assert {"P-CRK", "P-TGR", "P-CWF"} <= got.open_parts
    assert not {"P-LAB", "P-HRN", "P-SVL"} & got.open_parts


# -- cost ---------------------------------------------------------------------------------------


def test_the_cost_is_that_of_the_usual_way_unless_another_is_chosen(job, cat):
    usual = chosen_remedy("P-FIP", cat, {})
    assert (usual.way, usual.likely) == ("exchange", 2250)
    assert chosen_remedy("P-FIP", cat, {"P-FIP": "replace"}).likely == 4300
    assert chosen_remedy("P-FIP", cat, {"P-CRK": "replace"}).way == "exchange"
    assert chosen_remedy("P-NONE", cat, {}) is None
    got = walked(replace(job, ways={"P-FIP": "recondition"}), cat)
    part = next(one for one in got.exposed if one.part == "P-FIP")
    assert (part.way, part.cost) == ("recondition", Pert(1100.0, 1450.0, 2100.0))


def test_a_cost_in_a_foreign_currency_is_exchanged(job, cat):
    rate = ExchangeRate("GBP", Decimal("1.25"), INSPECTED, "invented")
    in_euro = replace(terms_changed(job, currency="EUR"), exchange_rates={"GBP": rate})
    part = next(one for one in walked(in_euro, cat).exposed if one.part == "P-VBK")
    assert part.cost == Pert(2250.0, 3000.0, 5125.0)


def test_a_measured_part_without_a_remedy_costs_its_own_row(job, cat):
    """Charge cooler: nobody measured it, no remedy is stated; 1,450 x 1.30 is its own price."""
    unmeasured = finding_dropped(job, "I15")
    part = next(one for one in walked(unmeasured, cat).exposed if one.part == "P-CAC")
    assert (part.way, part.cost) == ("replace", Pert(0.9 * 1885, 1885.0, 1.3 * 1885))
    assert part.cost_rests_on == "own row, judged"


def test_a_part_with_a_remedy_says_what_its_cost_rests_on(job, catalogue, golden_walk):
    assert {one.cost_rests_on for one in golden_walk.exposed} == {"starting value"}
    own = for_class(row_changed(catalogue, "remedies", "P-VBK", origin="own"), "WL28")
    part = next(one for one in walked(job, own).exposed if one.part == "P-VBK")
    assert part.cost_rests_on == "own"


def test_a_group_without_loadings_goes_its_own_way(job, catalogue, golden_walk):
    alone = for_class(row_dropped(catalogue, "loadings", "G03"), "WL28")
    got = walked(job, alone)
    item = got.known.chances["P-TGR"]
    assert (item.life, item.shared) == (0.0, 0.0)
    assert item.after == pytest.approx(item.own)


def test_open_parts_stand_in_the_order_of_the_breakdown(golden_walk):
    keys = [(one.group, one.component, one.part) for one in golden_walk.exposed]
    assert keys == sorted(keys)
    assert len(set(keys)) == len(keys)


@pytest.mark.parametrize("hours", ["1", "100", "60000", "200000"])
def test_a_new_or_a_very_old_machine_has_chances_too(job, cat, hours):
    got = walked(machine_changed(job, hours=Decimal(hours), history=()), cat)
    assert all(0 <= one.after <= 1 for one in got.known.chances.values())
