"""Commercial forms: what they share, what sets them apart, and what holds for any job."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.commercial_forms import (
    CONFIDENCES,
    CUSTOMER,
    FIXED,
    FORMS,
    NAMED,
    NOT_TO_EXCEED,
    NOTHING_HELD,
    PROVISIONAL_SUMS,
    SCHEDULE_OF_RATES,
    TO_THE_CAP,
    WORKSHOP,
    commercial_forms,
    own_mean_cost,
    price_of_certainty,
)
from estimator.domain.exposure.contingency import MEAN, PERCENTILE, held_only
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.stop_loss import mean_beyond
from estimator.domain.money import Money
from tests.golden.golden_job import golden_priced
from tests.unit.exposure import models

UNIT = Decimal(1)


def of(priced) -> dict[str, object]:
    return {row.form: row for row in commercial_forms(priced)}


def with_parts(open_parts: models.Open, confidence: str = "0.8"):
    """The golden job with other open parts: its base, their distribution."""
    priced = golden_priced()
    exposed = open_parts.exposed
    model = open_parts.known.model
    chances = {
        part.part: replace(part.chance, after=model.chance(item))
        for part, item in zip(exposed, open_parts.items, strict=True)
    }
    known = replace(open_parts.known, chances=chances)
    kept = held_only(known, exposed, (), Decimal(confidence), "GBP", UNIT)
    price = replace(priced.price, contingency=kept.amount)
    terms = replace(priced.job.terms, confidence=Decimal(confidence))
    return replace(
        priced, job=replace(priced.job, terms=terms), known=known, exposed=exposed, found=(),
        contingency=kept, price=price,
    )  # fmt: skip


@settings(max_examples=8)
@given(models.opens(), st.sampled_from(["0.5", "0.8", "0.95"]))
def test_what_holds_for_any_job(open_parts, confidence):
    priced = with_parts(open_parts, confidence)
    found = of(priced)
    assert tuple(found) == FORMS
    capped, fixed, named = found[NOT_TO_EXCEED], found[FIXED], found[NAMED]
    mean = named.pays
    # What the customer pays and what the workshop bears beyond the cap make up all the work.
    assert capped.pays + capped.overrun == mean
    assert capped.workshop == -capped.overrun
    # A fixed price is base and contingency; its premium is what it costs above the mean.
    assert fixed.quoted == fixed.pays == fixed.worst == priced.price.base + priced.price.contingency
    assert fixed.workshop == fixed.pays - mean
    assert fixed.workshop.minor >= -50  # the quoting unit rounds the contingency
    # Nobody pays more than the cap, and a cap is no dearer than none.
    assert capped.pays <= mean
    assert capped.worst == capped.quoted == named.quoted
    for form in (NAMED, PROVISIONAL_SUMS, SCHEDULE_OF_RATES):
        assert found[form].pays == mean
        assert found[form].workshop == Money(0, "GBP")
        assert not found[form].capped
    # The higher the sum quoted, the less often and the less far it is passed.
    rows = sorted(found.values(), key=lambda row: row.quoted.minor)
    for lower, higher in zip(rows, rows[1:], strict=False):
        assert higher.passed <= lower.passed + 1e-9
        assert higher.overrun <= lower.overrun
    for row in rows:
        assert 0 <= row.passed <= 1
        assert row.overrun.minor >= 0


@settings(max_examples=8)
@given(models.opens())
def test_more_certainty_never_costs_less(open_parts):
    priced = with_parts(open_parts)
    rows = price_of_certainty(priced)
    assert [row.confidence for row in rows] == list(CONFIDENCES)
    for lower, higher in zip(rows, rows[1:], strict=False):
        assert lower.price <= higher.price
    for row in rows:
        assert row.price - row.costs == of(priced)[NAMED].pays
        assert row.costs.minor >= -50
        if row.bound == MEAN:
            assert abs(row.costs.minor) <= 50


def test_a_fixed_price_at_the_jobs_confidence_is_its_price(priced):
    (row,) = price_of_certainty(priced, (priced.job.terms.confidence,))
    assert row.price == priced.price.net
    assert row.bound == PERCENTILE


def test_who_bears_what(priced):
    """Trade notes, section E."""
    found = {form: (row.bears, row.keeps) for form, row in of(priced).items()}
    assert found == {
        FIXED: (WORKSHOP, WORKSHOP),
        NOT_TO_EXCEED: (TO_THE_CAP, CUSTOMER),
        NAMED: (CUSTOMER, CUSTOMER),
        PROVISIONAL_SUMS: (CUSTOMER, CUSTOMER),
        SCHEDULE_OF_RATES: (CUSTOMER, NOTHING_HELD),
    }


def test_provisional_sums_are_the_parts_as_likely_worn_as_not(priced):
    """P-HB2 to P-HB4, P-TVB and P-ACC stand at or above one half; their likely costs add up."""
    put_in = [one for one in priced.exposed if priced.known.chances[one.part].after >= 0.5]
    assert {one.part for one in put_in} == {"P-HB2", "P-HB3", "P-HB4", "P-TVB", "P-ACC"}
    sums = 1080 + 1080 + 1080 + 1300 + 960
    row = of(priced)[PROVISIONAL_SUMS]
    assert row.quoted == priced.price.base + Money(sums * 100, "GBP")


def test_the_margin_is_held_against_the_workshops_own_cost(priced):
    own = Money(round(own_mean_cost(priced) * 100), "GBP")
    for row in commercial_forms(priced):
        assert row.margin == row.pays - own
    beside = float((priced.price.freight + priced.price.levy_sum).amount)
    lines = sum(float(one.cost) for one in priced.lines) + beside
    worn = sum(
        priced.known.chances[one.part].after * one.workshop_cost.mean for one in priced.exposed
    )
    assert own_mean_cost(priced) > lines + worn  # provisional lines move up in the mean
    assert own_mean_cost(priced) == pytest.approx(lines + worn, rel=0.005)


def test_nothing_open_at_all(priced):
    bare = replace(
        priced,
        exposed=(),
        contingency=held_only(models.known([]), (), (), Decimal("0.8"), "GBP", UNIT),
        price=replace(priced.price, contingency=Money(0, "GBP")),
        lines=(),
    )
    for row in commercial_forms(bare):
        assert row.quoted == row.pays == row.worst == bare.price.base
        assert (row.passed, row.overrun, row.workshop) == (0, Money(0, "GBP"), Money(0, "GBP"))
    assert {row.costs for row in price_of_certainty(bare)} == {Money(0, "GBP")}


def test_one_part_that_is_surely_worn():
    """The limiting case, at a fixed cost: every form comes to the same, to the blur of a step."""
    part = models.Open((models.item("P0", 1.0),), (Pert(900.0, 900.0, 900.0),))
    priced = with_parts(part)
    surely = priced.price.base + Money(900_00, "GBP")
    for row in commercial_forms(priced):
        assert abs((row.pays - surely).minor) <= 200, row.form
        if row.form != SCHEDULE_OF_RATES:
            assert abs((row.quoted - surely).minor) <= 200, row.form
            assert row.passed == pytest.approx(0, abs=1e-4)  # what lies beyond four deviations
    assert of(priced)[SCHEDULE_OF_RATES].passed == pytest.approx(1)


@settings(max_examples=10)
@given(models.opens(), st.floats(0, 20_000), st.floats(1, 5_000))
def test_the_mean_beyond_falls_no_faster_than_the_sum_rises(open_parts, held, more):
    """E max(S - K, 0) is convex and falls by at most what K rises."""
    kept = held_only(open_parts.known, open_parts.exposed, (), Decimal("0.8"), "GBP", UNIT)
    low, high = (mean_beyond(kept.distribution, one) for one in (held, held + more))
    assert -1e-6 <= low - high <= more + 1e-6


def test_the_chosen_form_is_marked(priced):
    assert [row.form for row in commercial_forms(priced) if row.chosen] == [NAMED]
