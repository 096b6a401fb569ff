"""A printed quote read back, and quotes changed in one place for a test."""

from __future__ import annotations

from dataclasses import dataclass, replace
from io import BytesIO
from typing import Any

import pypdfium2
from pypdf import PdfReader

from estimator.documents.quote.quote_pdf import quote_pdf
from estimator.domain.money import Money
from estimator.domain.quote import Quote, build_quote

A4 = (595.28, 841.89)


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
    return read_back(quote_pdf(quote, locale))


def read_back(data: bytes) -> Printed:
    return Printed(data, tuple(page.extract_text() for page in PdfReader(BytesIO(data)).pages))


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


def fonts(reader):
    """Descriptor of every font of every page, by name."""
    found = {}
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():
            font = font.get_object()  # noqa: PLW2901 - the reference's own object
            found[font["/BaseFont"]] = font.get("/FontDescriptor")
    return found


def boxes(data):
    """Rectangle of every run of text, as (page, left, bottom, right, top, text)."""
    document = pypdfium2.PdfDocument(data)
    found = []
    for number in range(len(document)):
        page = document[number]
        text = page.get_textpage()
        for index in range(text.count_rects()):
            left, bottom, right, top = text.get_rect(index)
            words = text.get_text_bounded(left, bottom, right, top)
            found.append((number, left, bottom, right, top, words))
        text.close()
        page.close()
    document.close()
    return found


def inside_and_apart(found):
    """No text beyond the margins of an A4 page, and none over other text."""
    by_page = {}
    for page, left, bottom, right, top, words in found:
        assert left >= 55, (page, words)
        assert right <= A4[0] - 55, (page, words)
        assert bottom >= 25, (page, words)
        assert top <= A4[1] - 25, (page, words)
        by_page.setdefault(page, []).append((page, left, bottom, right, top, words))
    for members in by_page.values():
        for at, one in enumerate(members):
            for other in members[at + 1 :]:
                wide = min(one[3], other[3]) - max(one[1], other[1])
                high = min(one[4], other[4]) - max(one[2], other[2])
                assert wide < 1 or high < 2.2, (one, other)
