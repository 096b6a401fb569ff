"""The papers of a contract, read back: every sum added again from what is printed, one page for a
variation, nothing off the page, and no word of how likely anything is."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import pytest

from estimator.documents.contract.declined_list import declined_pdf
from estimator.documents.contract.ledger_statement import ledger_pdf
from estimator.documents.contract.stop_paper import stop_pdf
from estimator.documents.contract.strip_report import strip_pdf
from estimator.documents.contract.variation_order import variation_pdf
from estimator.domain.contract.events import Decided, Moved
from estimator.domain.contract.forms import FIXED
from estimator.domain.contract.papers import Sum, WayToTick
from estimator.domain.job import Party
from estimator.domain.money import Money
from estimator.services.ledger_paper import ledger_statement
from estimator.services.strip_paper import stop_paper, strip_report
from estimator.services.variation_paper import declined_list, variation_order
from tests.documents.contract_sources import (
    CHAIN,
    FIGURE,
    ORDER,
    events_until,
    figure,
    picture,
    sources_at,
    sources_of,
    sums_after,
)
from tests.documents.read_back import A4, boxes, fonts, inside_and_apart, read_back

FORBIDDEN = re.compile(r"exposed|P80|simulat|percentile|probabilit|\bchance|quantile|margin|mark-up"
                       r"|\bodds|workshop cost|own cost", re.IGNORECASE)  # fmt: skip
LONG = "Schwermaschineninstandsetzungsgesellschaft Nord-Ost mit sehr langem Namen "
PAPERS = ("variation", "strip", "ledger", "declined", "stop")


def made(kind, sources, locale="en_GB"):
    """A paper of each kind."""
    if kind == "variation":
        return variation_pdf(variation_order(sources, "V06"), locale)
    if kind == "strip":
        return strip_pdf(strip_report(sources), locale)
    if kind == "ledger":
        return ledger_pdf(ledger_statement(sources), locale)
    if kind == "declined":
        return declined_pdf(declined_list(sources), locale)
    return stop_pdf(stop_paper(sources), locale)


def order_paper(sources, number):
    return read_back(variation_pdf(variation_order(sources, number)))


# Every paper


@pytest.mark.parametrize(
    ("kind", "line"),
    [(kind, line) for kind in PAPERS for line in ("E15", "E29", "E39")
     if (kind, line) != ("stop", "E39")],  # what is handed over is stopped no more
)  # fmt: skip
def test_the_file(kind, line):
    sources = sources_at(line)
    data = made(kind, sources)
    assert made(kind, sources) == data
    paper = read_back(data)
    for number, page in enumerate(paper.pages, 1):
        assert f"Page {number} of {len(paper.pages)}" in page
        assert "Tarnbeck Plant Rebuilds" in page
        assert "Q-2041 rev A" in page
    assert not FORBIDDEN.findall(paper.text)
    assert f"Record chain {CHAIN[:4]} {CHAIN[4:8]}" in paper.pages[0]
    for sheet in paper.reader.pages:
        assert tuple(map(float, sheet.mediabox[2:])) == pytest.approx(A4, abs=0.1)
    for name, descriptor in fonts(paper.reader).items():
        assert name[7] == "+", name
        assert "/FontFile2" in descriptor.get_object()
    assert paper.reader.metadata.creation_date.date() == sources.head.day
    inside_and_apart(boxes(data))


@pytest.mark.parametrize("kind", PAPERS)
def test_another_language_writes_figures_its_own_way(kind):
    text = read_back(made(kind, sources_at("E29"), "it_IT")).text
    assert "Figures and dates are written as in Italian (Italy)" in text
    assert "£275,946" not in text
    assert "21 gennaio 2027" in text


@pytest.mark.parametrize("kind", PAPERS)
def test_a_language_with_translations_says_its_labels(kind):
    text = read_back(made(kind, sources_at("E29"), "de_DE")).text
    assert "written as in" not in text and "Record chain" not in text
    assert "Protokollkette" in text
    assert "21. Januar 2027" in text


@pytest.mark.parametrize("kind", PAPERS)
def test_long_and_hostile_text_wraps(kind):
    sources = sources_at("E29")
    head = replace(
        sources.head, number="Q-" + "9" * 80, order="W" * 300, serial="<b>&amp;" * 30,
        customer=Party(LONG * 4, ("X" * 300, "\u5ba2\u6237\u540d\u79f0" * 40), LONG),
        workshop=Party(LONG * 3, (LONG, LONG)),
    )  # fmt: skip
    case = sources.here.contract.cases["V06"]
    crowded = replace(
        case.variation, title="</para><b>" + LONG * 3, location="W" * 400, measured=LONG * 8,
        not_seen_before="\u202eevil {tax} " * 20, consequence="Y" * 500,
    )  # fmt: skip
    cases = {**sources.here.contract.cases, "V06": replace(case, variation=crowded)}
    here = replace(sources.here, contract=replace(sources.here.contract, cases=cases))
    data = made(kind, replace(sources, head=head, here=here))
    inside_and_apart(boxes(data))
    assert "<b>&amp;" in read_back(data).text.replace(" ", "")


# Variation order


@pytest.mark.parametrize("number", ORDER)
def test_a_usual_variation_is_one_page_and_adds_up(number):
    order = variation_order(sources_at("E30"), number)
    paper = read_back(variation_pdf(order))
    assert len(paper.pages) == 1
    lines = paper.lines
    sum_, before, this, revised = sums_after(
        lines, "What agreeing does", "Contract sum", "Agreed before", "This one", "Revised sum"
    )
    assert sum_ == 275946
    assert sum_ + before + this == revised
    left, drawn, after = sums_after(
        lines, "What agreeing does", "Contingency left", "This one draws", "Left after it"
    )
    assert left + drawn == after
    if order.end in ("workshop", "supplier"):
        assert "No charge to you." in paper.text
        assert this == drawn == 0
        return
    net, gross = sums_after(lines, "What it takes", "Before tax", "With VAT 20 %")
    assert gross == (net * Decimal("1.20")).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert net == this - drawn
    stop = lines.index("Before tax")
    shown = [figure(one) for one in lines[lines.index("What it takes") : stop]
             if FIGURE.fullmatch(one)]  # fmt: skip
    per_row, at = (3, 2) if order.measured_lines else (2, 1)
    assert sum(shown[at::per_row]) == net
    assert len(shown) == per_row * len(order.measured_lines or order.lines)


@pytest.mark.parametrize(("number", "then"), [("V04", "E13"), ("V06", "E11"), ("V17", "E28")])
def test_an_order_says_the_same_before_and_after_its_answer(number, then):
    """What was offered is not told anew by what came later."""
    asked, later = (variation_order(sources_at(line), number) for line in (then, "E39"))
    assert asked.answered is None
    assert later.answered is not None
    assert (asked.price, asked.ways, asked.lines) == (later.price, later.ways, later.lines)
    assert asked.effect.left_before - asked.effect.drawn == asked.effect.left_after
    if number != "V04":  # others were answered between asking and the answer to that one
        return
    assert later.effect == asked.effect
    assert (asked.before, asked.after) == (later.before, later.after)


def test_what_is_waited_for_can_be_signed():
    text = order_paper(sources_at("E11"), "V06").text
    for words in ("Variation V06", "transmission, second gear", "Sent 22 December 2026",
                  "waits for your answer", "the contingency for parts found worn",
                  "Gear failure under load.", "We approve in part: lines", "Name Capacity",
                  "Signature Date", "We decline, knowing what follows",
                  "Raised and heavy parts."):  # fmt: skip
        assert words in text
    assert text.count("No answer is not approval.") == 1


def test_a_finding_without_a_price_keeps_its_range_and_no_mark():
    paper = order_paper(sources_at("E09"), "V04")
    text = paper.text
    assert "£1,400 to £5,800, likely £2,500" in text
    assert "covered" not in text.casefold()
    assert "enough" not in text.replace("nobody can say whether what is held is enough", "")
    assert "Revised sum" not in text
    assert "We approve" not in text
    assert "No answer is not approval." in text
    assert "Safety matter." in text


def test_what_cannot_be_declined_has_no_box_for_it():
    text = order_paper(sources_at("E13"), "V04").text
    assert "We decline" not in text
    assert "We do not: make it safe and stop" in text
    assert "Replaces V04" in text


def test_an_answer_is_printed_as_it_was_given():
    text = order_paper(sources_at("E15"), "V06").text
    said = (
        "Answer on record: approved by L. Marsh, finance controller on 5 January 2027, signed "
        "paper: £5,189 before tax. \u201cApproved, 5,189 from contingency.\u201d"
    )
    assert said in text
    assert "We approve" not in text
    assert "not sent: within the authority you gave" in order_paper(sources_at("E10"), "V05").text


def full_order():
    """A variation with everything: four photographs, four ways, a date, a cost of waiting."""
    order = variation_order(sources_at("E11"), "V06")

    def way(name, what, pounds, days, here=False):
        price = Sum(Money(pounds * 100, "GBP"), Money(pounds * 120, "GBP"))
        return WayToTick(name, what, price, Decimal(days), "12 months or 2,000 h", "", here)

    return replace(
        order,
        pictures=(
            picture("C03A-1", caption="Second gear, teeth spalled; scale in mm"),
            picture("C03A-2", (600, 800)), picture("C03A-3"), picture("C03A-4", (1600, 900)),
        ),
        more_pictures=2, safety=True, made_safe=True,
        not_seen_before="inside a closed component; nobody could look before it was opened",
        ways=(way("recondition", "dress and refit", 1240, 1),
              way("replace", "new gears and shaft", 5189, 2, here=True),
              way("exchange", "exchange transmission", 11800, 4), way("defer", "as it is", 0, 0)),
        answer_by=date(2026, 12, 29), waiting_from=date(2027, 1, 4),
        waiting_per_day=Money(48000, "GBP"),
    )  # fmt: skip


def test_a_full_variation_is_one_page():
    data = variation_pdf(full_order())
    paper = read_back(data)
    assert len(paper.pages) == 1
    inside_and_apart(boxes(data))
    assert len(paper.reader.pages[0].images) == 4
    for words in ("Answer by 29 December 2026", "2 more photographs", "Made safe already",
                  "£480 before tax for each working day in the bay without an answer, from "
                  "4 January 2027", "C03A-1: Second gear, teeth spalled; scale in mm",
                  "Exchange unit: exchange transmission 11,800 14,160.00 4",
                  "(priced above) 5,189 6,226.80 2"):  # fmt: skip
        assert words in paper.text


def test_a_damaged_photograph_leaves_its_place():
    order = replace(full_order(), pictures=(replace(picture(), image=b"\xff\xd8 no picture"),))
    assert "The photograph cannot be read." in read_back(variation_pdf(order)).text


# Declined work


def test_declined_work_stands_with_its_words_and_what_follows():
    text = read_back(declined_pdf(declined_list(sources_at("E39")))).text
    for words in ("V17 Air-conditioning compressor noisy", "Offered at £982 before tax",
                  "likely to seize within a season", "declined by R. Ostrey, fleet manager on 21 "
                  "January 2027, signed paper", "\u201cNot now, we run it as it is.\u201d",
                  "Refrigerant."):  # fmt: skip
        assert words in text
    assert text.count("Offered at") == 1


def test_nothing_declined_says_so():
    text = read_back(declined_pdf(declined_list(sources_at("E15")))).text
    assert "Nothing was declined, put off or left without an answer." in text
    assert "Signature" not in text


def test_part_approval_and_lapse_are_listed_too():
    events = events_until("E11")  # V06 waits
    by = {"at": events[-1].at, "number": "V06", "revision": 0}
    part = Decided(
        who="L. Marsh", capacity="finance controller", side="customer", act="approve in part",
        lines=(0, 1), channel="e-mail", words="Without the test.", **by,
    )  # fmt: skip
    day = date(2026, 12, 22)
    text = read_back(declined_pdf(declined_list(sources_of([*events, part], day)))).text
    assert "Not agreed to: Crack-test mating gears" in text
    assert "Offered at £92 before tax" in text
    assert "approved in part by L. Marsh, finance controller on 22 December 2026, e-mail, lines "\
           "1, 2: £5,097 before tax" in text  # fmt: skip
    lapsed = Moved(who="J. Tarn", act="lapse", **by)
    text = read_back(declined_pdf(declined_list(sources_of([*events, lapsed], day)))).text
    assert "Nobody answered. No answer is not approval: the work is not done." in text


# A fixed price


@pytest.mark.parametrize("kind", PAPERS)
def test_a_fixed_price_shows_nothing_of_what_is_at_our_risk(kind):
    text = read_back(made(kind, sources_at("E11", commercial_form=FIXED))).text
    assert "ontingency" not in text
    for hidden in ("31,317", "5,189", "29,515", "1,802"):
        assert hidden not in text


def test_a_fixed_prices_finding_is_told_not_charged():
    text = order_paper(sources_at("E11", commercial_form=FIXED), "V06").text
    assert "us: inside the fixed price" in text
    assert "No charge to you." in text
    request = order_paper(sources_at("E19", commercial_form=FIXED), "V10").text
    assert "£2,668" in request
