"""A label that counts: one form for one thing, another for several.

Languages have more forms than these two; a translation names all that its own language has, and
the number put in under the name `by` chooses among them.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Counted:
    """The English forms; `choose` gives the form for a number in the language being spoken."""

    one: str
    many: str
    by: str = "count"
    choose: Callable[[int], str] | None = None

    def format(self, **values: Any) -> str:
        """The form for the number named `by`, filled in."""
        return self.form(values[self.by]).format(**values)

    def form(self, number: Any) -> str:
        """The form for a number. A number already written out counts by its digits, and one with a
        fraction as several."""
        whole = _whole(number)
        if self.choose is not None:
            return self.choose(whole)
        return self.one if whole == 1 else self.many


def _whole(number: Any) -> int:
    if isinstance(number, str):
        return int(number) if number.isdecimal() else 2
    return int(number) if number == int(number) else 2
