"""The customer's documents before acceptance: the quote in its lengths, and what goes beside it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace

from estimator.domain.catalogue.rows import REPAIR
from estimator.domain.quote import build_quote
from estimator.domain.quote_length import FULL, SHORT, STANDARD
from estimator.domain.reasons import Reasons
from estimator.domain.wording import said_by, worded
from estimator.services.compare_with_new import comparison_bytes
from estimator.services.errors import NotReckoned
from estimator.services.paper_kinds import PaperKind, Source, Why
from estimator.services.quote_as_data import quotation_of


def _quote(length: str) -> Callable[[Source], bytes]:
    """The maker of a quote of this length: the bytes that were issued where it was issued so, else
    made from what was frozen, or of a draft from the job as it is."""

    def make(source: Source) -> bytes:
        from estimator.documents.quote.quote_pdf import quote_pdf

        issued = source.issued
        if issued is not None and not source.paper:
            printed = json.loads(issued.inputs).get("print", {})
            if (printed.get("locale"), printed.get("length")) == (source.locale, length):
                return issued.pdf
        priced = source.priced
        own = replace(priced, reasons=Reasons(dict(priced.reasons.figures)))
        source.progress("quote")
        quote = build_quote(own, source.language, length=length)
        if issued is None:
            source.progress("print")
            return quote_pdf(quote, source.locale)
        quote = replace(quote, record=issued.record)
        source.progress("print")
        data = quotation_of(quote, issued.issued_at, issued.chain_head)
        return quote_pdf(quote, source.locale, issued.chain_head, attached=data)

    return make


def _budget(source: Source) -> bytes:
    from estimator.documents.quote.budget_letter import budget_letter_pdf
    from estimator.domain.budget_letter import budget_letter
    from estimator.domain.pricing import NoRate

    try:
        letter = budget_letter(source.job, source.cat, source.language)
    except (NoRate, ValueError) as error:
        raise NotReckoned(
            worded("{title} has no budget letter: {error}.", title=source.job.title,
                   error=said_by(error)),
            worded("Where somebody has looked at the machine, print the quote."),
        ) from error  # fmt: skip
    return budget_letter_pdf(letter, source.locale, source.paper)


def _lacks_budget(source: Source) -> Why:
    if source.issued is not None:
        return worded("It is issued: the quote says more.")
    if source.not_valid:
        return worded("Not known yet, or not valid: {places}.", places=", ".join(source.not_valid))
    return ""


def _revision(source: Source) -> bytes:
    from estimator.documents.quote.revision_letter import revision_letter_pdf
    from estimator.services.revision_letter import revision_letter

    before = source.issued_before
    if before is None:
        raise NotReckoned(
            worded("{title} has no revision before it.", title=source.job.title), _ISSUE_FIRST
        )
    letter = revision_letter(before, source.priced, source.language)
    return revision_letter_pdf(letter, source.locale, source.paper)


_ISSUE_FIRST = worded("Issue a revision, revise it, then print what changed.")


def _lacks_before(source: Source) -> Why:
    return "" if source.issued_before is not None else worded("No revision was issued before it.")


def _options(source: Source) -> bytes:
    from estimator.documents.quote.options_page import options_page_pdf
    from estimator.domain.options_page import options_page

    page = options_page(source.priced, source.language, source.progress)
    return options_page_pdf(page, source.locale, source.paper)


def _new_machine(source: Source) -> bytes:
    return comparison_bytes(source.priced, source.job.new_machine, source.locale, source.paper)


def _lacks_rebuild(source: Source) -> Why:
    if source.job.level == REPAIR:
        return worded("It is a repair: the machine's life is not renewed.")
    return ""


_PRICED = worded("a job that can be priced")

CUSTOMER_PAPERS = (
    PaperKind("budget", worded("Budget letter"), True,
              worded("a machine that nobody has looked at"), _budget, _lacks_budget),
    PaperKind("quote-short", worded("Quote, short"), True, _PRICED, _quote(SHORT)),
    PaperKind("quote", worded("Quote"), True, _PRICED, _quote(STANDARD)),
    PaperKind("quote-full", worded("Quote, full breakdown"), True, _PRICED, _quote(FULL)),
    PaperKind("options", worded("Options side by side"), True, _PRICED, _options),
    PaperKind("revision", worded("What changed"), True,
              worded("a revision that was issued before"), _revision, _lacks_before),
    PaperKind("rebuild-or-new", worded("Rebuild or new"), True, _PRICED, _new_machine,
              _lacks_rebuild),
)  # fmt: skip
"""In the order in which they are usually sent."""
