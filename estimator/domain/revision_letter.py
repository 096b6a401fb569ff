"""What changed between two revisions of a quote, for the customer: old and new side by side, by
component group down to the line, with what brought it about. Every column adds up to the price."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from estimator.domain.money import Money, money_sum
from estimator.domain.side_paper import PaperHead

BY_HAND, TERMS, PRICES, OTHERS = "by hand", "terms", "prices", "others"
CAUSES = (BY_HAND, TERMS, PRICES, OTHERS)  # beside findings: what else may move a group
COME, GONE, CHANGED = "come", "gone", "changed"


@dataclass(frozen=True, slots=True)
class Moved:
    """A sum in the revision before and in this one."""

    name: str
    before: Money
    after: Money

    @property
    def change(self) -> Money:
        """By how much it grew."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class MovedDay:
    """A date in the revision before and in this one."""

    name: str
    before: date
    after: date

    @property
    def change(self) -> int:
        """Days later."""
        return (self.after - self.before).days


@dataclass(frozen=True, slots=True)
class FindingMoved:
    """A finding that came, went or is told otherwise, with what is done about it: `before` and
    `after` are dispositions, "" where a revision has none of it."""

    id: str
    title: str
    what: str  # COME, GONE or CHANGED
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class GroupMoved:
    """A component group whose sum changed: its lines, and why. `causes` are of CAUSES."""

    total: Moved
    lines: tuple[Moved, ...]
    findings: tuple[FindingMoved, ...]
    causes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TermMoved:
    """A term that differs, by its key ("terms/valid_days"); None where a revision has none."""

    key: str
    before: str | date | None
    after: str | date | None


@dataclass(frozen=True, slots=True)
class RevisionLetter:
    """Everything that the letter prints.

    `parts` are the leading sums by key (firm, provisional, contingency, net, tax, gross), `rest`
    what stands between lines and price (discount, freight, levies, contingency). Changed groups,
    `same` and `rest` add up to `net` in each column.
    """

    head: PaperHead
    before: str  # title of the revision before
    before_day: date
    parts: tuple[Moved, ...]
    days: tuple[MovedDay, ...]
    groups: tuple[GroupMoved, ...]
    same: Moved
    same_count: int
    rest: tuple[Moved, ...]
    net: Moved
    findings: tuple[FindingMoved, ...]  # those that moved no group's sum
    terms: tuple[TermMoved, ...]
    other_terms: bool  # terms that are the workshop's own changed
    fixed: bool

    @property
    def nothing_moved(self) -> bool:
        """Whether sums and days are all as they were."""
        sums = any(one.change for one in self.parts)
        return not self.groups and not sums and not any(one.change for one in self.days)


def together(name: str, moved: Iterable[Moved], currency: str) -> Moved:
    """Several sums as one."""
    kept = tuple(moved)
    return Moved(
        name,
        money_sum((one.before for one in kept), currency),
        money_sum((one.after for one in kept), currency),
    )


def largest_first(moved: Iterable[Moved]) -> tuple[Moved, ...]:
    """Sums by how much they changed."""
    return tuple(sorted(moved, key=lambda one: (-abs(one.change.minor), one.name)))
