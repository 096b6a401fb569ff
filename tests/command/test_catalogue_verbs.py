"""The catalogue without a screen: its editions, files out and in, acts on many rows."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator.services.enrol_person import enrol_person
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import open_record
from tests.acts.workshop import NOW

GOLDEN = Path(__file__).parent.parent / "golden" / "catalogue"
WHO, PASSPHRASE = "J. Tarn", "a long enough one"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """A record whose supplied catalogue is the worked job's."""
    catalogue = open_catalogue(GOLDEN)
    for module in ("keep_catalogue", "catalogue_editions"):
        monkeypatch.setattr(
            f"estimator.services.{module}.open_catalogue", lambda _folder=None: catalogue
        )
    monkeypatch.setenv("SHIMWRIGHT_PASSPHRASE", PASSPHRASE)
    path = tmp_path / "record.db"
    with open_record(path, NOW) as record:
        enrol_person(record, WHO, "service manager", PASSPHRASE, None, NOW)
    return str(path)


def test_hours_are_adjusted_compared_and_taken_back(run: Callable, shop: str) -> None:
    acting = ("--record", shop, "--as", WHO, "--why", "measured")
    assert "no edition was kept yet" in run("catalogue-editions", "--record", shop).out
    done = run("adjust-catalogue", "hours", "1.1", "--table", "operations", "--with", "O0002",
               *acting)  # fmt: skip
    assert (done.code, done.out.split(" (")[0]) == (0, "Edition 2")
    found = json.loads(run("compare-editions", "1", "2", "--record", shop, "--json").out)
    fields = {one["code"]: one["fields"] for one in found["changes"]}
    assert fields["O0002"]["hours"] == ["8", "8.8"]
    assert "8 -> 8.8" in run("compare-editions", "1", "2", "--record", shop).out
    assert run("take-back-edition", "2", *acting).code == 0
    listed = json.loads(run("catalogue-editions", "--record", shop, "--json").out)["editions"]
    assert [(one["number"], one["kind"]) for one in listed] == [
        (3, "taken back"), (2, "adjusted"), (1, "folder"),
    ]  # fmt: skip
    assert run("compare-editions", "1", "3", "--record", shop).out == "Nothing differs.\n"
    assert run("compare-editions", "1", "9", "--record", shop).code == 3


def test_files_go_out_and_come_in(run: Callable, shop: str, tmp_path: Path) -> None:
    folder = tmp_path / "out"
    out = ("export-catalogue", str(folder), "--record", shop, "--catalogue", str(GOLDEN))
    assert run(*out).code == 0
    assert run(*out).code == 4
    assert run(*out, "--replace").code == 0
    taking = ("import-catalogue", str(folder), "--record", shop, "--as", WHO, "--why", "ours")
    assert run(*taking).out == "Nothing differs.\n"
    path = folder / "operations.csv"
    path.write_text(path.read_text(encoding="utf-8").replace(",8,", ",7.5,", 1), encoding="utf-8")
    assert "8 -> 7.5" in run(*taking, "--preview").out
    assert run(*taking).out.startswith("Edition 2")
    path.write_text(path.read_text(encoding="utf-8").replace(",HF,", ",XX,", 1), encoding="utf-8")
    done = run(*taking)
    assert done.code == 1
    assert "operations.csv, row 2, column trade" in done.err


def test_a_class_is_added_and_seen_by_verbs_that_name_no_folder(run: Callable, shop: str) -> None:
    done = run("scale-class", "WL28", "WL40", "wheel loader", "--mass", "39000", "--power", "300",
               "--price-low", "600000", "--price-likely", "650000", "--price-high", "700000",
               "--record", shop, "--as", WHO, "--why", "we rebuild them too")  # fmt: skip
    assert done.code == 0, done.err
    begun = run("new-job", "--class", "WL40", "--customer", "Ostrey", "--hours", "9000",
                "--record", shop, "--as", WHO)  # fmt: skip
    assert begun.code == 0, begun.err
    other = run("new-job", "--class", "WL40", "--customer", "Ostrey", "--hours", "9000",
                "--record", shop, "--as", WHO, "--catalogue", str(GOLDEN))  # fmt: skip
    assert other.code != 0  # a folder that is named goes before the record's edition
