"""Options of one machine side by side: rebuild levels, teardown only, and the ways of putting its
main components right. Every column adds up from its groups to its price."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.names import catalogue_in
from estimator.domain.in_language import in_language, offer_in
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.options import (
    LevelOption,
    WayOption,
    level_option,
    priced_levels,
    way_options,
)
from estimator.domain.priced_job import PricedJob, Progress
from estimator.domain.priced_work import unheard
from estimator.domain.pricing import PricedLine
from estimator.domain.quote_length import OPTIONS_PAGE
from estimator.domain.reasons import Reasons
from estimator.domain.side_paper import PaperHead, paper_head
from estimator.domain.teardown import TeardownOffer, teardown_offer

TEARDOWN = "teardown"
EXCHANGE = "exchange"
MOST_COMPONENTS = 3


@dataclass(frozen=True, slots=True)
class Cover:
    """Component groups with the same warranty: months, hours (None: months alone)."""

    months: int
    hours: int | None
    groups: int


@dataclass(frozen=True, slots=True)
class OptionColumn:
    """One option. `groups` are its lines by component group, `charges` discount, carriage and
    levies; with the contingency they add up to `net`. None where an option has nothing of it."""

    key: str  # full, driveline or teardown
    groups: Mapping[str, Money]
    charges: Money
    provisional: Money
    contingency: Money
    net: Money
    gross: Money
    hours: Decimal
    ready_planned: date
    ready_likely: date | None
    level: LevelOption | None
    warranty: tuple[Cover, ...]


@dataclass(frozen=True, slots=True)
class ComponentWays:
    """Ways of putting one component's part right."""

    part: str
    name: str
    open: bool  # it may still prove sound: its cost comes only if it is found worn
    ways: tuple[WayOption, ...]


@dataclass(frozen=True, slots=True)
class OptionsPage:
    """Everything that the page prints. `new_price` is as the catalogue states it, `new_origin`
    whose figure that is."""

    head: PaperHead
    columns: tuple[OptionColumn, ...]
    group_names: Mapping[str, str]  # of groups in any option, in order
    teardown: TeardownOffer
    new_price: Money
    new_origin: str
    new_day: date
    components: tuple[ComponentWays, ...]
    fixed: bool


def options_page(
    priced: PricedJob, language: str = "en", progress: Progress = unheard
) -> OptionsPage:
    """The page of a priced job: the other level and some ways are reckoned, which takes some
    seconds. What `progress` raises passes through."""
    job = priced.job
    judged = dict(priced.scope.judgements)
    offer = teardown_offer(job, priced.cat, judged, Reasons())
    levels = [in_language(one, language) for one in priced_levels(priced, progress)]
    columns = (*(_level(one) for one in levels), _teardown(offer, job.terms.currency))
    cat = catalogue_in(priced.cat, language)
    machine = cat.machine_class
    return OptionsPage(
        head=paper_head(job, cat, language, OPTIONS_PAGE),
        columns=columns,
        group_names={code: row.name for code, row in cat.groups.items()
                     if any(code in one.groups for one in columns)},
        teardown=offer_in(offer, priced.cat, language),
        new_price=money_half_up(machine.new_price_likely, machine.currency),
        new_origin=machine.origin,
        new_day=machine.price_date,
        components=tuple(
            ComponentWays(part, cat.parts[part].name, is_open, way_options(priced, part, progress))
            for part, is_open in main_parts(priced)
        ),
        fixed=job.terms.commercial_form == "fixed price",
    )  # fmt: skip


def main_parts(priced: PricedJob) -> list[tuple[str, bool]]:
    """(part, whether it is open) of the parts with an exchange unit among several ways, dearest
    first, at most MOST_COMPONENTS: open ones, and those the scope puts right."""
    is_open = {one.part for one in priced.exposed}
    found = []
    for part, remedies in priced.cat.remedies.items():
        ways = {one.way for one in remedies}
        called = priced.scope.parts.get(part)
        offered = part in is_open or (called is not None and called.put_right)
        if EXCHANGE in ways and len(ways) > 1 and offered and part in priced.cat.parts:
            found.append((max(one.likely for one in remedies), part))
    found.sort(key=lambda one: (-one[0], one[1]))
    return [(part, part in is_open) for _, part in found[:MOST_COMPONENTS]]


def _level(priced: PricedJob) -> OptionColumn:
    option, price = level_option(priced), priced.price
    lines = price.firm_lines + price.provisional_lines
    return OptionColumn(
        key=priced.job.level,
        groups={one.group: one.lines for one in price.groups if one.lines},
        charges=price.base - lines,
        provisional=option.provisional,
        contingency=option.contingency,
        net=option.net,
        gross=option.gross,
        hours=option.hours,
        ready_planned=option.ready_covered,
        ready_likely=option.ready_likely,
        level=option,
        warranty=_covers(priced),
    )


def _covers(priced: PricedJob) -> tuple[Cover, ...]:
    """Warranty of the groups in the scope, the longest first."""
    in_scope = {one.line.group for one in priced.lines}
    counted: dict[tuple[int, int | None], int] = {}
    for group, row in priced.cat.warranty.items():
        if group in in_scope and row.months:
            counted[row.months, row.hours] = counted.get((row.months, row.hours), 0) + 1
    ordered = sorted(counted.items(), key=lambda one: (-one[0][0], -(one[0][1] or 0)))
    return tuple(Cover(months, hours, count) for (months, hours), count in ordered)


def _teardown(offer: TeardownOffer, currency: str) -> OptionColumn:
    groups: dict[str, list[PricedLine]] = {}
    for one in offer.lines:
        groups.setdefault(one.line.group, []).append(one)
    sums = {code: money_sum((one.amount for one in own), currency) for code, own in groups.items()}
    lines, none = money_sum(sums.values(), currency), Money(0, currency)
    return OptionColumn(
        key=TEARDOWN, groups={code: one for code, one in sums.items() if one},
        charges=offer.net - lines, provisional=none, contingency=none, net=offer.net,
        gross=offer.totals.gross, hours=offer.hours, ready_planned=offer.report_day,
        ready_likely=None, level=None, warranty=(),
    )  # fmt: skip
