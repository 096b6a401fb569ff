"""Quotes on their way into files: the worked one, another currency and form, and hostile text."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import cache

from estimator.documents.files.quote_rows import STANDARD, FileQuote
from estimator.domain.job import ExchangeRate, Party, Stage
from estimator.domain.priced_job import reckon
from estimator.domain.quote import Quote, build_quote
from tests.golden.golden_job import golden_inputs, golden_priced

AT = datetime(2026, 11, 25, 12, 30, tzinfo=UTC)
HOSTILE = (
    "=HYPERLINK(\"http://x.example\",\"y\")", "+1+1", "-2+3", "@SUM(A1)", "\t=1+1",
    "</cbc:Name><evil a='b'>&amp;&lt;]]>", "a\x00b\x07c\x1f\ufffe\uffff\ud800d",
    "\u202egnp.exe\u202c \u200fname", "W" * 40_000, "x;y,z\\n:\"q\"", "line\r\nBEGIN:VEVENT\r\n",
    "\u91cd\u673a \u0416\u0423\u041a \u039b \U0001f69c", "_x0041_ &P &[Page]", " ", "\uff1dcmd",
)  # fmt: skip


@cache
def golden_quote() -> Quote:
    return build_quote(golden_priced(), with_options=False)


@cache
def euro_quote() -> Quote:
    """Fixed price in euros, quoted to the cent, export without tax."""
    job, cat = golden_inputs()
    terms = replace(
        job.terms, currency="EUR", quoting_unit=Decimal("0.01"), tax_category="T0X",
        commercial_form="fixed price", storage_per_day=Decimal("45.55"),
        stages=(Stage(Decimal("0.333"), "order"),),
    )  # fmt: skip
    rates = {"GBP": ExchangeRate("GBP", Decimal("1.1627"), date(2026, 11, 20), "invented"),
             "EUR": ExchangeRate("EUR", Decimal(1), date(2026, 11, 20), "invented")}  # fmt: skip
    changed = replace(job, terms=terms, exchange_rates=rates)
    return build_quote(reckon(changed, cat), with_options=False)


def file_quote(quote: Quote | None = None, detail: str = STANDARD, **changes: object) -> FileQuote:
    source = FileQuote(quote or golden_quote(), AT, detail, chain_head="ab" * 32)
    return replace(source, **changes)


@cache
def hostile_quote() -> Quote:
    """The worked quote with hostile text in every field that may come from anywhere."""
    texts = iter(HOSTILE * 200)
    priced = golden_quote().priced
    job = priced.job
    party = Party(next(texts), tuple(HOSTILE), next(texts))
    job = replace(
        job, number=HOSTILE[5], workshop=party, customer=replace(party, name=HOSTILE[0]),
        estimator=HOSTILE[0], releaser=HOSTILE[6], machine=replace(job.machine, serial=HOSTILE[8]),
        terms=replace(job.terms, stages=tuple(Stage(Decimal("0.05"), one) for one in HOSTILE)),
    )  # fmt: skip
    lines = tuple(
        replace(one, line=replace(one.line, why=next(texts),
                                  row=replace(one.line.row, name=next(texts))))
        for one in priced.lines
    )  # fmt: skip
    groups = {code: replace(row, name=next(texts)) for code, row in priced.cat.groups.items()}
    sums = tuple(replace(one, name=groups[one.group].name) for one in priced.price.groups)
    levies = tuple(replace(one, name=next(texts)) for one in priced.price.levies)
    changed = replace(
        priced, job=job, lines=lines, cat=replace(priced.cat, groups=groups),
        price=replace(priced.price, groups=sums, levies=levies),
    )  # fmt: skip
    return replace(golden_quote(), priced=changed)
