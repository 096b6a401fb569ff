"""A fault found by a check: what is wrong, where, and how to mend it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Place:
    """Where a fault stands: file, row (1 = first line of the file) and column."""

    file: str = ""
    row: int | None = None
    column: str = ""

    def __str__(self) -> str:
        parts = [self.file] if self.file else []
        if self.row is not None:
            parts.append(f"row {self.row}")
        if self.column:
            parts.append(f"column {self.column}")
        return ", ".join(parts)


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault. `code` is stable, for scripts; `message` and `remedy` are for people."""

    code: str
    place: Place
    message: str
    remedy: str = ""
    warning: bool = False

    def __str__(self) -> str:
        text = f"{self.place}: {self.message}" if str(self.place) else self.message
        return f"{text} {self.remedy}".rstrip()


def errors_in(problems: Iterable[Problem]) -> list[Problem]:
    """Those that stop the work; warnings left out."""
    return [problem for problem in problems if not problem.warning]
