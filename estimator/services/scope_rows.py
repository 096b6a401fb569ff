"""Parts and work of a scope as frozen rows, for screens."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.money import Money
from estimator.services.price_rows import Rests

PART, WORK, GONE, IDLE = "part", "work", "gone", "idle"


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution of an operation."""

    hazard: str
    text: str


@dataclass(frozen=True, slots=True)
class ScopeRow:
    """One row: a part (`kind` part), work that no part calls for, a line taken out by hand (gone),
    or a change by hand that has no effect (idle).

    `disposition` is what is done with a part: "" where nobody looked and nothing is done. `rule`
    says why in the rule's words. `proposal` is what the rule proposed where it was overruled.
    `twice` is the pair of operations of which this row is one, `first` the including one.
    """

    key: str
    kind: str
    id: str
    group: str
    name: str
    disposition: str
    rule: str
    rests: Rests
    hours: Decimal | None
    amount: Money | None
    figure: str
    to_decide: bool = False
    proposal: str = ""
    overruled_by: str = ""
    reason: str = ""
    finding: str = ""
    way: str = ""
    ways: tuple[str, ...] = ()
    level_always: bool = False
    outside: bool = False
    parts_of_finding: int = 0
    cautions: tuple[Caution, ...] = ()
    lines: tuple[str, ...] = ()
    twice: tuple[str, str] | None = None
    first: bool = False

    @property
    def overruled(self) -> bool:
        """Whether the estimator's word stands instead of the rule's."""
        return bool(self.proposal or self.overruled_by)


@dataclass(frozen=True, slots=True)
class ScopeHead:
    """A component group with the sums of its rows."""

    group: str
    name: str
    hours: Decimal
    amount: Money


@dataclass(frozen=True, slots=True)
class ScopeTable:
    """Groups with their rows in the order of the breakdown."""

    sections: tuple[tuple[ScopeHead, tuple[ScopeRow, ...]], ...]
    findings: int
    lines: int

    @property
    def rows(self) -> tuple[ScopeRow, ...]:
        """Every row."""
        return tuple(row for _head, rows in self.sections for row in rows)
