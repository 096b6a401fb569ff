"""The customer's quote as a PDF."""

from __future__ import annotations

from typing import Any

from babel.numbers import get_currency_name
from reportlab.platypus import CondPageBreak, KeepTogether

from estimator.documents import labels
from estimator.documents.acceptance import acceptance
from estimator.documents.annex import annex
from estimator.documents.columns import together
from estimator.documents.how_it_works import how_it_works
from estimator.documents.moving_sums import moving_sums, provisional_lines
from estimator.documents.options import options
from estimator.documents.page import About, Pages, lay_out
from estimator.documents.price_table import price_table
from estimator.documents.sheet import Sheet
from estimator.documents.summary import summary
from estimator.documents.terms import safety, terms
from estimator.documents.wording import Words
from estimator.domain.quote import Quote

_HALF_PAGE, _TABLE_ROOM = 370.0, 600.0
_EXPECTED = Pages(7, {"rates": 2, "annex": 6})


def quote_pdf(quote: Quote, locale: str = "en_GB", chain_head: str = "") -> bytes:
    """The printed quote of `quote`, numbers and dates written as `locale` has them. On what is
    issued, `chain_head` (SHA-256 in hexadecimal) is the head of the record's log.

    The same quote and locale give the same bytes. Workshop cost and margin never appear, nor the
    odds behind the contingency. Raises ValueError for a locale whose formats are not known.
    """
    terms_of_job = quote.priced.job.terms
    words = Words.of(locale, terms_of_job.currency, terms_of_job.quoting_unit)

    def story(pages: Pages) -> list[Any]:
        sheet = Sheet(quote, words, pages)
        full = pages.of("payment") > 1  # a full first page: what follows then takes a third
        provisional = provisional_lines(sheet)
        return [
            *summary(sheet),
            CondPageBreak(_HALF_PAGE),
            *how_it_works(sheet),
            *moving_sums(sheet),
            *options(sheet),
            *(provisional if full else ()),
            CondPageBreak(_TABLE_ROOM),
            *price_table(sheet),
            *(() if full else provisional),
            *terms(sheet),
            *together([*safety(sheet), KeepTogether(acceptance(sheet, chain_head))]),
            *annex(sheet),
        ]

    expected = Pages(_EXPECTED.total, _EXPECTED.sections)
    return lay_out(story, _about(quote, words), expected)


def _about(quote: Quote, words: Words) -> About:
    job = quote.priced.job
    reference = labels.REFERENCE.format(title=job.title, day=words.day(job.date))
    currency = get_currency_name(job.terms.currency, count=2, locale="en")
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
        language=labels.LANGUAGE,
        day=job.date,
        note=_note(quote, words),
    )


def _note(quote: Quote, words: Words) -> str:
    """Said once where figures follow one language and the whole text another."""
    clauses = [one for texts in quote.clauses.values() for one in texts]
    english = quote.language == labels.LANGUAGE or all(one.in_english for one in clauses)
    if not english or not words.foreign_to(labels.LANGUAGE):
        return ""
    return labels.WRITTEN_AS.format(locale=words.locale_name)
