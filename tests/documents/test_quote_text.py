"""What the customer must find in the print, and what must never stand there."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.charge_rate import cost_rate
from estimator.domain.priced_job import reckon
from estimator.domain.quote import build_quote
from tests.documents.read_back import printed, with_job, without_contingency

REQUIRED = [
    # whose, which machine, by whom, until when
    "Quote to rebuild your wheel loader", "28 t class, serial WL28-00417, 14,860 hours",
    "inspected on 16 November 2026", "Ostrey Aggregates, Plant department",
    "Written by P. Holt", "Released by J. Tarn, service manager", "Stands until 20 December 2026",
    # three figures
    "£275,946", "VAT 20 % on £275,946: £55,189.20", "£331,135.20 with tax",
    "Contingency for parts found worn £31,317",
    "Ready, the day we plan by 12 March 2027 In our judgement, with time for parts found worn",
    "if ordered by 7 December 2026. Likely 9 March 2027; 26 February 2027 if nothing more is found",
    "Priced for 8,000 more hours of work; not a warranty",
    "Firm £213,304", "Provisional £31,325", "Contingency £31,317",
    # scope
    "Included", "NOT included", "Tyres: not part of this scope",
    "Software and repair of electronic controllers; one found faulty is exchanged, paid from the",
    "As listed: every line of work and parts is on page 6.",
    # contingency in plain words
    "rear crown wheel and pinion, converter, transmission gears and shafts and 42 other parts",
    "so none of it is called good", "The price holds £31,317 for putting right what is found worn",
    "most of it is for axles and final drives (£11,056), converter and transmission (£5,881)",
    "As the machine is opened, what is still needed falls or rises; we show you each change.",
    "In our judgement £31,317 should be enough", "partly on our own past work",
    "starting values that are not yet proved", "finding that we have shown you",
    "comes off your final account", "safe stop agreed with you",
    # what may move, dates
    "Price with a named contingency.", "up or down, at the rates on page 2",
    "drawn by agreement", "agreed in writing first", "credited when the old unit is accepted",
    "Machine in by 7 December 2026", "within 5 working days", "likely by 6 January 2027",
    "These dates hold if your order is here by 7 December 2026.",
    "26 February 2027, if nothing more is found",
    "Trim and floor mat: 4 weeks", "Balance, before release",
    "Exchange charges of £1,050 are invoiced beside the price and credited",
    "Exchange rates used: 1 EUR = 0.86 GBP, 20 November 2026.",
    # sums that may move
    "Hoses and fittings (average, made up), 46 off: pipes behind the tank are not seen",
    "Turbocharger, exchange", "Heavy fitter", "79.50", "Licensed trade",
    # options, warranty, terms
    "59.3 % (usual 50 % to 70 %)", "30.1 % (usual 30 % to 45 %)", "£139,879", "19 February 2027",
    "Warranty, whichever comes first", "12 2,000 Engine; Converter and transmission",
    "Hydraulics (cylinders 6 months or 1,000 h)",
    "no answer is not a yes", "Kept 30 days after hand-over", "Free for 14 days after ready",
    "then £45 a day", "Limited to the price of this quote", "insured by us",
    "alters the machine substantially", "Emission equipment is refitted",
    "Prices hold if accepted by 20 December 2026",
    # safety
    "Local codes, site rules and licensed practice come before anything written here.",
    "Stored energy. Isolate, lock, tag", "29 CFR 1910.147; ISO 14118.", "ISO 4413.",
    # acceptance
    "Acceptance of Q-2041 rev A",
    "Full rebuild: £275,946 + VAT 20 % £55,189.20 = £331,135.20.",
    "Driveline only instead: £139,879 + VAT 20 % £27,975.80 = £167,854.80; ready 19 February 2027.",
    "Teardown only: £24,464 + VAT 20 % £4,892.80 = £29,356.80.",
    "measured report likely by 6 January 2027", "boxed return £2,823 before tax",
    "put back unrepaired £17,935 before tax, in at most 15 working days",
    "seals and gaskets destroyed in stripping",
    "not be possible to restore the machine to its present state",
    "Go ahead without asking, and tell us after: up to £", "Who may approve findings for us",
    "Order number", "Limit of this order, £ with tax",
    "Name and position, for Ostrey Aggregates", "Released by J. Tarn, service manager",
    "Return by 20 December 2026", "The scope is the annex on page 6.",
    "Driveline only leaves out: Steering; Frame and articulation;",
    "Leaves out: Steering; Frame and articulation;", "The contingency inside it is £21,560.",
    "Exchange charges of £1,050 are invoiced beside these sums",
    "Work and parts in this price",
]  # fmt: skip

NEVER = ["exposed", "p80", "p50", "simulation", "simulated", "percentile", "probability", "odds",
         "likelihood", "confidence", "margin", "markup", "wage", "overhead", "workshop cost",
         "in 10", "standard deviation", "memory", "lawyer", "sample wording",
         "common practice"]  # fmt: skip


@pytest.mark.parametrize("words", REQUIRED)
def test_says(paper, words):
    assert words in paper.text


@pytest.mark.parametrize("words", NEVER)
def test_never_says(paper, words):
    assert not re.search(rf"\b{re.escape(words)}\b", paper.text.lower())


def test_own_cost_and_margin_are_not_printed(paper, quote):
    price = quote.priced.price
    costs = list(price.cost_by_kind.values())
    whole = sum(costs)
    secret = [*costs, whole, price.base.amount - whole, price.net.amount - whole]
    rates = [cost_rate(quote.priced.cat.trades[trade]) for trade in price.hours_by_trade]
    printed_figures = {word.strip("£.;:()") for word in paper.text.split()}
    for amount in secret:
        assert not {f"{amount:,.0f}", f"{amount:,.2f}"} & printed_figures
    for rate in rates:
        assert f"{rate:,.2f}" not in printed_figures


def test_no_brace_is_left_unfilled(paper):
    assert not re.search(r"[{}]", paper.text)


def test_every_page_has_its_number_and_the_quote(paper):
    count = len(paper.pages)
    assert 6 <= count <= 7
    for number, page in enumerate(paper.pages, 1):
        assert f"Page {number} of {count}" in page
        assert "Quote Q-2041 rev A" in page
        assert "Tarnbeck Plant Rebuilds" in page


def test_the_page_named_for_the_rates_holds_them(paper):
    named = re.search(r"at the rates on page (\d+)", paper.text)
    assert named is not None
    assert "Charge rates, before tax" in paper.pages[int(named[1]) - 1]


def test_the_page_named_for_the_rates_follows_them(quote):
    crowded = replace(quote, clauses={
        **quote.clauses, "included": quote.clauses["included"] * 6,
    })  # fmt: skip
    paper = printed(crowded)
    named = re.search(r"at the rates on page (\d+)", paper.text)
    assert named is not None
    assert int(named[1]) > 2
    assert "Charge rates, before tax" in paper.pages[int(named[1]) - 1]
    assert f"Page 1 of {len(paper.pages)}" in paper.pages[0]


def test_record_in_short_groups(paper, quote):
    record = quote.record[:12]
    assert f"Record {record[:4]} {record[4:8]} {record[8:]}." in paper.text


def test_every_caution_with_its_family(paper, quote):
    assert len(quote.cautions) > 20
    for row in quote.cautions:
        assert f"{row.hazard}. {row.caution}." in paper.text
        family = row.family.replace(" (from memory)", "").removesuffix(", no source")
        assert family == "common practice" or f"{row.caution}. {family}." in paper.text


OTHER_FORMS = {"FIXED", "FIX", "CAP", "OPEN"}


def test_every_clause_is_printed_or_belongs_to_another_case(paper, quote):
    """A clause that no section prints would be dead text in the catalogue."""
    elsewhere = {"CON-OWN", "CON-START", "CON-JUDGED", "CON-EARNED"}
    filled_in = re.compile(r"\{\w+\}")
    for clauses in quote.clauses.values():
        for clause in clauses:
            if clause.id in elsewhere or set(clause.id.split("-")) & OTHER_FORMS:
                continue
            for part in filled_in.split(clause.text):
                if len(part.strip()) > 2:
                    assert " ".join(part.split()) in paper.text, clause.id


def test_what_it_rests_on(quote):
    assert "partly on our own past work" in printed(quote).text
    known = [replace(one, chance=replace(one.chance, rests_on="judged", own_cases=0))
             for one in quote.priced.exposed]  # fmt: skip
    judged = replace(quote, priced=replace(quote.priced, exposed=tuple(known)))
    text = printed(judged).text
    assert "rests on the judgement of those who inspected the machine" in text
    assert "past work" not in text


@pytest.mark.parametrize(
    ("form", "says", "never"),
    [
        ("fixed price", "what is found inside the scope is at our risk", "drawn by agreement"),
        ("not to exceed", "never above the whole price", "safe stop agreed with you"),
    ],
)
def test_other_commercial_forms(quote, form, says, never):
    terms = replace(quote.priced.job.terms, commercial_form=form)
    text = printed(with_job(quote, terms=terms)).text
    assert says in text
    assert never not in text


def test_driveline_job_offers_its_own_scope(job, catalogue):
    driveline = replace(job, level="driveline")
    priced = reckon(driveline, for_class(catalogue, job.machine.class_id))
    text = printed(build_quote(priced, with_options=False)).text
    assert "Scope Driveline only" in text
    assert "Steering; Frame and articulation;" in text
    assert "Paint and decals: not part of this scope" in text
    assert "Frames, joints, work tool, cab, electrics and paint" in text
    assert "Blasted, primed" not in text
    assert "Options side by side" not in text


def test_clauses_without_translation_are_said_to_be_english(quote):
    taken = {section: tuple(replace(one, in_english=True) for one in clauses)
             for section, clauses in quote.clauses.items()}  # fmt: skip
    said = "Teils Englisch, wo die Übersetzung fehlt."
    assert said in printed(replace(quote, clauses=taken, language="de")).text
    assert said not in printed(quote).text


def test_without_contingency_nothing_is_said_of_one(quote):
    text = printed(without_contingency(quote)).text
    assert "Contingency for parts found worn – None held" in text
    assert "Price for the scope stated; what is found beyond it is agreed first." in text
    for words in ("The contingency, in plain words", "Where the contingency may go",
                  "with time for parts found worn", "named contingency", "nspent",
                  "paid from the contingency", "drawn"):  # fmt: skip
        assert words not in text
