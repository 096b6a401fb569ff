"""What the Exposure page shows of a priced job: the curve of the final cost, what makes up the
contingency, what nobody has seen. Frozen rows, worked out away from the window's thread.

Sums are in the quote's currency. The final cost is the price before tax: the priced work (base)
and whatever of the open parts is found, at selling price.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.exposure.contingency import (
    CONFIDENCES,
    MEAN,
    NOTHING,
    PERCENTILE,
    Contingency,
)
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.distribution import Alive, Distribution, nobody_waits
from estimator.domain.money import Money, minor_digits, money_half_up
from estimator.domain.priced_job import PricedJob
from estimator.services.show_unseen import UnseenRow, unseen_rows

LOWEST, HIGHEST = Decimal("0.50"), Decimal("0.99")  # confidences that are offered
STEP = Decimal("0.01")
FLAGGED = (Decimal("0.5"), Decimal("0.8"), Decimal("0.9"))
ALONE = 0.9  # share of outcomes up to which a whisker reaches

__all__ = [
    "HIGHEST", "LOWEST", "MEAN", "NOTHING", "PERCENTILE", "STEP", "ExposureView", "GroupShare",
    "HeldAt", "ShareRow", "UnseenRow", "groups_alone", "show_exposure",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class HeldAt:
    """What is held at one confidence: `amount` above base, `total` with it, the bound that rules.

    `reached` is the final cost that as many outcomes do not exceed, which lies below `total` where
    the mean rules.
    """

    confidence: Decimal
    amount: Money
    total: Money
    reached: Money
    bound: str


@dataclass(frozen=True, slots=True)
class ShareRow:
    """One part, provisional line or kind of found work, and what it puts into the contingency.

    `alone` is what it would ask for by itself in nine of ten outcomes.
    """

    id: str
    name: str
    amount: Money
    expected: Money
    alone: Money
    exposed: bool


@dataclass(frozen=True, slots=True)
class GroupShare:
    """One component group's share: the sum of its rows, the largest first."""

    group: str
    name: str
    amount: Money
    rows: tuple[ShareRow, ...]


@dataclass(frozen=True, slots=True)
class ExposureView:
    """Everything the page shows, of one reckoning.

    `points` are (final cost in minor units, share of outcomes at or below it), rising. `held` is
    known for every hundredth from LOWEST to HIGHEST, and at the job's own confidence.
    """

    job_number: str
    base: Money
    mean_total: Money
    mean: Money
    points: tuple[tuple[int, float], ...]
    held: Mapping[Decimal, HeldAt]
    confidence: Decimal
    groups: tuple[GroupShare, ...]
    unseen: tuple[UnseenRow, ...]

    @property
    def amount(self) -> Money:
        """The contingency at the job's own confidence."""
        return self.held[self.confidence].amount

    @property
    def others(self) -> tuple[HeldAt, ...]:
        """What would be held at the confidences usually offered."""
        return tuple(self.held[one] for one in CONFIDENCES)

    @property
    def flags(self) -> tuple[HeldAt, ...]:
        """The confidences marked on the curve."""
        return tuple(self.held[one] for one in FLAGGED)


def show_exposure(priced: PricedJob) -> ExposureView:
    """The page's rows of a priced job. Takes about a tenth of a second."""
    base, held = priced.price.base, priced.contingency
    unit = priced.job.terms.quoting_unit
    mean = _money(held.mean, priced)
    return ExposureView(
        job_number=priced.job.number,
        base=base,
        mean_total=base + mean,
        mean=mean,
        points=_points(base, held),
        held={one: _held_at(one, base, held, unit) for one in _offered(held.confidence)},
        confidence=held.confidence,
        groups=_groups(priced),
        unseen=unseen_rows(priced),
    )


def _offered(own: Decimal) -> list[Decimal]:
    steps = int((HIGHEST - LOWEST) / STEP) + 1
    offered = {LOWEST + number * STEP for number in range(steps)}
    return sorted(offered | {own})


def _points(base: Money, held: Contingency) -> tuple[tuple[int, float], ...]:
    one = 10 ** minor_digits(base.currency)
    points = [(base.minor + round(total * one), chance) for total, chance in held.curve()]
    kept: list[tuple[int, float]] = []
    for amount, chance in points:  # two points on one penny would make a step that is none
        if kept and kept[-1][0] == amount:
            kept[-1] = (amount, chance)
        else:
            kept.append((amount, chance))
    return tuple(kept)


def _held_at(confidence: Decimal, base: Money, held: Contingency, unit: Decimal) -> HeldAt:
    amount = held.at(confidence, unit)
    reached = 0.0
    if held.distribution is not None:
        reached = held.distribution.percentile(float(confidence))
    bound = PERCENTILE if reached >= held.mean else MEAN
    if max(reached, held.mean) <= 0:
        bound = NOTHING
    above = money_half_up(Decimal(repr(reached)), base.currency, unit)
    return HeldAt(confidence, amount, base + amount, base + above, bound)


def _money(value: float, priced: PricedJob) -> Money:
    terms = priced.job.terms
    return money_half_up(Decimal(repr(value)), terms.currency, terms.quoting_unit)


# What makes up the contingency


def _groups(priced: PricedJob) -> tuple[GroupShare, ...]:
    held, cat = priced.contingency, priced.cat
    by_group: dict[str, list[ShareRow]] = {}
    parts = {part.part: part for part in priced.exposed}
    lines = {line.id: line.line.row.name for line in priced.lines}
    lines |= {one.key: one.name for one in priced.found}
    for share in held.shares:
        part = parts.get(share.id)
        by_group.setdefault(share.group, []).append(
            ShareRow(
                share.id,
                part.name if part is not None else lines[share.id],
                share.amount,
                _money(share.expected, priced),
                _money(_alone(part, share.id, held), priced),
                part is not None,
            )
        )
    sums = held.group_amounts(priced.job.terms.currency)
    found = [
        GroupShare(
            group,
            cat.groups[group].name,
            sums[group],
            tuple(sorted(rows, key=lambda row: (-row.amount.minor, row.id))),
        )
        for group, rows in by_group.items()
    ]
    return tuple(sorted(found, key=lambda one: (-one.amount.minor, one.group)))


def _alone(part: ExposedPart | None, name: str, held: Contingency) -> float:
    """The sum that nine of ten outcomes of this part or line alone do not exceed.

    A part costs nothing unless it is worn: of the outcomes where it is, those above the whisker
    make a tenth of all, so its cost is read at 1 - 0.1 / chance.
    """
    if part is not None:
        if part.chance.after <= 1 - ALONE:
            return 0.0
        return part.cost.reached(1 - (1 - ALONE) / part.chance.after)
    spread = held.distribution.spreads.get(name) if held.distribution is not None else None
    return spread.reached(ALONE) if spread is not None else 0.0


def groups_alone(priced: PricedJob, alive: Alive = nobody_waits) -> dict[str, Money]:
    """By group: the sum that nine of ten outcomes of this group alone do not exceed.

    Each group is distributed by itself, with the same factors, which takes about a second in all.
    `alive` is called every few milliseconds; what it raises passes through.
    """
    whole = priced.contingency.distribution
    if whole is None:
        return {}
    group_of = {share.id: share.group for share in priced.contingency.shares}
    found = {}
    for group in dict.fromkeys(group_of.values()):
        alive()
        costs = {part: cost for part, cost in whole.costs.items() if group_of[part] == group}
        spreads = {line: cost for line, cost in whole.spreads.items() if group_of[line] == group}
        alone = Distribution(whole.model, costs, spreads, alive)
        found[group] = _money(alone.percentile(ALONE), priced)
    return found
