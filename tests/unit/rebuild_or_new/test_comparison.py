"""A comparison of the golden job: what is taken, what is left out, and why each figure is so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.money import Money
from estimator.domain.new_machine import (
    CUSTOMER,
    INPUTS,
    JOB,
    STARTING_VALUE,
    SUPPLIER,
    TYPED,
    WORKS_ON,
    Input,
    NewMachine,
    input_of,
)
from estimator.domain.reasons import missing_inputs
from estimator.domain.rebuild_or_new.carbon import FUEL_FACTORS, MATERIAL_FACTORS
from estimator.domain.rebuild_or_new.cases import prices_of
from estimator.domain.rebuild_or_new.compared import NEW, REBUILD
from estimator.domain.rebuild_or_new.comparison import compare
from estimator.domain.rebuild_or_new.input_check import new_machine_faults
from estimator.domain.rebuild_or_new.starting import completed, starting_values


def one(value: str, origin: str = TYPED) -> Input:
    return Input(Decimal(value), Decimal(value), Decimal(value), origin)


FULL = NewMachine(
    "GBP",
    new_price=Input(Decimal(455_000), Decimal(455_000), Decimal(455_000), SUPPLIER, "quotation",
                    date(2026, 11, 12)),
    lead_weeks=Input(Decimal(18), Decimal(22), Decimal(30), SUPPLIER),
    trade_in=one("38000", CUSTOMER), life_new=one("14000"), hours_a_year=one("1800"),
    interest=one("0.065"), fuel_rebuilt=one("19.5"), fuel_new=one("17.2"), fuel_price=one("1.08"),
    upkeep_rebuilt=one("9.4"), upkeep_new=one("6.8"), hire_week=one("2150"), lost_day=one("260"),
    financed_share=one("0.8"), finance_rate=one("0.059"), finance_months=one("60"),
    reused_kg=one("19400"), fuel_factor=FUEL_FACTORS["EPA 2025 diesel"],
    material_factor=MATERIAL_FACTORS["IPCC 2019 steel, oxygen furnace"],
)  # fmt: skip


def test_starting_values_come_from_class_and_job_and_are_marked(priced):
    usual = starting_values(priced.job, priced.cat)
    row = priced.cat.machine_class
    price = usual.new_price
    assert (price.low, price.likely, price.high) == (
        row.new_price_low, row.new_price_likely, row.new_price_high,
    )  # fmt: skip
    assert (price.origin, price.dated) == (row.origin, row.price_date)
    assert usual.lead_weeks.likely == row.new_lead_weeks
    assert (usual.life_rebuilt.likely, usual.life_rebuilt.origin) == (
        priced.job.machine.life_wanted, JOB,
    )  # fmt: skip
    for name in ("life_new", "hours_a_year", "interest", "residual_new", "residual_rebuilt"):
        assert input_of(usual, name).origin == STARTING_VALUE
        assert input_of(usual, name).source
    assert usual.fuel_rebuilt is usual.hire_week is usual.trade_in is usual.reused_kg is None


def test_what_is_given_stands_and_the_rest_is_completed(priced):
    made = completed(NewMachine("GBP", life_new=one("9000")), priced.job, priced.cat)
    assert made.life_new.likely == 9000
    assert made.new_price == starting_values(priced.job, priced.cat).new_price
    assert made.upkeep_new is None


def test_prices_run_from_unspent_over_likely_to_spent(priced):
    low, likely, high = prices_of(priced)
    assert (low, high) == (priced.price.base.amount, priced.price.net.amount)
    assert low < likely < high
    fixed = replace(
        priced,
        job=replace(priced.job, terms=replace(priced.job.terms, commercial_form="fixed price")),
    )
    assert prices_of(fixed) == (high, high, high)


def test_the_golden_job_on_starting_values(priced):
    found = compare(priced, None)
    assert found.share == Decimal("0.593")  # 275,946 / 465,000
    assert (found.by_hour, found.by_year) == (REBUILD, REBUILD)
    assert found.rebuilt.weeks[1] == Decimal("15.6")  # 20 November to 9 March
    assert found.new.weeks == (20, 20, 20)
    assert found.rebuilt.per_hour[0] < found.rebuilt.per_hour[1] < found.rebuilt.per_hour[2]
    assert found.new.per_hour[0] < found.new.per_hour[1] < found.new.per_hour[2]
    assert not (found.fuel_counted or found.upkeep_counted or found.waiting_counted)
    assert found.material is found.fuel is found.payback_hours is None
    assert found.sooner == Decimal("4.4")
    assert found.caution


def test_cost_per_hour_and_break_even_agree_with_the_formula(priced):
    found = compare(priced, None)
    price, new = Decimal(267_364), Decimal(465_000)
    years = {"rebuilt": Decimal(8000) / 1540, "new": Decimal(12_000) / 1540}
    left = {name: Decimal("1.06") ** -n for name, n in years.items()}
    rebuilt_hour = (price - new / 10 * left["rebuilt"]) / 8000
    new_hour = (new - new / 5 * left["new"]) / 12_000
    assert found.rebuilt.per_hour[1].amount == round(rebuilt_hour, 2)
    assert found.new.per_hour[1].amount == round(new_hour, 2)
    turns = 8000 * new_hour + new / 10 * left["rebuilt"]
    assert found.turns_at.amount == round(turns, 0)
    assert found.room == found.turns_at - priced.price.base


def test_everything_that_is_given_counts(priced):
    found = compare(priced, FULL)
    assert found.fuel_counted and found.upkeep_counted and found.waiting_counted
    assert found.by_hour == NEW
    assert found.rebuilt.fuel == Money(2106, "GBP")  # 19.5 x 1.08
    assert found.waiting_saved.minor > 0
    assert found.monthly.minor > 0
    assert found.payback_hours > found.new.hours
    assert found.material.kilograms == Decimal("30652")  # 19,400 x 1.58
    assert found.fuel.amount == Decimal("18400")  # 2.3 x 8,000
    assert found.fuel.kilograms == Decimal("18400") * Decimal("2.6972")


def test_a_machine_that_works_on_waits_for_nothing_new(priced):
    found = compare(priced, replace(FULL, meanwhile=WORKS_ON))
    assert found.new.waiting[1] == Money(0, "GBP")
    assert found.new.weeks[1] == 22  # it still takes that long
    assert found.rebuilt.without[1] < found.rebuilt.weeks[1]  # from the day it comes in
    assert found.waiting_saved.minor < 0


@pytest.mark.parametrize("left_out", ["fuel_price", "fuel_new"])
def test_half_of_a_pair_counts_on_neither_side(priced, left_out):
    found = compare(priced, replace(FULL, **{left_out: None}))
    assert found.rebuilt.fuel == found.new.fuel == Money(0, "GBP")


def test_a_small_machine_is_said_to_be_above_the_usual(priced):
    found = compare(priced, NewMachine("GBP", new_price=one("320000")))
    assert found.share == Decimal("0.862")
    assert found.above_usual
    assert not compare(priced, None).above_usual


def test_every_figure_has_its_reason_and_the_job_keeps_its_own(priced):
    before = dict(priced.reasons.figures)
    found = compare(priced, FULL)
    assert priced.reasons.figures == before
    assert missing_inputs(found.reasons.figures) == []
    own = {name: one for name, one in found.reasons.figures.items() if name.startswith("new/")}
    wanted = {"new/ratio", "new/break_even", "new/payback", "new/finance", "new/rebuilt/waiting",
              "new/new/per_hour/high", "new/rebuilt/per_year", "new/carbon/material",
              "new/carbon/fuel", "new/new/years"}  # fmt: skip
    wanted |= {f"new/input/{name}" for name in INPUTS}
    wanted |= {f"new/moves/{one.name}" for one in found.moves}
    assert wanted <= set(own)
    for name, figure in own.items():
        assert figure.formula or figure.origin, name
    assert own["new/input/trade_in"].origin == "customer"
    assert "January 2025" in dict(own["new/carbon/fuel"].numbers)["edition"]
    assert own["new/rebuilt/per_hour/likely"].value == found.rebuilt.per_hour[1]


def test_the_same_inputs_give_the_same_comparison(priced):
    assert compare(priced, FULL).reasons.figures == compare(priced, FULL).reasons.figures


@pytest.mark.parametrize(
    ("changes", "place", "words"),
    [
        ({"currency": "EUR"}, "currency", "the job is in GBP"),
        ({"meanwhile": "sleeps"}, "meanwhile", "sleeps"),
        ({"interest": one("1.2")}, "interest", "100 %"),
        ({"life_new": one("0")}, "life_new", "above 0"),
        ({"trade_in": one("-1")}, "trade_in", "below 0"),
        ({"residual_new": Input(Decimal("0.3"), Decimal("0.2"), Decimal("0.4"), TYPED)},
         "residual_new", "must rise"),
        ({"hire_week": Input(Decimal(1), Decimal(2), Decimal(3), TYPED)}, "hire_week", "no range"),
        ({"fuel_new": None}, "fuel_new", "missing"),
        ({"finance_rate": None}, "finance_rate", "missing"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_named(changes, place, words):
    faults = new_machine_faults(replace(FULL, **changes), "GBP")
    assert [fault.place.column for fault in faults] == [f"[new_machine] {place}"]
    assert words in f"{faults[0]}"
    assert new_machine_faults(FULL, "GBP") == []
