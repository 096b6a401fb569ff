"""A variation holds, and prints, what published practice asks for.

DFARS 252.217-7028(b)(1), over and above work: exact location, discrepancy type, estimated hours and
material. 16 CCR 3353, 3354 (vehicle repair; used as good practice): all additional parts and
labour described, the total revised cost, and the authorisation: who, when, how, in which words.
Both as the trade notes give them (section F), read there as excerpts; re-read before quoting.
"""

from __future__ import annotations

from dataclasses import fields

import pytest

from estimator.documents.contract.variation_order import variation_pdf
from estimator.domain.contract.contract import Step
from estimator.domain.contract.variation import Variation, VariationLine, WayOffered
from estimator.services.variation_paper import variation_order
from tests.documents.contract_sources import sources_at
from tests.documents.read_back import read_back

DFARS, CCR = "DFARS 252.217-7028(b)(1)", "16 CCR 3353, 3354"
NOTES = "trade notes, section F"

# (what is asked, source, the field that holds it, what the golden V06 prints of it)
ASKED = (
    ("exact location", DFARS, (Variation, "location"), "transmission, second gear"),
    ("discrepancy type", DFARS, (Variation, "cause"), "hidden until it was opened"),
    ("discrepancy in words", DFARS, (Variation, "title"), "second-speed gear and shaft spalled"),
    ("estimated hours", DFARS, (VariationLine, "quantity"), "10 h"),
    ("their trade", DFARS, (VariationLine, "trade"), ""),
    ("material", DFARS, (VariationLine, "what"), "Second-speed gear train and shaft"),
    ("parts described", CCR, (VariationLine, "part"), "1 set"),
    ("labour described", CCR, (VariationLine, "what"), "Fit, shim, check contact"),
    ("price of each", CCR, (VariationLine, "amount"), "4,302"),
    ("number", NOTES, (Variation, "number"), "Variation V06"),
    ("found when", NOTES, (Variation, "found_at"), "22 December 2026"),
    ("finder", NOTES, (Variation, "finder"), "D. Wray"),
    ("component", NOTES, (Variation, "component"), "clutches, gears, shafts"),
    ("measurement against limit", NOTES, (Variation, "measured"), "crack-test record"),
    ("photographs", NOTES, (Variation, "photographs"), ""),
    ("why not seen before", NOTES, (Variation, "not_seen_before"), ""),
    ("ways", NOTES, (Variation, "ways"), ""),
    ("warranty of a way", NOTES, (WayOffered, "warranty"), ""),
    ("days of a way", NOTES, (WayOffered, "days"), ""),
    ("consequence of declining", NOTES, (Variation, "consequence"), "Gear failure under load"),
    ("safety mark", NOTES, (Variation, "safety"), ""),
    ("answer by", NOTES, (Variation, "answer_by"), ""),
    ("cost of waiting", NOTES, (Variation, "waiting_per_day"), "Cost of waiting"),
    ("funding", NOTES, (Variation, "end"), "Paid from"),
    ("who decided", CCR, (Step, "who"), "approved by L. Marsh"),
    ("in which capacity", NOTES, (Step, "capacity"), "finance controller"),
    ("when", CCR, (Step, "at"), "on 5 January 2027"),
    ("by which means", CCR, (Step, "channel"), "signed paper"),
    ("in which words", NOTES, (Step, "words"), "Approved, 5,189 from"),
)
TOTALS = ("Revised sum", "£279,256", "Contingency left", "£24,701", "Left after it", "£19,512",
          "Before tax", "£5,189", "With VAT 20 %", "£6,226.80")  # fmt: skip


@pytest.fixture(scope="module")
def paper() -> str:
    """The golden V06 as it is printed after its answer."""
    return " ".join(read_back(variation_pdf(variation_order(sources_at("E15"), "V06"))).lines)


@pytest.mark.parametrize(("asked", "source", "held", "printed"), ASKED, ids=[a[0] for a in ASKED])
def test_each_is_held_and_printed(asked, source, held, printed, paper):
    kind, name = held
    assert name in {field.name for field in fields(kind)}, (asked, source)
    assert printed in paper, (asked, source)


def test_the_total_revised_cost_is_printed(paper):
    """16 CCR 3354: the customer is told what the whole comes to, not the addition alone."""
    for text in TOTALS:
        assert text in paper


@pytest.mark.parametrize(
    ("line", "number", "words"),
    [
        ("E09", "V04", "cannot be declined"),  # a safety matter says so
        ("E09", "V04", "1,400"),  # and a range stands where there is no price
        ("E28", "V17", "likely to seize within a season"),
    ],
)
def test_what_other_variations_of_the_worked_job_print(line, number, words):
    printed = read_back(variation_pdf(variation_order(sources_at(line), number))).lines
    assert words.lower() in " ".join(printed).lower()
