"""A printed quote read back, and quotes changed in one place for a test."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from io import BytesIO
from itertools import groupby
from operator import itemgetter
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

    @property
    def pages(self) -> tuple[str, ...]:
        """Text of every page."""
        return texts_of(self.data)

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
    return Printed(data)


@lru_cache(maxsize=64)
def texts_of(data: bytes) -> tuple[str, ...]:
    """Text of every page. The same bytes are read once, whichever test asks."""
    return tuple(page.extract_text() for page in PdfReader(BytesIO(data)).pages)


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


@lru_cache(maxsize=16)
def boxes(data):
    """Rectangle of every run of text, as (page, left, bottom, right, top, text). The same bytes are
    read once."""
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
    return tuple(found)


def inside_and_apart(found):
    """No text beyond the margins of an A4 page, and none over other text."""
    for page, left, bottom, right, top, words in found:
        assert left >= 55, (page, words)
        assert right <= A4[0] - 55, (page, words)
        assert bottom >= 25, (page, words)
        assert top <= A4[1] - 25, (page, words)
    none_over_another(found)


def none_over_another(found):
    """No text over other text of its page: no two share 1 pt across and 2.2 pt down."""
    for one, other in _level(found):
        wide = min(one[3], other[3]) - max(one[1], other[1])
        high = min(one[4], other[4]) - max(one[2], other[2])
        assert wide < 1 or high < 2.2, (one, other)


def _level(found: Iterable[tuple]) -> Iterator[tuple[tuple, tuple]]:
    """Every two texts of a page of which one begins at least 2.2 pt below the other's top. From the
    foot upwards, so that most are never held against each other."""
    for _page, members in groupby(sorted(found, key=itemgetter(0, 2)), key=itemgetter(0)):
        upwards = list(members)
        for at, one in enumerate(upwards):
            highest = one[4] - 2.2
            for place in range(at + 1, len(upwards)):
                other = upwards[place]
                if other[2] > highest + 1e-9:
                    break  # so do all that follow
                yield one, other
