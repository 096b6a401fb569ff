"""The price as a screen shows it: groups, lines and totals as frozen rows that add up.

Every figure is taken from the reckoning or is a sum of such; a screen only writes it down. Sums are
in the quote's currency. Each column of the lines adds up to its group, the groups to the priced
work, and the totals to the price.
"""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from operator import is_

from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.people import ESTIMATOR, SERVICE_MANAGER, Person
from estimator.domain.priced_job import PricedJob
from estimator.domain.priced_work import PricedWork
from estimator.domain.wording import worded
from estimator.services.open_record import Record
from estimator.services.price_rows import (
    GroupRow,
    IssuedLines,
    Making,
    PriceRow,
    Rests,
    found_row,
    group_row,
    line_row,
    minor_units,
    open_row,
    share_of,
)
from estimator.storage import job_record

__all__ = [
    "GroupRow",
    "IssuedLines",
    "PriceRow",
    "PriceTable",
    "Rests",
    "TotalRow",
    "axis_marks",
    "lines_as_issued",
    "may_see_cost",
    "price_table",
    "round_scale",
    "with_same_rows",
]

SEES_COST = frozenset((ESTIMATOR, SERVICE_MANAGER))
STEPS = (1, 2, 5)
THOUSAND = 1000


@dataclass(frozen=True, slots=True)
class TotalRow:
    """One of the sums under the lines. `words` is what it is made of, such as names of levies."""

    figure: str  # priced_work has no figure of its own
    key: str
    amount: Money
    hours: Decimal | None = None
    labour: Money | None = None
    parts: Money | None = None
    outwork: Money | None = None
    contingency: Money | None = None
    words: str = ""
    share: Decimal | None = None
    cost: Money | None = None
    margin: Money | None = None
    margin_share: Decimal | None = None


@dataclass(frozen=True, slots=True)
class PriceTable:
    """Groups with their rows, and the totals under them.

    `fresh` is false where contingency, and with it net and tax, are of the reckoning before.
    """

    sections: tuple[tuple[GroupRow, tuple[PriceRow, ...]], ...]
    totals: tuple[TotalRow, ...]
    currency: str
    range_full: Money
    fresh: bool
    since: str = ""  # the revision that `since_amount` looks back to

    @property
    def rows(self) -> Iterable[PriceRow]:
        """Every line and every part that may be found worn."""
        return (row for _head, rows in self.sections for row in rows)


def may_see_cost(person: Person) -> bool:
    """Whether the workshop's own cost is this person's to see."""
    return person.active and person.role in SEES_COST


def price_table(
    work: PricedWork | None,
    priced: PricedJob | None,
    today: datetime.date,
    issued: IssuedLines | None = None,
) -> PriceTable:
    """The price of the newest stage: of `work` where `priced` is of an older state of the job, with
    that older contingency. Raises ValueError where there is neither."""
    fresh = priced is not None and (work is None or priced.job is work.job)
    newest = priced if fresh else work
    if newest is None:
        raise ValueError(worded("nothing is worked out yet"))
    shares = {} if priced is None else {one.id: one.amount for one in priced.contingency.shares}
    making = Making(newest.job, newest.cat, newest, shares, today, issued)
    making.full, making.range_full = _scales(making)
    making.kinds = {code: one.kind for code, one in newest.scope.judgements.items()}
    held = None if priced is None else priced.price.contingency
    sections = tuple(_sections(making))
    return PriceTable(
        sections=sections,
        totals=tuple(_totals(making, sections, priced if fresh else None, held)),
        currency=newest.job.terms.currency,
        range_full=Money(making.range_full, newest.job.terms.currency),
        fresh=fresh,
        since=issued.revision if issued is not None else "",
    )


def axis_marks(table: PriceTable) -> tuple[tuple[float, Decimal, str], ...]:
    """Marks of the range column's scale, as `scale_marks`."""
    return scale_marks(table.range_full)


def scale_marks(longest: Money) -> tuple[tuple[float, Decimal, str], ...]:
    """Marks of a scale that ends at a sum: (place from 0 to 1, number, "k" for thousands or "")."""
    full = longest.amount
    thousands = full >= THOUSAND
    ends = full / THOUSAND if thousands else full
    unit = "k" if thousands else ""
    return ((0.0, Decimal(0), ""), (0.5, ends / 2, unit), (1.0, ends, unit))


def with_same_rows(before: PriceTable | None, after: PriceTable) -> PriceTable:
    """`after` with the very rows of `before` where they are equal, so that telling what changed is
    a look at identities."""
    if before is None:
        return after
    known = {head.group: rows for head, rows in before.sections}
    sections = tuple(
        (head, _same_rows(known.get(head.group, ()), rows)) for head, rows in after.sections
    )
    return replace(after, sections=sections)


def _same_rows(before: tuple[PriceRow, ...], after: tuple[PriceRow, ...]) -> tuple[PriceRow, ...]:
    """The rows of a group; the very tuple of before where nothing in it changed."""
    known = {row.figure: row for row in before}
    rows = tuple(_same(known.get(row.figure), row) for row in after)
    unchanged = len(rows) == len(before) and all(map(is_, rows, before))
    return before if unchanged else rows


def _same(known: PriceRow | None, row: PriceRow) -> PriceRow:
    return known if known is not None and known == row else row


def _scales(making: Making) -> tuple[int, int]:
    """Minor units at the end of the certainty and the range column: round, so that they stay."""
    sums: dict[str, int] = {}
    widest = 0
    for line in making.work.lines:
        share = making.shares.get(line.id)
        sums[line.line.group] = sums.get(line.line.group, 0) + line.amount.minor
        sums[line.line.group] += share.minor if share is not None else 0
        if line.low != line.high:
            widest = max(widest, line.high.minor)
    for part in making.work.exposed:
        share = making.shares.get(part.part)
        sums[part.group] = sums.get(part.group, 0) + (share.minor if share is not None else 0)
        widest = max(widest, minor_units(part.cost.high, making.job))
    for one in making.work.found:
        share = making.shares.get(one.key)
        sums[one.group] = sums.get(one.group, 0) + (share.minor if share is not None else 0)
        widest = max(widest, minor_units(one.shown_range[2], making.job))
    return round_scale(max(sums.values(), default=1)), round_scale(widest)


def round_scale(most: int) -> int:
    """The least of 1, 2 or 5 times a power of ten that is not below `most`."""
    power = 1
    while True:
        for step in STEPS:
            if step * power >= most:
                return step * power
        power *= 10


def _sections(making: Making) -> Iterable[tuple[GroupRow, tuple[PriceRow, ...]]]:
    in_group: dict[str, list[PriceRow]] = {group: [] for group in making.cat.groups}
    for line in making.work.lines:
        in_group[line.line.group].append(line_row(line, making))
    for part in making.work.exposed:
        in_group[part.group].append(open_row(part, making))
    for one in making.work.found:
        in_group[one.group].append(found_row(one, making))
    for group, rows in in_group.items():
        if rows:
            yield group_row(group, rows, making), tuple(rows)


def _totals(
    making: Making,
    sections: tuple[tuple[GroupRow, tuple[PriceRow, ...]], ...],
    priced: PricedJob | None,
    held: Money | None,
) -> Iterable[TotalRow]:
    sums = making.work.price if isinstance(making.work, PricedJob) else making.work.sums
    heads, terms = [head for head, _rows in sections], making.job.terms
    lines = sums.firm_lines + sums.provisional_lines
    cost = money_sum((head.cost for head in heads), terms.currency)
    yield TotalRow(
        "priced_work",
        "work",
        lines,
        hours=sum((head.hours for head in heads), Decimal(0)),
        labour=sums.by_kind["labour"],
        parts=sums.by_kind["parts"],
        outwork=sums.by_kind["outwork"],
        cost=cost,
        margin=lines - cost,
        margin_share=share_of(lines - cost, lines),
    )
    yield TotalRow("discount", "discount", -sums.discount, share=terms.discount_share)
    yield TotalRow("freight", "freight", sums.freight)
    names = ", ".join(one.name for one in sums.levies)
    levies = money_sum((one.amount for one in sums.levies), terms.currency)
    yield TotalRow("levies", "levies", levies, words=names)
    contingency = held if held is not None else making.nothing
    bound = priced.contingency.bound if priced is not None else ""
    yield TotalRow(
        "contingency",
        "contingency",
        contingency,
        contingency=contingency,
        words=bound,
        share=terms.confidence,
    )
    yield TotalRow("net", "net", sums.base + contingency)
    if priced is not None:
        tax = making.cat.tax[terms.tax_category]
        rate = tax.rate_percent / 100
        yield TotalRow("tax", "tax", priced.price.totals.tax, words=tax.name, share=rate)
        yield TotalRow("gross", "gross", priced.price.totals.gross)


def lines_as_issued(record: Record, number: str, revision: str) -> IssuedLines | None:
    """Amounts of the lines of the revision issued last before `revision`; None where there is
    none."""
    with record.reading() as session:
        issued = [
            one for one in job_record.issued_quotes(session, number) if one.revision != revision
        ]
    if not issued:
        return None
    last = issued[-1]
    figures = json.loads(last.figures)
    amounts = {
        name.removeprefix("line/"): money_half_up(Decimal(figure["value"]), last.net.currency)
        for name, figure in figures.items()
        if name.startswith("line/") and name.count("/") == 1
    }
    return IssuedLines(last.revision, amounts)
