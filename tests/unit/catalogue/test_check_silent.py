"""Slips in a catalogue that no single rule of a row forbids, but that would move a price unseen."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.catalogue.check import check_catalogue
from tests.unit.changed import lines_and_price, row_added, row_changed, row_of, settings_changed


def files_at_fault(catalogue) -> set[str]:
    return {problem.place.file for problem in check_catalogue(catalogue)}


@pytest.mark.parametrize("code", ["13/16/18", "99/98/97", "29/16/13"])
def test_a_target_code_that_cannot_be_compared_is_found(catalogue, code):
    assert files_at_fault(row_changed(catalogue, "tests", "T-TO", cleanliness=code)) == {
        "tests.csv"
    }


@pytest.mark.parametrize(
    "changes", [{"shape": Decimal("3.5")}, {"starting_chance": Decimal("0.5")}]
)
def test_parts_of_a_pool_share_their_wear_out(catalogue, changes):
    """The grid of a pool is taken from its first row: a second shape would be ignored."""
    assert files_at_fault(row_changed(catalogue, "wear", "P-HB2", **changes)) == {"wear.csv"}


def test_own_cases_of_a_pool_that_no_part_belongs_to_are_found(catalogue):
    lost = row_changed(catalogue, "own_cases", "hub bearing seat", pool="hub bearing seats")
    assert files_at_fault(lost) == {"own_cases.csv"}


def test_a_crew_that_stands_twice_is_found(catalogue):
    twice = replace(row_of(catalogue, "crews", "2"), factor=Decimal("0.5"))
    assert files_at_fault(row_added(catalogue, "crews", twice)) == {"crews.csv"}


def test_a_way_that_is_offered_twice_for_a_part_is_found(catalogue):
    twice = replace(row_of(catalogue, "remedies", "P-MPR"), likely=Decimal(7000))
    assert files_at_fault(row_added(catalogue, "remedies", twice)) == {"remedies.csv"}


def test_a_part_with_two_usual_ways_is_found(catalogue):
    both = row_changed(catalogue, "remedies", "P-CRK", usual=True)
    assert files_at_fault(both) == {"remedies.csv"}


@pytest.mark.parametrize("table", ["operations", "outwork"])
def test_a_part_named_twice_to_follow_is_found(catalogue, table):
    """The row is called in once for each part it follows: a part named twice counts twice."""
    code = {"operations": "O0553", "outwork": "W12"}[table]
    row = row_of(catalogue, table, code)
    twice = row_changed(catalogue, table, code, follows=(*row.follows, row.follows[0]))
    assert files_at_fault(twice) == {f"{table}.csv"}


def test_carriage_of_a_vendor_is_charged_or_refused(catalogue, job, cat):
    """Outwork is carried by suppliers of kind carriage; a vendor's own freight must not vanish."""
    charged = row_changed(catalogue, "suppliers", "V1", freight=Decimal(75))
    before = lines_and_price(job, cat)[1].freight
    after = lines_and_price(job, for_class(charged, "WL28"))[1].freight
    assert files_at_fault(charged) == {"suppliers.csv"} or (after - before).amount == 75


def test_reuse_reaching_beyond_recondition_is_found(catalogue):
    crossed = settings_changed(catalogue, reuse_percent=Decimal(70))
    assert files_at_fault(crossed) == {"catalogue.toml"}
