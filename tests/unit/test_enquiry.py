"""Before anybody looked: a range with its class, wide enough for what may come."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.enquiry import (
    BANDS,
    BY_BAND,
    BY_DISTRIBUTION,
    enquiry_range,
    estimate_class_of,
    range_so_far,
)
from estimator.domain.job import LineChange, ScopeChange
from estimator.domain.priced_work import held, priced_work
from estimator.domain.reasons import missing_inputs, why_as_text
from tests.unit.changed import finding_made, machine_changed, own_made


@pytest.fixture(scope="module")
def enquiry(job, cat):
    return enquiry_range(job, cat)


def test_it_is_a_range_of_class_five_at_least_as_wide_as_its_band(enquiry):
    assert enquiry.estimate_class == 5
    likely = enquiry.likely.amount
    assert enquiry.low.amount <= likely * Decimal("0.805")  # shown to three figures
    assert enquiry.high.amount >= likely * Decimal("1.295")
    assert enquiry.low.minor < enquiry.likely.minor < enquiry.high.minor
    assert (enquiry.band_low, enquiry.band_high) == (Decimal("0.2"), Decimal("0.3"))
    assert (enquiry.low_rests_on, enquiry.high_rests_on) == (BY_BAND, BY_BAND)


def test_what_was_quoted_in_the_end_lies_within(enquiry, priced):
    assert enquiry.low.minor < priced.price.net.minor < enquiry.high.minor


def test_sums_are_shown_to_three_figures_outward(enquiry):
    for amount in (enquiry.low, enquiry.likely, enquiry.high):
        assert amount.minor % 100_000 == 0  # whole thousands, for a price of six figures


def test_no_finding_and_no_change_by_hand_has_a_say(job, cat, enquiry):
    by_hand = replace(
        job,
        findings=job.findings[:3],
        added=(ScopeChange("P-VBK", "r", "b"),),
        changed=(LineChange("O0103", Decimal(900), None, "r", "b", date(2026, 11, 20)),),
        own=(own_made(quantity=Decimal(900)),),
    )
    again = enquiry_range(by_hand, cat)
    assert (again.low, again.likely, again.high) == (enquiry.low, enquiry.likely, enquiry.high)


def test_more_hours_and_harder_duty_ask_for_more(job, cat, enquiry):
    worn = enquiry_range(machine_changed(job, hours=Decimal(22000), duty=Decimal("1.6")), cat)
    assert worn.likely.minor > enquiry.likely.minor
    assert worn.high.minor > enquiry.high.minor


def test_the_driveline_alone_asks_for_less(job, cat, enquiry):
    assert enquiry_range(replace(job, level="driveline"), cat).high.minor < enquiry.low.minor


def test_where_more_may_be_found_than_the_band_allows_the_distribution_rules(job, cat):
    dear = {
        part: tuple(replace(one, high=one.high * 9, likely=one.likely * 3) for one in ways)
        for part, ways in cat.remedies.items()
    }
    wild = replace(cat, remedies=dear)
    got = enquiry_range(job, wild)
    bare = priced_work(replace(job, findings=()), wild)
    nine_in_ten = bare.sums.base.amount + Decimal(held(bare).percentiles[0.9])
    assert got.high_rests_on == BY_DISTRIBUTION
    assert got.high.amount == pytest.approx(nine_in_ten + got.without_chance.amount, abs=1001)


def test_parts_that_only_a_look_can_count_are_in_the_high_end_alone(job, cat, enquiry):
    """Hoses, glass, edges: without a chance of their own they would else be in no figure."""
    bare = priced_work(replace(job, findings=()), cat)
    assert "P-HOS" in bare.scope.not_looked_at
    assert enquiry.without_chance.amount > 10_000
    no_hoses = {code: row for code, row in cat.parts.items() if code != "P-HOS"}
    less = enquiry_range(job, replace(cat, parts=no_hoses))
    hoses = enquiry.without_chance.amount - less.without_chance.amount
    assert hoses > 5000
    assert (enquiry.likely - less.likely).amount == pytest.approx(hoses / 2, abs=1000)


def test_each_end_can_be_asked_why(enquiry):
    assert missing_inputs(enquiry.reasons.figures) == []
    for name in ("low", "likely", "high"):
        figure = enquiry.reasons.get(f"enquiry/{name}")
        assert figure.value == getattr(enquiry, name)
        assert "18R-97" in figure.source
    assert "band rules" in why_as_text(enquiry.reasons, "enquiry/low", 0)
    assert dict(enquiry.reasons.get("enquiry/high").numbers)["estimate class"].startswith("5 of 5")


# -- the class ----------------------------------------------------------------------------------


def test_without_a_look_it_is_class_five(job, cat):
    assert estimate_class_of(replace(job, findings=()), cat) == 5
    unseen = finding_made(kind="not seen", part=("P-CMS",))
    assert estimate_class_of(replace(job, findings=(unseen,)), cat) == 5


def test_oil_alone_and_a_look_or_two_are_class_four(job, cat):
    oil = tuple(f for f in job.findings if (f.kind or cat.measures[f.measure].kind) == "oil")
    assert oil
    assert estimate_class_of(replace(job, findings=oil), cat) == 4
    looks = (finding_made(), finding_made("N02", component="C08A"))
    assert estimate_class_of(replace(job, findings=looks), cat) == 4


def test_an_inspection_over_half_of_the_groups_is_class_three(job, cat):
    assert estimate_class_of(job, cat) == 3
    groups = sorted({cat.group_of(row.component) for row in cat.operations.values()
                     if "full" in row.levels} | {cat.group_of(row.component)
                     for row in cat.parts.values() if "full" in row.levels})  # fmt: skip
    first = {cat.group_of(one): one for one in sorted(cat.components, reverse=True)}
    looks = [finding_made(f"N{n:02}", component=first[group]) for n, group in enumerate(groups)]
    half = -(-len(groups) // 2)
    assert estimate_class_of(replace(job, findings=tuple(looks[:half])), cat) == 3
    assert estimate_class_of(replace(job, findings=tuple(looks[: half - 1])), cat) == 4


def test_the_range_narrows_as_the_inspection_comes_in(job, cat, enquiry):
    so_far = range_so_far(priced_work(job, cat))
    assert so_far.estimate_class == 3
    width = (so_far.high - so_far.low).amount / so_far.likely.amount
    assert width < (enquiry.high - enquiry.low).amount / enquiry.likely.amount


def test_better_classes_have_narrower_bands():
    for better, worse in zip(range(1, 5), range(2, 6), strict=True):
        one, two = BANDS[better], BANDS[worse]
        assert one.low_least < two.low_least
        assert one.high_least < two.high_least
        assert one.low_least <= one.low_most <= two.low_most
        assert one.high_least <= one.high_most <= two.high_most
