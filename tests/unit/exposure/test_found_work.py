"""Work found while working: a count with a cost, what it does to a job, taking it out by hand."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.catalogue.catalogue import Catalogue, for_class
from estimator.domain.catalogue.work_rows import FoundWork
from estimator.domain.exposure.contingency import contingency, contingency_amount
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.factors import FactorModel
from estimator.domain.exposure.found_work import Found, FoundCount, found_work
from estimator.domain.exposure.pert import Pert
from estimator.domain.job import ExchangeRate, ScopeChange
from tests.unit.changed import INSPECTED, machine_changed, rows_changed, terms_changed
from tests.unit.exposure.models import exposed, item, known, perts

PIN = Pert(200, 400, 900)


def row(code: str = "FW01", **cells) -> FoundWork:
    """A seized pin as the catalogue may hold it: one to expect a job, 4 h each."""
    given_cells = {
        "id": code,
        "component": "C11C",
        "name": "Pin seized in its bore",
        "levels": ("full", "driveline"),
        "per": "job",
        "count": Decimal(1),
        "scaling": "C00",
        "trade": "HF",
        "hours_low": Decimal(2),
        "hours": Decimal(4),
        "hours_high": Decimal(8),
        "difficulty": "D100",
        "currency": "GBP",
        "activity": "A02",
        "origin": "starting value",
    }
    return FoundWork(**given_cells | cells)


def with_found(catalogue: Catalogue, *rows: FoundWork) -> Catalogue:
    return rows_changed(catalogue, "found_work", rows)


def found_on(job, catalogue, *rows: FoundWork) -> tuple[Found, ...]:
    return found_work(job, for_class(with_found(catalogue, *rows), "WL28"))


@st.composite
def counts(draw) -> FoundCount:
    return FoundCount(
        draw(st.floats(0.05, 6).map(lambda one: round(one, 3))),
        draw(st.sampled_from([0.0, 0.3, 1.0, 2.0])),
        draw(perts()),
    )


# The count with its cost


@pytest.mark.parametrize("over", [0.0, 0.5, 2.0])
@pytest.mark.parametrize("expected", [0.2, 1.5, 6.0])
def test_a_seeded_sampling_agrees(expected, over):
    cost = FoundCount(expected, over, PIN)
    random = np.random.default_rng(4)
    draws = 200_000
    if over:
        numbers = random.negative_binomial(1 / over, 1 / (1 + over * expected), draws)
    else:
        numbers = random.poisson(expected, draws)
    singles = PIN.low + 700 * random.beta(PIN.alpha, PIN.beta, int(numbers.sum()))
    totals = np.bincount(np.repeat(np.arange(draws), numbers), singles, minlength=draws)
    error = cost.variance**0.5 / draws**0.5
    assert totals.mean() == pytest.approx(cost.mean, abs=4 * error)
    assert totals.var() == pytest.approx(cost.variance, rel=0.04)
    for share in (0.3, 0.8, 0.95):
        at = cost.reached(share)
        assert (totals <= at + 1e-9).mean() >= share - 0.006
        assert (totals < at - cost.high / 2000).mean() <= share + 0.006
    assert totals.max() <= cost.high


@given(counts())
def test_transforms_hold_the_moments(cost):
    """phi(0) = 1, phi'(0) = i E S: by small frequencies, which is how the series reads them."""
    t = np.array([1e-7, 2e-7]) / max(cost.mean, 1.0)
    mass, moment = cost.transforms(t)
    assert np.allclose(mass, 1, atol=1e-6)
    assert moment[0].real == pytest.approx(cost.mean, rel=1e-5)


@given(counts())
def test_the_second_transform_is_the_slope_of_the_first(cost):
    at, step = 1.0 / max(cost.mean, 1.0), 1e-6 / max(cost.mean, 1.0)
    around, _ = cost.transforms(np.array([at - step, at + step]))
    _, moment = cost.transforms(np.array([at]))
    assert (around[1] - around[0]) / (2 * step) == pytest.approx(
        1j * moment[0], abs=1e-4 * cost.mean
    )


@given(counts(), st.floats(0.0, 3.0))
def test_more_to_expect_never_lowers_the_mean(cost, more):
    richer = replace(cost, expected=cost.expected + more)
    assert richer.mean >= cost.mean
    assert richer.variance >= cost.variance
    assert richer.high >= cost.high
    assert richer.reached(0.9) >= cost.reached(0.9) - richer.high / 1000


@given(counts(), st.floats(0.1, 2.0))
def test_worse_together_spreads_more_and_means_the_same(cost, more):
    spread = replace(cost, overdispersion=cost.overdispersion + more)
    assert spread.mean == cost.mean
    assert spread.variance > cost.variance


@given(counts(), st.sampled_from([0.01, 1.25, 100.0]))
def test_another_currency_scales_it(cost, rate):
    each = Pert(cost.each.low * rate, cost.each.likely * rate, cost.each.high * rate)
    other = replace(cost, each=each)
    assert other.mean == pytest.approx(cost.mean * rate)
    assert other.variance == pytest.approx(cost.variance * rate**2)
    assert other.reached(0.9) == pytest.approx(cost.reached(0.9) * rate, rel=1e-6, abs=1e-9)


def test_nothing_to_expect_is_nothing():
    nothing = FoundCount(0.0, 0.5, PIN)
    assert (nothing.mean, nothing.variance, nothing.high, nothing.reached(0.99)) == (0, 0, 0, 0)
    mass, moment = nothing.transforms(np.array([0.001, 0.01]))
    assert mass == pytest.approx([1, 1])
    assert abs(moment).max() == 0


def test_a_small_overdispersion_is_a_poisson_count():
    t = np.linspace(1e-4, 0.02, 5)
    near, plain = FoundCount(2.0, 1e-5, PIN), FoundCount(2.0, 0.0, PIN)
    assert np.allclose(near.transforms(t)[0], plain.transforms(t)[0], atol=1e-4)


@pytest.mark.parametrize("bad", [{"expected": -0.1}, {"expected": float("nan")},
    {"overdispersion": -1.0}, {"expected": float("inf")}, {"each": Pert(-5, 1, 2)}])  # fmt: skip
def test_what_cannot_be_is_refused(bad):
    with pytest.raises(ValueError, match="not"):
        replace(FoundCount(1.0, 0.0, PIN), **bad)


# In a distribution


def one_found(cost: FoundCount, group: str = "G11") -> Found:
    return Found(row(), group, 0.0, cost.expected, cost, cost)


def test_alone_it_is_its_own_distribution():
    cost = FoundCount(1.5, 0.5, PIN)
    total = Distribution(FactorModel([], []), {}, {"found/FW01": cost})
    assert total.moments.mean == pytest.approx(cost.mean)
    assert total.moments.deviation == pytest.approx(cost.variance**0.5)
    for share in (0.5, 0.8, 0.9, 0.95):
        assert total.percentile(share) == pytest.approx(cost.reached(share), abs=cost.high / 800)


@pytest.mark.parametrize("confidence", ["0.5", "0.8", "0.95"])
def test_contributions_come_to_the_contingency(confidence):
    items = [item("P1", 0.4), item("P2", 0.2)]
    parts = (exposed("P1", Pert(900, 1200, 2000)), exposed("P2", Pert(300, 400, 900)))
    found = (one_found(FoundCount(1.5, 0.5, PIN)),)
    held = contingency(known(items), parts, (), Decimal(confidence), "GBP", Decimal(1), found=found)
    assert {share.id for share in held.shares} == {"P1", "P2", "found/FW01"}
    assert sum(share.amount.minor for share in held.shares) == held.amount.minor
    own = next(share for share in held.shares if share.id == "found/FW01")
    assert own.group == "G11"
    assert own.expected == pytest.approx(found[0].cost.mean)
    without = contingency_amount(known(items), parts, (), Decimal(confidence), "GBP", Decimal(1))
    assert held.amount > without


# On a machine


def test_hours_since_the_last_overhaul_count(job, catalogue):
    """By 1,000 h of the machine (14,860 h), of an overhauled engine (6,660 h), or for the job."""
    got = found_on(
        job,
        catalogue,
        row("FW01", per="1000 h", count=Decimal("0.1")),
        row("FW02", per="1000 h", count=Decimal("0.1"), component="C01D"),
        row("FW03", count=Decimal("0.4")),
    )
    assert {one.id: pytest.approx(one.expected) for one in got} == {
        "FW01": 1.486, "FW02": 0.666, "FW03": 0.4,
    }  # fmt: skip


def test_difficulty_rate_and_markup_make_the_price_of_one(job, catalogue):
    hard = row(difficulty="D125", parts_cost=Decimal(40), markup="A")
    (one,) = found_on(job, catalogue, hard)
    # 79.50 an hour charged, 59.6212 paid (trade notes' worked example); 40 x 1.30
    assert one.cost.each == Pert(2.5 * 79.5 + 52, 5 * 79.5 + 52, 10 * 79.5 + 52)
    assert one.workshop_cost.each.likely == pytest.approx(5 * 59.6212 + 40, abs=1e-3)
    assert one.workshop_cost.mean < one.cost.mean


def test_a_bigger_machine_has_more_of_them(job, catalogue):
    fine = replace(
        catalogue.tables["scaling"][1], id="N06", driver="operating_mass_kg",
        exponent=Decimal("0.6"), step=Decimal("0.001"),
    )  # fmt: skip
    two = rows_changed(catalogue, "scaling", (*catalogue.tables["scaling"], fine))
    small = replace(two.tables["classes"][0], id="WL14", operating_mass_kg=Decimal(14150))
    two = rows_changed(two, "classes", (*two.tables["classes"], small))
    two = with_found(two, row(scaling="N06"))
    here = for_class(two, "WL28").found_work["FW01"]
    there = for_class(two, "WL14").found_work["FW01"]
    assert (here.count, here.hours) == (1, 4)
    assert there.count == Decimal("0.660")  # 0.5 ** 0.6
    assert there.hours == 4


def test_a_foreign_currency_is_exchanged(job, catalogue):
    rate = ExchangeRate("GBP", Decimal("1.25"), INSPECTED, "invented")
    in_euro = replace(terms_changed(job, currency="EUR"), exchange_rates={"GBP": rate})
    (here,), (there,) = found_on(job, catalogue, row()), found_on(in_euro, catalogue, row())
    assert there.cost.mean == pytest.approx(1.25 * here.cost.mean)


def test_what_is_taken_out_not_of_this_level_or_not_expected_is_left_out(job, catalogue):
    rows = (row("FW01"), row("FW02", levels=("full",)), row("FW03", count=Decimal(0)))
    assert [one.id for one in found_on(job, catalogue, *rows)] == ["FW01", "FW02"]
    driveline = replace(job, level="driveline")
    assert [one.id for one in found_on(driveline, catalogue, *rows)] == ["FW01"]
    out = replace(job, removed=(ScopeChange("FW01", "seen to turn", "P. Holt"),))
    assert [one.id for one in found_on(out, catalogue, *rows)] == ["FW02"]


def test_a_new_machine_has_nothing_seized(job, catalogue):
    hours = row(per="1000 h", count=Decimal("0.1"))
    new = machine_changed(job, hours=Decimal(0), history=())
    assert found_on(new, catalogue, hours) == ()


def test_the_frozen_catalogue_expects_nothing(job, cat):
    assert found_work(job, cat) == ()
