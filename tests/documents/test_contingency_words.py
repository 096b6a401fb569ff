"""The contingency in plain words: short, complete, by commercial form, odds only where earned."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.documents.grammar.page import Pages
from estimator.documents.grammar.wording import Words, odds, one_in
from estimator.documents.quote.contingency_words import plain_words, stands_behind
from estimator.documents.quote.sheet import Sheet
from estimator.domain.quote import EARNED_CASES
from tests.documents.read_back import printed, with_job, without_contingency

NAMED, CAPPED, FIXED = "base and named contingency", "not to exceed", "fixed price"
NEVER = r"\b(exposed|exposure|p80|percentile|simulat\w+|probabilit\w+|confidence)\b"


def sheet_of(quote, form=NAMED):
    terms = replace(quote.priced.job.terms, commercial_form=form)
    words = Words.of("en_GB", terms.currency, terms.quoting_unit)
    return Sheet(with_job(quote, terms=terms), words, Pages({}))


def with_parts(quote, cases, origin):
    """The quote with so many own cases behind every chance, and every cost of one origin."""
    parts = tuple(
        replace(
            one,
            chance=replace(one.chance, own_cases=cases, rests_on=f"own cases ({cases})"),
            ways=tuple(replace(way, rests_on=origin) for way in one.ways),
        )
        for one in quote.priced.exposed
    )
    return replace(quote, priced=replace(quote.priced, exposed=parts))


@pytest.mark.parametrize("form", [NAMED, CAPPED])
def test_two_to_five_short_sentences(quote, form):
    said = plain_words(sheet_of(quote, form))
    text = " ".join(said)
    sentences = re.findall(r"[^.]+\.(?: |$)", text)
    assert 2 <= len(sentences) <= 5
    assert all(len(one.split()) <= 40 for one in sentences)
    assert not re.search(NEVER, text.lower())


@pytest.mark.parametrize(
    ("form", "unspent"),
    [
        (NAMED, "What is not drawn comes off your final account."),
        (CAPPED, "findings inside the scope beyond it are at our risk."),
    ],
)
def test_says_why_what_for_how_drawn_where_the_rest_goes_and_that_it_moves(quote, form, unspent):
    text = " ".join(plain_words(sheet_of(quote, form)))
    for words in ("shows only when the machine is apart", "£31,317 for putting right",
                  "most of it is for axles", "that you have agreed", unspent,
                  "falls or rises"):  # fmt: skip
        assert words in text


def test_a_fixed_price_and_a_price_with_none_say_nothing_of_one(quote):
    assert plain_words(sheet_of(quote, FIXED)) == ()
    assert plain_words(sheet_of(without_contingency(quote))) == ()


def test_the_groups_named_hold_more_than_half_and_one_less_would_not(quote):
    named = quote.most_of_it
    whole = quote.priced.price.contingency.minor
    assert [name for name, _ in named] == ["Axles and final drives", "Converter and transmission"]
    assert 2 * sum(amount.minor for _, amount in named) > whole
    assert 2 * sum(amount.minor for _, amount in named[:-1]) <= whole
    assert without_contingency(quote).most_of_it == ()


def test_without_open_parts_the_words_still_stand(quote):
    only_lines = replace(quote, unseen=())
    said = plain_words(sheet_of(only_lines))
    assert said[0].startswith("The price holds £31,317")


def test_odds_are_not_earned_by_starting_values(quote):
    assert not quote.odds_earned
    assert " in 10" not in " ".join(stands_behind(sheet_of(quote)))


@pytest.mark.parametrize(
    ("form", "after"),
    [(NAMED, "It may be less, and it may be more."), (CAPPED, "the rest is at our risk.")],
)
def test_odds_that_are_earned_are_said(quote, form, after):
    known = with_parts(quote, EARNED_CASES, "own")
    text = " ".join(stands_behind(sheet_of(known, form)))
    assert known.odds_earned
    assert "On our own past work £31,317 is enough 8 times in 10." in text
    assert after in text
    assert "In our judgement" not in text
    assert not re.search(NEVER, text.lower())
    assert "8 times in 10" in printed(known).text


@pytest.mark.parametrize(
    ("cases", "origin"), [(EARNED_CASES - 1, "own"), (EARNED_CASES, "starting value")]
)
def test_odds_need_enough_cases_and_known_costs(quote, cases, origin):
    assert not with_parts(quote, cases, origin).odds_earned


def test_where_the_mean_rules_no_odds_are_said(quote):
    known = with_parts(quote, EARNED_CASES, "own")
    held = replace(known.priced.contingency, bound="mean")
    assert not replace(known, priced=replace(known.priced, contingency=held)).odds_earned


@pytest.mark.parametrize(
    ("share", "times", "name"),
    [
        ("0.8", "8 times in 10", "8 in 10"),
        ("0.95", "19 times in 20", "19 in 20"),
        ("0.825", "33 times in 40", "33 in 40"),
        ("0.99", "99 times in 100", "99 in 100"),
        ("0.801", "80 times in 100", "80 in 100"),
    ],
)
def test_shares_as_one_says_them(share, times, name):
    assert odds(Decimal(share)) == times
    assert one_in(Decimal(share)) == name
