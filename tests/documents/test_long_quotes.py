"""Quotes of 400 and of 2,600 lines in full: every line and sum is there, groups are named again at
the top of each page, sums stay with their lines, and each page tells how many there are."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest

from estimator.documents.grammar.spoken import speaking
from estimator.documents.grammar.wording import Words
from estimator.documents.quote import breakdown_texts as texts
from estimator.documents.quote.quote_pdf import pages_of, quote_pdf
from tests.documents.family_sources import many_lines, quote_of
from tests.documents.read_back import read_back

_HEAD = 4  # lines of a page's own head and foot, which are drawn before its text
_COLUMNS = ["Number", "Hours"]


def long_quote(count):
    quote = quote_of("full")
    times = -(-count // len(quote.priced.lines))
    made = many_lines(quote, times)
    return replace(made, priced=replace(made.priced, lines=made.priced.lines[:count]))


@pytest.fixture(scope="module", params=[400, 2600])
def long(request):
    quote = long_quote(request.param)
    return quote, read_back(quote_pdf(quote))


def breakdown_of(printed):
    """Lines of each page from the breakdown on, without the page's own head and foot."""
    pages = [page.splitlines() for page in printed.pages]
    first = next(at for at, lines in enumerate(pages) if texts.BREAKDOWN in lines)
    opened = pages[first][pages[first].index(texts.BREAKDOWN) :]
    return opened, [lines[_HEAD:] for lines in pages[first + 1 :]]


def test_every_page_tells_its_number_and_how_many_there_are(long):
    _, printed = long
    said = [re.findall(r"Page (\d+) of (\d+)", page) for page in printed.pages]
    total = len(printed.reader.pages)
    assert said == [[(str(at), str(total))] for at in range(1, total + 1)]


def test_every_line_and_every_amount_is_printed(long):
    quote, printed = long
    opened, later = breakdown_of(printed)
    words = Words.of("en_GB", "GBP", quote.priced.job.terms.quoting_unit)
    shown = [*opened, *(line for page in later for line in page)]
    amounts = Counter(words.sum(one.amount) for one in quote.priced.lines)
    assert not amounts - Counter(shown)
    names = Counter(one.line.row.name for one in quote.priced.lines)
    whole = "".join("".join(shown).split())  # a long name goes on in the next line
    assert all(whole.count("".join(name.split())) >= count for name, count in names.items())


def test_a_group_is_named_again_at_the_top_of_each_page(long):
    quote, printed = long
    names = {one.name for one in quote.priced.price.groups}
    _, later = breakdown_of(printed)
    assert later
    for page in later:
        assert page[0] in names
        assert page[1:3] == _COLUMNS


def test_a_sum_never_stands_alone_below_a_repeated_head(long):
    quote, printed = long
    sums = {texts.GROUP_SUM.format(group=one.name) for one in quote.priced.price.groups}
    rows = {one.line.row.name for one in quote.priced.lines}
    _, later = breakdown_of(printed)
    told = [line for page in later for line in page if line in sums]
    assert told
    for page in later:
        first = next(line for line in page[3:] if line in rows | sums | {texts.ALL_LINES})
        assert first in rows


def test_a_head_never_stands_alone_at_the_foot_of_a_page(long):
    quote, printed = long
    names = {one.name for one in quote.priced.price.groups}
    opened, later = breakdown_of(printed)
    for page in (opened, *later[:-1]):
        assert not names & set(page[-9:])  # the head alone is seven cells


def test_references_lead_to_the_page_that_they_name(long):
    quote, printed = long
    with speaking("en"):
        told = pages_of(quote)
    annex = next(at for at, page in enumerate(printed.pages, 1)
                 if texts.BREAKDOWN in page.splitlines())  # fmt: skip
    assert told["annex"] == annex


def test_the_same_quote_gives_the_same_bytes():
    quote = long_quote(400)
    assert quote_pdf(quote) == quote_pdf(quote)
