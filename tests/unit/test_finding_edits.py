"""What follows when one cell of a finding is typed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.finding_check import finding_faults
from estimator.domain.finding_edits import (
    Reading,
    finding_of_measure,
    known_unit,
    next_finding_id,
    overruled,
    own_finding,
    split_reading,
    with_cell,
    with_cells,
    with_finding,
    without_findings,
)
from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.domain.job_edit import apply_edit, edit_between, inverse
from estimator.domain.problem import errors_in
from estimator.domain.units import UnitError

DAY = date(2026, 11, 25)


def of_measure(job: Job, cat: ClassCatalogue, measure: str) -> Finding:
    return finding_of_measure(job, cat.measures[measure], "A. Rowe", DAY)


def test_a_new_finding_is_not_good_until_it_is_read(job: Job, cat: ClassCatalogue) -> None:
    new = of_measure(job, cat, "M0801")
    assert new.id == next_finding_id(job) and new.id not in {one.id for one in job.findings}
    assert new.kind == "not tested"
    assert errors_in(finding_faults(new, cat)) == []
    read = with_cell(new, "measured", Reading(Decimal("19.5")), cat.measures["M0801"])
    assert (read.kind, read.measured, read.unit) == ("", Decimal("19.5"), "L/min")
    assert errors_in(finding_faults(read, cat)) == []


def test_a_reading_in_another_unit_is_converted_or_refused(job: Job, cat: ClassCatalogue) -> None:
    measure = cat.measures["M0104"]  # mm
    new = of_measure(job, cat, "M0104")
    assert with_cell(new, "measured", Reading(Decimal("4.2"), "in"), measure).measured == Decimal(
        "106.68"
    )
    with pytest.raises(UnitError):
        with_cell(new, "measured", Reading(Decimal(4), "bar"), measure)


def test_a_converted_round_figure_keeps_no_exponent(job: Job, cat: ClassCatalogue) -> None:
    new = of_measure(job, cat, "M0104")
    metre = with_cell(new, "measured", Reading(Decimal("0.1"), "m"), cat.measures["M0104"])
    assert str(metre.measured) == "100"


def test_a_reading_taken_out_leaves_not_tested(job: Job, cat: ClassCatalogue) -> None:
    measure = cat.measures["M0104"]
    read = with_cell(of_measure(job, cat, "M0104"), "measured", Reading(Decimal("0.22")), measure)
    blank = with_cell(read, "measured", Reading(), measure)
    assert (blank.measured, blank.kind) == (None, "not tested")
    assert errors_in(finding_faults(blank, cat)) == []


def test_not_seen_takes_out_what_would_say_otherwise(job: Job, cat: ClassCatalogue) -> None:
    measure = cat.measures["M0104"]
    read = with_cell(of_measure(job, cat, "M0104"), "measured", Reading(Decimal("0.22")), measure)
    for unseen in (
        with_cell(read, "measured", Reading(unseen="not seen"), measure),
        with_cell(replace(read, result="clear"), "kind", "not seen", measure),
    ):
        assert (unseen.kind, unseen.measured, unseen.result) == ("not seen", None, "")


def test_a_result_makes_a_look_of_what_was_not_seen(job: Job, cat: ClassCatalogue) -> None:
    own = own_finding(job, "C01D", "Bracket", "A. Rowe", DAY)
    assert own.kind == "not seen"
    seen = with_cell(own, "result", "worn", None)
    assert (seen.kind, seen.result) == ("visual", "worn")
    assert with_cell(seen, "result", "", None).kind == "not seen"


def test_limits_go_in_threes_and_come_from_the_measure(job: Job, cat: ClassCatalogue) -> None:
    measure = cat.measures["M0104"]
    own = with_cell(of_measure(job, cat, "M0104"), "service_limit", Decimal("0.35"), measure)
    limits = (own.new, own.rebuild_limit, own.service_limit)
    assert limits == (measure.new, measure.rebuild_limit, Decimal("0.35"))
    back = with_cell(own, "rebuild_limit", None, measure)
    assert (back.new, back.rebuild_limit, back.service_limit) == (None, None, None)


def test_amounts_go_in_threes(job: Job) -> None:
    own = own_finding(job, "C01D", "Hoses", "A. Rowe", DAY)
    one = with_cell(own, "quantity", Decimal(3), None)
    assert (one.quantity_low, one.quantity, one.quantity_high) == (3, 3, 3)
    wider = with_cell(one, "quantity_high", Decimal(5), None)
    assert (wider.quantity_low, wider.quantity, wider.quantity_high) == (3, 3, 5)
    assert with_cell(wider, "quantity_low", None, None).quantity is None


def test_the_rules_own_answer_takes_the_word_back(job: Job) -> None:
    finding = job.findings[0]
    said = overruled(finding, "exchange", "recondition", "set is cheaper", "P. Holt")
    assert (said.override, said.override_reason, said.overridden_by) == (
        "exchange", "set is cheaper", "P. Holt",
    )  # fmt: skip
    taken_back = overruled(said, "recondition", "recondition", "", "P. Holt")
    assert (taken_back.override, taken_back.override_reason) == ("", "")


def test_a_finding_taken_out_comes_back_in_its_place(job: Job) -> None:
    third = job.findings[2]
    without = without_findings(job, {third.id})
    assert third not in without.findings
    edit = edit_between(job, without, "finding taken out")
    assert apply_edit(without, inverse(edit)).findings == job.findings


def test_a_block_is_one_act(job: Job, cat: ClassCatalogue) -> None:
    first, second = job.findings[3], job.findings[5]
    cells = [
        (first.id, "measured", Reading(Decimal("0.33"))),
        (first.id, "note", "again"),
        (second.id, "measured", Reading(Decimal("0.5"))),
        ("I999", "note", "nobody"),
    ]
    after = with_cells(job, cells, cat.measures)
    changed = {one.key for one in edit_between(job, after, "paste").changes}
    assert changed == {
        ("finding", first.id, "measured"),
        ("finding", first.id, "note"),
        ("finding", second.id, "measured"),
    }
    added = with_finding(after, of_measure(after, cat, "M0801"))
    assert added.findings[:-1] == after.findings


@pytest.mark.parametrize(
    ("typed", "parts"),
    [
        ("121.06", ("121.06", "")),
        ("4.2 in", ("4.2", "in")),
        ("-3mm", ("-3", "mm")),
        ("1,204.5 US gal/min", ("1,204.5", "US gal/min")),
        ("85 %", ("85", "%")),
        ("about", ("about", "")),
        ("", ("", "")),
    ],
)
def test_a_reading_and_its_unit(typed: str, parts: tuple[str, str]) -> None:
    assert split_reading(typed) == parts


@pytest.mark.parametrize(
    ("typed", "unit"),
    [("mm", "mm"), ("MM", "mm"), ('"', "in"), ("\u00b5m", "um"), ("l/min", "L/min")],
)  # fmt: skip
def test_units_as_people_write_them(typed: str, unit: str) -> None:
    assert known_unit(typed) == unit


def test_an_unknown_unit_is_said() -> None:
    with pytest.raises(UnitError, match="furlong"):
        known_unit("furlong")
