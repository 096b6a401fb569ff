"""Figures stay whole: no line breaks inside one, whatever the currency and however long."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.documents.grammar.fonts import width
from estimator.documents.grammar.look import WIDTH, style
from estimator.documents.grammar.paper import roomy
from estimator.documents.grammar.text import Line, Unbroken
from estimator.documents.grammar.wording import Words
from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.job import ExchangeRate
from estimator.domain.money import Money
from estimator.domain.priced_job import reckon
from estimator.domain.quote import build_quote
from tests.documents.read_back import printed

GROUPED = re.compile(r"^\d{1,3}(,\d{3})+(\.\d{2,3})?$")


@pytest.fixture(scope="module")
def dinars(job, catalogue):
    """The golden job in a currency of three decimals, quoted to the last of them."""
    rates = {code: ExchangeRate(code, Decimal(rate), date(2026, 11, 20), "invented")
             for code, rate in (("GBP", "3.9123"), ("EUR", "3.36"))}  # fmt: skip
    terms = replace(job.terms, currency="KWD", quoting_unit=Decimal("0.001"))
    changed = replace(job, terms=terms, exchange_rates=rates)
    return build_quote(reckon(changed, for_class(catalogue, job.machine.class_id)))


def test_no_figure_is_broken(dinars):
    paper = printed(dinars)
    price = dinars.priced.price
    amounts = [
        price.net,
        price.totals.gross,
        price.totals.tax,
        price.contingency,
        price.firm,
        price.provisional_lines,
        *price.by_kind.values(),
        *(group.lines for group in price.groups),
        *(one.net for one in dinars.options),
    ]
    lines = set(paper.lines)
    tokens = set(paper.text.split())
    hours = f"{price.hours.normalize():,.1f}"
    for amount in amounts:
        shown = f"{amount.amount:,.3f}" if amount else "–"
        assert shown in tokens, shown
    assert f"KWD {price.net.amount:,.3f}" in lines  # the headline, on one line
    for token in tokens:
        plain = token.strip("().,;:=−+")
        if re.match(r"^[\d.,]+$", plain) and "," in plain and plain != hours:
            assert GROUPED.match(plain), token
    assert "Exchange rates used: 1 EUR = 3.36 KWD, 20 November 2026;" in paper.text
    assert "1 GBP = 3.9123 KWD, 20 November 2026." in paper.text
    assert "Where the contingency may go Component group KWD" in paper.text


def test_a_figure_too_long_is_set_smaller():
    text = "KWD\u00a0123,456,107,556.402"
    figure = Unbroken(text, style("figure"))
    assert figure.wide > 100
    assert figure.wrap(100, 50) == (100, style("figure").leading)


def test_columns_give_way_to_their_figures():
    look = style("cell", "right")
    figure = Unbroken("1,234,567,890.123", look)
    rows = [[Line("name", style("cell")), figure], [Line("other", style("cell")), ""]]
    first, second = roomy(rows, [WIDTH - 30, 30])
    assert second >= width(figure.plain, look.fontName, look.fontSize) + 5
    assert first + second == pytest.approx(WIDTH)
    spans = [[Line("name", style("cell")), Unbroken("1,234,567,890.123", look, spans=True)]]
    assert roomy(spans, [WIDTH - 30, 30]) == [WIDTH - 30, 30]


@pytest.mark.parametrize("value", ["-0", "-0.4", "-0.0049", "0.3"])
def test_nothing_never_carries_a_minus(value):
    words = Words.of("en_GB", "GBP", Decimal(1))
    assert words.number(Decimal(value), 0) == "0"
    assert words.quantity(Decimal("-0.0001")) == "0"
    assert words.money(-Money(0, "GBP")) == "£0"
    assert words.sum(-Money(0, "GBP")) == "–"


def test_rates_keep_their_digits():
    words = Words.of("en_GB", "GBP", Decimal(1))
    assert words.rate(Decimal("0.8600")) == "0.86"
    assert words.rate(Decimal("0.391234")) == "0.391234"
    assert words.rate(Decimal(3)) == "3.00"


@pytest.mark.parametrize(
    ("locale", "note"),
    [
        ("de_DE", "Figures and dates are written as in German (Germany); the text is in English."),
        ("fr_FR", "Figures and dates are written as in French (France); the text is in English."),
    ],
)
def test_a_foreign_locale_is_explained_once(quote, locale, note):
    paper = printed(quote, locale)
    assert note in " ".join(paper.pages[0].split())
    assert paper.text.count(note) == 1


def test_an_english_locale_needs_no_note(paper):
    assert "are written as in" not in paper.text
