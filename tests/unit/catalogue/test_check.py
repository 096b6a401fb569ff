"""Every fault across the rows of a catalogue: one small change each, its code and its place."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.check import check_catalogue
from estimator.domain.problem import errors_in
from tests.unit.changed import (
    row_added,
    row_changed,
    row_dropped,
    row_of,
    settings_changed,
)


def faults(catalogue) -> list[tuple[str, str, int | None, str]]:
    return [
        (one.code, one.place.file, one.place.row, one.place.column)
        for one in check_catalogue(catalogue)
    ]


def test_the_golden_catalogue_has_no_fault(catalogue):
    assert check_catalogue(catalogue) == []


def number(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)


# (table, code of the row, what is changed, code of the fault, column it is placed at)
WITHIN_A_ROW = [
    ("operations", "O0001", {"id": "=cmd|' /C calc'!A0"}, "bad-code", "id"),
    ("parts", "P-LIN", {"id": "@SUM(A1)"}, "bad-code", "id"),
    ("groups", "G00", {"id": "<b>"}, "bad-code", "id"),
    ("suppliers", "S1", {"id": "a" * 25}, "bad-code", "id"),
    ("loadings", "G01", {"life": Decimal("0.8"), "circuit": Decimal("0.6")},
     "loadings-too-high", "circuit"),
    ("operations", "O1003", {"hours_high": None}, "half-range", "hours_low"),
    ("parts", "P-HOS", {"quantity_low": None}, "half-range", "quantity_low"),
    ("outwork", "W17", {"quantity_high": None}, "half-range", "quantity_low"),
    ("operations", "O1003", {"hours_low": Decimal(27)}, "range-order", "hours_low"),
    ("parts", "P-HOS", {"quantity_high": Decimal(45)}, "range-order", "quantity_low"),
    ("remedies", "P-MPR", {"likely": Decimal(7601)}, "range-order", "low"),
    ("remedies", "P-MPR", {"low": Decimal(6401)}, "range-order", "low"),
    ("classes", "WL28", {"new_price_low": Decimal(465001)}, "range-order", "new_price_low"),
    ("classes", "WL28", {"operating_mass_kg": Decimal(35001)}, "range-order", "mass_from_kg"),
    ("classes", "WL28", {"full_band_low": Decimal("0.71")}, "range-order", "full_band_low"),
    ("classes", "WL28", {"driveline_band_high": Decimal("0.29")},
     "range-order", "driveline_band_low"),
    ("wear", "P-CRK", {"scale_hours": Decimal(40000)}, "wear-basis", "scale_hours"),
    ("wear", "P-CRK", {"starting_chance": None}, "wear-basis", "scale_hours"),
    ("wear", "P-CRK", {"at_hours": None}, "wear-basis", "scale_hours"),
    ("wear", "P-CRK", {"starting_chance": Decimal(1)}, "wear-chance", "starting_chance"),
    ("measures", "M0101", {"service_limit": None}, "limits-incomplete", "new"),
    ("measures", "M0101", {"new": None}, "limits-incomplete", "new"),
    ("measures", "M0101", {"service_limit": Decimal(60)}, "limit-equals-new", "service_limit"),
    ("measures", "M0101", {"rebuild_limit": Decimal(141)}, "limit-wrong-side", "rebuild_limit"),
    ("measures", "M0101", {"rebuild_limit": Decimal(59)}, "limit-wrong-side", "rebuild_limit"),
    ("measures", "M0403", {"rebuild_limit": Decimal("6.1")},
     "limit-wrong-side", "rebuild_limit"),
    ("measures", "M0102", {"unit": "mm"}, "wrong-unit", "unit"),
    ("measures", "M0101", {"unit": "L"}, "wrong-unit", "unit"),
    ("measures", "M0804", {"unit": "bar"}, "wrong-unit", "unit"),
    ("tests", "T-CDM", {"sensitivity": Decimal("0.15")}, "test-says-nothing", "sensitivity"),
    ("tests", "T-TO", {"cleanliness": "18/16"}, "bad-cleanliness", "cleanliness"),
    ("tests", "T-TO", {"metals": ("Fe: 120",)}, "bad-metal", "metals"),
    ("operations", "O0151", {"follows": ()}, "no-call", "follows"),
    ("operations", "O0151", {"called_by": "hand"}, "no-call", "hand_reason"),
    ("parts", "P-LIN", {"levels": ()}, "no-level", "levels"),
]  # fmt: skip


@pytest.mark.parametrize(("table", "code", "changes", "fault", "column"), WITHIN_A_ROW)
def test_a_fault_within_a_row(catalogue, table, code, changes, fault, column):
    row = row_of(catalogue, table, code)
    found = faults(row_changed(catalogue, table, code, **changes))
    assert (fault, f"{table}.csv", row.place.row, column) in found


@pytest.mark.parametrize(("table", "code", "changes", "fault", "column"), WITHIN_A_ROW)
def test_a_fault_within_a_row_shows_in_an_incomplete_catalogue_too(
    catalogue, table, code, changes, fault, column
):
    broken = row_changed(catalogue, table, code, **changes)
    assert fault in {one.code for one in check_catalogue(broken, complete=False)}


ACROSS_ROWS = [
    ("components", "C01A", {"group": "G99"}, "unknown-code", "group"),
    ("components", "C01A", {"circuit": "ZZ"}, "unknown-code", "circuit"),
    ("operations", "O0001", {"component": "C99A"}, "unknown-code", "component"),
    ("operations", "O0001", {"trade": "XX"}, "unknown-code", "trade"),
    ("operations", "O0001", {"scaling": "H99"}, "unknown-code", "scaling"),
    ("operations", "O0001", {"difficulty": "D999"}, "unknown-code", "difficulty"),
    ("operations", "O0001", {"activity": "A99"}, "unknown-code", "activity"),
    ("operations", "O0001", {"cautions": ("K01", "K99")}, "unknown-code", "cautions"),
    ("operations", "O0002", {"after": ("O9999",)}, "unknown-code", "after"),
    ("operations", "O0151", {"follows": ("P-XXX",)}, "unknown-code", "follows"),
    ("operations", "O0807", {"hours_per": "P-XXX"}, "unknown-code", "hours_per"),
    ("operations", "O0001", {"crew": 7}, "unknown-crew", "crew"),
    ("parts", "P-LIN", {"supplier": "S99"}, "unknown-code", "supplier"),
    ("parts", "P-LIN", {"markup": "Z"}, "unknown-code", "markup"),
    ("outwork", "W01", {"vendor": "V99"}, "unknown-code", "vendor"),
    ("outwork", "W01", {"away": "X99"}, "unknown-code", "away"),
    ("remedies", "P-MPR", {"part": "P-XXX"}, "unknown-code", "part"),
    ("remedies", "P-MPR", {"at_class": "WL99"}, "unknown-code", "at_class"),
    ("wear", "P-CRK", {"part": "P-XXX"}, "unknown-code", "part"),
    ("tests", "T-CDM", {"target": ("P-XXX",)}, "unknown-code", "target"),
    ("tests", "T-EO", {"target": ("P-CRK",)}, "unknown-code", "target"),
    ("tests", "T-CDM", {"target": ("EO",)}, "unknown-code", "target"),
    ("measures", "M0101", {"part": "P-XXX"}, "unknown-code", "part"),
    ("measures", "M0101", {"test": "T-XXX"}, "unknown-code", "test"),
    ("measures", "M0501", {"sign_of": ("P-HB1", "P-XXX")}, "unknown-code", "sign_of"),
    ("loadings", "G01", {"group": "G99"}, "unknown-code", "group"),
    ("warranty", "G01", {"group": "G99"}, "unknown-code", "group"),
    ("levies", "L2", {"part": "P-XXX"}, "unknown-code", "part"),
    ("activities", "A02", {"after": ("A99",)}, "unknown-code", "after"),
    ("operations", "O0002", {"after": ("O0003",)}, "cycle", "after"),
    ("activities", "A01", {"after": ("A01",)}, "cycle", "after"),
    ("activities", "A01", {"after": ("A34",)}, "cycle", "after"),
    ("wear", "P-CRK", {"part": "P-CMS"}, "code-twice", "needs"),
    ("loadings", "G01", {"group": "G02"}, "code-twice", "needs"),
    ("groups", "G17", {"needs": ("tracks",)}, "groups", "traits"),
    ("trades", "LH", {"needs": ("tracks",)}, "not-on-class", "trade"),
    ("components", "C01A", {"needs": ("tracks",)}, "not-on-class", "component"),
]


@pytest.mark.parametrize(("table", "code", "changes", "fault", "column"), ACROSS_ROWS)
def test_a_fault_across_rows(catalogue, table, code, changes, fault, column):
    found = faults(row_changed(catalogue, table, code, **changes))
    assert (fault, column) in {(one[0], one[3]) for one in found}
    files = {one[1] for one in found if one[0] == fault}
    assert all(file.endswith(".csv") for file in files)


@pytest.mark.parametrize(("table", "code", "changes", "fault", "column"), ACROSS_ROWS)
def test_faults_across_rows_are_left_out_while_rows_are_missing(
    catalogue, table, code, changes, fault, column
):
    broken = row_changed(catalogue, table, code, **changes)
    assert check_catalogue(broken, complete=False) == []


def test_a_part_that_nothing_can_call_in_is_found(catalogue):
    broken = row_dropped(catalogue, "wear", "P-VBK")
    place = row_of(catalogue, "parts", "P-VBK").place
    assert faults(broken) == [("unreached", "parts.csv", place.row, "called_by")]


def test_a_part_that_may_be_worn_but_has_no_cost_is_found(catalogue):
    broken = row_dropped(catalogue, "remedies", "P-VBK")
    place = row_of(catalogue, "wear", "P-VBK").place
    assert faults(broken) == [("no-remedy", "wear.csv", place.row, "part")]


@pytest.mark.parametrize("table", ["operations", "parts", "outwork", "tests", "trades", "tax"])
def test_a_code_that_stands_twice_is_found_with_both_rows(catalogue, table):
    row = catalogue.tables[table][0]
    again = replace(row, place=replace(row.place, row=999))
    problems = check_catalogue(row_added(catalogue, table, again))
    assert [one.code for one in problems] == ["code-twice"]
    assert problems[0].place.row == 999
    assert f"row {row.place.row}" in problems[0].message


def test_one_code_may_stand_twice_where_no_class_fits_both(catalogue):
    row = row_of(catalogue, "parts", "P-LIN")
    for_tracks = replace(row, needs=("tracks",), unit_cost=Decimal(900))
    assert check_catalogue(row_added(catalogue, "parts", for_tracks)) == []


def test_the_reference_class_must_be_there(catalogue):
    broken = settings_changed(catalogue, reference_class="WL99")
    assert ("unknown-class", "catalogue.toml", None, "[workshop] reference_class") in faults(broken)


def clauses_changed(catalogue, **languages):
    return replace(catalogue, clauses={**catalogue.clauses, **languages})


def test_a_catalogue_without_english_clauses_is_named(catalogue):
    assert ("no-clauses", "clauses/en.csv", None, "") in faults(clauses_changed(catalogue, en=()))


def test_a_clause_that_stands_twice_is_found(catalogue):
    english = catalogue.clauses["en"]
    broken = clauses_changed(catalogue, en=(*english, english[0]))
    assert "code-twice" in {one[0] for one in faults(broken)}


def test_a_translation_of_no_clause_is_found(catalogue):
    lost = replace(catalogue.clauses["en"][0], id="NO-SUCH")
    broken = clauses_changed(catalogue, de=(lost,))
    assert "unknown-clause" in {one[0] for one in faults(broken)}
    assert "unknown-clause" not in {
        one[0] for one in faults(clauses_changed(catalogue, de=catalogue.clauses["en"]))
    }


def test_every_fault_says_what_where_and_is_no_warning(catalogue):
    for table, code, changes, _, _ in (*WITHIN_A_ROW, *ACROSS_ROWS):
        for problem in check_catalogue(row_changed(catalogue, table, code, **changes)):
            assert errors_in([problem]) == [problem]
            assert str(problem).startswith(problem.place.file)
            assert len(problem.message) > 10
            assert len(str(problem)) < 500
