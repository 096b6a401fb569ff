"""The verbs of a contract, one after the other as a workshop without a screen would use them. The
files are those that the sample workshop's second loader lives by."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from estimator.services.enrol_person import enrol_person
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import open_record
from tests.acts.contracts import issue_golden
from tests.acts.workshop import NOW
from tests.command.conftest import GOLDEN, ROOT

LOADER = ROOT / "sample_db" / "workshop" / "loader"
TARN, HOLT, BRAND = ("--as", "J. Tarn"), ("--as", "P. Holt"), ("--as", "K. Brand")
PHRASE = "a long enough phrase"
JOB = "Q-2041"


@pytest.fixture(scope="module")
def issued(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record with its people and the worked job, issued."""
    path = tmp_path_factory.mktemp("issued") / "record.db"
    with open_record(path, NOW) as record:
        manager = enrol_person(record, "J. Tarn", "service manager", PHRASE, None, NOW)
        for name, role in (("P. Holt", "estimator"), ("K. Brand", "foreman")):
            enrol_person(record, name, role, PHRASE, manager, NOW)
        issue_golden(record, open_catalogue(GOLDEN / "catalogue"))
    return path


@pytest.fixture
def shop(run: Callable, issued: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable:
    """Runs a verb on a copy of that record."""
    monkeypatch.setenv("SHIMWRIGHT_PASSPHRASE", PHRASE)
    path = Path(shutil.copy(issued, tmp_path / "record.db"))
    return lambda *words: run(words[0], "--record", str(path), *words[1:])


@pytest.fixture
def accepted(shop: Callable, tmp_path: Path) -> Callable:
    """As `shop`, the job accepted."""
    text = (LOADER / "acceptance.toml").read_text(encoding="utf-8")
    path = tmp_path / "acceptance.toml"
    path.write_text(text.replace("2026-10-12T15:20:00Z", "2026-11-30"), encoding="utf-8")
    ran = shop("accept", JOB, "--file", str(path), "--held", *TARN)
    assert (ran.code, "Q-2041 rev A is accepted, whole." in ran.out) == (0, True)
    assert "Current sum 275,946 GBP, contingency left 31,317." in ran.out
    return shop


def test_from_receipt_to_work_done(accepted: Callable) -> None:
    assert accepted("receive", JOB, "--condition", "two keys", *BRAND).code == 0
    opened = accepted("open", JOB, "--file", str(LOADER / "engine.csv"), "--json", *BRAND)
    data = json.loads(opened.out)
    assert (data["state"], data["events"], data["variations"]) == (
        "accepted", 5, {"V01": {"state": "found", "revision": 0}},
    )  # fmt: skip
    price = ("price-variation", JOB, "V01", "--file", str(LOADER / "cams_price.csv"))
    assert accepted(*price, *HOLT).out.startswith("V01 rev 1 is priced at 1,802.00 GBP.")
    early = accepted("answer", JOB, "approve", "V01", "--revision", "0", *TARN)
    assert (early.code, "superseded by rev 1" in early.err) == (8, True)
    refused = accepted("answer", JOB, "approve", "V01", *HOLT)
    assert (refused.code, "P. Holt was given no authority" in refused.err) == (7, True)
    done = accepted("answer", JOB, "approve", "V01", "--words", "Draw 1,802.", *TARN)
    assert "V01 is approved. Current sum 275,946 GBP, contingency left 29,515." in done.out
    assert accepted("release", JOB, "V01", *HOLT).code == 7
    assert accepted("release", JOB, "V01", *BRAND).code == 0
    assert accepted("finish", JOB, "V01", *BRAND).code == 0
    (row,) = json.loads(accepted("variations", JOB, "--json").out)["variations"]
    assert (row["state"], row["amount"], row["from_contingency"]) == ("done", "1802.00", "1802.00")
    assert [step["state"] for step in row["steps"]] == [
        "found", "draft", "approved", "released", "done",
    ]  # fmt: skip
    history = json.loads(accepted("history", JOB, "--of", "V01", "--json").out)
    assert [one["event"] for one in history] == ["Raised", "Revised", "Decided", "Moved", "Moved"]
    changed = {one["what"]: (one["before"], one["after"]) for one in history[2]["changes"]}
    assert changed["V01 state"] == ("draft", "approved")
    assert changed["contingency left"] == ("31,317.00 GBP", "29,515.00 GBP")
    assert accepted("history", JOB, "--of", "V09").code == 3
    assert "events of contracts" in accepted("verify").out


def test_the_customer_answers(accepted: Callable, tmp_path: Path) -> None:
    assert accepted("raise", JOB, "--file", str(LOADER / "tank.csv"), *HOLT).code == 0
    assert accepted("issue-variation", JOB, "V01", *HOLT).code == 0
    _papers_as_they_went_out(accepted, tmp_path)
    waiting = json.loads(accepted("waiting", "--on", "customer", "--json").out)["waiting"]
    assert [(one["number"], one["ask"], one["amount"]) for one in waiting] == [
        ("V01", "D. Ottery, fleet manager", "1943.00"),
    ]  # fmt: skip
    assert "V01" in accepted("waiting").out
    assert accepted("waiting", "--on", "nobody").code == 3
    by = ("--by", "D. Ottery", "--channel", "e-mail")
    silent = accepted("answer", JOB, "approve", "V01", *by, *HOLT)
    assert (silent.code, "its channel and its words" in silent.err) == (8, True)
    stranger = accepted(
        "answer", JOB, "approve", "V01", "--by", "X", "--channel", "e-mail", "--words", "Yes.",
        *HOLT,
    )  # fmt: skip
    assert (stranger.code, "does not answer for the customer" in stranger.err) == (7, True)
    answers = tmp_path / "answers.csv"
    answers.write_text("variation,act,by,channel,words\nV01,approve,D. Ottery,e-mail,Go on.\n")
    done = accepted("answer", JOB, "--file", str(answers), *HOLT)
    assert "V01 is approved. Current sum 277,889 GBP" in done.out
    assert accepted("answer", JOB, *HOLT).code == 2
    lines = json.loads(accepted("account", JOB, "--json").out)["lines"]
    assert [(one["id"], one["amount"]) for one in lines if one["kind"] == "authorised"] == [
        ("V01", "1943.00"),
    ]  # fmt: skip


def _papers_as_they_went_out(accepted: Callable, tmp_path: Path) -> None:
    to, kept, again = tmp_path / "v01.pdf", tmp_path / "kept.pdf", tmp_path / "again.pdf"
    ran = accepted("reissue-paper", JOB, "variation", str(to), "--variation", "V01")
    assert (ran.code, ran.out.startswith("As issued, variation V01 rev 0 of 2")) == (0, True)
    assert to.read_bytes().startswith(b"%PDF-")
    ran = accepted("issue-paper", JOB, "declined", "--to", str(kept), "--json", *HOLT)
    told = json.loads(ran.out)
    assert told["pdf_sha256"] == hashlib.sha256(kept.read_bytes()).hexdigest()
    assert (told["paper"], told["by"], told["locale"]) == ("declined", "P. Holt", "en_GB")
    assert accepted("reissue-paper", JOB, "declined", str(again)).code == 0
    assert again.read_bytes() == kept.read_bytes()
    assert accepted("reissue-paper", JOB, "declined", str(again)).code == 4
    assert accepted("reissue-paper", JOB, "stop", str(again), "--replace").code == 3
    assert "variation V01 rev 0 of " in accepted("issued-papers", JOB).out
    assert json.loads(accepted("verify", "--json").out)["papers"] == 2


def test_the_ledger_ties(accepted: Callable) -> None:
    assert accepted("open", JOB, "--file", str(LOADER / "frame.csv"), *BRAND).code == 8
    accepted("receive", JOB, "--condition", "two keys", *BRAND)
    accepted("open", JOB, "--file", str(LOADER / "frame.csv"), *BRAND)
    accepted("price-variation", JOB, "V01", "--file", str(LOADER / "frame_price.csv"), *HOLT)
    accepted("issue-variation", JOB, "V01", *HOLT)
    assert accepted("make-safe", JOB, "V01", "--cost", "120", *BRAND).code == 0
    told = json.loads(accepted("ledger", JOB, "--json", "--quiet").out)
    assert [row["event"] for row in told["rows"]] == [
        "Accepted", "Received", "Opened", "Raised", "Revised", "Moved", "MadeSafe",
    ]  # fmt: skip
    newest = told["rows"][-1]
    assert (newest["pending_contingency"], newest["left"]) == ("3479.00", "31317.00")
    assert newest["forecast_likely"] == told["forecast"]["likely"]
    for name in ("held", "drawn"):
        total = sum(float(one[name]) for one in told["groups"])
        assert total == pytest.approx(float(newest[name]))
    listed = json.loads(accepted("list", "--state", "accepted", "--json").out)
    assert listed[0]["contract"]["forecast_behind"] is False
    assert (listed[0]["waits_for"], listed[0]["contract"]["awaited_for"]) == ("customer", "V01")
    assert "No answer is never approval." in accepted("ledger", JOB, "--newest").out


def test_a_file_with_faults_is_refused_whole(accepted: Callable, tmp_path: Path) -> None:
    path = tmp_path / "openings.csv"
    text = (LOADER / "engine.csv").read_text(encoding="utf-8")
    path.write_text(text.replace("C01B,P-HED,sound", "C01B,P-NIL,sound"), encoding="utf-8")
    ran = accepted("open", JOB, "--file", str(path), *BRAND)
    assert (ran.code, "openings.csv, row 5, column P-NIL" in ran.err) == (1, True)
    path.write_text(text.replace("C01A,P-BLK,sound", "C01A,P-BLK,fine"), encoding="utf-8")
    told = json.loads(accepted("open", JOB, "--file", str(path), "--json", *BRAND).out)
    (fault,) = told["problems"]
    assert (fault["file"], fault["row"], fault["column"]) == ("openings.csv", 3, "state")
    assert json.loads(accepted("variations", JOB, "--json").out)["variations"] == []
    gone = accepted("open", JOB, "--file", str(tmp_path / "none.csv"), *BRAND)
    assert (gone.code, "is not there" in gone.err) == (1, True)


def test_to_the_closed_account(accepted: Callable) -> None:
    assert accepted("stage", JOB, "S1", "25%", *TARN).code == 0
    assert accepted("stage", JOB, "S2", "250%", *TARN).code == 2
    settled = accepted("exchange", JOB, "P-INJ", "--sent", "6", "--accepted", "5", "--charge", "95",
                       *TARN)  # fmt: skip
    assert (settled.code, "5 of 6 accepted" in settled.out) == (0, True)
    fine = accepted("return-contingency", JOB, "2000.005", *TARN)
    assert (fine.code, "finer than its smallest coin" in fine.err) == (1, True)
    assert accepted("return-contingency", JOB, "2000", *TARN).code == 0
    assert accepted("tests", JOB, "--result", "all within limits", *BRAND).code == 0
    assert accepted("close-account", JOB, *TARN).code == 8
    assert accepted("hand-over", JOB, "--by", "D. Ottery", "--words", "Received.", *TARN).code == 0
    closed = accepted("close-account", JOB, *TARN)
    assert (closed.code, "244,724" in closed.out) == (0, True)  # base 244,629 and 95
    (row,) = json.loads(accepted("closed-jobs", "--json").out)
    assert (row["number"], row["final_less_requests"]) == (JOB, "244724.00")
    again = accepted("stage", JOB, "S2", "0.25", *TARN)
    assert (again.code, "the account is closed" in again.err) == (8, True)


def test_a_strip_then_the_revision_after_it(shop: Callable, tmp_path: Path) -> None:
    """The teardown alone is accepted; what it shows is taken into the next revision."""
    text = (LOADER / "acceptance.toml").read_text(encoding="utf-8")
    text = text.replace("2026-10-12T15:20:00Z", "2026-11-30")
    path = tmp_path / "acceptance.toml"
    path.write_text(text.replace('"whole"', '"teardown only"'), encoding="utf-8")
    ran = shop("accept", JOB, "--file", str(path), "--held", *TARN)
    assert (ran.code, "is accepted, teardown only" in ran.out) == (0, True)
    assert shop("receive", JOB, "--condition", "two keys", *BRAND).code == 0
    revised = shop("revise", JOB, *HOLT)
    assert (revised.code, revised.out) == (0, "Q-2041 rev B is begun.\n")
    assert shop("open", JOB, "--file", str(LOADER / "engine.csv"), *BRAND).code == 0
    taken = json.loads(shop("take-in-strip", JOB, "--json", *HOLT).out)
    assert taken["revision"] == "B"
    again = json.loads(shop("take-in-strip", JOB, "--json", *HOLT).out)
    assert again["findings"] == taken["findings"]


def test_a_stop_says_what_it_costs(accepted: Callable) -> None:
    words = ("--by", "D. Ottery", "--words", "Box it.")
    ran = accepted("stop", JOB, "boxed-return", *words, *TARN)
    assert (ran.code, "is stopped: boxed return" in ran.out) == (0, True)


@pytest.mark.parametrize(
    "verb", ["ledger", "variations", "account", "history", "waiting", "answer", "price-variation"]
)
def test_every_verb_tells_its_help(run: Callable, verb: str) -> None:
    ran = run(verb, "--help")
    assert (ran.code, "--json" in ran.out) == (0, True)


def test_a_job_without_an_acceptance_says_so(shop: Callable) -> None:
    ran = shop("ledger", JOB)
    assert (ran.code, "was accepted yet" in ran.err) == (3, True)


def test_an_order_raised_and_work_called_off(accepted: Callable) -> None:
    given = ("--by", "N. Sands", "--capacity", "buyer", "--channel", "e-mail", "--words", "Yes.")
    raised = accepted("order", JOB, "OA-2", "--limit", "280000", *given, *HOLT)
    assert raised.code == 0
    assert "Q-2041 is under order OA-2, to 280,000 GBP." in raised.out
    low = accepted("order", JOB, "OA-3", "--limit", "1000", *given, *HOLT)
    assert (low.code, "agreed to by now" in low.err) == (8, True)
    assert accepted("order", JOB, "OA-3", *given, *HOLT).code == 2  # a limit, or none
    assert "without limit" in accepted("order", JOB, "OA-3", "--no-limit", *given, *HOLT).out
    accepted("raise", JOB, "--file", str(LOADER / "tank.csv"), *HOLT)
    accepted("issue-variation", JOB, "V01", *HOLT)
    by = ("--by", "D. Ottery", "--channel", "e-mail", "--words", "So be it.")
    assert accepted("answer", JOB, "approve", "V01", *by, *HOLT).code == 0
    off = accepted("answer", JOB, "call-off", "V01", *by, "--reason", "sold", *HOLT)
    assert "V01 is declined. Current sum 275,946 GBP" in off.out


def test_a_hand_over_names_what_is_done(accepted: Callable) -> None:
    accepted("raise", JOB, "--file", str(LOADER / "tank.csv"), *HOLT)
    accepted("issue-variation", JOB, "V01", *HOLT)
    by = ("--by", "D. Ottery", "--channel", "e-mail", "--words", "So be it.")
    accepted("answer", JOB, "approve", "V01", *by, *HOLT)
    over = ("hand-over", JOB, "--by", "D. Ottery", "--words", "Received.")
    refused = accepted(*over, *TARN)
    assert (refused.code, "not recorded as done: V01 (approved)" in refused.err) == (8, True)
    assert accepted(*over, "--done", "V09", *TARN).code == 8
    assert accepted(*over, "--all-done", *TARN).code == 0
    (row,) = json.loads(accepted("variations", JOB, "--json").out)["variations"]
    assert row["state"] == "done"


def test_a_safety_matter_is_taken_back_by_the_manager(accepted: Callable) -> None:
    accepted("receive", JOB, "--condition", "two keys", *BRAND)
    accepted("open", JOB, "--file", str(LOADER / "frame.csv"), *BRAND)
    back = ("withdraw-variation", JOB, "V01", "--reason", "a shadow on the film")
    assert accepted(*back, *HOLT).code == 7
    assert "V01 is withdrawn." in accepted(*back, *TARN).out
