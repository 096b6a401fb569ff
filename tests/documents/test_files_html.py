"""The web page beside the print: read back with another parser, it says what the PDF says."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from functools import cache

import pytest
from lxml import etree, html

from estimator.documents.files.html_look import DRAWN_PAIRS, TEXT_PAIRS, colours, style_sheet
from estimator.documents.files.html_text import PageWords, Writer
from estimator.documents.files.quote_html import quote_html
from estimator.documents.grammar.dress import dressed
from estimator.documents.grammar.fonts import clean
from estimator.documents.grammar.links import PageNumber
from estimator.documents.quote.quote_pdf import pages_of
from estimator.domain.house_style import HouseStyle
from estimator.domain.quote import build_quote
from tests.documents.file_sources import HOSTILE, euro_quote, golden_quote, hostile_quote
from tests.documents.read_back import printed, read_back
from tests.golden.golden_job import golden_priced

QUOTES = {
    "pounds": (golden_quote, "en_GB"),
    "with options": (lambda: build_quote(golden_priced()), "en_GB"),
    "euros, fixed": (euro_quote, "de_DE"),
    "full": (lambda: build_quote(golden_priced(), with_options=False, length="full"), "en_GB"),
    "short": (lambda: build_quote(golden_priced(), with_options=False, length="short"), "en_GB"),
    "dollars way": (golden_quote, "en_US"),
}
CASES = tuple(QUOTES)
VOID = {"meta", "br", "link", "img", "hr"}


@cache
def quote_of(case):
    make, locale = QUOTES[case]
    return make(), locale


@cache
def page(case):
    quote, locale = quote_of(case)
    return quote_html(quote, locale)


@cache
def tree(case):
    return parsed(page(case))


def parsed(data):
    return html.document_fromstring(data.decode("utf-8"))


@cache
def pdf(case):
    return printed(*quote_of(case))


def squeezed(text):
    """Letters and figures alone: lines break and hyphens stand elsewhere in print."""
    return re.sub(r"[^\w£€$%]", "", text)


def shown(one, *, small_bars=True):
    """All that is read of an element, pictures by their words: the print only draws small bars."""
    copy = html.fromstring(html.tostring(one, encoding="unicode"))
    for picture in copy.iter("svg"):
        if small_bars or "small" not in (picture.get("class") or ""):
            picture.text = f" {picture.get('aria-label', '')} "
    for block in copy.iter("p", "li", "td", "th", "dt", "dd", "h1", "h2", "h3"):
        block.tail = f" {block.tail or ''}"
    return " ".join(copy.text_content().split())


# -- the same as the print -------------------------------------------------------------------------

SUM = re.compile(r"\d{1,3}(?:[.,\u202f\u00a0 ]\d{3})*(?:[.,]\d{2})?(?!\d)")


@pytest.mark.parametrize("case", CASES)
def test_every_list_point_clause_and_note_stands_in_the_print(case):
    text = squeezed(pdf(case).text)
    main = tree(case).get_element_by_id("content")
    found = [shown(one) for one in main.iter("p", "li", "h1", "h2", "h3")]
    found = [one for one in found if "to be filled in" not in one]
    assert len(found) > (30 if case == "short" else 60)
    assert [one for one in found if squeezed(one) not in text] == []


@pytest.mark.parametrize("case", CASES)
def test_every_word_of_the_print_stands_on_the_page(case):
    text = squeezed(shown(tree(case).body))
    words = set(re.findall(r"(?<![\w-])[A-Za-z]{4,}(?![\w-])", pdf(case).text))
    assert len(words) > (200 if case == "short" else 400)
    assert {one for one in words if one not in text} <= {"Page"}


@pytest.mark.parametrize("case", CASES)
def test_every_clause_of_the_quote_stands_on_the_page_as_in_print(case):
    quote, _ = quote_of(case)
    page_text, print_text = squeezed(shown(tree(case).body)), squeezed(pdf(case).text)
    checked = 0
    for texts in quote.clauses.values():
        for one in texts:
            parts = [squeezed(part) for part in re.split(r"\{\w+\}", one.text)]
            on_paper = all(part in print_text for part in parts)
            assert all(part in page_text for part in parts) or not on_paper, one
            checked += on_paper
    assert checked > (15 if case == "short" else 60)


def words_with_figures(text):
    return Counter(
        re.sub(r"^[^\w£€$\u2212]+|[^\w%]+$", "", one)
        for one in text.split() if any(sign.isdigit() for sign in one)
    )  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_figures_of_page_and_print_are_the_same(case):
    """Every word that holds a digit, both ways; foot and head of the print are on every page."""
    on_page = set(words_with_figures(shown(tree(case).body, small_bars=False)))
    in_print = set(words_with_figures(pdf(case).text))
    parts = {part for one in in_print for part in re.findall(r"[\d.,]+\d|\d", one)}
    assert {one for one in on_page
            if not set(re.findall(r"[\d.,]+\d|\d", one)) <= parts} == set()  # fmt: skip
    parts = {part for one in on_page for part in re.findall(r"[\d.,]+\d|\d", one)}
    left = {part for one in in_print for part in re.findall(r"[\d.,]+\d|\d", one)} - parts
    pages = {str(number + 1) for number in range(len(pdf(case).pages))}
    assert left <= pages, left


@pytest.mark.parametrize("case", CASES)
def test_days_are_marked_with_the_day_they_are(case):
    quote, locale = quote_of(case)
    found = {one.get("datetime"): one.text for one in tree(case).iter("time")}
    told = {one.get("lang") for one in tree(case).iter("time")}
    assert told == ({"de"} if locale == "de_DE" else {None})
    for day in (quote.valid_until, quote.ready_covered, quote.ready_likely, quote.order_by):
        words = PageWords.of(locale, "GBP", quote.priced.job.terms.quoting_unit)
        assert clean(words.day(day)) == found[day.isoformat()]
        assert squeezed(found[day.isoformat()]) in squeezed(pdf(case).text)


@pytest.mark.parametrize("case", [one for one in CASES if "fixed" not in one])
def test_the_bar_says_its_three_sums(case):
    quote, locale = quote_of(case)
    words = PageWords.of(locale, "GBP", quote.priced.job.terms.quoting_unit)
    price = quote.priced.price
    said = tree(case).xpath("//figure/svg/@aria-label")[0]
    sums = [clean(words.money(one))
            for one in (price.firm, price.provisional_lines, price.contingency)]  # fmt: skip
    at = [said.index(f"{name} {one}") for name, one in
          zip(("Firm", "Provisional", "Contingency"), sums, strict=True)]  # fmt: skip
    assert at == sorted(at)


@pytest.mark.parametrize("case", ["pounds", "with options", "full"])
def test_small_bars_say_the_sums_of_their_group(case):
    quote, locale = quote_of(case)
    words = PageWords.of(locale, "GBP", quote.priced.job.terms.quoting_unit)
    said = {row.find("th").get("abbr"): row.xpath(".//svg/@aria-label")
            for row in tree(case).xpath("//table[caption/h2/@id='price']/tbody/tr")}  # fmt: skip
    groups = [one for one in quote.priced.price.groups if one.hours or one.lines]
    assert set(said) == {one.name for one in groups}
    for one in groups:
        parts = [f"{name} {clean(words.money(amount))}" for name, amount in
                 (("Firm", one.firm), ("Provisional", one.provisional)) if amount]  # fmt: skip
        assert said[one.name] == [", ".join(parts)]


def test_a_fixed_price_sets_nothing_apart():
    found = tree("euros, fixed")
    assert not found.xpath("//figure")
    assert not found.xpath("//svg[@role='img']")


def test_page_numbers_are_those_of_the_print_and_lead_to_their_section():
    pages = pages_of(golden_quote())
    found = {one.get("href"): one.text for one in tree("pounds").xpath("//main//a")}
    assert found == {f"#{key}": str(pages[key]) for key in ("rates", "annex")}


def test_what_is_issued_names_its_chain_and_a_draft_says_so():
    issued = shown(parsed(quote_html(golden_quote(), chain_head="ab" * 32, pages={})).body)
    assert "Record chain abab abab abab abab abab abab." in issued
    assert "Draft" not in issued
    draft = parsed(quote_html(golden_quote(), issued=False, pages={}))
    assert draft.xpath("//main/p[@class='draft']")[0].text == "Draft: not issued, and no offer"


def test_cost_and_margin_are_not_on_the_page():
    for case in CASES:
        text = shown(tree(case).body)
        assert not re.search(r"\b(margin|exposed|P80|simulation|percentile)\b", text, re.I)


# -- well made -------------------------------------------------------------------------------------


@pytest.mark.parametrize("case", [*CASES, "hostile"])
def test_every_element_is_closed_where_it_was_opened(case):
    """Read as XML, which forgives nothing, once empty elements are closed."""
    data = quote_html(hostile_quote(), pages={}) if case == "hostile" else page(case)
    text = re.sub(r"<(meta|br)\b([^>]*)>", r"<\1\2/>", data.decode("utf-8"))
    root = etree.fromstring(text.encode().removeprefix(b"<!DOCTYPE html>\n"))
    names = {one.tag for one in root.iter() if isinstance(one.tag, str)}
    known = set(html.defs.tags) | {"main", "nav", "section", "header", "footer", "figure", "bdi",
            "time", "svg", "rect", "defs", "pattern", "circle"}  # fmt: skip
    assert names <= known, names - known
    assert not names & {"script", "img", "iframe", "object", "link", "form", "base"}


@pytest.mark.parametrize("case", CASES)
def test_headings_landmarks_and_language(case):
    root = tree(case)
    quote, _ = quote_of(case)
    assert root.get("lang") == quote.language
    assert len(root.xpath("//h1")) == 1
    levels = [int(one.tag[1]) for one in root.iter("h1", "h2", "h3", "h4")]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in zip(levels, levels[1:], strict=False))
    assert all(shown(one) for one in root.iter("h1", "h2", "h3"))
    for name in ("header", "nav", "main", "footer"):
        assert len(root.xpath(f"/html/body/{name}")) == 1
    first = root.body[0]
    assert (first.tag, first.get("href")) == ("a", "#content")
    assert root.get_element_by_id("content").tag == "main"
    assert root.findtext(".//title").startswith("Quote Q-2041")


@pytest.mark.parametrize("case", CASES)
def test_tables_say_what_heads_what(case):
    tables = tree(case).xpath("//table")
    assert len(tables) >= (2 if case == "short" else 6)
    for table in tables:
        assert shown(table.find("caption"))
        assert all(one.get("scope") in ("col", "row") and shown(one) for one in table.iter("th"))
        assert all(row.xpath("./th[@scope='row']") for row in table.xpath("./tbody/tr|./tfoot/tr"))
        widths = {sum(int(cell.get("colspan", 1)) for cell in row) for row in table.iter("tr")}
        assert len(widths) == 1, shown(table)[:80]
        frame = table.getparent()
        assert frame.get("tabindex") == "0"
        assert tree(case).get_element_by_id(frame.get("aria-labelledby")) is table[0]


@pytest.mark.parametrize("case", CASES)
def test_links_lead_somewhere_and_names_are_used_once(case):
    root = tree(case)
    names = root.xpath("//@id")
    assert len(names) == len(set(names))
    for one in root.iter("a"):
        assert shown(one)
        assert one.get("href")[1:] in names
    for picture in root.iter("svg"):
        assert (picture.get("role") == "img" and picture.get("aria-label")
                ) or picture.get("aria-hidden") == "true"  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_nothing_comes_from_outside(case):
    text = page(case).decode("utf-8")
    assert not re.search(r"(?i)\b(src|srcset|background|action|data)=", text)
    assert not re.search(r"@import|https?:|javascript:|\bon\w+=|style=", text)
    assert set(re.findall(r"url\(([^)]*)\)", text)) <= {"#pattern-hatch", "#pattern-dots"}
    assert "default-src 'none'" in text


def test_the_page_follows_the_readers_size_and_window():
    text = style_sheet()
    assert "@media print" in text
    assert not re.search(r"font(-size)?:\s*\d+px", text)
    widths = re.findall(r"(?<![-\w])(?:min-)?width:(\d+(?:\.\d+)?)(px|rem)", text)
    assert all(float(size) * (16 if unit == "rem" else 1) <= 320 - 32 for size, unit in widths)
    assert (
        'name="viewport" content="width=device-width, initial-scale=1"' in page("pounds").decode()
    )


# -- contrast --------------------------------------------------------------------------------------


def contrast(one, other):
    """WCAG 2.2: (lighter + 0.05) / (darker + 0.05) of relative luminances."""

    def luminance(colour):
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        red, green, blue = (
            part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    light = sorted((luminance(one), luminance(other)))
    return (light[1] + 0.05) / (light[0] + 0.05)


def test_colours_stand_out():
    found = colours()
    for text, ground in TEXT_PAIRS:
        assert contrast(found[text], found[ground]) >= 4.5, text
    for drawn, ground in DRAWN_PAIRS:
        assert contrast(found[drawn], found[ground]) >= 3, drawn


def test_every_colour_of_the_style_sheet_is_a_pair_that_was_checked():
    text = style_sheet()
    rules = text.partition("}")[2]
    assert not re.search(r"#[0-9a-fA-F]{3,6}\b(?!-)", rules.replace("#pattern", ""))
    written = set(re.findall(r"(?<![-\w])color:var\(--([\w-]+)\)", rules))
    assert written <= {one for one, _ in TEXT_PAIRS}
    grounds = set(re.findall(r"background:var\(--([\w-]+)\)", rules))
    assert grounds == {"paper", "ink"}


def test_the_workshops_own_style_is_worn():
    style = HouseStyle(phone="01 234", head_colour="#7A1F1F", footer=("Own <foot>",),
                       terms="First.\n\nSecond & last.")  # fmt: skip
    with dressed(style):
        root = parsed(quote_html(golden_quote(), pages={}))
    assert "--head:#7A1F1F;" in root.findtext(".//style")
    assert "01 234" in shown(root.xpath("//header")[0])
    assert "Own <foot>" in shown(root.xpath("//footer")[0])
    own = root.get_element_by_id("own-terms")
    assert [one.text for one in own.itersiblings("p")][:2] == ["First.", "Second & last."]


# -- text from outside -----------------------------------------------------------------------------


def test_hostile_text_is_text():
    data = quote_html(hostile_quote(), pages={})
    text = data.decode("utf-8")
    root = parsed(data)
    assert not root.xpath("//evil") and not root.xpath("//*[@onerror]")
    assert "<evil" not in text and "&lt;evil" in text
    signs = "\x00-\x08\x0b-\x1f\x7f\u200e\u200f\u202a-\u202e\u2066-\u2069\ue000-\uf8ff"
    assert not re.search(f"[{signs}]", text)
    assert HOSTILE[11].split()[0] in text


def test_no_text_passes_for_a_mark():
    words = PageWords.of("en_GB", "GBP", golden_quote().priced.job.terms.quoting_unit)
    day = words.day(golden_quote().valid_until)
    writer = Writer(words, frozenset({"rates"}))
    assert writer.text(day).startswith('<time datetime="2026-')
    forged = "\ue0101 May\ue011 \ue010<b>\ue011"
    assert writer.text(forged) == "1 May &lt;b&gt;"
    assert writer.text(f"{PageNumber(3, 'rates')}") == '<a href="#rates">3</a>'
    assert writer.text(f"{PageNumber(3, 'elsewhere')}") == "3"


def test_the_same_quote_gives_the_same_bytes():
    assert quote_html(golden_quote()) == page("pounds")
    other = replace(golden_quote(), record="0" * 64)
    assert quote_html(other) != page("pounds")


@pytest.mark.parametrize("language", ["de", "fr", "es", "pl"])
def test_the_page_speaks_the_documents_language(language):
    from estimator.documents.files import html_labels
    from estimator.documents.grammar.spoken import speaking

    english = html_labels.SKIP
    quote = build_quote(golden_priced(), language, with_options=False)
    root = parsed(quote_html(quote, f"{language}_{language.upper()}", pages={}))
    with speaking(language):
        assert english != html_labels.SKIP
        assert shown(root.body[0]) == html_labels.SKIP
    assert root.get("lang") == language


def test_a_print_of_the_same_arguments_has_those_pages():
    from estimator.documents.quote.quote_pdf import quote_pdf

    pages = pages_of(golden_quote(), "de_DE", "cd" * 32)
    paper = read_back(quote_pdf(golden_quote(), "de_DE", "cd" * 32))
    assert "Work and parts in this price" in paper.pages[pages["annex"] - 1]
    assert "Charge rates, before tax" in paper.pages[pages["rates"] - 1]
