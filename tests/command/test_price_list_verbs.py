"""The verbs of price lists: looked at, taken, listed, searched, linked, undone; faults by code."""

from __future__ import annotations

import json

import pytest

from estimator.command.main import main
from estimator.domain.people import ESTIMATOR, SERVICE_MANAGER
from estimator.services.enrol_person import enrol_person
from estimator.services.open_record import open_record
from tests.acts.workshop import NOW

PASSPHRASE = "a long enough one"
HOLT = ("--as", "P. Holt")
LIST = """Part number;Description;Price;Currency;Unit
001-17;Water pump;415,00;GBP;EA
002-20;Seal ring;12,50;GBP;EA
003-30;Gasket set;on request;GBP;SET
"""
SECOND = LIST.replace("415,00", "1450,00").replace("12,50", "12,90") + "007;Filter;9,00;GBP;EA\n"


@pytest.fixture
def run(tmp_path, monkeypatch, capsys):
    """Runs a verb on a record with two people: (exit code, answer or text of the error)."""
    monkeypatch.setenv("SHIMWRIGHT_PASSPHRASE", PASSPHRASE)
    path = tmp_path / "record.db"
    with open_record(path, NOW) as record:
        manager = enrol_person(record, "J. Tarn", SERVICE_MANAGER, PASSPHRASE, None, NOW)
        enrol_person(record, "P. Holt", ESTIMATOR, PASSPHRASE, manager, NOW)
    (tmp_path / "first.csv").write_text(LIST, encoding="utf-8")
    (tmp_path / "second.csv").write_text(SECOND, encoding="utf-8")
    monkeypatch.chdir(tmp_path)

    def verb(name, *arguments, as_json=True):
        more = ("--json",) if as_json else ()
        code = main([name, "--record", str(path), *arguments, *more])
        told = capsys.readouterr()
        return code, json.loads(told.out) if as_json else told.out + told.err

    return verb


def test_a_list_from_preview_to_undo(run):
    code, found = run("price-list-preview", "S1", "first.csv")
    assert code == 0 and found["counts"]["new"] == 2 and found["left_out"] == 1
    assert found["mapping"]["columns"][0] == {"field": "number", "column": 0, "head": "Part number"}
    assert [one["code"] for one in found["problems"] if not one["warning"]] == ["no-price"]
    assert "row 4, column Price" in found["problems"][0]["said"]
    code, taken = run("take-price-list", "S1", "first.csv", *HOLT)
    assert code == 0 and taken["list"] == 1 and taken["counts"]["new"] == 2
    code, linked = run("link-part", "P-WPM", "S1", "1-17", *HOLT)
    assert code == 3  # there is no such number: noughts count
    code, linked = run("link-part", "P-WPM", "S1", "00117", *HOLT)
    assert code == 0 and linked["cost"]["new"] == "415.00 GBP"
    code, found = run("price-list-preview", "S1", "second.csv")
    assert {one["kind"]: one["percent"] for one in found["changes"]} == {
        "outlier": "+249.4", "changed": "+3.2", "new": None,
    }  # fmt: skip
    code, text = run("price-list-preview", "S1", "second.csv", as_json=False)
    assert "leave  outlier  001-17" in text and "3.49 times" in text
    code, taken = run(
        "take-price-list", "S1", "second.csv", "--also", "00117", "--leave", "new", *HOLT
    )
    assert code == 0 and taken["linked"][0]["new"] == "1,450.00 GBP"
    code, items = run("supplier-items", "seal")
    assert [(one["number"], one["minor"]) for one in items] == [("002-20", 1290)]
    code, _ = run("undo-price-list", "1", *HOLT)
    assert code == 8
    code, undone = run("undo-price-list", "2", *HOLT)
    assert code == 0 and undone["undone_by"] == "P. Holt"
    code, lists = run("price-lists")
    assert [(one["list"], bool(one["undone_by"])) for one in lists] == [(2, True), (1, False)]
    code, _ = run("link-part", "P-WPM", "S1", "00117", "--off", *HOLT)
    assert code == 0
    assert "415.00 GBP" in run("supplier-items", as_json=False)[1]


def test_what_cannot_be_followed_is_told(run, tmp_path):
    (tmp_path / "scan.xlsx").write_bytes(b"%PDF-1.7")
    code, told = run("price-list-preview", "S1", "scan.xlsx")
    assert code == 1 and told["problems"][0]["code"] == "picture"
    assert run("price-list-preview", "S1", "none.csv")[0] == 1
    assert run("price-list-preview", "nobody", "first.csv")[0] == 3
    assert run("price-list-preview", "S1", "first.csv", "--date", "soon")[0] == 1
    assert run("price-list-preview", "S1", "first.csv", "--kind", "odd")[0] == 1
    assert run("take-price-list", "S1", "first.csv", "--leave", "999", *HOLT)[0] == 1
    (tmp_path / "mapping.json").write_text("{}", encoding="utf-8")
    assert run("price-list-preview", "S1", "first.csv", "--mapping", "mapping.json")[0] == 1
    assert run("undo-price-list", "7", *HOLT)[0] == 3
    assert run("price-lists", as_json=False)[1].startswith("No price list")


def test_a_mapping_from_a_file_reads_what_heads_do_not_tell(run, tmp_path):
    (tmp_path / "odd.csv").write_text("A;B\nX1;1.234\nX2;7\n", encoding="utf-8")
    mapping = {
        "columns": [
            {"field": "number", "column": 0, "head": "A"},
            {"field": "price", "column": 1, "head": "B"},
        ],
        "discounts": [],
    }
    (tmp_path / "mapping.json").write_text(json.dumps(mapping), encoding="utf-8")
    wanted = ("S1", "odd.csv", "--mapping", "mapping.json", "--currency", "EUR", "--decimal", ",")
    code, found = run("price-list-preview", *wanted)
    assert code == 0 and [one["new"]["minor"] for one in found["changes"]] == [123400, 700]
