"""Looks told on the command line, and one put on a recorded job's inspection."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator.command.look_verbs import looks_text
from estimator.services.show_open_first import show_open_first
from tests.command.conftest import GOLDEN
from tests.golden.golden_job import golden_priced

JOB, CATALOGUE = str(GOLDEN / "job"), ("--catalogue", str(GOLDEN / "catalogue"))


def test_looks_as_data_and_as_text(run: Callable) -> None:
    told = run("open-first", JOB, *CATALOGUE, "--json", "--quiet")
    assert told.code == 0
    data = json.loads(told.out)
    first = data["looks"][0]
    assert (first["id"], first["expected_fall"]) == ("open/P-CWR", "1313.64")
    assert first["chance_worn"] == pytest.approx(0.3609, abs=1e-4)
    assert (first["cost"], first["on_the_inspection"]) == (None, False)
    look = next(one for one in data["looks"] if one["id"] == "T-NDT")
    assert (look["cost"], look["hours"], look["detects"]) == ("480.00", "22", "0.90")
    assert look["cautions"] == ["K03", "K08"]
    assert data["spread"] == "8582.11"
    assert data["worth_rebuilding_to"]["limit"] == "usual band"


def test_looks_as_text() -> None:
    text = looks_text(show_open_first(golden_priced()))
    assert text.startswith("Percentile less mean at 80 %: 8,582.11 GBP. The price is within")
    assert "A fall is no saving" in text
    assert text.index("open/P-CWR") < text.index("T-ESC") < text.index("open/P-CFL")
    (row,) = [line for line in text.splitlines() if line.startswith("T-NDT")]
    assert row.split()[-5:] == ["480", "22", "0", "K03", "K08"]


def test_a_look_is_put_on_the_inspection(
    run: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHIMWRIGHT_PASSPHRASE", "a long enough phrase")
    where = ("--record", str(tmp_path / "record.db"))
    tarn = ("--as", "J. Tarn")
    assert run("enrol", *where, "J. Tarn", "service manager").code == 0
    assert run("take-in", *where, JOB, *CATALOGUE, *tarn).code == 0
    added = run("add-look", *where, "Q-2041", "open/P-TGR", *CATALOGUE, *tarn)
    assert (added.code, added.out) == (0, "I85 of Q-2041 waits to be done.\n")
    unknown = run("add-look", *where, "Q-2041", "open/P-XXX", *CATALOGUE, *tarn)
    assert (unknown.code, "is no look" in unknown.err) == (3, True)
