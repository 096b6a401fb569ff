"""Lines of a scope: how certain, how much, and which an estimator put in or took out by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import ScopeChange
from estimator.domain.scope import FIRM, LABOUR, OUTWORK, PARTS, PROVISIONAL
from tests.unit.changed import (
    finding_added,
    finding_changed,
    finding_made,
    row_changed,
    terms_changed,
    walked,
)

# -- certainty and quantity ---------------------------------------------------------------------


def test_a_count_brings_its_own_quantities_and_is_provisional(golden_walk):
    hoses, fitting = golden_walk.line("P-HOS"), golden_walk.line("O0807")
    assert (hoses.quantity, hoses.low, hoses.high) == (46, 40, 58)
    assert (fitting.quantity, fitting.low, fitting.high) == (46, 40, 58)  # an hour each
    assert hoses.certainty == fitting.certainty == PROVISIONAL


@pytest.mark.parametrize(("quantity", "low", "high"), [("51", "51", "51"), ("0", "0", "3")])
def test_the_hours_follow_the_count(job, cat, quantity, low, high):
    recounted = finding_changed(
        job, "I51", quantity=Decimal(quantity), quantity_low=Decimal(low),
        quantity_high=Decimal(high),
    )  # fmt: skip
    got = walked(recounted, cat)
    for line in (got.line("P-HOS"), got.line("O0807")):
        assert (line.quantity, line.low, line.high) == (
            Decimal(quantity), Decimal(low), Decimal(high)
        )  # fmt: skip


def test_within_gauge_error_a_line_is_provisional_over_the_row_s_range(golden_walk):
    turbo = golden_walk.line("P-TUR")
    assert turbo.certainty == PROVISIONAL
    assert (turbo.quantity, turbo.low, turbo.high) == (1, Decimal("0.15"), Decimal("1.1"))
    assert "gauge error" in turbo.why
    assert "I05" in turbo.why


def test_a_firm_line_has_no_range_even_where_its_row_has_one(job, cat):
    certain = finding_changed(job, "I05", gauge_error=Decimal(0))
    turbo = walked(certain, cat).line("P-TUR")
    assert turbo.certainty == FIRM
    assert turbo.low == turbo.quantity == turbo.high == 1


def test_hours_that_may_come_to_nothing_keep_their_low_of_nothing(job, catalogue):
    nothing = for_class(row_changed(catalogue, "operations", "O1003", hours_low=Decimal(0)), "WL28")
    line = walked(job, nothing).line("O1003")
    assert line.certainty == PROVISIONAL
    assert line.low == 0


def test_hours_are_multiplied_by_difficulty_and_not_by_crew(cat, golden_walk):
    assert golden_walk.line("O0003").quantity == 15  # 12 h in quarry dust
    assert golden_walk.line("O0103").quantity == 44  # two fitters at it, still 44 h
    assert golden_walk.line("O0807").unit == "h"


def test_lines_are_firm_or_provisional_and_rise(golden_walk):
    for line in golden_walk.scope.lines:
        assert line.certainty in (FIRM, PROVISIONAL)
        assert line.low <= line.quantity <= line.high
        assert line.kind in (LABOUR, PARTS, OUTWORK)
        assert line.why


# -- by chance ----------------------------------------------------------------------------------


def test_a_part_all_but_surely_worn_is_priced_as_firm(golden_walk):
    line = golden_walk.line("P-MPR")
    assert line.certainty == FIRM
    assert "chance of wear 0.905" in line.why
    assert "P-MPR" not in golden_walk.open_parts


def test_the_way_chosen_for_the_job_is_the_way_priced(job, catalogue):
    sure = for_class(
        row_changed(catalogue, "wear", "P-CRK", starting_chance=Decimal("0.999999999")), "WL28"
    )
    usual = walked(job, sure)
    assert usual.firm["P-CRK"][0] == "recondition"
    assert usual.line("W02") is not None
    chosen = walked(replace(job, ways={"P-CRK": "replace"}), sure)
    assert chosen.line("P-CRK") is not None
    assert chosen.line("W02") is None


# -- by hand ------------------------------------------------------------------------------------


def test_a_row_added_by_hand_carries_its_reason_and_person(job, cat):
    added = replace(job, added=(ScopeChange("P-VBK", "spools pitted", "P. Holt"),))
    line = walked(added, cat).line("P-VBK")
    assert line.certainty == FIRM
    assert line.why == "added by P. Holt: spools pitted"
    assert line.change.reason == "spools pitted"


def test_a_row_that_is_there_is_not_added_again(job, cat):
    twice = replace(job, added=(ScopeChange("P-LIN", "r", "b"), ScopeChange("P-LIN", "r", "b")))
    lines = [line for line in walked(twice, cat).scope.lines if line.id == "P-LIN"]
    assert len(lines) == 1


def test_changes_that_change_nothing_are_named(job, cat):
    idle = replace(
        job,
        added=(ScopeChange("P-LIN", "r", "b"), ScopeChange("P-VBK", "r", "b")),
        removed=(ScopeChange("O0251", "r", "b"), ScopeChange("O1503", "r", "b")),
    )
    assert walked(idle, cat).scope.idle_changes == ("O0251", "P-LIN")


def test_an_open_part_taken_out_leaves_the_contingency(job, cat, golden_walk):
    assert "P-CRK" in golden_walk.open_parts
    without = walked(replace(job, removed=(ScopeChange("P-CRK", "customer's risk", "b"),)), cat)
    assert "P-CRK" not in without.open_parts
    assert without.scope.idle_changes == ()


def test_a_row_taken_out_is_gone_and_its_reason_stays(job, cat):
    removed = replace(job, removed=(ScopeChange("O1503", "customer paints", "P. Holt"),))
    got = walked(removed, cat)
    assert got.line("O1503") is None
    assert got.scope.removed[0].reason == "customer paints"


def test_a_part_is_never_both_priced_and_held_for(job, cat):
    """Put into the scope by the estimator, an unseen part must leave the contingency."""
    by_word = finding_added(
        job,
        finding_made("N1", kind="not seen", part=("P-CMS",), component="C01B",
                     override="replace", override_reason="renewed while it is apart"),
    )  # fmt: skip
    by_hand = replace(job, added=(ScopeChange("P-CMS", "renewed while apart", "P. Holt"),))
    for changed in (by_word, by_hand):
        got = walked(changed, cat)
        assert got.line("P-CMS") is not None
        assert "P-CMS" not in got.open_parts


def test_the_quoting_unit_has_no_say_in_the_scope(job, cat, golden_walk):
    pence = walked(terms_changed(job, quoting_unit=Decimal("0.01")), cat)
    assert pence.scope.lines == golden_walk.scope.lines
