"""The customer's papers beside the standard quote, made once in a run from the worked job, in two
currencies and forms, and with hostile text."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from functools import cache

from estimator.documents.quote.budget_letter import budget_letter_pdf
from estimator.documents.quote.options_page import options_page_pdf
from estimator.documents.quote.quote_pdf import quote_pdf
from estimator.documents.quote.revision_letter import revision_letter_pdf
from estimator.domain.budget_letter import BudgetLetter, budget_letter
from estimator.domain.language import language_of
from estimator.domain.options_page import OptionsPage, options_page
from estimator.domain.people import Person
from estimator.domain.priced_job import PricedJob, reckon
from estimator.domain.quote import Quote, build_quote
from estimator.domain.revision_letter import RevisionLetter
from estimator.services.issue_quote import freeze
from estimator.services.revision_letter import revision_letter
from tests.documents.file_sources import euro_quote
from tests.golden.golden_job import golden_inputs, golden_priced

AT = datetime(2026, 11, 25, 12, 30, tzinfo=UTC)
WHO = Person("1", "J. Tarn", "service manager", True)
KINDS = ("quote-short", "quote-full", "budget", "revision", "options")


@cache
def quote_of(length: str, language: str = "en") -> Quote:
    """The worked quote in a length, with its options, which are reckoned once."""
    made = build_quote(golden_priced(), language, with_options=False, length=length)
    return replace(made, options=options_of_golden())


@cache
def options_of_golden():
    return build_quote(golden_priced()).options


@cache
def letter(language: str = "en") -> BudgetLetter:
    job, cat = golden_inputs()
    return budget_letter(replace(job, findings=()), cat, language)


@cache
def page(language: str = "en") -> OptionsPage:
    return options_page(golden_priced(), language)


@cache
def revised() -> PricedJob:
    """The worked job as it might be revised: one finding gone, one judged otherwise, terms."""
    job, cat = golden_inputs()
    findings = [
        replace(one, override="replace", override_reason="cracked") if one.id == "I13" else one
        for one in job.findings if one.id != "I11"
    ]  # fmt: skip
    terms = replace(job.terms, valid_days=45)
    return reckon(replace(job, revision="B", date=date(2026, 12, 1), findings=tuple(findings),
                          terms=terms), cat)  # fmt: skip


@cache
def issued():
    quote = build_quote(golden_priced(), with_options=False)
    return freeze(quote, b"", WHO, WHO, AT, "ab" * 32, "en_GB")


@cache
def change(language: str = "en") -> RevisionLetter:
    return revision_letter(issued(), revised(), language)


def printed_as(kind: str, locale: str = "en_GB", paper: str = "") -> bytes:
    """A paper of the worked job."""
    language = language_of(locale)
    if kind.startswith("quote-"):
        return quote_pdf(quote_of(kind.removeprefix("quote-"), language), locale)
    if kind == "budget":
        return budget_letter_pdf(letter(language), locale, paper)
    if kind == "revision":
        return revision_letter_pdf(change(language), locale, paper)
    return options_page_pdf(page(language), locale, paper)


@cache
def euro_priced() -> PricedJob:
    """Fixed price in euros, to the cent, without tax."""
    return euro_quote().priced


def many_lines(quote: Quote, count: int) -> Quote:
    """The quote with every line `count` times over, its sums as they are: for its pages alone."""
    lines = tuple(
        replace(one, line=replace(one.line, id=f"{one.line.id}-{at}"))
        for one in quote.priced.lines for at in range(count)
    )  # fmt: skip
    return replace(quote, priced=replace(quote.priced, lines=lines))


ODD = ("</para><b>&amp;<i>", "a\x00b\x07c\ufffe\ud800d", "\u202egnp.exe\u202c \u200fname",
       "W" * 400, "\u91cd\u673a \u0416\u0423\u041a \u039b", "{contingency} {title}")  # fmt: skip


def odd_job(job):
    """A job with hostile text wherever text comes from somebody."""
    party = replace(job.customer, name=ODD[3], address=ODD[:3], contact=ODD[4])
    workshop = replace(party, name=ODD[0], address=ODD[4:])
    machine = replace(job.machine, serial=ODD[1])
    return replace(job, customer=party, workshop=workshop, estimator=ODD[2], machine=machine)


def hostile(head):
    """A paper's head of such a job."""
    return replace(head, job=odd_job(head.job))


def odd_quote(length: str) -> Quote:
    """The worked quote of such a job, its lines named so too."""
    quote = quote_of(length)
    lines = tuple(
        replace(one, line=replace(one.line, row=replace(one.line.row, name=ODD[at % len(ODD)])))
        for at, one in enumerate(quote.priced.lines)
    )  # fmt: skip
    priced = replace(quote.priced, job=odd_job(quote.priced.job), lines=lines)
    return replace(quote, priced=priced)
