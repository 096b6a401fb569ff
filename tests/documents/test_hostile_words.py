"""Words that no line holds, forty thousand letters long, wherever somebody else's text is printed.
There is no clock here: were the layout slower than the length of the word, a test would not end."""

from __future__ import annotations

from dataclasses import replace

import pytest

from estimator.documents.grammar.closing import own_terms
from estimator.documents.grammar.dress import dressed
from estimator.documents.grammar.fonts import register
from estimator.documents.grammar.look import style
from estimator.documents.grammar.paper import Paper
from estimator.documents.grammar.text import Line, Text
from estimator.documents.quote.quote_pdf import quote_pdf
from estimator.domain.house_style import HouseStyle
from tests.documents.family_sources import quote_of
from tests.documents.read_back import read_back, with_job

LETTERS = 40_000
WORDS = {
    "letters": "Q" * LETTERS,
    "two alphabets": "\u0416Q" * (LETTERS // 2),
    "no-break spaces": "Q\u00a0" * (LETTERS // 2),
    "figures": "7" * LETTERS,
    "ampersands": "Q&" * (LETTERS // 2),
    "tags": "<b>" * (LETTERS // 3),
}
DISTINCT = {"letters": "Q", "two alphabets": "Q", "no-break spaces": "Q", "figures": "7",
            "ampersands": "&", "tags": "<"}  # fmt: skip


def named(quote, word):
    """The quote with a word as the name of one of its lines."""
    first, *others = quote.priced.lines
    row = replace(first.line.row, name=word)
    lines = (replace(first, line=replace(first.line, row=row)), *others)
    return replace(quote, priced=replace(quote.priced, lines=lines))


def noted(quote, word):
    """The quote with a word as a note of one of its cautions."""
    first, *others = quote.cautions
    return replace(quote, cautions=(replace(first, caution=word), *others))


def for_party(quote, word):
    """The quote for a customer of that name."""
    return with_job(quote, customer=replace(quote.priced.job.customer, name=word))


def count_of(printed, letter):
    return sum(page.count(letter) for page in printed.pages)


@pytest.mark.parametrize(
    ("kind", "length"),
    [("letters", "standard"), ("two alphabets", "full"), ("no-break spaces", "standard"),
     ("figures", "full"), ("ampersands", "full"), ("tags", "standard")],
)  # fmt: skip
def test_a_line_with_such_a_name_is_printed_whole(kind, length):
    word = WORDS[kind]
    printed = read_back(quote_pdf(named(quote_of(length), word)))
    assert count_of(printed, DISTINCT[kind]) >= word.count(DISTINCT[kind])
    assert 9 < len(printed.pages) < 60
    assert f"of {len(printed.pages)}" in printed.pages[0]


def test_a_customer_with_such_a_name_still_gets_a_page_to_sign():
    printed = read_back(quote_pdf(for_party(quote_of("full"), WORDS["letters"])))
    assert count_of(printed, "Q") >= LETTERS
    assert len(printed.pages) < 80
    assert "Signature" in printed.text
    assert "Priced work" in printed.pages[-1]


def test_such_a_note_is_printed_whole():
    printed = read_back(quote_pdf(noted(quote_of("standard"), WORDS["letters"])))
    assert count_of(printed, "Q") >= LETTERS
    assert len(printed.pages) < 40


def test_terms_of_the_workshop_may_hold_such_a_word():
    with dressed(HouseStyle(terms=f"Before. {WORDS['letters']}\n\nAfter.")):
        printed = read_back(quote_pdf(quote_of("standard")))
        assert own_terms(Paper())
    assert count_of(printed, "Q") >= LETTERS
    assert "After." in printed.text


@pytest.mark.parametrize("room", [40.0, 121.3, 480.0])
@pytest.mark.parametrize("kind", WORDS)
def test_no_line_of_it_is_wider_than_its_column(kind, room):
    register()
    line = Line(f"Before {WORDS[kind]} after", style("body"))
    line.wrap(room, 1e6)
    if line._lines is not None:
        assert all(one.left >= -1 for one in line._lines)
        assert line._lines[0].text == "Before"
        assert line._lines[-1].text.endswith("after")
    assert line.height > 12 * LETTERS / room


def test_words_that_are_not_so_long_are_left_to_the_language():
    """A long word of a language is divided by its rules, as ever."""
    register()
    word = "incomprehensibilities" * 3
    line = Line(word, style("body"))
    line.wrap(70, 1e6)
    assert line._lines is None
    assert "\u00ad" in line._paragraph().text
    assert not Text(word, style("body"))._markup
