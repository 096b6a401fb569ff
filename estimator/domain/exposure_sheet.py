"""The internal sheet of a job's exposure: every figure that a document of it needs.

For the workshop alone: it holds chances, what they rest on, and what the work costs the workshop.
Sums are in the quote's currency, chances between 0 and 1, days are working days.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.adoption import STARTING_VALUE
from estimator.domain.commercial_forms import FormRow
from estimator.domain.exposure.contingency import CONFIDENCES, MEAN, NOTHING, PERCENTILE, Share
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.found_work import Found
from estimator.domain.money import Money, money_half_up
from estimator.domain.priced_job import PricedJob
from estimator.domain.pricing import PricedLine

OPEN_PART, LINE, FOUND = "open part", "provisional line", "found while working"


@dataclass(frozen=True, slots=True)
class HeldAt:
    """What is held at one confidence: `amount` above base, `total` with it, the bound that rules.

    `reached` is the final cost that so many outcomes do not exceed, less than `total` where the
    mean rules.
    """

    confidence: Decimal
    amount: Money
    total: Money
    reached: Money
    bound: str


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One open part, provisional line or kind of work that may be found, and what it puts in.

    `ways` are those of putting a part right with their chances, given that it is worn; the usual
    or chosen one first.
    `chance` is that of being worn, `chance_low` and `chance_high` the ends of its central INTERVAL
    (`exposed_parts`); None for what is no part. `expected_count` is how many are expected of work
    that may be found. `low`, `likely` and `high` are at selling price, those of a line its range;
    `workshop_cost` is what the likely one costs the workshop.
    """

    id: str
    kind: str  # OPEN_PART, LINE or FOUND
    name: str
    ways: tuple[tuple[str, float], ...]
    chance: float | None
    chance_low: float | None
    chance_high: float | None
    expected_count: float | None
    rests_on: str
    own_cases: int
    low: Money
    likely: Money
    high: Money
    workshop_cost: Money | None
    days: Decimal
    circuit: str
    amount: Money  # of the contingency


@dataclass(frozen=True, slots=True)
class SheetGroup:
    """A component group: its rows, the largest first, add up to its sum."""

    group: str
    name: str
    amount: Money
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True, slots=True)
class SheetLook:
    """A look or test still possible: what it costs and takes, and what it is expected to do.

    `kind` is that of `exposure.looks`, `on` names the parts or the circuit. `cost`, `hours` and
    `days` are None for a full opening, which the strip does anyway; `detects` is the sensitivity of
    a test. `fall` is the expected fall of (percentile - mean); the chances are those that it
    changes a disposition, and the decision to go on. `cautions` are the hazards in short.
    """

    id: str
    kind: str
    name: str
    on: tuple[str, ...]
    cost: Money | None
    hours: Decimal | None
    days: Decimal | None
    detects: Decimal | None
    fall: Money
    changes_disposition: float
    changes_decision: float
    cautions: tuple[str, ...]
    added: bool


@dataclass(frozen=True, slots=True)
class ExposureSheet:
    """Everything that the internal sheet shows of one reckoning.

    `points` are (final cost in the quote's currency, share of outcomes at or below it), rising.
    """

    priced: PricedJob
    mean_total: Money
    points: tuple[tuple[float, float], ...]
    held: tuple[HeldAt, ...]  # at the confidences usually offered and the job's own, rising
    groups: tuple[SheetGroup, ...]  # the largest sum first
    looks: tuple[SheetLook, ...] = ()  # the largest fall first
    forms: tuple[FormRow, ...] = ()

    @property
    def own(self) -> HeldAt:
        """What is held at the job's own confidence."""
        return next(one for one in self.held if one.confidence == self.confidence)

    @property
    def confidence(self) -> Decimal:
        """The job's own confidence."""
        return self.priced.contingency.confidence

    @property
    def rows(self) -> tuple[SheetRow, ...]:
        """The rows of every group."""
        return tuple(row for group in self.groups for row in group.rows)

    @property
    def on_starting_values(self) -> tuple[SheetRow, ...]:
        """Rows whose chance or count rests on a starting value that nobody has judged, the largest
        sum first."""
        found = (row for row in self.rows if row.rests_on == STARTING_VALUE)
        return tuple(sorted(found, key=lambda row: (-row.amount.minor, row.id)))


def build_exposure_sheet(
    priced: PricedJob, looks: Iterable[SheetLook] = (), forms: Iterable[FormRow] = ()
) -> ExposureSheet:
    """The sheet of a priced job; `looks` and `forms` are worked out apart from it."""
    base, held = priced.price.base, priced.contingency
    offered = sorted({*CONFIDENCES, held.confidence})
    points = tuple((float(base.amount) + total, share) for total, share in held.curve())
    return ExposureSheet(
        priced=priced,
        mean_total=base + _money(held.mean, priced),
        points=points,
        held=tuple(_held_at(one, priced) for one in offered),
        groups=_groups(priced),
        looks=tuple(looks),
        forms=tuple(forms),
    )


def _money(value: float, priced: PricedJob) -> Money:
    """A statistic as a sum, in the quoting unit."""
    terms = priced.job.terms
    return money_half_up(Decimal(repr(float(value))), terms.currency, terms.quoting_unit)


def _held_at(confidence: Decimal, priced: PricedJob) -> HeldAt:
    base, held = priced.price.base, priced.contingency
    amount = held.at(confidence, priced.job.terms.quoting_unit)
    reached = 0.0
    if held.distribution is not None:
        reached = held.distribution.percentile(float(confidence))
    bound = PERCENTILE if reached >= held.mean else MEAN
    if max(reached, held.mean) <= 0:
        bound = NOTHING
    return HeldAt(confidence, amount, base + amount, base + _money(reached, priced), bound)


def _groups(priced: PricedJob) -> tuple[SheetGroup, ...]:
    parts = {part.part: part for part in priced.exposed}
    lines = {line.id: line for line in priced.lines}
    found = {one.key: one for one in priced.found}
    rows: dict[str, list[SheetRow]] = {}
    for share in priced.contingency.shares:
        if share.id in parts:
            row = _part_row(parts[share.id], share, priced)
        elif share.id in found:
            row = _found_row(found[share.id], share, priced)
        else:
            row = _line_row(lines[share.id], share)
        rows.setdefault(share.group, []).append(row)
    sums = priced.contingency.group_amounts(priced.job.terms.currency)
    groups = [
        SheetGroup(
            group,
            priced.cat.groups[group].name,
            sums[group],
            tuple(sorted(members, key=lambda row: (-row.amount.minor, row.id))),
        )
        for group, members in rows.items()
    ]
    return tuple(sorted(groups, key=lambda one: (-one.amount.minor, one.group)))


def _part_row(part: ExposedPart, share: Share, priced: PricedJob) -> SheetRow:
    chance, cost = part.chance, part.cost
    circuit = priced.cat.circuits[chance.circuit].name if chance.circuit else ""
    return SheetRow(
        id=part.part,
        kind=OPEN_PART,
        name=part.name,
        ways=tuple((way.way, way.share) for way in part.ways),
        chance=chance.after,
        chance_low=chance.low,
        chance_high=chance.high,
        expected_count=None,
        rests_on=chance.rests_on,
        own_cases=chance.own_cases,
        low=_money(cost.low, priced),
        likely=_money(cost.likely, priced),
        high=_money(cost.high, priced),
        workshop_cost=_money(part.workshop_cost.likely, priced),
        days=Decimal(f"{part.added_days:g}"),
        circuit=circuit,
        amount=share.amount,
    )


def _found_row(one: Found, share: Share, priced: PricedJob) -> SheetRow:
    """Low, likely and high are those of each; the count says how many are expected."""
    each = one.cost.each
    return SheetRow(
        id=one.id,
        kind=FOUND,
        name=one.name,
        ways=(),
        chance=None,
        chance_low=None,
        chance_high=None,
        expected_count=one.expected,
        rests_on=one.row.origin,
        own_cases=0,
        low=_money(each.low, priced),
        likely=_money(each.likely, priced),
        high=_money(each.high, priced),
        workshop_cost=_money(one.workshop_cost.each.likely, priced),
        days=Decimal(f"{one.added_days:g}"),
        circuit="",
        amount=share.amount,
    )


def _line_row(line: PricedLine, share: Share) -> SheetRow:
    return SheetRow(
        id=line.id,
        kind=LINE,
        name=line.line.row.name,
        ways=(),
        chance=None,
        chance_low=None,
        chance_high=None,
        expected_count=None,
        rests_on="",
        own_cases=0,
        low=line.low,
        likely=line.amount,
        high=line.high,
        workshop_cost=None,
        days=Decimal(0),
        circuit="",
        amount=share.amount,
    )
