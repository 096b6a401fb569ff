"""The table that lays both ways side by side, and the sentences below it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from estimator.documents.grammar.wording import MINUS, NOTHING
from estimator.documents.quote import rebuild_or_new_labels as labels
from estimator.documents.quote.rebuild_or_new_paper import ComparisonPaper
from estimator.domain.money import Money, money_half_up, round_half_up
from estimator.domain.rebuild_or_new.compared import Way


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its label, the rebuild's cell and the new machine's."""

    cells: tuple[str, str, str]
    strong: bool = False


def rows(paper: ComparisonPaper) -> Iterator[Row]:
    """What is known of both; rows that would hold nothing on either side are left out."""
    found, words = paper.found, paper.words
    one, two = found.rebuilt, found.new
    yield Row((labels.PRICE, words.money(one.price[2]), words.money(two.price[1])), strong=True)
    yield Row((labels.MAY_COME, _span(paper, one.price), _span(paper, two.price)))
    trade_in = found.inputs.trade_in
    if trade_in is not None and trade_in.likely:
        amount = words.money(money_half_up(trade_in.likely, found.inputs.currency))
        yield Row((labels.FOR_OLD, NOTHING, f"{MINUS}{amount}"))
    yield Row((labels.READY, _weeks(paper, one), _weeks(paper, two)))
    yield Row((labels.WITHOUT, _without(paper, one), _without(paper, two)))
    if found.waiting_counted:
        yield Row((labels.WAITING, _zero(paper, one.waiting[1]), _zero(paper, two.waiting[1])))
    yield Row((labels.GAINED, _life(paper, one), _life(paper, two)))
    yield Row((labels.WORTH, _zero(paper, one.residual[1]), _zero(paper, two.residual[1])))
    if found.fuel_counted:
        yield Row((labels.FUEL, paper.hour(one.fuel), paper.hour(two.fuel)))
    if found.upkeep_counted:
        yield Row((labels.UPKEEP, paper.hour(one.upkeep), paper.hour(two.upkeep)))
    if found.monthly:
        yield Row((labels.MONTHLY, NOTHING, paper.hour(found.monthly)))
    yield Row((labels.PER_YEAR, words.money(one.per_year), words.money(two.per_year)))
    yield Row(
        (labels.PER_HOUR, paper.hour(one.per_hour[1]), paper.hour(two.per_hour[1])), strong=True
    )


def _span(paper: ComparisonPaper, sums: tuple[Money, Money, Money]) -> str:
    low, likely, high = map(paper.words.money, sums)
    return low if low == high else str(labels.SPAN.format(low=low, likely=likely, high=high))


def _zero(paper: ComparisonPaper, amount: Money) -> str:
    return paper.words.money(amount) if amount else NOTHING


def _weeks(paper: ComparisonPaper, way: Way) -> str:
    low, likely, high = (paper.words.quantity(one) for one in way.weeks)
    if low == high:
        return str(labels.WEEKS.format(weeks=likely))
    return str(labels.WEEKS_SPAN.format(weeks=likely, low=low, high=high))


def _without(paper: ComparisonPaper, way: Way) -> str:
    weeks = way.without[1]
    return str(labels.WEEKS.format(weeks=paper.words.quantity(weeks))) if weeks else NOTHING


def _life(paper: ComparisonPaper, way: Way) -> str:
    hours, years = paper.words.quantity(way.hours), paper.words.quantity(way.years)
    return str(labels.LIFE.format(hours=hours, years=years))


def table_notes(paper: ComparisonPaper) -> list[str]:
    """What the table means for the time without a machine, and for fuel."""
    return [" ".join(filter(None, (_sooner(paper), _waiting(paper), _meanwhile(paper),
                                   _payback(paper))))]  # fmt: skip


def _sooner(paper: ComparisonPaper) -> str:
    weeks = paper.found.sooner
    if not weeks:
        return ""
    label = labels.SOONER if weeks > 0 else labels.LATER
    return str(label.format(weeks=paper.words.quantity(abs(weeks))))


def _waiting(paper: ComparisonPaper) -> str:
    found = paper.found
    saved = found.waiting_saved
    if not found.waiting_counted or not saved:
        return ""
    label = labels.SAVES_WAITING if saved.minor > 0 else labels.ADDS_WAITING
    return str(label.format(amount=paper.words.money(saved if saved.minor > 0 else -saved)))


def _meanwhile(paper: ComparisonPaper) -> str:
    return str(labels.WORKS_ON if paper.found.works_on else labels.STANDS)


def _payback(paper: ComparisonPaper) -> str:
    found = paper.found
    hours, years = found.payback_hours, found.payback_years
    if hours is None or years is None:
        return ""
    if not hours:
        return str(labels.PAYBACK_AT_ONCE)
    label = labels.PAYBACK_BEYOND if hours > found.new.hours else labels.PAYBACK
    return str(
        label.format(
            hours=paper.words.number(round_half_up(hours, Decimal(1)), 0),
            years=paper.words.number(years, 1),
            life=paper.words.quantity(found.new.hours),
        )
    )
