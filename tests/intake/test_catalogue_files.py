"""A catalogue folder: every table's slips by row and column, one fault never told as ten."""

from __future__ import annotations

import shutil

import pytest

from estimator.domain.catalogue.catalogue import TABLES
from estimator.intake.catalogue_files import fingerprint, read_catalogue
from estimator.intake.tables import read_table
from tests.golden.golden_job import golden_inputs
from tests.intake.folders import (
    cell_set,
    edited,
    faults_of_catalogue,
    named,
    sound_catalogue,
)


def test_the_golden_catalogue_is_read_without_a_fault(catalogue_folder):
    got = sound_catalogue(catalogue_folder)
    assert got == golden_inputs()[1]


# (table, row named by its first cell, column, what is written there)
IN_A_CELL = [
    ("operations", "O0001", "hours", "0"),
    ("operations", "O0001", "hours", "1,5"),
    ("operations", "O0001", "hours", ""),
    ("operations", "O0001", "crew", "0"),
    ("operations", "O0001", "crew", "2.5"),
    ("operations", "O0001", "crew", "1e5000"),
    ("operations", "O0001", "called_by", "magic"),
    ("operations", "O0001", "levels", "full;half"),
    ("operations", "O0001", "origin", "mine"),
    ("operations", "O0001", "origin", ""),
    ("parts", "P-LIN", "unit_cost", "-790"),
    ("parts", "P-LIN", "unit_cost", "1e999999"),
    ("parts", "P-LIN", "currency", "gbp"),
    ("parts", "P-LIN", "unit", "pcs"),
    ("parts", "P-LIN", "price_date", "01/10/2026"),
    ("parts", "P-LIN", "lead_weeks", "105"),
    ("parts", "P-LIN", "quantity", "0"),
    ("outwork", "W01", "turn_round_days", "366"),
    ("outwork", "W01", "cost_each", "NaN"),
    ("classes", "WL28", "operating_mass_kg", "0"),
    ("classes", "WL28", "full_band_high", "70"),
    ("markups", "A", "share", "30"),
    ("tax", "T20", "rate_percent", "120"),
    ("tax", "T20", "code", "VAT"),
    ("levies", "L1", "basis", "hours"),
    ("suppliers", "S1", "freight", "-260"),
    ("warranty", "G01", "months", "twelve"),
    ("warranty", "G01", "hours", "1e5000"),
    ("wear", "P-CRK", "shape", "0.1"),
    ("wear", "P-CRK", "rests_on", "a hunch"),
    ("remedies", "P-MPR", "way", "mend"),
    ("remedies", "P-MPR", "usual", "perhaps"),
    ("tests", "T-CDM", "sensitivity", "80"),
    ("tests", "T-TO", "cleanliness_over", "0"),
    ("measures", "M0101", "kind", "guess"),
    ("measures", "M0101", "unit", "furlong"),
    ("measures", "M0101", "gauge_error", "-3"),
    ("loadings", "G01", "life", "1"),
    ("own_cases", "hub bearing seat", "worn", "maybe"),
    ("own_cases", "hub bearing seat", "duty", "0"),
    ("activities", "A01", "teams", "0"),
    ("components", "C01A", "name", "a\x01b"),
    ("cautions", "K01", "caution", "x" * 2001),
]


@pytest.mark.parametrize(("table", "code", "column", "value"), IN_A_CELL)
def test_a_slip_in_a_cell_is_answered_at_its_place(catalogue_folder, table, code, column, value):
    path = catalogue_folder / f"{table}.csv"
    before, _ = read_table(path, TABLES[table])
    row = cell_set(path, code, column, value)
    rows, problems = read_table(path, TABLES[table])
    named(problems, f"{table}.csv", row, column)
    assert len(problems) == 1
    assert rows == [one for one in before if one.place.row != row]


SLIPS = [
    ("operations", "O0001", "hours", "-6"),
    ("operations", "O0001", "id", "=cmd|' /C calc'!A0"),
    ("parts", "P-LIN", "unit_cost", "£790"),
    ("parts", "P-HOS", "quantity_low", "50"),
    ("outwork", "W01", "vendor", "V99"),
    ("wear", "P-CRK", "starting_chance", "1"),
    ("remedies", "P-MPR", "low", "7000"),
    ("measures", "M0101", "rebuild_limit", "150"),
    ("groups", "G01", "id", "<b>G01</b>"),
    ("trades", "HF", "margin", "0.95"),
    ("closures", "2026-12-25", "date", "25/12/2026"),
]


@pytest.mark.parametrize(("table", "code", "column", "value"), SLIPS)
def test_a_catalogue_with_a_slip_is_not_taken(catalogue_folder, table, code, column, value):
    row = cell_set(catalogue_folder / f"{table}.csv", code, column, value)
    catalogue, problems = read_catalogue(catalogue_folder)
    assert catalogue is None
    named(problems, f"{table}.csv", row, column)
    if column != "id":
        # what leans on the row that could not be read is not told as a second fault
        assert {(one.place.file, one.place.row) for one in problems} == {(f"{table}.csv", row)}


@pytest.mark.parametrize(
    ("table", "code", "column", "value"),
    [
        ("operations", "O0001", "name", "=cmd|' /C calc'!A0"),
        ("parts", "P-LIN", "name", "@SUM(A1:A9)"),
        ("parts", "P-LIN", "name", "<b>bold</b> <para> & "),
        ("groups", "G01", "name", "מנוע"),
        ("cautions", "K01", "caution", "two\nlines"),
        ("suppliers", "S1", "supplies", "a, b; c"),
    ],
)
def test_text_of_a_row_is_data(catalogue_folder, table, code, column, value):
    cell_set(catalogue_folder / f"{table}.csv", code, column, value)
    got = sound_catalogue(catalogue_folder).catalogue
    assert any(getattr(row, column) == value.strip() for row in got.tables[table])


@pytest.mark.parametrize("table", sorted(TABLES))
def test_a_missing_table_is_named_unless_it_may_be_missing(catalogue_folder, table):
    may_be_missing = ("own_cases", "class_masses", "found_work")
    (catalogue_folder / f"{table}.csv").unlink(missing_ok=table in may_be_missing)
    problems = faults_of_catalogue(catalogue_folder)
    if table in may_be_missing:
        assert problems == []
    else:
        assert [(one.code, one.place.file) for one in problems] == [
            ("file-missing", f"{table}.csv")
        ]


@pytest.mark.parametrize("table", ["trades", "parts", "own_cases"])
@pytest.mark.parametrize("raw", [b"", b"\x00\x01\x02", b"\xff\xfe", b'"never closed', b"x\ny\n"])
def test_a_table_that_is_none_is_named(catalogue_folder, table, raw):
    (catalogue_folder / f"{table}.csv").write_bytes(raw)
    problems = faults_of_catalogue(catalogue_folder)
    assert problems
    assert {one.place.file for one in problems} == {f"{table}.csv"}


def test_a_folder_in_the_place_of_a_table_is_named(catalogue_folder):
    (catalogue_folder / "trades.csv").unlink()
    (catalogue_folder / "trades.csv").mkdir()
    named(faults_of_catalogue(catalogue_folder), "trades.csv", None, "")


def test_a_missing_catalogue_names_every_file(tmp_path):
    catalogue, problems = read_catalogue(tmp_path / "nowhere")
    assert catalogue is None
    assert {"catalogue.toml", "parts.csv", "operations.csv"} <= {one.place.file for one in problems}
    assert {one.code for one in problems} == {"file-missing"}


def test_a_cycle_among_predecessors_is_answered(catalogue_folder):
    cell_set(catalogue_folder / "operations.csv", "O0001", "after", "O0010")
    problems = faults_of_catalogue(catalogue_folder)
    assert [one.code for one in problems] == ["cycle"]
    assert "O0001" in problems[0].message
    assert "predecessors" in problems[0].remedy


def test_a_cycle_of_one_is_answered(catalogue_folder):
    cell_set(catalogue_folder / "activities.csv", "A05", "after", "A05")
    assert [one.code for one in faults_of_catalogue(catalogue_folder)] == ["cycle"]


def test_lists_with_spaces_and_empty_parts(catalogue_folder):
    cell_set(catalogue_folder / "operations.csv", "O0002", "cautions", " K01 ;; K05 ; ")
    assert sound_catalogue(catalogue_folder).operations["O0002"].cautions == ("K01", "K05")


# -- clauses --------------------------------------------------------------------------------------


def test_a_folder_without_clauses_is_answered(catalogue_folder):
    shutil.rmtree(catalogue_folder / "clauses")
    named(faults_of_catalogue(catalogue_folder), "clauses/en.csv", None, "")


def test_a_slip_in_a_clause_is_placed_in_its_language(catalogue_folder):
    english = catalogue_folder / "clauses" / "en.csv"
    shutil.copy(english, catalogue_folder / "clauses" / "de.csv")
    first = english.read_text(encoding="utf-8").splitlines()[1].split(",")[0]
    row = cell_set(catalogue_folder / "clauses" / "de.csv", first, "order", "first")
    named(faults_of_catalogue(catalogue_folder), "clauses/de.csv", row, "order")


def test_another_language_is_read_beside_english(catalogue_folder):
    shutil.copy(catalogue_folder / "clauses" / "en.csv", catalogue_folder / "clauses" / "de.csv")
    assert set(sound_catalogue(catalogue_folder).catalogue.clauses) == {"de", "en"}


# -- fingerprint ----------------------------------------------------------------------------------


def test_the_fingerprint_tells_editions_apart(catalogue_folder):
    seen = {fingerprint(catalogue_folder)}
    assert fingerprint(catalogue_folder) in seen  # the same again
    edited(catalogue_folder / "parts.csv", "790", "791")
    seen.add(fingerprint(catalogue_folder))
    edited(catalogue_folder / "catalogue.toml", "0.85", "0.86")
    seen.add(fingerprint(catalogue_folder))
    edited(catalogue_folder / "clauses" / "en.csv", "Strip", "strip")
    seen.add(fingerprint(catalogue_folder))
    (catalogue_folder / "own_cases.csv").unlink()
    seen.add(fingerprint(catalogue_folder))
    (catalogue_folder / "levies.csv").rename(catalogue_folder / "levy.csv")
    seen.add(fingerprint(catalogue_folder))
    assert len(seen) == 6


def test_the_fingerprint_knows_no_place(catalogue_folder, tmp_path):
    other = shutil.copytree(catalogue_folder, tmp_path / "elsewhere")
    assert fingerprint(other) == fingerprint(catalogue_folder)


def test_the_fingerprint_ignores_what_is_no_part_of_the_catalogue(catalogue_folder):
    before = fingerprint(catalogue_folder)
    (catalogue_folder / "notes.txt").write_text("to do")
    assert fingerprint(catalogue_folder) == before


def test_a_catalogue_carries_its_fingerprint(catalogue_folder):
    got = sound_catalogue(catalogue_folder).catalogue
    assert got.fingerprint == fingerprint(catalogue_folder)
