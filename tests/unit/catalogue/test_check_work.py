"""Whether the catalogue makes sense as work: the shipped one does, and one small change at a time
that would be silly in a workshop is found, at its row."""

from __future__ import annotations

from dataclasses import replace

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.catalogue.check import check_catalogue
from estimator.domain.catalogue.check_work import work_problems
from estimator.domain.problem import errors_in
from estimator.services.open_catalogue import open_catalogue
from tests.unit.changed import row_added, row_changed, row_dropped, row_of


@pytest.fixture(scope="module")
def shipped() -> Catalogue:
    return open_catalogue()


def found(catalogue: Catalogue) -> set[tuple[str, str, str]]:
    return {(one.code, one.place.file, one.place.column) for one in work_problems(catalogue)}


def test_the_shipped_catalogue_makes_sense_as_work(shipped):
    assert [str(one) for one in work_problems(shipped)] == []


def test_they_are_warnings_so_that_a_catalogue_can_be_used_while_it_is_written(shipped):
    silly = row_changed(shipped, "operations", "O0110", after=())
    problems = work_problems(silly)
    assert problems
    assert errors_in(problems) == []
    assert all(one.remedy and one.place.row for one in problems)


# (table, code of the row, what is changed, code of the fault, column it is placed at)
SILLY = [
    ("operations", "O0102", {"includes": ("O0103",)}, "always-twice", "includes"),
    ("operations", "O0110", {"after": ()}, "refit-without-removal", "after"),
    ("operations", "O0110", {"name": "Connect engine"}, "removal-without-refit", "name"),
    ("operations", "O0110", {"levels": ("driveline",)}, "removal-without-refit", "name"),
    ("operations", "O1751", {"levels": ("teardown",)}, "unreached", "levels"),
    ("cautions", "K98", {}, "named-by-nothing", "id"),
    ("trades", "XX", {}, "named-by-nothing", "id"),
    ("components", "C01Z", {}, "named-by-nothing", "id"),
    ("operations", "O0101", {"needs": ("wings",)}, "fits-no-class", "needs"),
    ("cautions", "K01", {"needs": ("wheeled", "!wheeled")}, "fits-no-class", "needs"),
]
LIKE = {"K98": "K01", "XX": "HF", "C01Z": "C01A", "O1751": "O0151"}


@pytest.mark.parametrize(("table", "code", "change", "fault", "column"), SILLY)
def test_one_silly_change_is_found(shipped, table, code, change, fault, column):
    if code in LIKE:
        like = row_of(shipped, table, LIKE[code])
        silly = row_added(shipped, table, replace(like, id=code, **change))
    else:
        silly = row_changed(shipped, table, code, **change)
    assert (fault, f"{table}.csv", column) in found(silly)


def test_the_same_work_under_another_code(shipped):
    row = replace(row_of(shipped, "operations", "O0103"), id="O0199")
    again = row_added(shipped, "operations", row)
    assert ("work-twice", "operations.csv", "name") in found(again)
    other = replace(row, name="Rebuild the short engine of the power pack")
    elsewhere = row_added(shipped, "operations", other)
    assert ("work-twice", "operations.csv", "name") not in found(elsewhere)


def test_a_part_that_no_operation_fits(shipped):
    row = row_of(shipped, "parts", "P-ACU")
    alone = {one.id for one in shipped.table("operations", type(row_of(shipped, "operations",
             "O0603"))) if one.component == row.component}  # fmt: skip
    silly = shipped
    for code in alone:
        silly = row_changed(silly, "operations", code, component="C08E")
    assert ("part-without-work", "parts.csv", "component") in found(silly)


def test_what_is_taken_off_at_one_level_is_put_back_at_that_level(shipped):
    """The engine leaves the machine in a driveline rebuild, and comes back in it."""
    silly = row_changed(shipped, "operations", "O0110", levels=("full",))
    said = [one.message for one in work_problems(silly) if one.code == "removal-without-refit"]
    assert any("O0101" in text and "(driveline)" in text for text in said)
    assert not any("(full)" in text for text in said)


def test_it_needs_no_fault_of_the_other_kind(shipped):
    """What makes no sense as work may still be a catalogue that can be read."""
    silly = row_dropped(shipped, "operations", "O0110")
    assert "removal-without-refit" in {one.code for one in work_problems(silly)}
    assert check_catalogue(shipped) == []
