"""Lines and groups of a price as frozen rows of figures, for screens."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Outwork, PartsGroup
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.found_work import Found
from estimator.domain.job import Job
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.price_age import expired
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import PricedWork
from estimator.domain.pricing import PricedLine, unit_price
from estimator.domain.scope_line import EXPOSED, FIRM, LABOUR, PROVISIONAL, ScopeLine

FOUND = "found"  # kind of a row of work that may be found while working


@dataclass(frozen=True, slots=True)
class Rests:
    """What a row rests on: `how` is level, finding, chance, safety, hand, typed, own, open or
    found; `findings` are numbers of findings, `words` how they were looked at, `share` a chance,
    `count` how many are expected to be found."""

    how: str
    findings: tuple[str, ...] = ()
    words: str = ""
    share: Decimal | None = None
    unseen: bool = False
    count: Decimal | None = None


@dataclass(frozen=True, slots=True)
class PriceRow:
    """A line, a part that may be found worn (kind "exposed") or work that may be found while
    working (kind "found"), which have no amount of their own.

    `before_...` is what was worked out where something else was typed. `low`, `likely`, `high` are
    minor units, of a line that may move, of a part if it is found worn, or of found work: nothing,
    its mean, and what 19 in 20 outcomes do not exceed.
    """

    figure: str  # the name it is explained by, and the row's own: line/P-TCK, contribution/P-CRK
    id: str
    group: str
    kind: str
    name: str
    certainty: str
    quantity: Decimal | None
    unit: str
    labour: Money | None
    parts: Money | None
    outwork: Money | None
    amount: Money | None
    contingency: Money | None
    rests: Rests
    full: int
    low: int = 0
    likely: int = 0
    high: int = 0
    range_full: int = 1
    expired: bool = False
    own: bool = False
    by_hand: bool = False
    typed_why: str = ""
    before_quantity: Decimal | None = None
    before_amount: Money | None = None
    since_amount: Money | None = None  # in the revision issued last; None where it is the same
    new_since: bool = False
    unit_cost: Decimal | None = None
    cost_currency: str = ""
    before_unit_cost: Decimal | None = None
    cost: Money | None = None
    margin: Money | None = None
    margin_share: Decimal | None = None

    @property
    def hours(self) -> Decimal | None:
        """Charged hours of a labour line."""
        return self.quantity if self.kind == LABOUR else None

    @property
    def uncertain(self) -> bool:
        """Whether it may still move."""
        return self.certainty != FIRM

    @property
    def changed(self) -> bool:
        """Whether the estimator typed it over, put it in or wrote it."""
        return bool(self.typed_why) or self.own or self.by_hand

    @property
    def firm(self) -> Money | None:
        """The amount, of a firm line."""
        return self.amount if self.certainty == FIRM else None

    @property
    def provisional(self) -> Money | None:
        """The amount, of a provisional line."""
        return self.amount if self.certainty == PROVISIONAL else None


@dataclass(frozen=True, slots=True)
class GroupRow:
    """A component group with the sums of the rows under it."""

    figure: str
    group: str
    name: str
    hours: Decimal
    labour: Money
    parts: Money
    outwork: Money
    amount: Money
    firm: Money
    provisional: Money
    contingency: Money | None
    open_parts: int
    moving: int
    full: int
    cost: Money
    margin: Money
    margin_share: Decimal | None


@dataclass(frozen=True, slots=True)
class IssuedLines:
    """Amounts of the lines of a revision as it was issued, by line."""

    revision: str
    amounts: Mapping[str, Money]


@dataclass(slots=True)
class Making:
    """What every row of a table shares."""

    job: Job
    cat: ClassCatalogue
    work: PricedWork | PricedJob
    shares: Mapping[str, Money]
    today: datetime.date
    issued: IssuedLines | None
    full: int = 1
    range_full: int = 1
    kinds: dict[str, str] = field(default_factory=dict)

    @property
    def nothing(self) -> Money:
        """No money, in the quote's currency."""
        return Money(0, self.job.terms.currency)


def line_row(priced: PricedLine, making: Making) -> PriceRow:
    """The row of a priced line, with what stood there before it was typed over."""
    line, amount = priced.line, priced.amount
    by_kind = {kind: amount if line.kind == kind else None for kind in ("labour", "parts")}
    terms = making.job.terms
    cost = money_half_up(priced.cost, terms.currency, terms.quoting_unit)
    moves = priced.low != priced.high
    unit_cost, currency = _cost_of_one(line)
    issued, was = making.issued, None
    if issued is not None:
        was = issued.amounts.get(line.id)
    row = PriceRow(
        figure=f"line/{line.id}",
        id=line.id,
        group=line.group,
        kind=line.kind,
        name=line.row.name,
        certainty=line.certainty,
        quantity=line.quantity,
        unit=line.unit,
        labour=by_kind["labour"],
        parts=by_kind["parts"],
        outwork=amount if line.kind == "outwork" else None,
        amount=amount,
        contingency=making.shares.get(line.id),
        rests=_rests_of(line, making),
        full=making.full,
        low=priced.low.minor if moves else 0,
        likely=amount.minor if moves else 0,
        high=priced.high.minor if moves else 0,
        range_full=making.range_full,
        expired=expired(priced, making.today),
        own=line.own is not None,
        by_hand=line.change is not None,
        since_amount=was if was is not None and was != amount else None,
        new_since=issued is not None and was is None,
        unit_cost=unit_cost,
        cost_currency=currency,
        cost=cost,
        margin=amount - cost,
        margin_share=share_of(amount - cost, amount),
    )
    return row if line.typed is None else _with_before(row, line, making)


def _with_before(row: PriceRow, line: ScopeLine, making: Making) -> PriceRow:
    """The row of a line that was typed over, with what was worked out."""
    change, before = line.typed, line.worked_out
    assert change is not None
    assert before is not None  # the two go together
    terms = making.job.terms
    each = unit_price(before.row, making.job, making.cat).price
    was = money_half_up(before.quantity * each, terms.currency, terms.quoting_unit)
    cost_before, _currency = _cost_of_one(before)
    return replace(
        row,
        typed_why=f"{change.reason} ({change.by}, {change.date.isoformat()})",
        before_quantity=before.quantity if change.quantity is not None else None,
        before_unit_cost=cost_before if change.unit_cost is not None else None,
        before_amount=was if was != row.amount else None,
    )


def _cost_of_one(line: ScopeLine) -> tuple[Decimal | None, str]:
    row = line.row
    if isinstance(row, PartsGroup):
        return row.unit_cost, row.currency
    return (row.cost_each, row.currency) if isinstance(row, Outwork) else (None, "")


def _rests_of(line: ScopeLine, making: Making) -> Rests:
    if line.typed is not None:
        return Rests("typed", line.because, line.typed.reason)
    if line.own is not None:
        return Rests("own", (), line.own.reason)
    if line.change is not None:
        return Rests("hand", (), line.change.reason)
    if line.because:
        kinds = dict.fromkeys(making.kinds[one] for one in line.because)
        return Rests("finding", line.because, ", ".join(kinds))
    if line.rule == "level":
        return Rests("level")
    chance = making.work.known.chances.get(line.rule.partition(":")[0])
    share = None if chance is None else share_to_thousandth(chance.after)
    return Rests("chance", (), chance.rests_on if chance is not None else line.why, share)


def share_to_thousandth(value: float) -> Decimal:
    """A chance as a share, to a thousandth."""
    return Decimal(repr(value)).quantize(Decimal("0.001"))


def open_row(part: ExposedPart, making: Making) -> PriceRow:
    """The row of a part that may be found worn: no amount, a share of the contingency."""
    called = making.work.scope.parts[part.part]
    by = called.by
    return PriceRow(
        figure=f"contribution/{part.part}",
        id=part.part,
        group=part.group,
        kind=EXPOSED,
        name=part.name,
        certainty=EXPOSED,
        quantity=None,
        unit="",
        labour=None,
        parts=None,
        outwork=None,
        amount=None,
        contingency=making.shares.get(part.part),
        rests=Rests(
            "open",
            () if by is None else (by.finding.id,),
            part.chance.rests_on,
            share_to_thousandth(part.chance.after),
            unseen=True,
        ),
        full=making.full,
        low=minor_units(part.cost.low, making.job),
        likely=minor_units(part.cost.likely, making.job),
        high=minor_units(part.cost.high, making.job),
        range_full=making.range_full,
    )


def found_row(found: Found, making: Making) -> PriceRow:
    """The row of work that may be found while working: no amount, a share of the contingency."""
    low, likely, high = (minor_units(one, making.job) for one in found.shown_range)
    return PriceRow(
        figure=f"contribution/{found.key}",
        id=found.id,
        group=found.group,
        kind=FOUND,
        name=found.name,
        certainty=EXPOSED,
        quantity=None,
        unit="",
        labour=None,
        parts=None,
        outwork=None,
        amount=None,
        contingency=making.shares.get(found.key),
        rests=rests_of_found(found),
        full=making.full,
        low=low,
        likely=likely,
        high=high,
        range_full=making.range_full,
    )


def rests_of_found(found: Found) -> Rests:
    """Work found while working rests on how many are expected, to a tenth."""
    count = Decimal(repr(found.expected)).quantize(Decimal("0.1"))
    return Rests(FOUND, (), found.row.origin, unseen=True, count=count)


def minor_units(amount: float, job: Job) -> int:
    """A sum of the statistics, in the quote's currency, as whole minor units."""
    return money_half_up(Decimal(repr(amount)), job.terms.currency).minor


def group_row(group: str, rows: list[PriceRow], making: Making) -> GroupRow:
    """The head of a group with the sums of its rows."""
    currency = making.job.terms.currency

    def total(sums: Iterable[Money | None]) -> Money:
        return money_sum((one for one in sums if one is not None), currency)

    amount, cost = total(row.amount for row in rows), total(row.cost for row in rows)
    known = [row.contingency for row in rows if row.contingency is not None]
    return GroupRow(
        figure=f"group/{group}",
        group=group,
        name=making.cat.groups[group].name,
        hours=sum((row.hours for row in rows if row.hours is not None), Decimal(0)),
        labour=total(row.labour for row in rows),
        parts=total(row.parts for row in rows),
        outwork=total(row.outwork for row in rows),
        amount=amount,
        firm=total(row.firm for row in rows),
        provisional=total(row.provisional for row in rows),
        contingency=money_sum(known, currency) if known else None,
        open_parts=sum(row.kind == EXPOSED for row in rows),
        moving=sum(row.certainty == PROVISIONAL for row in rows),
        full=making.full,
        cost=cost,
        margin=amount - cost,
        margin_share=share_of(amount - cost, amount),
    )


def share_of(part: Money, whole: Money) -> Decimal | None:
    """A part as a share of the whole, to a thousandth; None of nothing."""
    if not whole.minor:
        return None
    return (Decimal(part.minor) / Decimal(whole.minor)).quantize(Decimal("0.001"))
