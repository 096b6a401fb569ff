"""The exposure told and printed by commands."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

GOLDEN = Path(__file__).parent.parent / "golden"
JOB = str(GOLDEN / "job")
CATALOGUE = ("--catalogue", str(GOLDEN / "catalogue"))


def test_the_text_tells_chances_groups_and_what_is_held(run: Callable) -> None:
    ran = run("exposure", JOB, *CATALOGUE)
    assert ran.code == 0
    for piece in ("Rear crown wheel and pinion", "own cases (14)", "Axles and final drives",
                  "31,317 GBP at 8 in 10: the percentile bound rules.", "267,364",
                  "37 of 45 chances and counts", "P-MPR: chance of wear 0.905"):  # fmt: skip
        assert piece in ran.out


def test_another_confidence_holds_another_sum(run: Callable) -> None:
    ran = run("exposure", JOB, *CATALOGUE, "--confidence", "0.9")
    assert "36,908 GBP at 9 in 10" in ran.out


def test_the_sheet_is_printed_and_does_not_overwrite(run: Callable, tmp_path: Path) -> None:
    target = tmp_path / "sheet.pdf"
    ran = run("print-exposure", JOB, str(target), *CATALOGUE)
    assert ran.code == 0
    assert str(target) in ran.out
    assert target.read_bytes().startswith(b"%PDF-")
    again = run("print-exposure", JOB, str(target), *CATALOGUE)
    assert again.code == 4
    assert "--replace" in again.err


def test_wrong_names_and_locales_are_refused_before_the_work(run: Callable, tmp_path: Path) -> None:
    assert run("print-exposure", JOB, str(tmp_path / "sheet.docx"), *CATALOGUE).code == 4
    target = tmp_path / "sheet.pdf"
    assert run("print-exposure", JOB, str(target), *CATALOGUE, "--locale", "xx").code == 3
    assert not target.exists()
    assert run("print-exposure", JOB).code == 2
