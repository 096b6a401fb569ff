"""Lines of the estimator's own: priced, dated and printed like those of the catalogue."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.own_lines import step_for
from estimator.domain.priced_job import reckon
from estimator.domain.programme.programme import build_programme
from estimator.domain.quote import build_quote
from estimator.domain.reasons import missing_inputs
from estimator.domain.scope import FIRM, PROVISIONAL
from tests.unit.changed import lines_and_price, own_made, terms_changed, walked


def with_own(job, *own):
    return replace(job, own=own)


def test_labour_is_charged_at_its_trade_s_rate_without_difficulty(job, cat):
    lines, price, _ = lines_and_price(with_own(job, own_made()), cat)
    assert lines["X01"].amount.amount == 795  # 10 h x 79.50
    assert lines["X01"].line.certainty == FIRM
    assert price.hours_by_trade["HF"] - lines_and_price(job, cat)[1].hours_by_trade["HF"] == 10


@pytest.mark.parametrize(("kind", "amount"), [("parts", 130), ("outwork", 115)])
def test_parts_and_outwork_cost_what_was_typed_with_their_markup(job, cat, kind, amount):
    lines, price, _ = lines_and_price(with_own(job, own_made(kind=kind)), cat)
    assert lines["X01"].amount.amount == amount
    assert lines["X01"].cost == 100
    before = lines_and_price(job, cat)[1]
    assert price.by_kind[kind].amount - before.by_kind[kind].amount == amount
    assert price.freight == before.freight


def test_the_cost_is_in_the_quote_s_currency(job, cat):
    from datetime import date

    from estimator.domain.job import ExchangeRate

    rate = ExchangeRate("GBP", Decimal("1.16"), date(2026, 11, 20), "invented")
    in_euro = replace(terms_changed(job, currency="EUR"), exchange_rates={"GBP": rate})
    lines, _, _ = lines_and_price(with_own(in_euro, own_made(kind="parts")), cat)
    assert str(lines["X01"].amount) == "130.00 EUR"


def test_a_range_makes_it_provisional_and_it_belongs_to_its_component_s_group(job, cat):
    ranged = own_made(component="C08A", quantity_low=Decimal(4), quantity_high=Decimal(25))
    line = walked(with_own(job, ranged), cat).line("X01")
    assert line.certainty == PROVISIONAL
    assert (line.low, line.quantity, line.high) == (4, 10, 25)
    assert line.group == cat.group_of("C08A") != cat.group_of("C01A")
    groups = {one.group: one for one in lines_and_price(with_own(job, ranged), cat)[1].groups}
    before = {one.group: one for one in lines_and_price(job, cat)[1].groups}
    assert groups[line.group].hours - before[line.group].hours == 10


def test_a_provisional_one_is_in_the_distribution_and_has_its_share(job, cat):
    ranged = own_made(quantity_high=Decimal(400))
    bare = replace(cat, wear={})
    got = reckon(with_own(job, ranged), bare)
    before = reckon(job, bare)
    assert got.contingency.amount.minor > before.contingency.amount.minor
    share = {one.id: one for one in got.contingency.shares}["X01"]
    assert share.amount.minor > 0
    assert share.group == "G01"
    figure = got.reasons.get("contribution/X01")
    assert "Bracket made new" in figure.title
    assert missing_inputs(got.reasons.figures) == []


def test_why_says_who_typed_it_and_on_what_grounds(job, cat):
    _, _, reasons = lines_and_price(with_own(job, own_made()), cat)
    figure = reasons.get("line/X01")
    said = dict(figure.numbers)
    assert (said["reason"], said["by"]) == ("missing on arrival", "P. Holt")
    assert figure.source == "typed"
    assert reasons.get("hours/X01").value == 10


# -- programme ----------------------------------------------------------------------------------


def test_its_hours_are_added_to_the_step_of_its_component(job, cat):
    one = with_own(job, own_made(quantity=Decimal(850)))
    before = build_programme(job, cat, walked(job, cat).scope)
    after = build_programme(one, cat, walked(one, cat).scope)
    grown = {
        name for name in after.steps if after.steps[name].man_hours != before.steps[name].man_hours
    }
    assert grown == {"A13"}  # where the engine is rebuilt
    assert after.steps["A13"].man_hours - before.steps["A13"].man_hours == 850
    # 850 h by one person at 0.85, between the two teams of the step
    assert after.steps["A13"].elapsed - before.steps["A13"].elapsed == pytest.approx(500)
    assert "X01" in after.steps["A13"].lines
    assert after.finish_hour > before.finish_hour


def test_no_hour_of_a_line_of_its_own_is_lost_whatever_its_component(job, cat):
    for component in cat.components:
        one = with_own(job, own_made(component=component))
        steps = build_programme(one, cat, walked(one, cat).scope).steps.values()
        assert sum("X01" in step.lines for step in steps) == 1, component


def test_where_nothing_is_done_on_the_component_the_step_of_its_group_is_taken(job, cat):
    lines = walked(job, cat).scope.lines
    bare = replace(
        cat,
        operations={c: r for c, r in cat.operations.items() if r.component != "C01A"},
    )
    others = [one for one in lines if one.component != "C01A"]
    step = step_for("C01A", job, bare, others)
    at_it = {one.row.activity for one in others if one.group == "G01" and one.kind == "labour"}
    assert step in at_it
    assert step_for("C01A", job, replace(cat, operations={}), ()) == ""


def test_parts_of_its_own_take_no_time(job, cat):
    one = with_own(job, own_made(kind="parts"), own_made("X02", kind="outwork"))
    before = build_programme(job, cat, walked(job, cat).scope)
    after = build_programme(one, cat, walked(one, cat).scope)
    assert after.finish_hour == before.finish_hour


# -- quote --------------------------------------------------------------------------------------


def test_the_quote_names_it_among_the_lines_put_in_and_the_strip_does_not_charge_it(priced):
    wide = replace(priced.cat, wear={})
    before = build_quote(reckon(priced.job, wide), with_options=False)
    after = build_quote(reckon(with_own(priced.job, own_made()), wide), with_options=False)
    assert after.added == (*before.added, "Bracket made new")
    assert after.teardown.net == before.teardown.net
    assert after.priced.price.net.amount > before.priced.price.net.amount
