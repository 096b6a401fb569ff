"""A line of the scope before it has a price, and what makes it firm or provisional."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.work_rows import CalledRow
from estimator.domain.job import LineChange, OwnLine, ScopeChange

LABOUR, PARTS, OUTWORK = "labour", "parts", "outwork"
KINDS = (LABOUR, PARTS, OUTWORK)
FIRM, PROVISIONAL, EXPOSED = "firm", "provisional", "exposed"


@dataclass(frozen=True, slots=True)
class Grounds:
    """Why a line is there, how certain that makes it, and the findings it rests on."""

    certainty: str
    why: str
    rule: str
    because: tuple[str, ...] = ()
    change: ScopeChange | None = None  # added by hand


@dataclass(frozen=True, slots=True)
class ScopeLine:
    """A line of the scope before it has a price. Quantities: charged hours, or units bought.

    A line of the estimator's own carries `own`, and a row made from it. A line that was typed over
    carries the change and the line as it was worked out; its row then holds the typed cost.
    """

    id: str
    row: CalledRow
    kind: str
    group: str
    certainty: str
    quantity: Decimal
    low: Decimal
    high: Decimal
    unit: str
    why: str
    rule: str
    because: tuple[str, ...]  # findings it rests on
    change: ScopeChange | None = None  # added by hand
    own: OwnLine | None = None
    typed: LineChange | None = None
    worked_out: ScopeLine | None = None  # the line before it was typed over

    @property
    def component(self) -> str:
        """Component code."""
        return self.row.component

    @property
    def by_hand(self) -> bool:
        """Whether the estimator put it in: a catalogue row added, or a line of their own."""
        return self.change is not None or self.own is not None


def place_in_print(line: ScopeLine) -> tuple[str, int, str]:
    """Sorting key: by group, labour before parts before outwork, then by code."""
    return (line.group, KINDS.index(line.kind), line.id)
