"""The papers beside the standard quote: pages, paper sizes, languages, what they never tell, and
text from anywhere."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from io import BytesIO

import pytest
from pypdf import PdfReader

from estimator.documents.grammar.dress import dressed
from estimator.documents.quote.budget_letter import budget_letter_pdf
from estimator.documents.quote.options_page import options_page_pdf
from estimator.documents.quote.quote_pdf import quote_pdf
from estimator.documents.quote.revision_letter import revision_letter_pdf
from estimator.domain.budget_letter import LookedAt, budget_letter
from estimator.domain.house_style import HouseStyle
from estimator.domain.options_page import options_page
from estimator.domain.quote import build_quote
from estimator.services.errors import NotReckoned
from estimator.services.revision_letter import revision_letter
from tests.documents.family_sources import (
    KINDS,
    change,
    euro_priced,
    hostile,
    issued,
    letter,
    many_lines,
    odd_quote,
    page,
    printed_as,
    quote_of,
)
from tests.documents.read_back import boxes, inside_and_apart, texts_of
from tests.golden.golden_job import golden_inputs, golden_priced

PAGES = {"quote-short": 2, "budget": 1, "revision": 1, "options": 1}
LETTER = (612.0, 792.0)
WORDS = ("margin", "markup", "mark-up", "our cost", "workshop cost", "wage", "P80", "exposed",
         "simulation", "percentile", "likelihood")  # fmt: skip


def text_of(data: bytes) -> str:
    """All text, spaces of every kind as one."""
    return " ".join(" ".join(texts_of(data)).split())


@pytest.mark.parametrize("locale", ["en_GB", "de_DE"])
@pytest.mark.parametrize("kind", KINDS)
def test_pages_and_nothing_over_anything(kind: str, locale: str) -> None:
    data = printed_as(kind, locale)
    count = len(PdfReader(BytesIO(data)).pages)
    if locale == "en_GB":
        assert count == PAGES.get(kind, count)
    assert count <= (11 if kind == "quote-full" else 2)
    inside_and_apart(boxes(data))
    assert printed_as(kind, locale) == data


@pytest.mark.parametrize("kind", KINDS)
def test_american_paper(kind: str) -> None:
    with dressed(HouseStyle(paper="Letter")):
        data = printed_as(kind)
    pages = PdfReader(BytesIO(data)).pages
    assert {(float(one.mediabox.width), float(one.mediabox.height)) for one in pages} == {LETTER}
    assert len(pages) <= (11 if kind == "quote-full" else 2)


@pytest.mark.parametrize("kind", KINDS)
def test_no_cost_and_no_odds(kind: str) -> None:
    text = text_of(printed_as(kind))
    assert not [word for word in WORDS if word.lower() in text.lower()]


def test_what_the_work_costs_us_moves_nothing_on_paper() -> None:
    """Another cost of every line, and of all of it, gives the same bytes."""
    priced = golden_priced()
    lines = tuple(replace(one, cost=one.cost * 7 + 3) for one in priced.lines)
    kinds = {kind: cost * 7 for kind, cost in priced.price.cost_by_kind.items()}
    other = replace(priced, lines=lines, price=replace(priced.price, cost_by_kind=kinds))
    for length in ("short", "full"):
        quote = quote_of(length)
        assert quote_pdf(replace(quote, priced=other)) == printed_as(f"quote-{length}")
    assert revision_letter(issued(), other) == revision_letter(issued(), priced)


def test_the_short_quote_names_what_it_leaves_out() -> None:
    text = text_of(printed_as("quote-short"))
    assert "This is the short form of our quote." in text
    assert not re.search(r"\{\w+\}", text)
    assert "on page" not in text
    assert "Acceptance of Q-2041 rev A" in text


def test_class_and_band_stand_on_the_budget_letter_alone() -> None:
    text = text_of(printed_as("budget"))
    assert "Estimate class 5 of 5" in text
    assert "cannot be accepted" in text
    assert "Signature" not in text
    for kind in KINDS:
        if kind != "budget":
            assert "stimate class" not in text_of(printed_as(kind))


def test_the_letter_is_a_range_that_holds_the_likely_sum_unsaid() -> None:
    found = letter().found
    text = text_of(printed_as("budget"))
    assert f"£{found.low.amount:,.0f} to £{found.high.amount:,.0f}" in text
    assert f"{found.likely.amount:,.0f}" not in text


def test_no_letter_for_a_machine_that_was_looked_at() -> None:
    with pytest.raises(LookedAt, match="I01"):
        budget_letter(*golden_inputs())


def test_oil_samples_make_it_a_desk_review() -> None:
    job, cat = golden_inputs()
    oil = tuple(one for one in job.findings if one.id in ("I10", "I21"))
    assert budget_letter(replace(job, findings=oil), cat).found.estimate_class == 4


def test_a_revision_in_which_nothing_moved_says_so() -> None:
    same = revision_letter(issued(), golden_priced())
    assert same.nothing_moved
    assert "No sum and no date has changed." in text_of(revision_letter_pdf(same))


def test_a_revision_in_another_currency_is_not_laid_beside() -> None:
    with pytest.raises(NotReckoned):
        revision_letter(issued(), euro_priced())


def test_a_fixed_price_in_euros_sets_nothing_apart() -> None:
    priced = euro_priced()
    data = options_page_pdf(options_page(priced), "en_GB")
    text = text_of(data)
    assert len(PdfReader(BytesIO(data)).pages) == 1
    assert "of it contingency" not in text
    assert "€" in text
    full = text_of(quote_pdf(build_quote(priced, with_options=False, length="full")))
    assert "How sure" not in full
    short = quote_pdf(build_quote(priced, with_options=False, length="short"))
    assert len(PdfReader(BytesIO(short)).pages) == 2


def test_many_lines_break_between_rows_with_the_groups_name_again() -> None:
    quote = many_lines(quote_of("full"), 5)
    data = quote_pdf(quote)
    pages = texts_of(data)
    start = next(at for at, one in enumerate(pages) if "Every line of this price" in one)
    assert len(pages) > 20
    assert all("Hours" in one for one in pages[start:-1])
    inside_and_apart(boxes(data))


def test_text_from_anywhere_is_printed_as_text() -> None:
    for length in ("short", "full"):
        inside_and_apart(boxes(quote_pdf(odd_quote(length))))
    one, two, three = letter(), change(), page()
    moved = replace(two.groups[0].total, name="</para><b>" + "W" * 300)
    groups = (replace(two.groups[0], total=moved), *two.groups[1:])
    for data in (
        budget_letter_pdf(replace(one, head=hostile(one.head), groups=("<b>", "&amp;"))),
        revision_letter_pdf(replace(two, head=hostile(two.head), groups=groups)),
        options_page_pdf(replace(three, head=hostile(three.head))),
    ):
        inside_and_apart(boxes(data))


def test_a_letter_is_good_for_as_long_as_a_quote_would_be() -> None:
    job = letter().head.job
    assert letter().until == job.date + timedelta(days=job.terms.valid_days)
    assert letter().found.low.amount % Decimal(1000) == 0


def test_what_a_length_says_in_its_own_words_stands_in_for_something(catalogue) -> None:
    """Each of its sections is one that the standard form has, or is the note of the short form."""
    sections = {one.section for one in catalogue.clauses["en"]}
    own = {one.partition(": ")[2] for one in sections if one.startswith(("short: ", "full: "))}
    assert own - sections == {"form of paper"}
    assert not [one for one in quote_of("standard").clauses if one.startswith(("short", "full"))]
