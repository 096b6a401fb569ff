"""Which look would tell most about the golden job: every row of what it must come to.

Expected file: computed by the separate quadrature that made the other expected files; it shares no
code with the program. Full openings (OF..) and the three looks that the inspection left undone.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.domain.money import Money
from estimator.services.show_open_first import OPEN, TEST, show_open_first

HALF_A_PENNY = 0.0051  # the expected file gives two places
FOUR_PLACES = 0.6e-4


@pytest.fixture(scope="module")
def open_first(golden):
    return show_open_first(golden)


def look_of(row: dict[str, str]) -> str:
    return f"open/{row['on']}" if row["act"] == "open fully" else row["act"]


def test_every_look_and_no_other(open_first, expected):
    assert {row.id for row in open_first.rows} == {look_of(row) for row in expected("open_first")}
    assert len(open_first.rows) == 48


def test_expected_fall_of_each(open_first, expected):
    found = {row.id: float(row.fall.amount) for row in open_first.rows}
    for row in expected("open_first"):
        wanted = float(row["expected_fall_of_P80_minus_mean_GBP"])
        assert found[look_of(row)] == pytest.approx(wanted, abs=2 * HALF_A_PENNY), row["id"]


def test_in_the_same_order(open_first, expected):
    falls = {row.id: row.fall for row in open_first.rows}
    wanted = [look_of(row) for row in expected("open_first")]
    found = [row.id for row in open_first.rows]
    assert found == sorted(found, key=lambda one: (-falls[one].minor, one))
    # Looks whose falls print alike (the two lift barrels) may stand in either order.
    assert [falls[one] for one in found] == [falls[one] for one in wanted]


def test_what_each_costs_and_what_to_beware_of(open_first, expected):
    found = {row.id: row for row in open_first.rows}
    for row in expected("open_first"):
        look = found[look_of(row)]
        if row["act"] == "open fully":
            assert (look.kind, look.cost, look.hours) == (OPEN, None, None)
            assert look.chance == pytest.approx(float(row["chance"]), abs=FOUR_PLACES)
            continue
        assert look.kind == TEST
        assert look.parts == tuple(row["on"].split(";"))
        assert look.cost == Money(int(row["cost_GBP"]) * 100, "GBP")
        assert look.hours == Decimal(row["hours_h"])
        assert [one.id for one in look.cautions] == row["caution_ids"].split(";")


def test_the_spread_now(open_first):
    """31,317.01 less 22,734.90 (the expected exposure)."""
    assert float(open_first.spread.amount) == pytest.approx(31317.01 - 22734.90, abs=0.02)


def test_what_going_on_is_held_against(open_first):
    """Full rebuilds to 70 % of new are usual (classes.csv); the quote stands at 59.3 %."""
    limit = open_first.limit
    assert limit.code == "usual band"
    assert (limit.new_price, limit.share) == (Money(465_000_00, "GBP"), Decimal("0.70"))
    assert limit.amount == Money(325_500_00, "GBP")
    assert open_first.inside


def test_an_opening_changes_the_disposition_where_it_finds_wear(open_first, golden):
    for row in open_first.rows:
        if row.kind == OPEN:
            chance = golden.known.chances[row.parts[0]].after
            assert chance - 1e-9 <= row.changes_disposition <= 1, row.id


def test_it_tells_how_far_it_is_and_can_be_stopped(golden):
    class Stop(Exception):
        pass

    told: list[tuple[int, int]] = []

    def listen(done: int, of: int) -> None:
        told.append((done, of))
        if done >= 3:
            raise Stop

    with pytest.raises(Stop):
        show_open_first(golden, listen)
    assert told[0] == (0, 48)
    assert [done for done, _ in told] == sorted(done for done, _ in told)
