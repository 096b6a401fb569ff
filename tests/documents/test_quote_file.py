"""The file itself: same bytes, own fonts, bookmarks, and nothing off the page or over the rest."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from estimator.documents.quote.quote_pdf import quote_pdf
from estimator.domain.job import Party
from tests.documents.read_back import boxes, fonts, inside_and_apart, printed, with_job

LONG = "Schwermaschineninstandsetzungsgesellschaft Nord-Ost mit sehr langem Namen "


def test_same_quote_same_bytes(quote, paper):
    assert quote_pdf(quote) == paper.data


def test_another_quote_other_bytes(quote, paper):
    assert quote_pdf(with_job(quote, estimator="A. N. Other")) != paper.data


def test_fonts_are_embedded_subsets(paper):
    found = fonts(paper.reader)
    assert {name.split("+")[1] for name in found} >= {"SourceSansPro-Regular", "SourceSansPro-Bold"}
    for name, descriptor in found.items():
        assert name[7] == "+", f"{name} is no subset"
        assert descriptor is not None, f"{name} is not embedded"
        assert "/FontFile2" in descriptor.get_object()


def test_fallback_fonts_are_embedded_too(quote):
    customer = Party("重机有限公司 ẘ Ḹ Ж")
    found = fonts(printed(with_job(quote, customer=customer)).reader)
    names = {name.split("+")[1] for name in found}
    assert names & {"DroidSansFallback"}
    assert all(descriptor is not None for descriptor in found.values())


def test_metadata(paper, quote):
    info = paper.reader.metadata
    assert info.title.startswith("Quote Q-2041 rev A")
    assert info.author == "Tarnbeck Plant Rebuilds"
    assert info.creation_date.date() == quote.priced.job.date == date(2026, 11, 20)
    assert paper.reader.trailer["/Root"]["/Lang"] == "en"


def test_bookmarks_lead_to_their_sections(paper):
    reader = paper.reader
    marks = {mark.title: reader.get_destination_page_number(mark) for mark in reader.outline}
    assert list(marks.values()) == sorted(marks.values())
    for title in ("Included", "The contingency, in plain words", "Price by component group",
                  "Charge rates, before tax", "Safety", "Acceptance of Q-2041 rev A"):  # fmt: skip
        assert title in paper.pages[marks[title]]


def crowded(quote):
    """Everything long at once."""
    price = quote.priced.price
    groups = tuple(
        replace(price.groups[at % 18], name=f"Group {at}: {LONG * (1 + at % 3)}")
        for at in range(40)
    )
    priced = replace(quote.priced, price=replace(price, groups=groups))
    texts = {
        section: tuple(replace(one, text=f"{one.text} {'and more words ' * 12}") for one in clauses)
        for section, clauses in quote.clauses.items()
    }
    found = replace(
        quote, priced=priced, clauses=texts, cautions=quote.cautions * 3,
        exchange_units=quote.exchange_units * 20, long_leads=quote.long_leads * 10,
    )  # fmt: skip
    return with_job(
        found, number="Q-" + "9" * 60, releaser=LONG * 3, estimator="W" * 200,
        customer=Party(LONG * 4, ("X" * 300, "客户名称有限公司" * 20), LONG),
        workshop=Party(LONG * 2, (LONG, LONG)),
    )  # fmt: skip


@pytest.mark.parametrize("change", [lambda quote: quote, crowded], ids=["golden", "crowded"])
@pytest.mark.parametrize("locale", ["en_GB", "de_DE", "fr_FR"])
def test_nothing_leaves_the_page_or_covers_other_text(quote, change, locale):
    found = boxes(quote_pdf(change(quote), locale))
    assert len(found) > 400
    inside_and_apart(found)


@pytest.mark.parametrize("name", ["W" * 2000, "word " * 400, "漢" * 1500])
def test_a_text_longer_than_a_page_goes_on(quote, name):
    group = replace(quote.priced.price.groups[0], name=name)
    price = replace(quote.priced.price, groups=(group, *quote.priced.price.groups[1:]))
    text = printed(replace(quote, priced=replace(quote.priced, price=price))).text
    letter = name[0]
    assert text.count(letter) >= name.count(letter)


def test_machine_type_as_long_as_the_catalogue_allows(quote):
    row = replace(quote.priced.cat.machine_class, type="very long type " * 130)
    cat = replace(quote.priced.cat, machine_class=row)
    paper = printed(replace(quote, priced=replace(quote.priced, cat=cat)))
    assert paper.text.count("very") >= 130
