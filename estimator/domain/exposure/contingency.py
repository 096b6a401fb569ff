"""The contingency: what must be held for parts found worn, at a stated confidence.

contingency = max(percentile - base, mean - base, 0), where base = firm + provisional at their
likely values. With one unlikely part left the percentile alone would be nothing: then the mean
rules. The bound that rules is always named. Contributions add up to it exactly.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal

from estimator.domain.exposure.cost import Cost
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.distribution import Alive, Distribution, nobody_waits
from estimator.domain.exposure.exposed_parts import Known
from estimator.domain.exposure.found_work import Found
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.shares import conditional_means, expected_sums
from estimator.domain.money import Money, money_half_up, shares_by_largest_remainder
from estimator.domain.pricing import PricedLine

PERCENTILE, MEAN, NOTHING = "percentile", "mean", "nothing"
CURVE = (0.1, 0.2, 0.5, 0.8, 0.9, 0.95)
CURVE_POINTS = 200
CONFIDENCES = tuple(Decimal(one) for one in ("0.5", "0.7", "0.8", "0.9", "0.95"))
"""Confidences that are offered beside the job's own."""


@dataclass(frozen=True, slots=True)
class Share:
    """What one part, provisional line or kind of found work (found/...) puts into the
    contingency."""

    id: str
    group: str
    expected: float
    contribution: float
    amount: Money


@dataclass(frozen=True, slots=True)
class Contingency:
    """The contingency of a job and how it came about. Sums above base, in the quote's currency."""

    amount: Money
    confidence: Decimal
    bound: str
    mean: float
    deviation: float
    percentiles: Mapping[float, float]  # share of outcomes -> sum above base
    at_confidence: float
    shares: tuple[Share, ...]
    distribution: Distribution | None

    def group_amounts(self, currency: str) -> dict[str, Money]:
        """Contribution of each component group."""
        sums: dict[str, Money] = {}
        for share in self.shares:
            sums[share.group] = sums.get(share.group, Money(0, currency)) + share.amount
        return sums

    def at(self, confidence: Decimal, quoting_unit: Decimal) -> Money:
        """What would be held at another confidence. Raises ValueError outside 0 to 1."""
        _check(confidence)
        if self.distribution is None:
            return self.amount
        return _held(self.distribution, confidence, self.amount.currency, quoting_unit)[1]

    def curve(self, points: int = CURVE_POINTS) -> tuple[tuple[float, float], ...]:
        """(sum above base, share of outcomes that come to no more), rising; one step at nothing
        where nothing is open."""
        return ((0.0, 1.0),) if self.distribution is None else self.distribution.curve(points)

    def share_below(self, total: float) -> float:
        """Share of outcomes in which no more than `total` above base is found."""
        if self.distribution is None:
            return 0.0 if total < 0 else 1.0
        return self.distribution.chance_below(total)


def spread_of(line: PricedLine) -> Pert:
    """How far a provisional line may move from its likely amount, down (below 0) and up."""
    likely = float(line.amount.amount)
    return Pert(float(line.low.amount) - likely, 0.0, float(line.high.amount) - likely)


def contingency_amount(
    known: Known,
    exposed: tuple[ExposedPart, ...],
    provisional: tuple[PricedLine, ...],
    confidence: Decimal,
    currency: str,
    quoting_unit: Decimal,
    found: tuple[Found, ...] = (),
    before: Distribution | None = None,
) -> Money:
    """The contingency alone, without its contributions: for comparing options. `before` as in
    `held_only`.

    Raises ValueError on a confidence outside 0 to 1.
    """
    _check(confidence)
    distribution = _distribution(known, exposed, provisional, found, before=before)
    if distribution is None:
        return Money(0, currency)
    return _held(distribution, confidence, currency, quoting_unit)[1]


def held_only(  # noqa: PLR0913 - so many things of a job are open
    known: Known,
    exposed: tuple[ExposedPart, ...],
    provisional: tuple[PricedLine, ...],
    confidence: Decimal,
    currency: str,
    quoting_unit: Decimal,
    alive: Alive = nobody_waits,
    *,
    found: tuple[Found, ...] = (),
    ranges: Mapping[str, Cost] | None = None,
    before: Distribution | None = None,
) -> Contingency:
    """The contingency with its distribution, mean and percentiles, its `shares` left empty.

    It takes about a third of the time of `contingency`, for a figure that moves while somebody
    types; `with_shares` adds the rest. `ranges` are sums that come for certain, each in its range.
    What `before` (that of a job much like this one) knows of circuits that have not changed is
    taken over; the figures are the same without it. `alive` is called every few milliseconds of
    work; what it raises passes through. Raises ValueError on a confidence outside 0 to 1.
    """
    _check(confidence)
    distribution = _distribution(known, exposed, provisional, found, alive, ranges, before)
    if distribution is None:
        return Contingency(
            Money(0, currency),
            confidence,
            NOTHING,
            0.0,
            0.0,
            dict.fromkeys(CURVE, 0.0),
            0.0,
            (),
            None,
        )
    bound, amount, percentile = _held(distribution, confidence, currency, quoting_unit)
    return Contingency(
        amount,
        confidence,
        bound,
        distribution.moments.mean,
        distribution.moments.deviation,
        dict(zip(CURVE, distribution.percentiles(CURVE), strict=True)),
        percentile,
        (),
        distribution,
    )


def with_shares(
    held: Contingency,
    exposed: tuple[ExposedPart, ...],
    provisional: tuple[PricedLine, ...],
    quoting_unit: Decimal,
    alive: Alive = nobody_waits,
    found: tuple[Found, ...] = (),
) -> Contingency:
    """The contingency of `held_only` with what each part and line puts into it.

    `alive` is called every few milliseconds of work; what it raises passes through.
    """
    distribution = held.distribution
    if distribution is None:
        return held
    expected = expected_sums(distribution)
    parts = expected
    if held.bound == PERCENTILE:
        parts = conditional_means(distribution, held.at_confidence, alive)
    amounts = _split(held.amount, parts, quoting_unit)
    groups = {part.part: part.group for part in exposed}
    groups |= {line.id: line.line.group for line in provisional}
    groups |= {one.key: one.group for one in found}
    shares = tuple(
        Share(
            name,
            groups[name],
            expected[name],
            parts[name] if held.bound != NOTHING else 0.0,
            amounts[name],
        )
        for name in parts
    )
    return replace(held, shares=shares)


def contingency(
    known: Known,
    exposed: tuple[ExposedPart, ...],
    provisional: tuple[PricedLine, ...],
    confidence: Decimal,
    currency: str,
    quoting_unit: Decimal,
    found: tuple[Found, ...] = (),
) -> Contingency:
    """The contingency for what is still open, at `confidence` (a share of outcomes, 0 to 1).

    Raises ValueError on a confidence outside 0 to 1.
    """
    held = held_only(known, exposed, provisional, confidence, currency, quoting_unit, found=found)
    return with_shares(held, exposed, provisional, quoting_unit, found=found)


def _distribution(
    known: Known,
    exposed: tuple[ExposedPart, ...],
    provisional: tuple[PricedLine, ...],
    found: tuple[Found, ...],
    alive: Alive = nobody_waits,
    ranges: Mapping[str, Cost] | None = None,
    before: Distribution | None = None,
) -> Distribution | None:
    """Distribution of what is open; None where nothing is."""
    spreads: dict[str, Cost] = {
        line.id: spread_of(line) for line in provisional if line.low != line.high
    }
    spreads |= {one.key: one.cost for one in found}
    spreads |= ranges or {}
    costs = {part.part: part.cost for part in exposed}
    if not costs and not spreads:
        return None
    return Distribution(known.model, costs, spreads, alive, before)


def _check(confidence: Decimal) -> None:
    if not 0 < confidence < 1:
        raise ValueError(f"confidence lies between 0 and 1, not {confidence}")


def _held(
    distribution: Distribution, confidence: Decimal, currency: str, unit: Decimal
) -> tuple[str, Money, float]:
    """(bound that rules, what it asks for, percentile at the confidence), above base."""
    percentile = distribution.percentile(float(confidence))
    ruling = max(percentile, distribution.moments.mean)
    bound = PERCENTILE if percentile >= distribution.moments.mean else MEAN
    if ruling <= 0:
        bound, ruling = NOTHING, 0.0
    return bound, money_half_up(Decimal(repr(ruling)), currency, unit), percentile


def _split(amount: Money, parts: Mapping[str, float], unit: Decimal) -> dict[str, Money]:
    """Contributions rounded so that they add up to the contingency exactly."""
    if not amount:
        return {name: Money(0, amount.currency) for name in parts}
    rounded = shares_by_largest_remainder(amount, list(parts.values()), unit)
    return dict(zip(parts, rounded, strict=True))
