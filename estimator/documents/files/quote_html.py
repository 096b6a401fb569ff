"""The quote as a web page beside the PDF, for screen readers, large type and narrow windows.

The print cannot be tagged for screen readers; this page says the same, from the same texts, in one
file without script or anything from outside.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from estimator.documents.files import file_labels
from estimator.documents.files import html_labels as labels
from estimator.documents.files.html_annex import annex
from estimator.documents.files.html_look import PATTERNS, style_sheet
from estimator.documents.files.html_parts import paragraph, tag
from estimator.documents.files.html_price import (
    how_it_works,
    moving_sums,
    options,
    price_table,
    provisional_lines,
)
from estimator.documents.files.html_sheet import PageSheet
from estimator.documents.files.html_summary import summary
from estimator.documents.files.html_terms import acceptance, safety, terms
from estimator.documents.files.html_text import PageWords, Writer, plain, unmarked
from estimator.documents.grammar import labels as shared
from estimator.documents.grammar.about import About
from estimator.documents.grammar.dress import worn
from estimator.documents.grammar.page import Pages
from estimator.documents.grammar.spoken import speaking, written_in
from estimator.documents.quote.quote_pdf import about, pages_of
from estimator.domain.quote import Quote
from estimator.domain.quote_length import SHORT

_ENDS = frozenset({"rates", "annex"})  # sections that texts refer to by their page
_HEAD = re.compile(r'<h2 id="([^"]+)">(.*?)</h2>')
_TAGS = re.compile(r"<[^>]+>")
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"


def quote_html(
    quote: Quote, locale: str = "en_GB", chain_head: str = "", *, issued: bool = True,
    pages: Mapping[str, int] | None = None,
) -> bytes:  # fmt: skip
    """The page of `quote`, saying what `quote_pdf` of the same arguments prints, in the house style
    that is worn; marked as a draft where it is not `issued`.

    One HTML file in UTF-8: the same quote gives the same bytes. Without `pages` (by section, as
    `pages_of` has them) it lays the print out too, for its page numbers. Raises ValueError for a
    locale whose formats are not known.
    """
    known = pages_of(quote, locale, chain_head) if pages is None else pages
    with speaking(quote.language):
        terms_of_job = quote.priced.job.terms
        words = PageWords.of(locale, terms_of_job.currency, terms_of_job.quoting_unit)
        ends = frozenset() if quote.length == SHORT else _ENDS
        writer = Writer(words, ends, words.foreign_to(written_in()[:2]))
        sheet = PageSheet(quote, words, Pages(known), writer)
        return _page(sheet, chain_head, issued).encode("utf-8")


def _page(sheet: PageSheet, chain_head: str, issued: bool) -> str:
    told = about(sheet.quote, sheet.words)
    content = "".join(_sections(sheet, chain_head))
    draft = "" if issued else paragraph(sheet.html(file_labels.DRAFT), "draft")
    main = tag("main", draft + content, id="content", tabindex="-1")
    body = "\n".join([
        tag("a", plain(labels.SKIP), href="#content", class_="skip"),
        PATTERNS, _head(sheet, told), _contents(content), main, _foot(sheet, told),
    ])  # fmt: skip
    language = tag("html", f"{_meta(told)}\n<body>\n{body}\n</body>\n", lang=told.language,
                   dir="ltr")  # fmt: skip
    return f"<!DOCTYPE html>\n{language}\n"


def _sections(sheet: PageSheet, chain_head: str) -> list[str]:
    """Sections in the order of the print."""
    if sheet.quote.length == SHORT:
        first = sheet.said(sheet.clause("safety: first"), "second")
        form = sheet.said(sheet.clause("form of paper"), "strong")
        return [*summary(sheet), *how_it_works(sheet), form, first, *acceptance(sheet, chain_head)]
    return [
        *summary(sheet),
        *how_it_works(sheet),
        *moving_sums(sheet),
        *options(sheet),
        *price_table(sheet),
        *provisional_lines(sheet),
        *terms(sheet),
        *safety(sheet),
        *acceptance(sheet, chain_head),
        *annex(sheet),
    ]


def _meta(told: About) -> str:
    return "\n".join([
        "<head>",
        '<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">',
        '<meta name="referrer" content="no-referrer">',
        '<meta name="format-detection" content="telephone=no, date=no, address=no, email=no">',
        f'<meta name="author" content="{unmarked(told.sender)}">',
        f'<meta name="generator" content="{shared.PROGRAM}">',
        f"<title>{unmarked(told.title)}</title>",
        f"<style>{style_sheet()}</style>",
        "</head>",
    ])  # fmt: skip


def _head(sheet: PageSheet, told: About) -> str:
    """The workshop, how to reach it, and which quote this is."""
    lines = [paragraph(f"<bdi>{plain(told.sender)}</bdi>", "strong"),
             *(sheet.said(one) for one in worn().contact),
             sheet.said(told.reference), sheet.said(labels.BESIDE, "note")]  # fmt: skip
    return tag("header", "".join(lines))


def _contents(content: str) -> str:
    """Links to every section."""
    found = "".join(
        tag("li", f'<a href="#{key}">{_TAGS.sub("", words)}</a>')
        for key, words in _HEAD.findall(content)
    )
    return tag("nav", tag("ul", found), aria_label=labels.CONTENTS)


def _foot(sheet: PageSheet, told: About) -> str:
    lines = (*worn().footer, told.foot, told.note)
    return tag("footer", "".join(sheet.said(one) for one in lines))
