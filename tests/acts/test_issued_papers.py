"""Papers of a contract as they went out: kept with the act that sends them, handed out again byte
for byte, and proved against the log."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from io import BytesIO

import pytest
from pypdf import PdfReader

from estimator.domain.contract.variation import VariationLine
from estimator.domain.people import Person
from estimator.services import issued_papers, print_contract
from estimator.services.errors import Conflict, NotAllowed, NotFound, NotReckoned, NotWritten
from estimator.services.issued_papers import (
    issue_paper,
    order_as_issued,
    papers_issued,
    reissue_paper,
)
from estimator.services.open_record import open_record
from estimator.services.record_teardown import Found, Opening, open_component
from estimator.services.vary_contract import Move, move_variation, revise_variation
from estimator.services.verify_record import verify_record
from estimator.services.work_out_contract import read_contract
from tests.acts.accepted import NUMBER, accepted_at
from tests.acts.contracts import arrived, pounds
from tests.acts.workshop import ESTIMATOR, INSPECTOR, NOW

LATER = NOW + timedelta(days=2)
_PRICED: dict[str, bytes] = {}


@pytest.fixture(autouse=True)
def no_variation_paper():
    """Here they are made."""


@pytest.fixture
def record(tmp_path):
    """The accepted job with gears found worn and priced, not issued yet; made once."""
    path = tmp_path / "record.db"
    if not _PRICED:
        accepted_at(path)
        with open_record(path, NOW) as one:
            arrived(one, NUMBER)
            opening = Opening("C03A", (Found("P-TGR", "worn", consequence="gear failure"),))
            open_component(one, NUMBER, opening, INSPECTOR, NOW)
            _price(one, 4_000)
        _PRICED[""] = path.read_bytes()
    path.write_bytes(_PRICED[""])
    with open_record(path, NOW) as one:
        yield one


def _price(record, amount):
    case = read_contract(record, NUMBER).contract.case("V01")
    one, none = Decimal(1), Decimal(0)
    sum_ = pounds(amount)
    line = VariationLine("P-TGR", "parts", "Gear train", one, "each", "", none, "GBP", "B", sum_)
    revise_variation(
        record, NUMBER, replace(case.variation, lines=(line,), range=None), ESTIMATOR, NOW
    )


def _issue(record, now=NOW, **more):
    return move_variation(
        record, NUMBER, Move(variation="V01", act="issue", **more), ESTIMATOR, now
    )


def text_of(data: bytes) -> str:
    pages = PdfReader(BytesIO(data)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_a_variation_is_issued_with_its_paper(record, tmp_path):
    before = verify_record(record)
    here = _issue(record)
    (paper,) = papers_issued(record, NUMBER)
    assert here.unkept == ""
    assert (paper.variation, paper.revision, paper.day, paper.by, paper.locale) == (
        "V01", 1, NOW.date(), ESTIMATOR.name, "en_GB",
    )  # fmt: skip
    assert (paper.events, paper.chain_head) == (len(here.contract.events), before.head)
    text = text_of(paper.pdf)
    by = here.contract.case("V01").variation.answer_by  # given by the very act
    assert by is not None
    assert f"{by.day} {by:%B %Y}" in text
    assert f"Record chain {before.head[:4]} {before.head[4:8]}" in text
    found = verify_record(record)
    assert (found.faults, found.papers) == ((), 1)
    again = tmp_path / "again.pdf"
    assert reissue_paper(record, NUMBER, "variation", again).pdf_sha256 == paper.pdf_sha256
    assert again.read_bytes() == paper.pdf
    with pytest.raises(NotWritten, match="is there already"):
        reissue_paper(record, NUMBER, "variation", again)


def test_each_revision_has_its_own_and_the_first_stays(record, tmp_path):
    _issue(record)
    first = order_as_issued(record, NUMBER, "V01")
    _price(record, 5_000)
    assert order_as_issued(record, NUMBER, "V01") is None  # written anew, with nobody yet
    _issue(record, LATER)
    second = order_as_issued(record, NUMBER, "V01")
    assert (first.revision, second.revision, second.day) == (1, 2, LATER.date())
    assert "5,000" in text_of(second.pdf)
    reissue_paper(record, NUMBER, "variation", tmp_path / "1.pdf", variation="V01", revision=1)
    assert (tmp_path / "1.pdf").read_bytes() == first.pdf
    with pytest.raises(NotFound) as none:
        reissue_paper(record, NUMBER, "variation", tmp_path / "9.pdf", revision=9)
    assert "V01 rev 2 of 2026-11-27" in none.value.remedy


def test_a_paper_that_cannot_be_made_holds_nothing_up(record, monkeypatch):
    def fails(*_):
        raise NotReckoned("The printer's ink is out.")

    with monkeypatch.context() as patch:
        patch.setattr(issued_papers, "paper_of", fails)
        here = _issue(record)
    assert here.contract.case("V01").state == "issued"
    assert here.unkept == "The printer's ink is out."
    assert papers_issued(record, NUMBER) == []
    kept = issue_paper(record, NUMBER, "variation", ESTIMATOR, LATER, variation="V01")
    assert order_as_issued(record, NUMBER, "V01") == kept
    assert verify_record(record).faults == ()


def test_what_may_not_be_issued_is_refused_and_prints_nothing(record):
    with pytest.raises(Conflict):
        _issue(record, revision=0)
    with pytest.raises(Conflict, match="not issued yet"):
        issue_paper(record, NUMBER, "variation", ESTIMATOR, NOW, variation="V01")
    with pytest.raises(NotAllowed):
        issue_paper(record, NUMBER, "strip", Person("x", "x", "viewer", True), NOW)
    with pytest.raises(NotFound, match="no paper called"):
        issue_paper(record, NUMBER, "invoice", ESTIMATOR, NOW)
    assert papers_issued(record, NUMBER) == []


def test_who_acts_meanwhile_gets_a_paper_of_what_is_there_then(record, monkeypatch):
    """Somebody opens another component while the paper is printed: it is printed again."""
    made = print_contract.paper_of
    calls = []

    def meanwhile(*given):
        calls.append(given)
        if len(calls) == 1:
            opening = Opening("C05C", (Found("P-HB1", "worn"),))
            open_component(record, NUMBER, opening, INSPECTOR, NOW)
        return made(*given)

    monkeypatch.setattr(issued_papers, "paper_of", meanwhile)
    here = _issue(record)
    (paper,) = papers_issued(record, NUMBER)
    assert (len(calls), paper.events) == (2, len(here.contract.events))


@pytest.mark.parametrize("kind", ["strip", "stop"])
def test_other_papers_are_kept_as_sent(record, tmp_path, kind):
    kept = issue_paper(record, NUMBER, kind, ESTIMATOR, NOW)
    _issue(record)  # the contract goes on
    assert reissue_paper(record, NUMBER, kind, tmp_path / "it.pdf") == kept
    assert (tmp_path / "it.pdf").read_bytes() == kept.pdf
    assert issue_paper(record, NUMBER, kind, ESTIMATOR, LATER).place == 3


def test_what_was_tampered_with_is_named(record):
    _issue(record)
    day = NOW.date().isoformat()
    for change, words in (
        ("set day = '2026-11-24'", "not what entry"),
        (f"set day = '{day}', place = 7", "knows of no such paper"),
        ("set place = 1, pdf = cast(pdf || 'x' as blob)", "not the one that went out"),
    ):
        _tamper(record, f"update issued_paper {change}")
        assert any(words in one for one in verify_record(record).faults), change
    _tamper(record, "delete from issued_paper")
    (said,) = verify_record(record).faults
    assert said.startswith("Q-2041: paper 1, which entry ")
    assert said.endswith(" is gone")


def _tamper(record, change):
    with closing(sqlite3.connect(record.database.engine.url.database)) as connection:
        connection.execute(change)
        connection.commit()
