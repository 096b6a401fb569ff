"""Does a job fit the catalogue: every fault with its code and its place, and no false alarm."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import Event, ExchangeRate, ScopeChange
from estimator.domain.job_check import check_class, check_job, duplicate_serials
from estimator.domain.priced_job import reckon
from tests.unit.changed import (
    machine_changed,
    row_changed,
    terms_changed,
)


def found(job, cat) -> set[tuple[str, str]]:
    return {(problem.code, problem.place.column) for problem in check_job(job, cat)}


def test_the_golden_job_has_no_fault(job, cat):
    assert check_job(job, cat) == []


def test_a_class_that_the_catalogue_lacks_is_named_with_those_it_has(job, catalogue):
    assert check_class(job, catalogue) == []
    problem = check_class(machine_changed(job, class_id="EX35"), catalogue)[0]
    assert problem.code == "unknown-class"
    assert "EX35" in problem.message
    assert "WL28" in problem.remedy


# -- terms, history, changes --------------------------------------------------------------------


def test_an_unknown_tax_category_is_named_with_those_there_are(job, cat):
    problem = check_job(terms_changed(job, tax_category="T17"), cat)[0]
    assert (problem.code, problem.place.column) == ("unknown-tax", "[terms] tax_category")
    assert "T20" in problem.remedy


def test_a_currency_of_a_part_without_a_rate_is_named(job, cat):
    problem = check_job(replace(job, exchange_rates={}), cat)[0]
    assert problem.code == "no-rate"
    assert "EUR" in problem.message


def test_quoting_in_another_currency_needs_a_rate_for_the_workshop_s(job, cat):
    in_euro = replace(terms_changed(job, currency="EUR"), exchange_rates={})
    assert {one.code for one in check_job(in_euro, cat)} == {"no-rate"}
    rate = ExchangeRate("GBP", Decimal("1.16"), date(2026, 11, 20), "invented")
    assert check_job(replace(in_euro, exchange_rates={"GBP": rate}), cat) == []


def test_a_rate_for_the_quote_s_own_currency_is_one_too_many(job, cat):
    rate = ExchangeRate("GBP", Decimal("0.9"), date(2026, 11, 20), "invented")
    own = replace(job, exchange_rates={**job.exchange_rates, "GBP": rate})
    assert found(own, cat) == {("own-rate", "[[exchange_rate]]")}


@pytest.mark.parametrize(
    ("changes", "code", "column"),
    [
        ({"hours": Decimal(8000)}, "history-hours", "[machine] hours"),  # overhauled at 8,200 h
        ({"hours_doubt": Decimal("0.61")}, "bad-entry", "[machine] hours_doubt"),
        ({"hours_doubt": Decimal("-0.1")}, "bad-entry", "[machine] hours_doubt"),
        ({"meter": "lost"}, "bad-entry", "[machine] meter"),
    ],
)
def test_hours_that_cannot_be_and_doubts_beyond_reckoning_are_named(
    job, cat, changes, code, column
):
    assert found(machine_changed(job, **changes), cat) == {(code, column)}


@pytest.mark.parametrize(
    ("table", "code"),
    [
        ("parts", "P-LIN"),
        ("outwork", "W01"),
        ("trades", "HF"),
        ("remedies", "P-CRK"),
        ("suppliers", "S1"),
        ("suppliers", "CARR"),
        ("levies", "L2"),
        ("levies", "L1"),
        ("classes", "WL28"),
    ],
)
def test_a_checked_job_can_be_priced_whatever_currency_a_row_is_in(job, catalogue, table, code):
    """A currency without a rate is a fault of the job, never an error half-way through pricing."""
    dollars = for_class(row_changed(catalogue, table, code, currency="USD"), "WL28")
    assert ("no-rate", "[[exchange_rate]]") in found(job, dollars)


@pytest.mark.parametrize(
    ("currency", "unit", "fits"),
    [("GBP", "0.01", True), ("GBP", "0.05", True), ("GBP", "0.005", False), ("GBP", "5", True)],
)
def test_a_quoting_unit_is_whole_minor_units(job, cat, currency, unit, fits):
    got = found(terms_changed(job, currency=currency, quoting_unit=Decimal(unit)), cat)
    assert (("bad-unit", "[terms] quoting_unit") in got) is not fits


@pytest.mark.parametrize(
    "event",
    [
        Event(Decimal(8200), "x", ("C99",), (), ()),
        Event(Decimal(8200), "x", (), ("P-XXX",), ()),
        Event(Decimal(8200), "x", (), (), ("P-XXX",)),
    ],
)
def test_unknown_codes_in_the_history_are_found(job, cat, event):
    history = (*job.machine.history, event)
    assert ("unknown-code", "[machine.history 2]") in found(
        machine_changed(job, history=history), cat
    )


@pytest.mark.parametrize("kind", ["added", "removed"])
def test_a_change_by_hand_names_a_row_of_the_catalogue(job, cat, kind):
    changes = (ScopeChange("O0001", "r", "b"), ScopeChange("O-0001", "r", "b"))
    problems = check_job(replace(job, **{kind: changes}), cat)
    assert [(one.code, one.place.column) for one in problems] == [
        ("unknown-row", f"[[{kind}]] 2 row")
    ]
    assert "O0001" in problems[0].remedy


@pytest.mark.parametrize(
    ("added", "removed"),
    [
        (["P-VBK", "P-VBK"], []),
        ([], ["O0001", "O0001"]),
        (["P-VBK"], ["P-VBK"]),
    ],
)
def test_a_row_changed_twice_by_hand_is_found(job, cat, added, removed):
    changed = replace(
        job,
        added=tuple(ScopeChange(one, "r", "b") for one in added),
        removed=tuple(ScopeChange(one, "r", "b") for one in removed),
    )
    assert {one.code for one in check_job(changed, cat)} == {"change-twice"}


def test_a_way_that_is_not_offered_is_named_with_those_that_are(job, cat):
    assert check_job(replace(job, ways={"P-FIP": "replace"}), cat) == []
    problem = check_job(replace(job, ways={"P-MPR": "exchange"}), cat)[0]
    assert problem.code == "unknown-way"
    assert "replace" in problem.remedy
    unknown = check_job(replace(job, ways={"P-XXX": "replace"}), cat)
    assert [one.place.column for one in unknown] == ["[ways] P-XXX"]


# -- several jobs -------------------------------------------------------------------------------


@pytest.mark.parametrize("serial", ["WL28-00417", "wl28-00417", "WL28 - 00417 ", "wl28-00 417"])
def test_one_machine_in_two_jobs_is_found(job, serial):
    other = machine_changed(replace(job, number="Q-2042"), serial=serial)
    problems = duplicate_serials([job, other])
    assert [one.code for one in problems] == ["serial-twice"]
    assert problems[0].place.file == "Q-2042 rev A"
    assert "Q-2041 rev A" in problems[0].message


def test_two_machines_are_two_machines(job):
    other = machine_changed(replace(job, number="Q-2042"), serial="WL28-00418")
    assert duplicate_serials([job, other]) == []


def test_a_revision_of_a_quote_is_no_second_machine(job):
    assert duplicate_serials([job, replace(job, revision="B")]) == []


def test_three_jobs_of_one_machine_are_two_faults(job):
    jobs = [replace(job, number=number) for number in ("Q-1", "Q-2", "Q-3")]
    assert len(duplicate_serials(jobs)) == 2


# -- what passes the check can be reckoned ------------------------------------------------------


@pytest.mark.parametrize("confidence", ["0.5", "0.505", "0.804", "0.895", "0.95", "0.99"])
def test_every_confidence_that_a_job_may_state_can_be_priced(job, cat, confidence):
    # without chances of wear, for speed: the lines in doubt still hold a contingency
    priced = reckon(terms_changed(job, confidence=Decimal(confidence)), replace(cat, wear={}))
    assert priced.finish.days[float(confidence)] >= priced.finish.days[0.5]
    assert priced.contingency.confidence == Decimal(confidence)
    assert priced.price.net == priced.price.base + priced.contingency.amount
