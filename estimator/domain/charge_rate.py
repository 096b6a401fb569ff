"""The charge rate of a trade, built up from wage, on-cost, overhead and margin.

Rate = (wage x paid hours x (1 + on-cost) / sold hours + overhead) / (1 - margin), rounded half-up
to the trade's step (worked example of the trade notes). Margin is a share of the price: a 20 %
margin is a 25 % markup.
"""

from __future__ import annotations

from decimal import Decimal

from estimator.domain.catalogue.rows import Trade
from estimator.domain.fixed_words import fixed
from estimator.domain.money import round_half_up
from estimator.domain.reasons import Figure, Reasons, source_of
from estimator.domain.wording import worded


def labour_cost(trade: Trade) -> Decimal:
    """Wage and on-cost, per sold hour, in the trade's currency."""
    return trade.wage_per_hour * trade.paid_hours * (1 + trade.on_cost) / trade.sold_hours


def cost_rate(trade: Trade) -> Decimal:
    """What a sold hour costs the workshop."""
    return labour_cost(trade) + trade.overhead_per_hour


def charge_rate(trade: Trade) -> Decimal:
    """What a sold hour is charged at."""
    return round_half_up(cost_rate(trade) / (1 - trade.margin), trade.rate_step)


def note_rate(trade: Trade, reasons: Reasons) -> str:
    """Keep how a trade's rate was reached; returns the figure's name."""
    cost = cost_rate(trade)
    reasons.note(
        Figure(
            name=f"cost_rate/{trade.id}",
            title=worded("Cost of a sold hour, {name}", name=trade.name),
            value=round_half_up(cost, Decimal("0.0001")),
            unit=f"{trade.currency}/h",
            formula=worded("wage x paid hours x (1 + on-cost) / sold hours + overhead"),
            numbers=(
                (
                    worded("wage"),
                    worded(
                        "{amount} {currency}/h",
                        amount=trade.wage_per_hour,
                        currency=trade.currency,
                    ),
                ),
                (
                    worded("paid hours"),
                    worded("{hours} h a year", hours=trade.paid_hours),
                ),
                (worded("on-cost"), worded("{value:%}", value=trade.on_cost)),
                (
                    worded("sold hours"),
                    worded("{hours} h a year", hours=trade.sold_hours),
                ),
                (
                    worded("overhead"),
                    worded(
                        "{amount} {currency}/h",
                        amount=trade.overhead_per_hour,
                        currency=trade.currency,
                    ),
                ),
            ),
            source=_source(trade),
            origin=fixed(trade.origin),
        )
    )
    name = f"rate/{trade.id}"
    reasons.note(
        Figure(
            name=name,
            title=worded("Charge rate, {name}", name=trade.name),
            value=charge_rate(trade),
            unit=f"{trade.currency}/h",
            formula=worded("cost / (1 - margin), half-up to the step"),
            inputs=(f"cost_rate/{trade.id}",),
            numbers=(
                (worded("margin"), worded("{value:%}", value=trade.margin)),
                (worded("step"), worded("{value}", value=trade.rate_step)),
            ),
            source=_source(trade),
            origin=fixed(trade.origin),
        )
    )
    return name


def _source(trade: Trade) -> str:
    return source_of(trade.place, trade.source)
