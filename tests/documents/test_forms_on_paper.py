"""Each commercial form says one thing: a fixed price moves nowhere, a capped one never above."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.documents.read_back import printed, with_job

NOT_IN_A_FIXED_PRICE = [
    r"conting", r"provisional", r"\bfirm\b", r"may be more", r"measured again", r"\bdraw",
    r"unspent", r"comes off your", r"agreed findings", r"who may approve findings", r"hatched",
    r"go ahead without asking", r"up or down", r"agreed money", r"how sure", r"\blikely, £",
]  # fmt: skip


@pytest.fixture(scope="module")
def fixed(quote):
    terms = replace(quote.priced.job.terms, commercial_form="fixed price")
    return printed(with_job(quote, terms=terms))


@pytest.fixture(scope="module")
def capped(quote):
    terms = replace(quote.priced.job.terms, commercial_form="not to exceed")
    return printed(with_job(quote, terms=terms))


@pytest.mark.parametrize("words", NOT_IN_A_FIXED_PRICE)
def test_a_fixed_price_does_not_contradict_itself(fixed, paper, words):
    assert re.search(words, paper.text.lower()), "the other form should say it"
    assert not re.search(words, fixed.text.lower())


@pytest.mark.parametrize(
    "words",
    [
        "Fixed price for the scope stated.", "What the fixed price covers",
        "Parts found worn At our risk", "put right at our risk, inside the price",
        "exchanged, at our risk, inside the price", "Who may order more work for us",
        "What you ask for beyond the scope is charged at these rates",
        "All of this is inside the fixed price.", "£275,946",
        "Parts found worn: at our risk, inside the price",
    ],
)  # fmt: skip
def test_a_fixed_price_says_what_it_covers(fixed, words):
    assert words in fixed.text


def test_a_fixed_price_shows_no_bar(fixed, paper):
    """The pattern of the bar is drawn in its own blue, which nothing else on the page uses."""
    blue = rb"0 \.4\d+ \.69\d+ rg"
    streams = [b"".join(page.get_contents().get_data() for page in one.reader.pages)
               for one in (paper, fixed)]  # fmt: skip
    assert re.search(blue, streams[0])
    assert not re.search(blue, streams[1])


def test_the_fixed_price_table_still_adds_up(fixed):
    text = fixed.text
    base = int(re.search(r"Work, parts and charges ([\d,]+)", text)[1].replace(",", ""))
    risk = int(re.search(r"at our risk, inside the price ([\d,]+)", text)[1].replace(",", ""))
    assert base + risk == 275946


def test_a_capped_price_is_never_said_to_be_more(capped):
    assert "It may be less; if it is more, the rest is at our risk." in capped.text
    assert "it may be more" not in capped.text
    assert "The whole price is not exceeded." in capped.text
    assert "never above the whole price" in capped.text
