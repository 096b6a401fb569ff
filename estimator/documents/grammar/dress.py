"""The house style that documents are printed in: set round the making of a document, asked for
wherever a colour, a logo or a line of the workshop's own is drawn."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from estimator.domain.house_style import PLAIN, HouseStyle

_WORN: ContextVar[HouseStyle] = ContextVar("house style", default=PLAIN)


@contextmanager
def dressed(style: HouseStyle) -> Iterator[None]:
    """Print documents made within the block in `style`."""
    before = _WORN.set(style)
    try:
        yield
    finally:
        _WORN.reset(before)


def worn() -> HouseStyle:
    """The house style of the document being made; the plain one where none was set."""
    return _WORN.get()
