"""The verbs of the record, one after the other as a workshop without a screen would use them."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PIL import Image

GOLDEN = Path(__file__).parent.parent / "golden"
CATALOGUE = ("--catalogue", str(GOLDEN / "catalogue"))
TARN = ("--as", "J. Tarn")


@pytest.fixture
def shop(run: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable:
    """Runs a verb on a fresh record in which a service manager is enrolled."""
    for name in ("SHIMWRIGHT_PASSPHRASE", "SHIMWRIGHT_RELEASER_PASSPHRASE"):
        monkeypatch.setenv(name, "a long enough phrase")
    where = ("--record", str(tmp_path / "record.db"))

    def call(*words: str) -> object:
        return run(words[0], *where, *words[1:])

    assert call("enrol", "J. Tarn", "service manager").code == 0
    return call


def test_from_enquiry_to_release(shop: Callable, tmp_path: Path) -> None:
    begun = shop("new-job", "--class", "WL28", "--customer", "Oakmere Quarries", "--hours", "11200",
                 "--serial", "WL28-9", *CATALOGUE, *TARN)  # fmt: skip
    assert (begun.code, begun.out) == (0, "Q-0001 is begun.\n")
    Image.new("RGB", (60, 40), "red").save(tmp_path / "seat.jpg")
    refused = shop("add-photograph", "Q-0001", "I01", str(tmp_path / "seat.jpg"), *TARN)
    assert (refused.code, "Write the finding first" in refused.err) == (3, True)
    (tmp_path / "findings.csv").write_text(
        "id,measure,unit,measured,inspector,date\nI01,M0101,L/min,104,A. Rowe,2026-11-16\n"
    )
    assert shop("add-findings", "Q-0001", str(tmp_path), *CATALOGUE, *TARN).code == 0
    assert shop("add-photograph", "Q-0001", "I01", str(tmp_path / "seat.jpg"), *TARN).code == 0
    assert shop("propose", "Q-0001", *TARN).out == "Q-0001 rev A waits for release.\n"
    assert shop("propose", "Q-0001", *TARN).code == 8
    assert shop("withdraw", "Q-0001", *TARN).code == 0
    assert shop("propose", "Q-0001", *TARN).code == 0
    (listed,) = json.loads(shop("list", "oakm", "--state", "proposed", "--json").out)
    assert (listed["number"], listed["waits_for"]) == ("Q-0001", "service manager")
    hits = json.loads(shop("find", "oakmere", "seat", "--json").out)
    assert [(one["kind"], one["place"]) for one in hits] == [("photograph", "I01")]
    assert "Q-0001" in shop("find", "oakmere").out
    assert shop("find", "nothing", "there").out == "Nothing is found.\n"
    history = json.loads(shop("history", "Q-0001", "--json").out)
    assert [one["act"] for one in history] == [
        "begun", "findings added", "photograph of I01", "proposed for release", "withdrawn",
        "proposed for release",
    ]  # fmt: skip
    released = (*CATALOGUE, *TARN, "--released-by", "J. Tarn", "--quiet")
    withheld = shop("issue", "Q-0001", *released)
    assert (withheld.code, "starting values that nobody has adopted" in withheld.err) == (9, True)
    adopted = shop("adopt", "Q-0001", "--why", "they fit what we have seen", *CATALOGUE, *TARN)
    assert (adopted.code, "shape" in adopted.out) == (0, True)
    again = shop("adopt", "Q-0001", "--why", "once more", *CATALOGUE, *TARN)
    assert again.out == "Nothing is left to adopt.\n"
    assert "Q-0001 rev A is issued" in shop("issue", "Q-0001", *released).out
    assert shop("verify").code == 0
    assert shop("examine").out == "The record's file is sound.\n"


def test_past_work_in_and_out(shop: Callable, tmp_path: Path) -> None:
    path = tmp_path / "outcomes.csv"
    path.write_text(
        "pool,machine_class,component,hours,disposition,worn,found_on\n"
        "hub bearing seat,WL28,C09A,9400,replace,yes,2025-03-04\n"
    )
    assert shop("add-outcomes", str(path), *TARN).out == "1 teardown outcomes are added.\n"
    assert shop("add-outcomes", str(path), *TARN).code == 1
    assert "hub bearing seat" in shop("outcomes").out
    assert shop("outcomes", "--to", str(tmp_path / "out.csv")).code == 0
    assert shop("outcomes", "--to", str(tmp_path / "out.csv")).code == 4
    assert shop("outcomes", "--to", str(tmp_path / "out.csv"), "--replace").code == 0
    closed = tmp_path / "closed.csv"
    closed.write_text(
        "number,machine_class,hours,currency,quoted_base,quoted_contingency,final_less_requests,"
        "closed_on\nQ-1,WL28,9400,GBP,200000,30000,225000.50,2025-13-04\n"
    )
    ran = shop("add-closed", str(closed), *TARN)
    assert (ran.code, "closed.csv, row 2, column closed_on" in ran.err) == (1, True)
    closed.write_text(closed.read_text().replace("2025-13-04", "2025-12-04"))
    assert shop("add-closed", str(closed), *TARN).code == 0
    (row,) = json.loads(shop("closed-jobs", "--json").out)
    assert (row["number"], row["final_less_requests"]) == ("Q-1", "225000.50")


def test_how_quotes_held_is_told(shop: Callable, tmp_path: Path) -> None:
    assert shop("calibration").out == "No closed job was quoted with a distribution yet.\n"
    path = tmp_path / "closed.csv"
    head = ("number,machine_class,hours,currency,quoted_base,quoted_contingency,"
            "final_less_requests,closed_on,p10,p50,p80,p90,mean\n")  # fmt: skip
    row = "Q-{},WL28,9400,GBP,200000,{},{},2025-03-04,{}\n"
    stated = "203000,214000,226000,233000,216000"
    path.write_text(
        head + row.format(1, 26000, 221000, stated) + row.format(2, 26000, 229000, stated)
        + row.format(3, 20000, 214000, ",,,,")
    )  # fmt: skip
    assert shop("add-closed", str(path), *TARN).code == 0
    told = json.loads(shop("calibration", "--json").out)
    assert (told["jobs"], told["flat_quotes"], told["verdict"]) == (2, 1, "too few")
    assert [(one["stated"], one["inside"]) for one in told["inside"]] == [
        (0.5, 0), (0.8, 1), (0.9, 2),
    ]  # fmt: skip
    assert told["scores"][1]["quoted"] == pytest.approx((0.2 * 5 + 0.8 * 3) / 200 / 2)
    assert told["inside_base_and_contingency"]["inside"] == 2
    text = shop("calibration").out
    assert "With 2 jobs nothing can be said yet" in text
    assert "8 in 10 1 of 2 50.0 % 9.5 % to 90.5 %" in " ".join(text.split())
    path.write_text(head + row.format(4, 26000, 221000, "203000,,226000,233000,216000"))
    ran = shop("add-closed", str(path), *TARN)
    assert (ran.code, "column p50" in ran.err) == (1, True)


@pytest.mark.parametrize("verb", ["add-outcomes", "add-closed"])
def test_the_help_tells_the_columns(run: Callable, verb: str) -> None:
    ran = run(verb, "--help")
    assert ran.code == 0
    assert "machine_class        class of the machine" in ran.out


def test_a_number_that_is_none_ends_with_two(shop: Callable) -> None:
    ran = shop("new-job", "--class", "WL28", "--customer", "X", "--hours", "many", *TARN)
    assert ran.code == 2
    assert "'many' is not a number" in ran.err


def test_a_damaged_record_is_said_plainly(shop: Callable, run: Callable, tmp_path: Path) -> None:
    path = Path(shutil.copy(tmp_path / "record.db", tmp_path / "bad.db"))
    path.write_bytes(b"\xff" * 4096 + path.read_bytes()[4096:])
    ran = run("list", "--record", str(path))
    assert ran.code == 6
    assert "is no record" in ran.err
