"""The verbs on the worked job: text for people, JSON for scripts, exit codes for both."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

GOLDEN = Path(__file__).parent.parent / "golden"
JOB = str(GOLDEN / "job")
CATALOGUE = ("--catalogue", str(GOLDEN / "catalogue"))


def test_the_catalogue_supplied_is_sound(run: Callable) -> None:
    ran = run("check-catalogue", "--json")
    assert ran.code == 0
    data = json.loads(ran.out)
    assert {"WL28", "CE36", "LC36"} <= set(data["classes"])
    assert data["rows"]["operations"] > 120


def test_price_as_json_adds_up(run: Callable) -> None:
    ran = run("price", JOB, *CATALOGUE, "--json")
    assert ran.code == 0
    data = json.loads(ran.out)
    assert (data["net"], data["gross"]) == ("275946.00", "331135.20")
    cents = {line["id"]: round(float(line["amount"]) * 100) for line in data["lines"]}
    lines = sum(cents.values())
    levies = sum(round(float(one["amount"]) * 100) for one in data["levies"])
    rest = [round(float(data[name]) * 100) for name in ("discount", "freight", "contingency")]
    assert lines - rest[0] + rest[1] + levies + rest[2] == 27594600


def test_price_as_text_leads_with_the_figures(run: Callable) -> None:
    ran = run("price", JOB, *CATALOGUE)
    for piece in ("275,946", "331,135.20", "8 in 10", "2027-03-12", "59.3 %", "Look at:"):
        assert piece in ran.out
    assert ran.err == ""


@pytest.mark.parametrize("verb", ["scope", "exposure", "dates", "teardown", "figures"])
def test_every_verb_answers_in_text_and_in_json(run: Callable, verb: str) -> None:
    text = run(verb, JOB, *CATALOGUE)
    assert text.code == 0
    assert text.out.strip()
    data = run(verb, JOB, *CATALOGUE, "--json")
    assert data.code == 0
    json.loads(data.out)


def test_exposure_as_json_carries_inputs_and_results(run: Callable) -> None:
    data = json.loads(run("exposure", JOB, *CATALOGUE, "--json").out)
    assert data["contingency"] == "31317.00"
    assert data["bound"] == "percentile"
    gears = next(part for part in data["parts"] if part["part"] == "P-TGR")
    assert gears["chance"]["rests_on"] == "starting value"
    assert abs(gears["chance"]["after_everything"] - 0.194494) < 1e-4
    shares = [part["share"] for part in data["parts"] + data["provisional"]]
    assert sum(round(float(share)) for share in shares) == 31317


def test_why_goes_to_any_depth(run: Callable) -> None:
    deep = run("why", JOB, "net", *CATALOGUE, "--depth", "9")
    assert deep.code == 0
    assert "wage: 19.80" in deep.out
    first = run("why", JOB, "net", *CATALOGUE)
    assert len(first.out.splitlines()) < 150
    assert "more figures" in first.out
    shallow = run("why", JOB, "net", *CATALOGUE, "--depth", "1")
    assert "wage" not in shallow.out
    assert "base" in shallow.out


def test_why_answers_for_the_teardown_offer(run: Callable) -> None:
    ran = run("why", JOB, "teardown/net", *CATALOGUE, "--depth", "0")
    assert ran.code == 0
    assert "[teardown/net]" in ran.out


def test_ways_of_a_part_stand_side_by_side(run: Callable) -> None:
    ran = run("options", JOB, "--part", "P-CRK", *CATALOGUE)
    assert ran.code == 0
    assert "recondition *" in ran.out
    assert "replace" in ran.out


def test_an_unknown_figure_ends_with_three(run: Callable) -> None:
    ran = run("why", JOB, "nett", *CATALOGUE)
    assert ran.code == 3
    assert "Did you mean" in ran.err
    assert "Traceback" not in ran.err


def test_a_missing_job_ends_with_one_and_names_the_file(run: Callable, tmp_path: Path) -> None:
    ran = run("price", str(tmp_path), *CATALOGUE)
    assert ran.code == 1
    assert "job.toml" in ran.err
    assert "findings.csv" in ran.err


def test_faults_as_json(run: Callable, tmp_path: Path) -> None:
    ran = run("price", str(tmp_path), *CATALOGUE, "--json")
    assert ran.code == 1
    data = json.loads(ran.out)
    assert {problem["file"] for problem in data["problems"]} == {"job.toml", "findings.csv"}


def test_a_wrong_word_ends_with_two(run: Callable) -> None:
    assert run("prize", JOB).code == 2
    assert run("price").code == 2


def test_help_speaks_of_every_verb(run: Callable) -> None:
    ran = run("--help")
    assert ran.code == 0
    for verb in (
        "check-catalogue",
        "check",
        "price",
        "scope",
        "exposure",
        "dates",
        "options",
        "teardown",
        "why",
        "figures",
        "quote",
        "demo",
    ):
        assert verb in ran.out


def test_quote_writes_and_does_not_overwrite(run: Callable, tmp_path: Path) -> None:
    target = tmp_path / "q.pdf"
    ran = run("quote", JOB, *CATALOGUE, "--to", str(target))
    assert ran.code == 0
    assert target.read_bytes().startswith(b"%PDF-")
    assert "starting values" in ran.err  # what to look at is said where a quote is made
    again = run("quote", JOB, *CATALOGUE, "--to", str(target))
    assert again.code == 4
    assert "--replace" in again.err


def test_a_quote_goes_out_as_the_job_states_it(run: Callable, tmp_path: Path) -> None:
    target = str(tmp_path / "q.pdf")
    assert run("quote", JOB, *CATALOGUE, "--to", target, "--confidence", "0.9").code == 2
    assert run("quote", JOB, *CATALOGUE, "--to", str(tmp_path / "q.docx")).code == 4


def test_a_percentage_for_a_share_is_hinted_at(run: Callable) -> None:
    ran = run("price", JOB, *CATALOGUE, "--confidence", "80")
    assert ran.code == 2
    assert "0.8" in ran.err


def test_a_job_that_is_a_file_is_said_so_once(run: Callable) -> None:
    ran = run("price", str(GOLDEN / "job" / "job.toml"), *CATALOGUE)
    assert ran.code == 1
    assert ran.err.count("is a file") == 1


def test_an_unknown_locale_is_refused_before_the_work(run: Callable, tmp_path: Path) -> None:
    ran = run("quote", JOB, *CATALOGUE, "--to", str(tmp_path / "q.pdf"), "--locale", "xx")
    assert ran.code == 3
    assert "en_GB" in ran.err
    assert not (tmp_path / "q.pdf").exists()


def test_an_unexpected_error_is_logged_and_said_plainly(
    run: Callable, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path))
    monkeypatch.setattr(
        "estimator.command.verbs.open_catalogue", lambda _: 1 / 0
    )  # a defect no one foresaw
    ran = run("check-catalogue")
    assert ran.code == 70
    assert "Traceback" not in ran.err
    log = tmp_path / "shimwright" / "errors.log"
    assert str(log) in ran.err
    assert "ZeroDivisionError" in log.read_text()


def test_demo_runs_anywhere_and_says_where_the_pdf_lies(
    run_process: Callable, tmp_path: Path
) -> None:
    ran = run_process("demo", cwd=tmp_path)
    assert ran.code == 0, ran.err
    pdf = tmp_path / "quotes" / "Q-2041-A.pdf"
    assert str(pdf) in ran.out
    assert pdf.read_bytes().startswith(b"%PDF-")


def test_a_check_loads_no_heavy_library(run_process: Callable, tmp_path: Path) -> None:
    script = tmp_path / "probe.py"
    script.write_text(
        "import sys\nfrom estimator.command.main import main\n"
        f"code = main(['check', {JOB!r}, '--catalogue', {CATALOGUE[1]!r}])\n"
        "print(code, sorted({'numpy', 'scipy', 'reportlab', 'pandas'} & set(sys.modules)))\n"
    )
    import subprocess
    import sys

    root = Path(__file__).parent.parent.parent
    done = subprocess.run(
        [sys.executable, str(script)], capture_output=True, text=True, check=True,
        env={"PYTHONPATH": str(root), "PATH": "/usr/bin:/bin"},
    )  # fmt: skip
    assert done.stdout.strip().endswith("0 []")
