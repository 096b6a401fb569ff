"""The internal cost sheet: what a job costs the workshop beside what it sells for.

For the workshop alone. Costs of lines are rounded half-up to the minor unit, so that what is
printed adds up; a margin is a share of the selling price.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.domain.adoption import STARTING_VALUE
from estimator.domain.catalogue.work_rows import Operation, Outwork, PartsGroup
from estimator.domain.charge_rate import charge_rate, cost_rate
from estimator.domain.charges import LevySum
from estimator.domain.enquiry import BANDS, Band, EnquiryRange
from estimator.domain.exposure_sheet import ExposureSheet, HeldAt, build_exposure_sheet
from estimator.domain.in_language import in_language
from estimator.domain.job import ExchangeRate
from estimator.domain.language import ENGLISH
from estimator.domain.money import Money, money_sum
from estimator.domain.priced_job import PricedJob
from estimator.domain.pricing import PricedLine, exchange_rate
from estimator.domain.scope_line import KINDS
from estimator.domain.workshop_papers.head import PaperHead, head_of
from estimator.domain.workshop_papers.parts_list import line_cost

PAPER = "cost sheet: "


@dataclass(frozen=True, slots=True)
class CostAndSell:
    """What something costs the workshop, and what it sells for."""

    cost: Money
    sell: Money

    @property
    def margin(self) -> Money:
        """What is left of the selling price."""
        return self.sell - self.cost

    @property
    def share(self) -> Decimal | None:
        """Margin as a share of the selling price; None where that is nothing."""
        return self.margin.amount / self.sell.amount if self.sell.minor else None


@dataclass(frozen=True, slots=True)
class GroupCost:
    """A component group: each kind of line that it has, and all of them."""

    id: str
    name: str
    kinds: tuple[tuple[str, CostAndSell], ...]
    total: CostAndSell


@dataclass(frozen=True, slots=True)
class TradeCost:
    """A trade: its hours, what an hour costs and is charged at (quote's currency), the margin that
    the catalogue wants, what its lines come to."""

    name: str
    hours: Decimal
    cost_rate: Decimal
    charge_rate: Decimal
    wanted: Decimal
    total: CostAndSell


@dataclass(frozen=True, slots=True)
class MarkupCost:
    """A class of markup on cost, and the lines it was taken on."""

    name: str
    share: Decimal
    total: CostAndSell


@dataclass(frozen=True, slots=True, kw_only=True)
class CostSheet:
    """Everything that the sheet prints. `lines` is every line together, `discounted` the same less
    the discount; freight and levies are charged as they come."""

    head: PaperHead
    estimator: str
    groups: tuple[GroupCost, ...]
    kinds: tuple[tuple[str, CostAndSell], ...]
    lines: CostAndSell
    discount: Money
    discounted: CostAndSell
    freight: Money
    levies: tuple[LevySum, ...]
    base: Money
    contingency: Money
    net: Money
    tax: Money
    gross: Money
    trades: tuple[TradeCost, ...]
    markups: tuple[MarkupCost, ...]
    rates: tuple[ExchangeRate, ...]
    confidence: Decimal
    mean: Money  # expected above base, and
    mean_total: Money  # with it
    median: HeldAt
    eight_in_ten: HeldAt
    own: HeldAt
    range: EnquiryRange
    band: Band
    starting: tuple[tuple[str, Money], ...]  # (what rests on a starting value, in the contingency)
    starting_sum: Money
    starting_lines: int
    all_lines: int
    starting_sell: Money


def build_cost_sheet(
    priced: PricedJob, range_: EnquiryRange, day: date, language: str = ENGLISH
) -> CostSheet:
    """The cost sheet of a priced job; `range_` is its range so far, with the class it carries."""
    said = in_language(priced, language)
    job, price = said.job, said.price
    currency = job.terms.currency
    sheet = build_exposure_sheet(said)
    lines = _together(said.lines, currency)
    starting = sheet.on_starting_values
    unjudged = [one for one in said.lines if one.line.row.origin == STARTING_VALUE]
    held = {one.confidence: one for one in sheet.held}
    return CostSheet(
        head=head_of(job, said.cat, day, PAPER, language),
        estimator=job.estimator,
        groups=_groups(said),
        kinds=_by_kind(said.lines, currency),
        lines=lines,
        discount=price.discount,
        discounted=CostAndSell(lines.cost, lines.sell - price.discount),
        freight=price.freight,
        levies=price.levies,
        base=price.base,
        contingency=price.contingency,
        net=price.net,
        tax=price.totals.tax,
        gross=price.totals.gross,
        trades=_trades(said),
        markups=_markups(said),
        rates=_rates(said),
        confidence=said.contingency.confidence,
        mean=sheet.mean_total - price.base,
        mean_total=sheet.mean_total,
        median=held[Decimal("0.5")],
        eight_in_ten=held[Decimal("0.8")],
        own=sheet.own,
        range=range_,
        band=BANDS[range_.estimate_class],
        starting=tuple((row.name, row.amount) for row in starting),
        starting_sum=_starting_sum(sheet, currency),
        starting_lines=len(unjudged),
        all_lines=len(said.lines),
        starting_sell=money_sum((one.amount for one in unjudged), currency),
    )


def _starting_sum(sheet: ExposureSheet, currency: str) -> Money:
    return money_sum((row.amount for row in sheet.on_starting_values), currency)


def _together(lines: Iterable[PricedLine], currency: str) -> CostAndSell:
    found = tuple(lines)
    return CostAndSell(
        money_sum((line_cost(one, currency) for one in found), currency),
        money_sum((one.amount for one in found), currency),
    )


def _by_kind(lines: Iterable[PricedLine], currency: str) -> tuple[tuple[str, CostAndSell], ...]:
    found = tuple(lines)
    by_kind = {kind: [one for one in found if one.line.kind == kind] for kind in KINDS}
    return tuple((kind, _together(own, currency)) for kind, own in by_kind.items() if own)


def _groups(priced: PricedJob) -> tuple[GroupCost, ...]:
    currency = priced.job.terms.currency
    found = []
    for code, group in priced.cat.groups.items():
        own = [one for one in priced.lines if one.line.group == code]
        if own:
            total = _together(own, currency)
            found.append(GroupCost(code, group.name, _by_kind(own, currency), total))
    return tuple(found)


def _trades(priced: PricedJob) -> tuple[TradeCost, ...]:
    """Trades in the order of the catalogue, rates in the quote's currency."""
    job, found = priced.job, []
    for code, trade in priced.cat.trades.items():
        own = [one for one in priced.lines
               if isinstance(one.line.row, Operation) and one.line.row.trade == code]  # fmt: skip
        if own:
            rate = exchange_rate(job, trade.currency)
            hours = sum((one.line.quantity for one in own), Decimal(0))
            found.append(
                TradeCost(
                    trade.name, hours, cost_rate(trade) * rate, charge_rate(trade) * rate,
                    trade.margin, _together(own, job.terms.currency),
                )
            )  # fmt: skip
    return tuple(found)


def _markups(priced: PricedJob) -> tuple[MarkupCost, ...]:
    found = []
    for code, markup in priced.cat.markups.items():
        own = [one for one in priced.lines
               if isinstance(one.line.row, PartsGroup | Outwork)
               and one.line.row.markup == code]  # fmt: skip
        if own:
            total = _together(own, priced.job.terms.currency)
            found.append(MarkupCost(markup.name, markup.share, total))
    return tuple(found)


def _rates(priced: PricedJob) -> tuple[ExchangeRate, ...]:
    """Frozen exchange rates that some line was reckoned with."""
    job = priced.job
    used = {priced.cat.trades[one.line.row.trade].currency
            if isinstance(one.line.row, Operation) else one.line.row.currency
            for one in priced.lines
            if isinstance(one.line.row, Operation | PartsGroup | Outwork)}  # fmt: skip
    return tuple(rate for code, rate in sorted(job.exchange_rates.items()) if code in used)
