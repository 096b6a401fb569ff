"""Rows of the Exposure page, against the golden job."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

import pytest

from estimator.domain.money import Money, money_sum
from estimator.services.compare_exposure import differs, moved
from estimator.services.exposure_tables import form_table, look_table
from estimator.services.show_exposure import (
    MEAN,
    PERCENTILE,
    ExposureView,
    groups_alone,
    show_exposure,
)
from estimator.services.show_forms import FIXED
from estimator.services.show_unseen import holding


@pytest.fixture(scope="module")
def view(priced) -> ExposureView:
    return show_exposure(priced)


def pounds(amount: str) -> Money:
    return Money(int(Decimal(amount) * 100), "GBP")


def test_the_curve_rises_from_next_to_nothing_to_next_to_all(view):
    for (left, low), (right, high) in pairwise(view.points):
        assert left < right
        assert low <= high
    assert view.points[0][1] < 0.01
    assert view.points[-1][1] > 0.99


def test_at_eight_in_ten_the_curve_stands_at_base_and_contingency(view, priced):
    held = view.held[Decimal("0.80")]
    assert held.amount == view.amount == pounds("31317.00")
    assert held.total == priced.price.base + pounds("31317.00") == priced.price.net
    assert held.bound == PERCENTILE
    below = [chance for amount, chance in view.points if amount <= held.total.minor]
    above = [chance for amount, chance in view.points if amount >= held.total.minor]
    assert below[-1] <= 0.801
    assert above[0] >= 0.799


def test_shares_add_up_exactly(view):
    assert money_sum((group.amount for group in view.groups), "GBP") == view.amount
    for group in view.groups:
        assert money_sum((row.amount for row in group.rows), "GBP") == group.amount
        amounts = [row.amount.minor for row in group.rows]
        assert amounts == sorted(amounts, reverse=True)


def test_the_mean_rules_where_the_percentile_lies_below_it(view, priced):
    half = view.held[Decimal("0.50")]
    assert half.bound == MEAN
    assert half.amount == view.mean == pounds(str(round(priced.contingency.mean)))
    assert half.reached < half.total
    assert [one.confidence for one in view.others] == [
        Decimal(one) for one in ("0.50", "0.70", "0.80", "0.90", "0.95")
    ]
    amounts = [one.amount for one in view.others]
    assert amounts == sorted(amounts)


def test_what_is_not_seen(view, priced):
    assert {row.part for row in view.unseen} == {part.part for part in priced.exposed}
    hub = next(row for row in view.unseen if row.part == "P-HB4")
    assert (hub.tenths, hub.own_cases, hub.rests_on) == (8, 14, "own cases (14)")
    assert hub.circuit == "rear axle oil"
    assert (hub.low, hub.likely, hub.high) == (pounds("850"), pounds("1080"), pounds("1700"))
    shares = {row.id: row.amount for group in view.groups for row in group.rows}
    assert all(row.amount == shares[row.part] for row in view.unseen)


def test_ranges_share_one_scale_and_the_chance_lies_in_its_interval(view):
    assert len({row.scale for row in view.unseen}) == 1
    for row in view.unseen:
        assert row.low <= row.likely <= row.high <= row.scale
        assert 0 <= row.chance_low < row.chance_high <= 1
        assert Money(0, "GBP") < row.workshop < row.likely
    own = next(row for row in view.unseen if row.part == "P-HB4")
    starting = next(row for row in view.unseen if row.part == "P-CON")
    assert own.chance_high - own.chance_low < starting.chance_high - starting.chance_low


def test_parts_that_hold_every_word(view):
    found = holding(view.unseen, "  REAR hub ")
    assert found
    assert all("hub" in f"{row.name} {row.group}".casefold() for row in found)
    assert holding(view.unseen, "p-hb4 rear")[0].part == "P-HB4"
    assert holding(view.unseen, "") == view.unseen
    assert holding(view.unseen, "no such part") == ()


def test_what_moved(view):
    eighty = Decimal("0.80")
    assert not differs(view, replace(view, confidence=Decimal("0.9")))
    held = {
        at: replace(one, amount=one.amount - pounds("2683"), reached=one.reached - pounds("1000"))
        for at, one in view.held.items()
    }
    now = replace(view, base=view.base + pounds("1683"), held=held)
    assert differs(view, now)
    change = moved(view, now, eighty)
    assert change is not None
    assert (change.before, change.now) == (pounds("31317"), pounds("28634"))
    assert change.change == pounds("-2683")
    assert change.base_change == pounds("1683")
    assert change.total_change == pounds("-1000"), "what went into priced work is no saving"
    assert change.reached_before - change.reached == pounds("1000")
    assert moved(view, replace(now, job_number="Q-1"), eighty) is None
    assert moved(view, now, Decimal("0.123")) is None


def test_tables_stand_in_quoting_units(view, priced):
    table = form_table(priced)
    fixed = next(row for row in table.forms if row.form == FIXED)
    assert fixed.quoted == priced.price.net
    here = next(row for row in table.fixed if row.confidence == Decimal("0.80"))
    assert (here.price, here.costs) == (fixed.quoted, fixed.workshop)
    told = []
    looks = look_table(priced, lambda done, of: told.append((done, of)))
    assert told[-1][0] == told[-1][1] == len(looks.rows)
    assert looks.spread == view.held[Decimal("0.80")].reached - view.mean_total
    sums = [row.fall for row in looks.rows] + [row.cost for row in looks.rows if row.cost]
    assert all(one.minor % 100 == 0 for one in [*sums, fixed.quoted, fixed.pays, fixed.workshop])


def test_whiskers_of_parts(view):
    rows = {row.id: row for group in view.groups for row in group.rows}
    # 7 in 100: nine of ten such machines have it sound
    assert rows["P-CRK"].alone == pounds("0")
    # 78 in 100: read at 1 - 0.1 / 0.778 of the costs between 850 and 1,700
    assert pounds("1200") < rows["P-HB4"].alone < pounds("1700")


def test_whiskers_of_groups(view, priced):
    small = {"G08", "G10"}
    shares = tuple(one for one in priced.contingency.shares if one.group in small)
    whole = priced.contingency.distribution
    kept = {one.id for one in shares}
    few = object.__new__(type(whole))
    few.__dict__.update(whole.__dict__)
    few.costs = {part: cost for part, cost in whole.costs.items() if part in kept}
    few.spreads = {line: cost for line, cost in whole.spreads.items() if line in kept}
    held = replace(priced.contingency, shares=shares, distribution=few)
    alone = groups_alone(replace(priced, contingency=held))
    assert set(alone) == small
    by_part = {
        group.group: money_sum((r.alone for r in group.rows), "GBP") for group in view.groups
    }
    for group, sum_ in alone.items():
        assert Money(0, "GBP") < sum_ < by_part[group] + pounds("6000")


def test_a_told_stop_ends_the_whiskers(priced):
    class Stop(Exception):
        pass

    def stop() -> None:
        raise Stop

    with pytest.raises(Stop):
        groups_alone(priced, stop)


def test_nothing_open_is_one_step(priced):
    nothing = replace(
        priced.contingency, distribution=None, amount=Money(0, "GBP"), mean=0.0, shares=()
    )
    view = show_exposure(replace(priced, contingency=nothing, exposed=()))
    assert view.points == ((priced.price.base.minor, 1.0),)
    assert view.amount == Money(0, "GBP")
    assert view.groups == view.unseen == ()
