"""A fault found by a check: what is wrong, where, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from estimator.domain.wording import joined, worded


@dataclass(frozen=True, slots=True)
class Place:
    """Where a fault stands: file, row (1 = first line of the file) and column."""

    file: str = ""
    row: int | None = None
    column: str = ""

    @property
    def said(self) -> str:
        """The place in words."""
        return _place_said(self.file, self.row, self.column)

    def __str__(self) -> str:
        return str(self.said)


@lru_cache(maxsize=4096)  # every figure names the row it came from, at each reckoning
def _place_said(file: str, row: int | None, column: str) -> str:
    parts = [file] if file else []
    if row is not None:
        parts.append(worded("row {row}", row=str(row)))
    if column:
        parts.append(worded("column {column}", column=column))
    return joined(parts)


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault. `code` is stable, for scripts; `message` and `remedy` are for people."""

    code: str
    place: Place
    message: str
    remedy: str = ""
    warning: bool = False

    @property
    def said(self) -> str:
        """Place, message and remedy as one text."""
        place, text = self.place.said, self.message
        if place:
            text = worded("{place}: {said}", place=place, said=text)
        return joined((text, self.remedy), " ") if self.remedy else text

    def __str__(self) -> str:
        return str(self.said).rstrip()


def errors_in(problems: Iterable[Problem]) -> list[Problem]:
    """Those that stop the work; warnings left out."""
    return [problem for problem in problems if not problem.warning]
