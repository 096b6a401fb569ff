"""A line of the quote measured again, at the quote's own rate; and extra work priced from it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.work_rows import Operation
from estimator.domain.charge_rate import charge_rate
from estimator.domain.contract.variation import Remeasured, VariationLine
from estimator.domain.money import money_half_up
from estimator.domain.priced_work import PricedWork
from estimator.domain.pricing import PricedLine, exchange_rate, unit_price
from estimator.domain.scope_line import LABOUR, PARTS
from estimator.domain.wording import worded

ASK_AGAIN = Decimal("0.15")
"""A quantity off by more than this share lets either side ask for a new rate (FAR 11.702)."""


class NotInQuote(ValueError):
    """A line, trade or mark-up that the quote does not hold."""


def quoted_line(work: PricedWork, row_id: str) -> PricedLine:
    """A line of the quote. Raises NotInQuote."""
    for line in work.lines:
        if line.id == row_id:
            return line
    raise NotInQuote(worded("{row_id} is no line of the quote", row_id=row_id))


def remeasured_line(work: PricedWork, row_id: str, by_factor: bool, value: Decimal) -> Remeasured:
    """A line at its quoted rate for another quantity: hours before difficulty, units bought, or a
    factor on what was quoted. Raises NotInQuote, ValueError below nought."""
    line = quoted_line(work, row_id)
    if value < 0:
        raise ValueError(
            worded("{row_id} cannot be measured as {value}", row_id=row_id, value=value)
        )
    terms = work.job.terms
    if by_factor:
        amount = line.amount.amount * value
        quantity = line.line.quantity * value
    else:
        quantity = value * difficulty_of(line, work)
        amount = quantity * _unit_price(line, work)
    after = money_half_up(amount, terms.currency, terms.quoting_unit)
    return Remeasured(row_id, line.amount, after, quantity, line.line.unit)


def difficulty_of(line: PricedLine, work: PricedWork) -> Decimal:
    """What a line's hours were multiplied by when they were quoted; one for parts and outwork."""
    row = line.line.row
    if isinstance(row, Operation):
        return work.cat.difficulty[row.difficulty].factor
    return Decimal(1)


def _unit_price(line: PricedLine, work: PricedWork) -> Decimal:
    return unit_price(line.line.row, work.job, work.cat).price


def asks_again(one: Remeasured) -> bool:
    """Whether either side may ask for a new rate for a line measured again."""
    if not one.before:
        return bool(one.after)
    return abs(one.change.amount) > ASK_AGAIN * abs(one.before.amount)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A line of extra work as the estimator gives it. Hours are charged hours."""

    kind: str  # labour, parts or outwork
    what: str
    quantity: Decimal
    unit: str = ""
    trade: str = ""  # of labour
    unit_cost: Decimal = Decimal(0)  # of parts and outwork
    currency: str = ""  # of the cost; the quote's where blank
    markup: str = ""
    part: str = ""


def priced_line(work: PricedWork, wanted: Wanted) -> VariationLine:
    """A line of a variation at the quote's own charge rates, mark-ups and exchange rates; no
    discount, no carriage, no levy. Raises NotInQuote, NoRate, ValueError below nought."""
    if wanted.quantity < 0 or wanted.unit_cost < 0:
        raise ValueError(worded("{what}: quantity and cost lie not below nought", what=wanted.what))
    terms = work.job.terms
    currency, unit = wanted.currency or terms.currency, wanted.unit
    if wanted.kind == LABOUR:
        each, unit = charge_rate_of(work, wanted.trade), "h"
    else:
        marks = work.cat.markups
        if wanted.markup not in marks:
            raise NotInQuote(
                worded(
                    "there is no mark-up {markup!r}; known: {known}",
                    markup=wanted.markup,
                    known=", ".join(marks),
                )
            )
        each = wanted.unit_cost * exchange_rate(work.job, currency)
        each *= 1 + marks[wanted.markup].share
        unit = unit or ("each" if wanted.kind == PARTS else "job")
    amount = money_half_up(wanted.quantity * each, terms.currency, terms.quoting_unit)
    return VariationLine(
        wanted.part, wanted.kind, wanted.what, wanted.quantity, unit, wanted.trade,
        wanted.unit_cost, currency, wanted.markup, amount,
    )  # fmt: skip


def charge_rate_of(work: PricedWork, trade: str) -> Decimal:
    """A trade's charge rate in the quote's currency. Raises NotInQuote, NoRate."""
    trades = work.cat.trades
    if trade not in trades:
        raise NotInQuote(
            worded(
                "there is no trade {trade!r}; known: {known}", trade=trade, known=", ".join(trades)
            )
        )
    return charge_rate(trades[trade]) * exchange_rate(work.job, trades[trade].currency)
