"""Teardown only: the strip priced by itself, and what stopping there would mean."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.job import ScopeChange
from estimator.domain.money import Money, money_sum
from estimator.domain.reasons import Reasons, missing_inputs
from estimator.domain.scope import FIRM, judge_all
from estimator.domain.teardown import teardown_offer, with_tax
from tests.unit.changed import finding_changed, terms_changed


def offer_of(job, cat, reasons: Reasons | None = None):
    return teardown_offer(job, cat, judge_all(job, cat), reasons or Reasons())


@pytest.fixture(scope="module")
def offer(job, cat):
    return offer_of(job, cat)


def test_a_strip_is_its_lines_with_carriage_and_levies(offer, cat):
    lines = money_sum((line.amount for line in offer.lines), "GBP")
    assert {line.line.certainty for line in offer.lines} == {FIRM}
    assert all("teardown" in line.line.row.levels for line in offer.lines)
    # no part is bought; wash water goes out by carriage; 4 % consumables; one consignment
    labour = money_sum((li.amount for li in offer.lines if li.line.kind == "labour"), "GBP")
    consumables = round(float(labour.amount) * 0.04)
    assert offer.net.amount == lines.amount + 300 + consumables + 85
    assert offer.totals.net == offer.net
    assert offer.totals.gross == offer.totals.net + offer.totals.tax


def test_hours_are_those_of_the_strip(offer, cat):
    wanted = sum(
        row.hours * cat.difficulty[row.difficulty].factor
        for row in cat.operations.values()
        if "teardown" in row.levels
    )
    assert offer.hours == wanted


def test_a_strip_does_not_depend_on_what_was_found(job, cat, offer):
    other = finding_changed(job, "I23", measured=Decimal("0.06"), override="", override_reason="")
    assert offer_of(other, cat).net == offer.net


def test_a_strip_ignores_what_was_added_or_taken_out_of_the_rebuild(job, cat, offer):
    changed = replace(
        job,
        added=(ScopeChange("P-VBK", "r", "b"),),
        removed=(ScopeChange("O0003", "r", "b"), ScopeChange("O0093", "r", "b")),
    )
    got = offer_of(changed, cat)
    assert got.net == offer.net
    assert got.reassembly == offer.reassembly


def test_the_report_comes_before_the_rebuild_is_done(offer, priced):
    assert priced.job.start < offer.report_day < priced.programme.finish_day


def test_both_ways_back_are_priced(offer):
    for back, level in ((offer.boxed_return, "boxed return"), (offer.reassembly, "reassembly")):
        assert back.level == level
        assert back.net == money_sum((line.amount for line in back.lines), "GBP")
        assert back.hours == sum(
            line.line.quantity for line in back.lines if line.line.kind == "labour"
        )
        assert back.working_days > 0
    assert offer.reassembly.hours > offer.boxed_return.hours


def test_days_to_reassemble_by_hand(offer):
    # (150 + 24) h / (2 x 0.95 x 0.85) = 107.74 h, so 13.47 days, whole ones 14
    assert offer.reassembly.working_days == 14


def test_what_the_strip_destroys_is_named_and_oil_is_not(offer):
    assert offer.destroyed == ("Seals and gaskets destroyed in stripping",)


@pytest.mark.parametrize(("typed", "longest"), [(15, 15), (3, 14), (60, 60)])
def test_the_longest_time_is_never_less_than_reassembly_takes(job, cat, typed, longest):
    assert offer_of(terms_changed(job, teardown_longest_days=typed), cat).longest_days == longest


def test_storage_is_in_minor_units_whatever_the_quoting_unit(job, cat):
    coarse = terms_changed(job, storage_per_day=Decimal("44.505"), quoting_unit=Decimal(5))
    assert offer_of(coarse, cat).storage_per_day == Money(4451, "GBP")


def test_figures_of_the_strip_keep_to_names_of_their_own(job, cat):
    reasons = Reasons()
    offer = offer_of(job, cat, reasons)
    assert all(name.startswith("teardown/") for name in reasons.figures)
    assert missing_inputs(reasons.figures) == []
    assert reasons.get("teardown/net").value == offer.net
    assert reasons.get("teardown/reassembly").value == offer.reassembly.net
    assert reasons.get("teardown/boxed_return").value == offer.boxed_return.net
    offer_of(job, cat, reasons)  # asked for twice, noted once


def test_tax_on_a_single_sum(job, cat):
    totals = with_tax(Money(100005, "GBP"), job, cat)
    assert (totals.net.minor, totals.tax.minor, totals.gross.minor) == (100005, 20001, 120006)
