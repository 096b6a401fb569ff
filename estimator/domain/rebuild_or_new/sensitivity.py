"""Which figure moves the comparison most: each in turn at its low and high end, all else likely."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.domain.rebuild_or_new.reckoning import Case, advantage

EITHER_WAY = Decimal("0.2")  # of a figure that was given without a range


@dataclass(frozen=True, slots=True)
class Move:
    """What one figure does to the hourly advantage of the rebuild between its ends.

    `given` says that the ends are those of the figure's own range, else it was moved by
    EITHER_WAY. `turns` is whether the cheaper way is another at one of the ends.
    """

    name: str
    at_low: Decimal
    at_high: Decimal
    given: bool
    turns: bool

    @property
    def swing(self) -> Decimal:
        """How far it moves the advantage from end to end."""
        return abs(self.at_high - self.at_low)


def moves(case: Case, ranges: Mapping[str, tuple[Decimal, Decimal]]) -> tuple[Move, ...]:
    """Every figure of a case that moves it, the one that moves it most first. `ranges` gives the
    ends of those that have some, by their name in the case."""
    usual = advantage(case)
    low, high = ranges["rebuild_price"]
    fixed = {"rebuild_price"} if low == high else set()  # a fixed price does not move
    found = [_move(case, name, ranges, usual) for name in _moved(case) if name not in fixed]
    return tuple(sorted((one for one in found if one.swing), key=lambda one: -one.swing))


def _moved(case: Case) -> Iterable[str]:
    """Figures that are given: what is nothing stays nothing. Residuals keep the price they are
    shares of, and terms of finance move together with their share."""
    left_out = {"price_now", "days_a_week", "finance_months", "finance_rate"}
    return (
        name
        for name in Case.__dataclass_fields__
        if name not in left_out and getattr(case, name)
    )  # fmt: skip


def _move(
    case: Case, name: str, ranges: Mapping[str, tuple[Decimal, Decimal]], usual: Decimal
) -> Move:
    likely: Decimal = getattr(case, name)
    low, high = ranges.get(name, (likely, likely))
    given = low != high
    if not given:
        low, high = likely * (1 - EITHER_WAY), likely * (1 + EITHER_WAY)
    ends = [advantage(replace(case, **{name: end})) for end in (low, high)]
    turns = any((end < 0) != (usual < 0) for end in ends)
    return Move(name, ends[0], ends[1], given, turns)
