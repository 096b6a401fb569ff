"""Writing files of a quote, sealing and verifying without a screen."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import open_record
from tests.acts.contracts import issue_golden

GOLDEN = Path(__file__).parent.parent / "golden"
STARTS = {
    "export-xlsx": b"PK\x03\x04",
    "export-csv": b"quote,revision",
    "export-ubl": b"<?xml",
    "export-calendar": b"BEGIN:VCALENDAR\r\n",
}


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> str:
    path = tmp_path_factory.mktemp("shop") / "record.db"
    with open_record(path, datetime(2026, 11, 25, tzinfo=UTC)) as record:
        issue_golden(record, open_catalogue(GOLDEN / "catalogue"))
    return str(path)


@pytest.mark.parametrize("verb", list(STARTS))
def test_each_file_is_written(run: Callable, shop: str, tmp_path: Path, verb: str) -> None:
    to = tmp_path / "file"
    words = (verb, "Q-2041", str(to), "--record", shop, "--revision", "A", "--detail", "short")
    done = run(*words)
    assert (done.code, done.out) == (0, f"Written: {to}\n")
    first = to.read_bytes()
    assert first.startswith(STARTS[verb])
    assert run(*words).code == 4
    assert json.loads(run(*words, "--replace", "--json").out) == {"file": str(to)}
    assert to.read_bytes() == first
    assert run(verb, "Q-9", str(tmp_path / "x"), "--record", shop).code == 3
    assert run(verb, "Q-2041", str(to), "--record", shop, "--detail", "long").code == 2


def test_a_byte_order_mark_where_it_is_asked_for(run: Callable, shop: str, tmp_path: Path) -> None:
    to = tmp_path / "q.csv"
    assert run("export-csv", "Q-2041", str(to), "--record", shop, "--bom").code == 0
    assert to.read_bytes().startswith(b"\xef\xbb\xbfquote")


def test_a_draft_is_written_and_nothing_is_sent(run: Callable, shop: str, tmp_path: Path) -> None:
    to = tmp_path / "q.eml"
    done = run("draft-quote-email", "Q-2041", str(to), "--record", shop, "--with", "xml, ics")
    assert done.code == 0
    assert "Nothing was sent." in done.out
    assert b"Quote Q-2041 rev A.xml" in to.read_bytes()
    words = ("draft-quote-email", "Q-2041", str(to), "--record", shop, "--replace")
    told = json.loads(run(*words, "--with", "none", "--json").out)
    assert told["files"] == ["pdf"]
    assert run(*words, "--with", "exe").code == 3


def test_a_package_is_sealed_and_verified(run: Callable, shop: str, tmp_path: Path) -> None:
    to = tmp_path / "q.zip"
    words = ("seal", "Q-2041", str(to), "--record", shop)
    assert run(*words).code == 2  # for whom is asked
    done = run(*words, "--for", "customer")
    assert done.code == 0
    assert "not for the customer" not in done.out
    seal = done.out.split("Seal ")[1].split()[0]
    verdict = run("verify-seal", str(to), "--record", shop)
    assert (verdict.code, seal in verdict.out) == (0, True)
    assert "6 files as they were sealed, and as the record has it." in verdict.out
    alone = run("verify-seal", str(to))
    assert (alone.code, "or against the record" in alone.out) == (0, True)
    data = to.read_bytes()
    to.write_bytes(data.replace(b"BEGIN:VCALENDAR", b"BEGIN:VCALENDAS"))
    broken = run("verify-seal", str(to), "--json")
    assert broken.code == 1
    assert json.loads(broken.out)["changed"] == ["Q-2041-A.ics"]
    to.write_bytes(b"nothing")
    refused = run("verify-seal", str(to))
    assert (refused.code, "no ZIP file" in refused.err) == (1, True)
    assert run("verify-seal", str(tmp_path / "none.zip")).code == 3


def test_the_workshop_is_told_what_its_package_holds(
    run: Callable, shop: str, tmp_path: Path
) -> None:
    done = run("seal", "Q-2041", str(tmp_path / "w.zip"), "--record", shop, "--for", "workshop")
    assert done.code == 0
    assert "It holds cost and margin: not for the customer." in done.out
