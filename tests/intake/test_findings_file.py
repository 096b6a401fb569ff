"""The inspection as an estimator may hand it in: every slip answered at its row and column."""

from __future__ import annotations

import csv
import json
from decimal import Decimal

import pytest

from tests.intake.folders import cell_set, edited, faults_of_job, named, sound_job


def test_the_golden_job_is_read_without_a_fault(job_folder):
    job = sound_job(job_folder)
    assert len(job.findings) == 84
    assert job.findings[0].measured == 104


# (finding, column, what is written there)
SLIPS = [
    ("I23", "measure", "M9999"),
    ("I23", "component", "C99Z"),
    ("I22", "part", "P-TGR;P-XXX"),
    ("I79", "test", "T-XXX"),
    ("I79", "sign_of", "P-XXX"),
    ("I23", "measured", "abc"),
    ("I23", "measured", "0,33"),
    ("I23", "measured", "1,000"),
    ("I23", "measured", "0.33 mm"),
    ("I23", "measured", "NaN"),
    ("I23", "measured", "-Infinity"),
    ("I23", "measured", "1e9999999999999999999"),
    ("I23", "measured", ""),
    ("I03", "measured", "-1.9"),
    ("I23", "unit", ""),
    ("I23", "unit", "inch"),
    ("I23", "unit", "bar"),
    ("I23", "gauge_error", "-0.02"),
    ("I23", "hours_on_part", "-1"),
    ("I51", "quantity", "-46"),
    ("I51", "quantity", ""),
    ("I51", "quantity_high", "12"),
    ("I23", "kind", "guess"),
    ("I23", "result", "OK"),
    ("I23", "override", "scrap"),
    ("I23", "override_reason", ""),
    ("I23", "override", ""),
    ("I10", "metals", "Fe86"),
    ("I21", "cleanliness", "dirty"),
    ("I23", "date", "16/11/2026"),
    ("I23", "date", "31/12/2026"),
    ("I23", "date", "16.11.26"),
    ("I23", "date", ""),
    ("I23", "id", ""),
    ("I23", "id", "I24"),
    ("I23", "id", "=cmd|' /C calc'!A0"),
    ("I23", "id", "I 23"),
    ("I23", "note", "bell \x07 rings"),
    ("I23", "note", "x" * 3000),
]


@pytest.mark.parametrize(("finding", "column", "value"), SLIPS)
def test_a_slip_in_a_cell_is_answered_at_its_place(job_folder, finding, column, value):
    row = cell_set(job_folder / "findings.csv", finding, column, value)
    at = {"quantity_high": "quantity", "override": "override"}.get(column, column)
    problems = faults_of_job(job_folder)
    if (column, value) == ("id", "I24"):
        row += 1  # of two findings of one number the second is at fault
    named(problems, "findings.csv", row, at)
    assert {problem.place.row for problem in problems} == {row}


@pytest.mark.parametrize(
    ("new", "rebuild", "service"),
    [("0.05", "0.45", "0.40"), ("0.05", "0.01", "0.40"), ("0.40", "0.40", "0.40")],
)
def test_a_limit_on_the_wrong_side_is_answered(job_folder, new, rebuild, service):
    path = job_folder / "findings.csv"
    for column, value in (("new", new), ("rebuild_limit", rebuild), ("service_limit", service)):
        row = cell_set(path, "I23", column, value)
    assert "direction" in named(faults_of_job(job_folder), "findings.csv", row,
                                "rebuild_limit").remedy  # fmt: skip


@pytest.mark.parametrize("value", ["1e999999", "1e400", "9" * 30, "-1e30"])
@pytest.mark.parametrize("column", ["measured", "hours_on_part", "gauge_error"])
def test_a_number_beyond_all_measure_is_answered_here_and_not_in_the_sums(
    job_folder, column, value
):
    row = cell_set(job_folder / "findings.csv", "I23", column, value)
    named(faults_of_job(job_folder), "findings.csv", row, column)


TEXTS = [
    "=cmd|' /C calc'!A0", "@SUM(A1:A9)", "+1-1", "-2+3", "<b>loose</b>", "<para>x</para>",
    "a & b < c", "{machine}", "שלום", "日本", "naïve ½ €", "two\nlines", 'a "quoted" word',
    "a, b; c",
]  # fmt: skip


@pytest.mark.parametrize("text", TEXTS)
def test_text_is_data_and_is_kept_as_it_was_written(job_folder, text):
    for column in ("what", "note", "reading", "inspector"):
        cell_set(job_folder / "findings.csv", "I23", column, text)
    finding = next(one for one in sound_job(job_folder).findings if one.id == "I23")
    assert {finding.what, finding.note, finding.reading, finding.inspector} == {text}


def test_lists_with_spaces_and_empty_parts(job_folder):
    cell_set(job_folder / "findings.csv", "I22", "part", " P-TGR ;; P-THS ; ")
    finding = next(one for one in sound_job(job_folder).findings if one.id == "I22")
    assert finding.part == ("P-TGR", "P-THS")


def test_a_missing_file_of_findings_is_named(job_folder):
    (job_folder / "findings.csv").unlink()
    named(faults_of_job(job_folder), "findings.csv", None, "")


def test_a_folder_in_its_place_is_named(job_folder):
    (job_folder / "findings.csv").unlink()
    (job_folder / "findings.csv").mkdir()
    named(faults_of_job(job_folder), "findings.csv", None, "")


def test_a_file_of_no_findings_at_all_is_a_job_nobody_inspected(job_folder):
    header = (job_folder / "findings.csv").read_text().splitlines()[0]
    (job_folder / "findings.csv").write_text(header + "\n")
    assert sound_job(job_folder).findings == ()


# -- the same in JSON ---------------------------------------------------------------------------


def as_json(folder, change=None) -> list[dict[str, object]]:
    """Turn findings.csv into findings.json, lists and numbers as JSON has them."""
    lists = {"part", "metals", "sign_of", "photo"}
    numbers = {"measured", "gauge_error", "hours_on_part", "quantity", "quantity_low",
               "quantity_high"}  # fmt: skip
    with (folder / "findings.csv").open(encoding="utf-8", newline="") as file:
        records: list[dict[str, object]] = []
        for row in csv.DictReader(file):
            record: dict[str, object] = {}
            for name, cell in row.items():
                if name in lists:
                    record[name] = cell.split(";") if cell else []
                elif name in numbers:
                    record[name] = float(cell) if cell else None
                else:
                    record[name] = cell
            records.append(record)
    if change:
        change(records)
    (folder / "findings.csv").unlink()
    (folder / "findings.json").write_text(json.dumps(records), encoding="utf-8")
    return records


def test_findings_in_json_are_the_findings_in_csv(job_folder, tmp_path):
    from dataclasses import replace

    from estimator.domain.problem import Place

    before = sound_job(job_folder)
    as_json(job_folder)
    after = sound_job(job_folder)
    assert [replace(one, place=Place()) for one in after.findings] == [
        replace(one, place=Place()) for one in before.findings
    ]
    assert replace(after, findings=()) == replace(before, findings=())


def test_numbers_in_json_lose_no_digit(job_folder):
    as_json(job_folder, lambda records: None)
    edited(
        job_folder / "findings.json", '"measured": 0.0175', '"measured": 0.017500000000000000001'
    )
    finding = next(one for one in sound_job(job_folder).findings if one.id == "I49")
    assert finding.measured == Decimal("0.017500000000000000001")


@pytest.mark.parametrize(
    "text",
    [
        "", "[", "[{]", "nul", '{"id": "I01"}', '"text"', "5", "[1]", "null", "[null]",
        '[{"id": "I01", "date": "2026-11-16", "measured": NaN}]',
        '[{"id": "I01", "date": "2026-11-16", "measured": -Infinity}]',
        '[{"id": "I01", "date": "2026-11-16", "measured": 1e9999999999999999999}]',
        '[{"id": "I01", "date": "2026-11-16", "measured": ' + "9" * 5000 + "}]",
        '[{"id": "I01", "date": "2026-11-16", "measured": true}]',
        '[{"id": "I01", "date": "2026-11-16", "colour": "red"}]',
        '[{"id": "I01"}]',
        "[" * 100_000,
        '[{"a":' * 5000,
        '[{"id": "I01", "date": "2026-11-16", "part": ' + "[" * 600 + "]" * 600 + "}]",
        '[{"id": "I01", "date": "2026-11-16", "what": "\\ud800"}]',
        '[{"id": "I01", "id": "I02", "date": "2026-11-16", "what": "x", "component": "C01A",'
        ' "kind": "not seen"}]',
    ],
    ids=lambda text: text[:60],
)  # fmt: skip
def test_json_that_will_not_do_is_answered_with_its_file(job_folder, text):
    (job_folder / "findings.csv").unlink()
    (job_folder / "findings.json").write_text(text, encoding="utf-8")
    problems = faults_of_job(job_folder)
    assert problems
    assert {problem.place.file for problem in problems} == {"findings.json"}
    assert all(len(str(problem)) < 1500 for problem in problems)


def test_two_files_of_findings_are_one_too_many(job_folder):
    """Which of the two counts must not be left to the reader's luck."""
    text = (job_folder / "findings.csv").read_text(encoding="utf-8")
    as_json(job_folder)
    (job_folder / "findings.csv").write_text(text, encoding="utf-8")
    assert any("findings" in problem.place.file for problem in faults_of_job(job_folder))
