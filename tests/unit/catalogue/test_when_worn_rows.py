"""Chances of ways and work found while working: what the catalogue refuses, and where."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import TABLES, for_class
from estimator.domain.catalogue.check import check_catalogue
from estimator.domain.catalogue.work_rows import FoundWork, Remedy
from estimator.domain.problem import Place
from estimator.intake.catalogue_files import read_catalogue
from estimator.intake.tables import read_table
from tests.unit.changed import row_added, rows_changed
from tests.unit.exposure.test_found_work import row

HEAD = "part,way,usual,share,low,likely,high,currency,added_days,scaling,activity,origin\n"


def shared(catalogue, part: str, **shares: str | None):
    """The catalogue with chances on a part's ways."""
    given = {way: None if one is None else Decimal(one) for way, one in shares.items()}
    rows = tuple(
        replace(one, share=given[one.way]) if one.part == part else one
        for one in catalogue.tables["remedies"]
    )
    return rows_changed(catalogue, "remedies", rows)


def found_in(catalogue, code: str = "FW01", **cells):
    at = cells | {"place": Place("found_work.csv", 7)}
    return row_added(rows_changed(catalogue, "found_work", ()), "found_work", row(code, **at))


def told(catalogue) -> list[tuple[str, str, str]]:
    return [(one.code, one.place.file, one.place.column) for one in check_catalogue(catalogue)]


def test_chances_that_come_to_one_are_sound(catalogue):
    assert check_catalogue(shared(catalogue, "P-CRK", recondition="0.88", replace="0.12")) == []
    whole = shared(catalogue, "P-FIP", recondition="0", exchange="0.7", replace="0.3")
    assert check_catalogue(whole) == []


@pytest.mark.parametrize(
    ("first", "second", "code"),
    [
        ("0.88", "0.11", "shares-no-whole"),
        ("0.88", "0.13", "shares-no-whole"),
        ("0", "0", "shares-no-whole"),
        ("1", None, "share-blank"),
        ("1.2", "-0.2", "bad-share"),
    ],
)
def test_chances_that_are_no_whole_are_named(catalogue, first, second, code):
    broken = shared(catalogue, "P-CRK", recondition=first, replace=second)
    rows = {one.place.row for one in catalogue.tables["remedies"] if one.part == "P-CRK"}
    problems = [one for one in check_catalogue(broken) if one.code == code]
    assert problems
    for one in problems:
        assert (one.place.file, one.place.column) == ("remedies.csv", "share")
        assert one.place.row in rows
        assert "P-CRK" in one.message or code == "bad-share"


@pytest.mark.parametrize("cell", ["-0.1", "1.01", "half", "88 %"])
def test_a_chance_outside_nought_to_one_is_named_when_read(tmp_path, cell):
    path = tmp_path / "remedies.csv"
    path.write_text(
        HEAD + f"P-X,recondition,yes,{cell},1,2,3,GBP,1,C00,A01,own\n", encoding="utf-8"
    )
    rows, problems = read_table(path, Remedy)
    assert rows == []
    assert [(one.place.row, one.place.column) for one in problems] == [(2, "share")]


def test_a_sound_row_of_found_work(catalogue):
    assert check_catalogue(found_in(catalogue)) == []


@pytest.mark.parametrize(
    ("cells", "code", "column"),
    [
        ({"hours_low": Decimal(5)}, "range-order", "hours_low"),
        ({"hours_high": Decimal(3)}, "range-order", "hours_low"),
        ({"count": Decimal(-1)}, "count-below-zero", "count"),
        ({"levels": ()}, "no-level", "levels"),
        ({"parts_cost": Decimal(5)}, "no-markup", "markup"),
        ({"component": "C99A"}, "unknown-code", "component"),
        ({"activity": "A99"}, "unknown-code", "activity"),
        ({"trade": "XX"}, "unknown-code", "trade"),
        ({"difficulty": "D999"}, "unknown-code", "difficulty"),
        ({"cautions": ("K16", "K99")}, "unknown-code", "cautions"),
        ({"scaling": "N99"}, "unknown-code", "scaling"),
        ({"scaling": "H06"}, "coarse-step", "scaling"),
        ({"id": "O0001"}, "code-taken", "id"),
        ({"id": "=1+1"}, "bad-code", "id"),
    ],
)
def test_a_fault_of_found_work_is_named(catalogue, cells, code, column):
    cells = dict(cells)
    code_of_row = cells.pop("id", "FW01")
    assert (code, "found_work.csv", column) in told(found_in(catalogue, code=code_of_row, **cells))


def test_found_work_on_what_the_class_has_not(catalogue):
    elsewhere = found_in(catalogue, component="C11C", needs=("!wheeled",))
    assert check_catalogue(elsewhere) == []


def test_one_code_twice_on_one_class(catalogue):
    twice = row_added(found_in(catalogue), "found_work", row(place=Place("found_work.csv", 8)))
    assert ("code-twice", "found_work.csv", "needs") in told(twice)


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("count", "-1"), ("count", "many"), ("overdispersion", "-0.5"), ("per", "week"),
        ("hours", "0"), ("hours_low", "-1"), ("parts_cost", "-3"), ("levels", "teardown"),
        ("added_days", "21"), ("currency", "PQR"),
    ],
)  # fmt: skip
def test_a_cell_of_found_work_that_cannot_be_is_named_when_read(tmp_path, column, cell):
    cells = {
        "id": "FW01", "component": "C11C", "name": "Pin", "levels": "full", "per": "job",
        "count": "1", "scaling": "C00", "trade": "HF", "hours_low": "2", "hours": "4",
        "hours_high": "8", "difficulty": "D100", "currency": "GBP", "activity": "A02",
        "origin": "own", "overdispersion": "0", "parts_cost": "0", "added_days": "0",
    } | {column: cell}  # fmt: skip
    path = tmp_path / "found_work.csv"
    path.write_text(",".join(cells) + "\n" + ",".join(cells.values()) + "\n", encoding="utf-8")
    _rows, problems = read_table(path, FoundWork)
    assert [(one.place.file, one.place.row, one.place.column) for one in problems] == [
        ("found_work.csv", 2, column)
    ]


def test_the_shipped_catalogue_states_chances_wherever_a_part_has_several_ways():
    catalogue, problems = read_catalogue(Path(__file__).parents[3] / "catalog")
    assert catalogue is not None, problems
    for code in catalogue.classes:
        cat = for_class(catalogue, code)
        for part, ways in cat.remedies.items():
            where = f"{part} on {code}"
            assert all((one.share is None) == (len(ways) == 1) for one in ways), where
            assert all(one.workshop_share is not None for one in ways), where
            # labour at cost 75 in 100 of its rate, outwork 87 in 100: nothing lies outside by much
            assert all(
                Decimal("0.7") <= (one.workshop_share or 0) <= Decimal("0.9") for one in ways
            ), where
        assert 8 <= len(cat.found_work) <= 20, code
    assert "found_work" in TABLES
