"""The customer's quote as a PDF."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from babel.numbers import get_currency_name
from reportlab.platypus import CondPageBreak, KeepTogether

from estimator.documents.grammar import labels
from estimator.documents.grammar.closing import own_terms
from estimator.documents.grammar.columns import together
from estimator.documents.grammar.page import About, Attached, Later, Pages, lay_out
from estimator.documents.grammar.sheets import share_of_page
from estimator.documents.grammar.spoken import speaking, tag, written_in
from estimator.documents.grammar.wording import Words, english_note
from estimator.documents.quote.acceptance import acceptance
from estimator.documents.quote.annex import annex
from estimator.documents.quote.breakdown import breakdown
from estimator.documents.quote.how_it_works import how_it_works
from estimator.documents.quote.moving_sums import moving_sums, provisional_lines
from estimator.documents.quote.options import options
from estimator.documents.quote.price_table import price_table
from estimator.documents.quote.sheet import Sheet
from estimator.documents.quote.summary import summary
from estimator.documents.quote.terms import safety, terms
from estimator.domain.quote import Quote
from estimator.domain.quote_length import FULL, SHORT

_HALF_PAGE, _TABLE_ROOM = 370.0, 600.0
_SECTIONS = {"rates": 2, "annex": 6}  # pages that most quotes have them on


def quote_pdf(
    quote: Quote, locale: str = "en_GB", chain_head: str = "", attached: tuple[Attached, ...] = ()
) -> bytes:
    """The printed quote of `quote` in its length, numbers and dates written as `locale` has them.
    On what is issued, `chain_head` (SHA-256 in hexadecimal) is the head of the record's log, and
    `attached` the quote as data.

    The same quote and locale give the same bytes. Workshop cost and margin never appear, nor the
    odds behind the contingency. Raises ValueError for a locale whose formats are not known.
    """
    with speaking(quote.language):
        return _made(quote, locale, chain_head, attached)


def pages_of(quote: Quote, locale: str = "en_GB", chain_head: str = "") -> dict[str, int]:
    """Page of every section that the print of the same arguments refers to, by its key. Lays the
    document out. Raises as `quote_pdf`."""
    asked: list[Pages] = []
    with speaking(quote.language):
        _made(quote, locale, chain_head, asked=asked)
    return dict(asked[-1].told)


def _made(
    quote: Quote, locale: str, chain_head: str, attached: tuple[Attached, ...] = (),
    asked: list[Pages] | None = None,
) -> bytes:  # fmt: skip
    """The document; every set of page numbers that it was laid out with goes into `asked`."""
    terms_of_job = quote.priced.job.terms
    words = Words.of(locale, terms_of_job.currency, terms_of_job.quoting_unit)

    def story(pages: Pages) -> list[Any]:
        if asked is not None:
            asked.append(pages)
        sheet = Sheet(quote, words, pages)
        if quote.length == SHORT:
            return _short(sheet, chain_head)
        full = pages.of("payment") > 1  # a full first page: what follows then takes a third
        provisional = provisional_lines(sheet)
        return [
            *summary(sheet),
            CondPageBreak(share_of_page(_HALF_PAGE)),
            *how_it_works(sheet),
            *moving_sums(sheet),
            *options(sheet),
            *(provisional if full else ()),
            CondPageBreak(share_of_page(_TABLE_ROOM)),
            *price_table(sheet),
            *(() if full else provisional),
            *terms(sheet),
            *own_terms(sheet),
            *together([*safety(sheet), KeepTogether(acceptance(sheet, chain_head))]),
            Later(lambda: breakdown(sheet) if quote.length == FULL else annex(sheet)),
        ]

    said = replace(about(quote, words), attached=attached)
    return lay_out(story, said, Pages({} if quote.length == SHORT else _SECTIONS))


def _short(sheet: Sheet, chain_head: str) -> list[Any]:
    """The first page, what may move, what the paper leaves to the standard form, the page to
    sign."""
    return [
        *summary(sheet),
        CondPageBreak(share_of_page(_HALF_PAGE)),
        *how_it_works(sheet),
        sheet.text(sheet.clause("form of paper"), "strong", before=8, after=2),
        sheet.text(sheet.clause("safety: first"), "second"),
        KeepTogether(acceptance(sheet, chain_head)),
    ]


def about(quote: Quote, words: Words) -> About:
    """What the quote says of itself on every page."""
    job = quote.priced.job
    reference = labels.REFERENCE.format(title=job.title, day=words.day(job.date))
    currency = get_currency_name(job.terms.currency, count=2, locale=written_in())
    prices = [labels.PRICES_IN.format(currency=currency)]
    tax = quote.priced.cat.tax[job.terms.tax_category]
    if tax.rate_percent:
        prices.append(labels.BESIDES_TAX.format(tax=tax.name))
    title = labels.TITLE.format(machine=quote.priced.cat.machine_class.type)
    address = ", ".join(job.workshop.address)
    return About(
        sender=job.workshop.name,
        reference=reference,
        foot="   \u00b7   ".join(filter(None, (address, ", ".join(prices)))),
        title=f"{reference} \u00b7 {title}",
        subject=job.machine.serial,
        language=tag(),
        day=job.date,
        locale=str(words.locale),
        note=_note(quote, words),
    )


def _note(quote: Quote, words: Words) -> str:
    """Said once: that translations are not confirmed, that text is left in English."""
    said = []
    if quote.unconfirmed:
        said.append(labels.UNCONFIRMED.format(mark=labels.UNCONFIRMED_MARK))
    said.append(english_note(words, quote.partly_english))
    return " ".join(filter(None, said))
