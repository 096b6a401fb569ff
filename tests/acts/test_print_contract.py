"""Papers of a contract in the record: photographs of the teardown, the same bytes twice, kept
unless told, and the e-mail draft."""

from __future__ import annotations

import io
from dataclasses import replace
from datetime import date
from decimal import Decimal
from email import policy
from email.parser import BytesParser
from io import BytesIO

import pytest
from PIL import Image
from pypdf import PdfReader

from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.domain.contract.variation import WayOffered
from estimator.domain.findings import Finding
from estimator.domain.job import Party
from estimator.services.draft_email import QUOTE, draft_email
from estimator.services.errors import NotFound, NotWritten
from estimator.services.issue_quote import issue_quote
from estimator.services.paper_parts import read_sources
from estimator.services.print_contract import (
    DECLINED,
    KINDS,
    LEDGER,
    STOP,
    STRIP,
    VARIATION,
    Print,
    paper_bytes,
    print_paper,
)
from estimator.services.record_teardown import Found, Opening, open_component
from estimator.services.settle_contract import stop_job
from estimator.services.teardown_photographs import add_teardown_photograph
from estimator.services.variation_paper import variation_order
from estimator.services.vary_contract import Move, move_variation, revise_variation
from estimator.services.work_out_contract import work_out_contract
from estimator.services.write_contract import contract_here
from estimator.storage.change_log import head
from tests.acts.contracts import FLEET, accept_golden, arrived
from tests.acts.workshop import ESTIMATOR, INSPECTOR, MANAGER, NOW, keep_golden

DAY = date(2026, 12, 22)


def jpeg(shade: int) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (640, 480), (shade, 90, 110)).save(out, "JPEG")
    return out.getvalue()


def here(record, number):
    with record.reading() as session:
        return contract_here(session, number)[1]


@pytest.fixture
def number(record, catalogue):
    """The transmission opened: gears worn, photographed five times, priced in two ways, sent."""
    number = arrived(record, accept_golden(record, catalogue))
    names = []
    for at in range(5):
        picture = (f"gear {at}.jpg", jpeg(at * 40))
        taken = add_teardown_photograph(record, number, "C03A", picture, INSPECTOR, NOW)
        names.append(taken.name)
    found = Found(
        "P-TGR", "worn", location="second gear", measured="11 of 34 teeth spalled",
        photographs=tuple(names), consequence="gear failure under load",
    )  # fmt: skip
    reading = Finding(
        id="S01", component="C03A", what="Backlash", unit="mm", measured=Decimal("0.42"),
        new=Decimal("0.15"), rebuild_limit=Decimal("0.30"), service_limit=Decimal("0.40"),
        inspector=INSPECTOR.name, date=DAY,
    )  # fmt: skip
    opening = Opening("C03A", (found,), readings=(reading,), cautions_ticked=("K03",))
    open_component(record, number, opening, INSPECTOR, NOW)
    work, case = here(record, number).work, here(record, number).contract.case("V01")
    gears = Wanted(kind="parts", what="Gear train", quantity=Decimal(1), unit_cost=Decimal(4100),
                   currency="EUR", markup="B", part="P-TGR")  # fmt: skip
    line = priced_line(work, gears)
    ways = (
        WayOffered("replace", "new gears", line.amount, Decimal(2), "12 months or 2,000 h"),
        WayOffered("defer", "as it is", line.amount - line.amount, Decimal(0), "none"),
    )
    priced = replace(case.variation, lines=(line,), range=None, ways=ways, chosen="replace")
    revise_variation(record, number, priced, ESTIMATOR, NOW)
    move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, NOW)
    return number


def text_of(data: bytes) -> str:
    return " ".join(
        " ".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages).split()
    )


def what(kind: str, **more: str) -> Print:
    return Print(kind=kind, day=DAY, **{"variation": "V01" if kind == VARIATION else "", **more})


def test_a_variation_with_its_photographs_and_the_logs_head(record, number):
    data = paper_bytes(record, number, what(VARIATION))
    paper, text = PdfReader(BytesIO(data)), text_of(data)
    assert len(paper.pages) == 1
    assert len(paper.pages[0].images) == 4
    with record.reading() as session:
        chain = head(session)
    assert f"Record chain {chain[:4]} {chain[4:8]}" in text
    for words in ("C03A-1: gear 0", "1 more photograph is in the record.", "Replaces V01",
                  "Gear train 1 off 4,302", "New part: new gears (priced above) 4,302 5,162.40",
                  "11 of 34 teeth spalled", "Gear failure under load."):  # fmt: skip
        assert words in text


@pytest.mark.parametrize("kind", KINDS)
def test_the_same_record_and_day_give_the_same_bytes(record, number, kind):
    first = paper_bytes(record, number, what(kind))
    assert first.startswith(b"%PDF-")
    assert paper_bytes(record, number, what(kind)) == first
    now = work_out_contract(here(record, number))
    assert paper_bytes(record, number, what(kind), now) == first
    assert paper_bytes(record, number, replace(what(kind), day=date(2026, 12, 23))) != first


def test_a_forecast_of_yesterday_is_worked_out_again(record, number):
    before = work_out_contract(here(record, number))
    open_component(record, number, Opening("C05C", (Found("P-HB1", "worn"),)), INSPECTOR, NOW)
    for kind in (LEDGER, VARIATION):
        known = paper_bytes(record, number, what(kind), before)
        assert known == paper_bytes(record, number, what(kind))


def test_the_strip_report_holds_readings_photographs_and_ticks(record, number):
    text = text_of(paper_bytes(record, number, what(STRIP)))
    for words in ("Backlash 0.42 mm new 0.15, rebuild 0.3, service 0.4", "C03A-5: gear 4",
                  "Cautions ticked before opening: Raised and heavy parts.",
                  "worn V01 rev 1"):  # fmt: skip
        assert words in text


def test_a_stop_is_printed_as_it_was_decided(record, number):
    stop_job(record, number, "reassembly", "Put it back.", FLEET, MANAGER, NOW)
    text = text_of(paper_bytes(record, number, what(STOP)))
    assert "Answer on record: stopped by R. Ostrey on 25 November 2026: £17,935" in text
    assert "\u201cPut it back.\u201d" in text
    assert "No answer is not approval." not in text  # it was answered


def test_nothing_is_printed_of_what_is_not_there(record, catalogue):
    number = keep_golden(record)
    with pytest.raises(NotFound, match="accepted yet"):
        paper_bytes(record, number, what(LEDGER))


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        (what("invoice"), "no paper called 'invoice'"),
        (what(VARIATION, variation="V99"), "no variation V99"),
        (what(LEDGER, locale="xx"), "no number and date formats"),
    ],
)
def test_what_is_refused(record, number, wanted, words):
    with pytest.raises(NotFound, match=words):
        paper_bytes(record, number, wanted)


def test_a_file_is_kept_unless_told(record, number, tmp_path):
    path = print_paper(record, number, what(DECLINED), tmp_path / "new" / "declined.pdf")
    data = path.read_bytes()
    path.write_text("older")
    with pytest.raises(NotWritten, match="is there already"):
        print_paper(record, number, what(DECLINED), path)
    assert path.read_text() == "older"
    assert print_paper(record, number, what(DECLINED), path, replace=True).read_bytes() == data


def test_a_ways_price_is_that_of_its_lines(record, number):
    order = variation_order(read_sources(record, number, DAY), "V01")
    assert [way.priced_here for way in order.ways] == [True, False]
    assert order.ways[0].price == order.price


def test_a_draft_holds_the_paper_and_asks_nobody_else(record, number, tmp_path):
    made = draft_email(record, number, what(VARIATION), tmp_path / "v01.eml", NOW)
    message = BytesParser(policy=policy.default).parsebytes(made.path.read_bytes())
    (attached,) = message.iter_attachments()
    assert attached.get_content() == paper_bytes(record, number, what(VARIATION))
    assert message["Subject"] == "Variation V01 to Q-2041 rev A"
    assert message["X-Unsent"] == "1"
    assert message["Date"].datetime == NOW
    assert (message["To"], made.to) == (None, "")  # the customer's contact is no address
    body = message.get_body(("plain",)).get_content()
    assert "no answer is not one either" in body
    first = made.path.read_bytes()
    draft_email(record, number, what(VARIATION), made.path, NOW, replace=True)
    assert made.path.read_bytes() == first
    with pytest.raises(NotWritten, match="is there already"):
        draft_email(record, number, what(VARIATION), made.path, NOW)


def test_the_quote_goes_out_as_it_was_issued(record, catalogue, tmp_path):
    customer = Party("Ostrey Aggregates", (), "R. Ostrey, plant@ostrey.example")
    number = keep_golden(record, customer=customer)
    with pytest.raises(NotFound, match="was issued yet"):
        draft_email(record, number, what(QUOTE), tmp_path / "quote.eml", NOW)
    issued = issue_quote(
        record, number, catalogue, ESTIMATOR, MANAGER, NOW, adopt_why="for the test"
    )
    made = draft_email(record, number, what(QUOTE), tmp_path / "quote.eml", NOW)
    message = BytesParser(policy=policy.default).parsebytes(made.path.read_bytes())
    (attached,) = message.iter_attachments()
    assert attached.get_content() == issued.pdf
    assert made.to == "plant@ostrey.example"
    assert message["To"].addresses[0].addr_spec == made.to
    with pytest.raises(NotFound, match="no paper called"):
        draft_email(record, number, what("bill"), tmp_path / "other.eml", NOW)
