"""Paper: A4 and Letter, which of them a country uses, and the room on the page in use.

Text is as wide on both; on Letter the sides are wider and the page is lower.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

from reportlab.lib import pagesizes

from estimator.documents.grammar.look import BOTTOM, TOP, WIDTH
from estimator.domain.house_style import A4, LETTER

# From memory; CLDR's paperSize supplement lists the same and some more of Central America.
LETTER_COUNTRIES = frozenset({"US", "CA", "MX", "PH", "CO", "VE", "CL"})


@dataclass(frozen=True, slots=True)
class Sheet:
    """A size of paper, in points."""

    name: str
    width: float
    height: float

    @property
    def side(self) -> float:
        """Left of the text, and right of it."""
        return (self.width - float(WIDTH)) / 2

    @property
    def right(self) -> float:
        """Where the text ends."""
        return self.width - self.side


SHEETS = {
    A4: Sheet(A4, *pagesizes.A4),
    LETTER: Sheet(LETTER, *pagesizes.LETTER),
}


def usual_sheet(territory: str) -> Sheet:
    """The paper of a country, by its ISO 3166 code; A4 where none is named."""
    return SHEETS[LETTER if territory.upper() in LETTER_COUNTRIES else A4]


@dataclass(frozen=True, slots=True)
class Space:
    """The page in use, and what head and foot leave of it."""

    sheet: Sheet
    top: float = TOP
    bottom: float = BOTTOM

    @property
    def room(self) -> float:
        """Height there is for text on every page but the first, in points."""
        return self.sheet.height - self.top - self.bottom


_USUAL = Space(SHEETS[A4])
_IN_USE: ContextVar[Space | None] = ContextVar("page in use", default=None)


@contextmanager
def using(space: Space) -> Iterator[None]:
    """Lay out for this page within the block."""
    before = _IN_USE.set(space)
    try:
        yield
    finally:
        _IN_USE.reset(before)


def room() -> float:
    """Height there is for text on the page in use."""
    return (_IN_USE.get() or _USUAL).room


def share_of_page(points: float) -> float:
    """A height that was chosen for A4, on the page in use: the same share of it."""
    return points * room() / _USUAL.room
