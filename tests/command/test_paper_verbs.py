"""Printing a contract's papers and drafting an e-mail without a screen."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from email import policy
from email.parser import BytesParser
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import open_record
from estimator.services.record_teardown import Found, Opening, open_component
from tests.acts.contracts import accept_golden, arrived
from tests.acts.workshop import INSPECTOR, NOW

GOLDEN = Path(__file__).parent.parent / "golden"
PLAIN = ("print-strip-report", "print-declined", "print-ledger", "print-stop")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, str]]:
    """(record's file, number of an accepted job with one variation)."""
    path = tmp_path_factory.mktemp("shop") / "record.db"
    with open_record(path, datetime(2026, 11, 25, tzinfo=UTC)) as record:
        number = accept_golden(record, open_catalogue(GOLDEN / "catalogue"))
        arrived(record, number)
        opening = Opening("C03A", (Found("P-TGR", "worn", consequence="gear failure"),))
        open_component(record, number, opening, INSPECTOR, NOW)
    yield str(path), number


def first_page(path: Path) -> str:
    return " ".join(PdfReader(BytesIO(path.read_bytes())).pages[0].extract_text().split())


@pytest.mark.parametrize("verb", PLAIN)
def test_each_paper_is_written(
    run: Callable, shop: tuple[str, str], tmp_path: Path, verb: str
) -> None:
    record, number = shop
    to = tmp_path / "paper.pdf"
    words = (verb, number, str(to), "--record", record, "--day", "2026-12-22")
    done = run(*words)
    assert (done.code, done.out) == (0, f"Written: {to}\n")
    assert "22 December 2026" in first_page(to)
    assert run(*words).code == 4
    first = to.read_bytes()
    assert json.loads(run(*words, "--replace", "--json").out) == {"pdf": str(to)}
    assert to.read_bytes() == first


def test_a_variation_is_written_by_its_number(
    run: Callable, shop: tuple[str, str], tmp_path: Path
) -> None:
    record, number = shop
    to = tmp_path / "v01.pdf"
    done = run("print-variation", number, "V01", str(to), "--record", record)
    assert done.code == 0
    assert "Variation V01" in first_page(to)
    missing = run("print-variation", number, "V99", str(tmp_path / "x.pdf"), "--record", record)
    assert (missing.code, "no variation V99" in missing.err) == (3, True)
    assert not (tmp_path / "x.pdf").exists()
    bad = run("print-ledger", number, str(to), "--record", record, "--day", "22.12.2026")
    assert (bad.code, "no date such as" in bad.err) == (2, True)


def test_a_draft_is_written_and_nothing_is_sent(
    run: Callable, shop: tuple[str, str], tmp_path: Path
) -> None:
    record, number = shop
    to = tmp_path / "v01.eml"
    done = run(
        "draft-email", number, "variation", str(to), "--variation", "V01", "--record", record
    )
    assert done.code == 0
    assert "Nothing was sent." in done.out
    message = BytesParser(policy=policy.default).parsebytes(to.read_bytes())
    (attached,) = message.iter_attachments()
    assert attached.get_content().startswith(b"%PDF-")
    told = run(
        "draft-email", number, "quote", str(tmp_path / "q.eml"), "--record", record, "--json"
    )
    assert json.loads(told.out)["to"] == ""
    assert run("draft-email", number, "bill", str(to), "--record", record).code == 2
