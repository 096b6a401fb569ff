"""A printed quote read back, and quotes changed in one place for a test."""

from __future__ import annotations

from dataclasses import dataclass, replace
from io import BytesIO
from typing import Any

from pypdf import PdfReader

from estimator.documents.quote_pdf import quote_pdf
from estimator.domain.money import Money
from estimator.domain.quote import Quote, build_quote


@dataclass(frozen=True)
class Printed:
    """A quote's PDF: its bytes, and what a reader program finds in them."""

    data: bytes
    pages: tuple[str, ...]

    @property
    def reader(self) -> PdfReader:
        return PdfReader(BytesIO(self.data))

    @property
    def text(self) -> str:
        """All text in one line, spaces of every kind as one."""
        return " ".join(" ".join(self.pages).split())

    @property
    def lines(self) -> list[str]:
        """Lines of all pages: a cell of a table is a line."""
        return [" ".join(line.split()) for page in self.pages for line in page.splitlines()]

    def after(self, heading: str) -> list[str]:
        """Lines that follow a heading, from its first appearance as a line of its own."""
        return self.lines[self.lines.index(heading) + 1 :]


def printed(quote: Quote, locale: str = "en_GB") -> Printed:
    data = quote_pdf(quote, locale)
    pages = tuple(page.extract_text() for page in PdfReader(BytesIO(data)).pages)
    return Printed(data, pages)


def with_job(quote: Quote, **changes: Any) -> Quote:
    """The quote with parts of its job changed, its figures left as they are."""
    job = replace(quote.priced.job, **changes)
    return replace(quote, priced=replace(quote.priced, job=job))


def without_contingency(quote: Quote) -> Quote:
    """The same quote with nothing held, its clauses chosen anew."""
    old = quote.priced
    none = Money(0, old.price.contingency.currency)
    price = replace(
        old.price, contingency=none,
        groups=tuple(replace(one, contingency=none) for one in old.price.groups),
    )  # fmt: skip
    held = replace(old.contingency, amount=none, shares=())
    return build_quote(replace(old, price=price, contingency=held), with_options=False)
