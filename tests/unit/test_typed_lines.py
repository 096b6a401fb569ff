"""Lines typed over: the typed figure counts, the worked-out one stays askable."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import LineChange, ScopeChange
from estimator.domain.look_at import things_to_look_at
from estimator.domain.priced_job import reckon
from estimator.domain.programme.programme import build_programme
from estimator.domain.quote import build_quote
from estimator.domain.reasons import missing_inputs
from estimator.domain.scope import FIRM, PROVISIONAL
from tests.unit.changed import lines_and_price, row_changed, walked

ON = date(2026, 11, 19)


def typed(job, row, quantity=None, unit_cost=None):
    change = LineChange(
        row,
        None if quantity is None else Decimal(quantity),
        None if unit_cost is None else Decimal(unit_cost),
        "quotation in hand",
        "P. Holt",
        ON,
    )
    return replace(job, changed=(*job.changed, change))


def test_typed_hours_are_charged_and_the_others_stay(job, cat):
    before, price_before, _ = lines_and_price(job, cat)
    after, price, _ = lines_and_price(typed(job, "O0103", 50), cat)
    assert after["O0103"].line.quantity == 50
    rate = before["O0103"].amount.amount / before["O0103"].line.quantity
    assert after["O0103"].amount.amount == 50 * rate
    more = after["O0103"].amount - before["O0103"].amount
    assert price.by_kind["labour"] - price_before.by_kind["labour"] == more
    assert {one for one in before if before[one].amount != after[one].amount} == {"O0103"}


def test_typed_hours_move_the_programme(job, cat):
    hours = {}
    for name, one in (("as worked out", job), ("typed", typed(job, "O0103", 144))):
        hours[name] = build_programme(one, cat, walked(one, cat).scope).steps["A13"].man_hours
    assert hours["typed"] - hours["as worked out"] == 100  # 44 h worked out


def test_a_typed_quantity_makes_a_provisional_line_firm(job, cat, golden_walk):
    assert golden_walk.line("P-HOS").certainty == PROVISIONAL
    got = walked(typed(job, "P-HOS", 52), cat).line("P-HOS")
    assert got.certainty == FIRM
    assert (got.low, got.quantity, got.high) == (52, 52, 52)
    assert got.worked_out == golden_walk.line("P-HOS")
    assert got.because == ("I51",)


def test_hours_counted_for_each_hose_follow_the_finding_not_the_typed_line(job, cat):
    assert walked(typed(job, "P-HOS", 52), cat).line("O0807").quantity == 46


def test_a_typed_cost_leaves_quantity_and_certainty(job, cat, golden_walk):
    got = walked(typed(job, "P-HOS", unit_cost="61.50"), cat).line("P-HOS")
    assert got.certainty == PROVISIONAL
    assert (got.low, got.quantity, got.high) == (40, 46, 58)
    assert got.row.unit_cost == Decimal("61.50")
    assert got.row.price_date == ON
    lines, _, _ = lines_and_price(typed(job, "P-LIN", unit_cost=800), cat)
    assert lines["P-LIN"].amount.amount == 6240  # 6 x 800 x 1.30
    assert lines["P-LIN"].cost == 4800


def test_a_typed_cost_is_in_the_row_s_own_currency(job, cat):
    lines, _, _ = lines_and_price(typed(job, "P-TCK", unit_cost=7000), cat)
    assert lines["P-TCK"].amount.amount == 7344  # 7,000 x 0.86 x 1.22 = 7,344.40


def test_outwork_can_be_typed_over_too(job, cat):
    lines, _, _ = lines_and_price(typed(job, "W07", quantity=2, unit_cost=2000), cat)
    assert lines["W07"].amount.amount == 4600  # 2 x 2,000 x 1.15


@pytest.mark.parametrize(
    ("row", "quantity", "cost", "wanted"),
    [
        ("O0103", 50, None, {"worked out": "44 h", "typed": "50 h"}),
        ("P-HOS", 52, None, {"worked out": "46 each", "typed": "52 each"}),
        ("P-LIN", None, 800, {"cost of one in the catalogue": "790 GBP",
                              "cost of one typed": "800 GBP"}),
    ],
)  # fmt: skip
def test_why_says_worked_out_typed_reason_who_and_when(job, cat, row, quantity, cost, wanted):
    _, _, reasons = lines_and_price(typed(job, row, quantity, cost), cat)
    figure = reasons.get(f"line/{row}")
    said = dict(figure.numbers)
    assert wanted.items() <= said.items()
    assert said["reason"] == "quotation in hand"
    assert (said["by"], said["date"]) == ("P. Holt", "2026-11-19")
    assert (figure.source, figure.origin) == ("typed", "typed")
    before = lines_and_price(job, cat)[2].get(f"line/{row}")
    assert reasons.get(f"line/{row}/worked_out").value == before.value
    assert set(missing_inputs(reasons.figures)) == set(missing_inputs_without_findings(job, cat))
    assert f"line/{row}/worked_out" in figure.inputs


def missing_inputs_without_findings(job, cat):
    """What `lines_and_price` leaves out of a job: its findings and contingency."""
    return missing_inputs(lines_and_price(job, cat)[2].figures)


def test_typed_hours_keep_how_they_were_worked_out(job, cat):
    _, _, reasons = lines_and_price(typed(job, "O0003", 20), cat)
    assert reasons.get("hours/O0003").value == 20
    assert reasons.get("hours/O0003").source == "typed"
    assert reasons.get("hours/O0003/worked_out").value == 15


def test_a_change_to_a_row_that_is_not_there_is_idle_and_says_so(job, cat, golden_walk):
    assert golden_walk.line("P-VBK") is None
    idle = typed(job, "P-VBK", 2)
    got = walked(idle, cat)
    assert got.scope.idle_typed == ("P-VBK",)
    lines, _, _ = lines_and_price(idle, cat)
    programme = build_programme(idle, cat, got.scope)
    warnings = things_to_look_at(
        idle, cat, got.scope, tuple(lines.values()), got.exposed, Decimal("0.6"), programme
    )
    assert [one.code for one in warnings if "P-VBK" in one.message] == ["idle-change"]


def test_a_row_put_in_by_hand_can_be_typed_over(job, cat):
    by_hand = replace(job, added=(ScopeChange("P-VBK", "spools pitted", "P. Holt"),))
    line = walked(typed(by_hand, "P-VBK", 3), cat).line("P-VBK")
    assert line.quantity == 3
    assert line.change is not None
    assert line.typed is not None


# -- kept twice on purpose ----------------------------------------------------------------------


def test_work_kept_twice_on_purpose_is_no_double_any_more(job, catalogue):
    twice = for_class(row_changed(catalogue, "operations", "O0102", includes=("O0103",)), "WL28")
    assert walked(job, twice).scope.doubles == (("O0102", "O0103"),)
    kept = replace(job, kept=(ScopeChange("O0102+O0103", "two engines' worth", "P. Holt"),))
    scope = walked(kept, twice).scope
    assert scope.doubles == ()
    assert scope.kept == (("O0102", "O0103"),)
    assert scope.idle_kept == ()
    assert len(scope.lines) == len(walked(job, twice).scope.lines)


def test_keeping_what_is_not_there_is_idle(job, cat):
    kept = replace(job, kept=(ScopeChange("O0102+O0103", "r", "b"),))
    assert walked(kept, cat).scope.idle_kept == ("O0102+O0103",)


def test_the_teardown_offer_keeps_what_was_typed_over_its_own_rows(priced):
    cleaning = typed(priced.job, "O0003", 150)
    wide = replace(priced.cat, wear={})  # no contingency, for speed
    hours = [
        build_quote(reckon(one, wide), with_options=False).teardown.hours
        for one in (priced.job, cleaning)
    ]
    assert hours[1] - hours[0] == 135
