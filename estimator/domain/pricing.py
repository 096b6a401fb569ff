"""From a scope to prices, line by line.

Labour: charged hours x rate. Parts: quantity x cost x exchange rate x (1 + markup). Outwork the
same. Each line is rounded half-up to the quoting unit; nothing before it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import Operation, Outwork, PartsGroup
from estimator.domain.charge_rate import charge_rate, cost_rate, note_rate
from estimator.domain.job import Job
from estimator.domain.line_figures import note_line, note_range, note_worked_out
from estimator.domain.money import Money, money_half_up
from estimator.domain.reasons import Reasons
from estimator.domain.scope import Scope
from estimator.domain.scope_line import ScopeLine
from estimator.domain.wording import worded


class NoRate(ValueError):
    """A currency that the job holds no frozen exchange rate for."""


@dataclass(frozen=True, slots=True)
class PricedLine:
    """A scope line with its price (likely, low, high) and the workshop's own cost of it."""

    line: ScopeLine
    amount: Money
    low: Money
    high: Money
    cost: Decimal  # in the quote's currency, not rounded; never printed for the customer

    @property
    def id(self) -> str:
        """The line's catalogue code."""
        return self.line.id


@dataclass(frozen=True, slots=True)
class Unit:
    """What one unit (an hour, a piece) sells for and costs, in the quote's currency."""

    price: Decimal
    cost: Decimal
    inputs: tuple[str, ...]


def exchange_rate(job: Job, currency: str) -> Decimal:
    """What one unit of `currency` costs in the quote's. Raises NoRate."""
    if currency == job.terms.currency:
        return Decimal(1)
    try:
        return job.exchange_rates[currency].rate
    except KeyError:
        raise NoRate(worded("no exchange rate for {currency}", currency=currency)) from None


def price_lines(
    job: Job, cat: ClassCatalogue, scope: Scope, reasons: Reasons
) -> tuple[PricedLine, ...]:
    """Every line of the scope with its price; how each was reached goes into `reasons`."""
    step, currency = job.terms.quoting_unit, job.terms.currency
    by_trade: dict[str, Unit] = {}  # one rate for all lines of a trade
    priced = []
    for line in scope.lines:
        if isinstance(line.row, Operation):
            trade = line.row.trade
            if trade not in by_trade:
                by_trade[trade] = unit_price(line.row, job, cat, reasons)
            unit = by_trade[trade]
        else:
            unit = unit_price(line.row, job, cat, reasons)
        amount = low = high = money_half_up(line.quantity * unit.price, currency, step)
        if line.low != line.quantity:
            low = money_half_up(line.low * unit.price, currency, step)
        if line.high != line.quantity:
            high = money_half_up(line.high * unit.price, currency, step)
        priced.append(PricedLine(line, amount, low, high, line.quantity * unit.cost))
        note_line(line, unit.inputs, amount, job, cat, reasons)
        if (before := line.worked_out) is not None:
            unit = unit_price(before.row, job, cat, reasons)
            amount = money_half_up(before.quantity * unit.price, currency, step)
            note_worked_out(line, before, unit.inputs, amount, job, cat, reasons)
        if line.low != line.high:
            note_range(line, low, high, reasons)
    return tuple(priced)


def unit_price(row: object, job: Job, cat: ClassCatalogue, reasons: Reasons | None = None) -> Unit:
    """What one unit of a catalogue row sells for. Raises NoRate."""
    if isinstance(row, Operation):
        return _labour_unit(row, job, cat, reasons)
    if isinstance(row, PartsGroup):
        cost, currency, markup_id = row.unit_cost, row.currency, row.markup
    else:
        assert isinstance(row, Outwork)
        cost, currency, markup_id = row.cost_each, row.currency, row.markup
    rate = exchange_rate(job, currency)
    markup = cat.markups[markup_id]
    return Unit(cost * rate * (1 + markup.share), cost * rate, ())


def _labour_unit(row: Operation, job: Job, cat: ClassCatalogue, reasons: Reasons | None) -> Unit:
    trade = cat.trades[row.trade]
    inputs = (note_rate(trade, reasons),) if reasons is not None else ()
    rate = exchange_rate(job, trade.currency)
    return Unit(
        charge_rate(trade) * rate,
        cost_rate(trade) * rate,
        inputs,
    )
