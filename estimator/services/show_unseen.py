"""What nobody has seen: each open part with its chance, what that rests on, and what it would cost.

Sums are in the quote's currency, at selling price unless they say otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.money import Money, money_half_up
from estimator.domain.priced_job import PricedJob
from estimator.services.show_price import round_scale, scale_marks


@dataclass(frozen=True, slots=True)
class WayRow:
    """One way of putting a part right if it is found worn; `share` is its chance, given worn."""

    way: str
    share: float
    likely: Money
    days: Decimal


@dataclass(frozen=True, slots=True)
class UnseenRow:
    """A part nobody has seen, with its chance of being worn and what that would cost.

    `tenths` is the chance in words: 8 for "8 in 10", 0 and 10 where it lies nearer to never and
    always than to one in ten. `chance_low` and `chance_high` are the ends of the interval that what
    the chance rests on leaves it (four times in five). `workshop` is what the likely case costs
    the workshop itself. `scale` ends the scale that the ranges of all rows share.
    """

    part: str
    name: str
    group: str
    way: str
    chance: float
    chance_low: float
    chance_high: float
    tenths: int
    rests_on: str
    own_cases: int
    low: Money
    likely: Money
    high: Money
    workshop: Money
    ways: tuple[WayRow, ...]
    days: Decimal
    circuit: str
    amount: Money
    scale: Money


def unseen_rows(priced: PricedJob) -> tuple[UnseenRow, ...]:
    """The open parts, the largest share of the contingency first."""
    amounts = {share.id: share.amount for share in priced.contingency.shares}
    nothing = Money(0, priced.job.terms.currency)
    highest = max((_money(part.cost.high, priced).minor for part in priced.exposed), default=1)
    scale = Money(round_scale(highest), nothing.currency)
    rows = [_row(part, priced, amounts.get(part.part, nothing), scale) for part in priced.exposed]
    return tuple(sorted(rows, key=lambda row: (-row.amount.minor, row.part)))


def range_marks(rows: tuple[UnseenRow, ...]) -> tuple[tuple[float, Decimal, str], ...]:
    """Marks of the scale the ranges share: (place from 0 to 1, number, "k" for thousands or "")."""
    return scale_marks(rows[0].scale) if rows else ()


def holding(rows: tuple[UnseenRow, ...], text: str) -> tuple[UnseenRow, ...]:
    """The rows that hold every word of a text, in a name, a code or what the chance rests on."""
    words = text.casefold().split()
    return tuple(row for row in rows if all(word in _words_of(row) for word in words))


def _words_of(row: UnseenRow) -> str:
    texts = (row.part, row.name, row.group, row.way, row.circuit, row.rests_on)
    return " ".join(texts).casefold()


def _row(part: ExposedPart, priced: PricedJob, amount: Money, scale: Money) -> UnseenRow:
    chance, cat = part.chance, priced.cat
    circuit = cat.circuits[chance.circuit].name if chance.circuit else ""
    return UnseenRow(
        part=part.part,
        name=part.name,
        group=cat.groups[part.group].name,
        way=part.way,
        chance=chance.after,
        chance_low=chance.low,
        chance_high=chance.high,
        tenths=int(chance.after * 10 + 0.5),
        rests_on=chance.rests_on,
        own_cases=chance.own_cases,
        low=_money(part.cost.low, priced),
        likely=_money(part.cost.likely, priced),
        high=_money(part.cost.high, priced),
        workshop=_money(part.workshop_cost.likely, priced),
        ways=tuple(
            WayRow(
                one.way,
                one.share,
                _money(one.cost.likely, priced),
                Decimal(f"{one.added_days:g}"),
            )
            for one in part.ways
        ),
        days=Decimal(f"{part.added_days:g}"),
        circuit=circuit,
        amount=amount,
        scale=scale,
    )


def _money(value: float, priced: PricedJob) -> Money:
    terms = priced.job.terms
    return money_half_up(Decimal(repr(value)), terms.currency, terms.quoting_unit)
