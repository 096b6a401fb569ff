"""The charge rate of a trade, built up from wage, on-cost, overhead and margin.

Rate = (wage x paid hours x (1 + on-cost) / sold hours + overhead) / (1 - margin), rounded half-up
to the trade's step (worked example of the trade notes). Margin is a share of the price: a 20 %
margin is a 25 % markup.
"""

from __future__ import annotations

from decimal import Decimal

from estimator.domain.catalogue.rows import Trade
from estimator.domain.money import round_half_up
from estimator.domain.reasons import Figure, Reasons


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
            title=f"Cost of a sold hour, {trade.name}",
            value=round_half_up(cost, Decimal("0.0001")),
            unit=f"{trade.currency}/h",
            formula="wage x paid hours x (1 + on-cost) / sold hours + overhead",
            numbers=(
                ("wage", f"{trade.wage_per_hour} {trade.currency}/h"),
                ("paid hours", f"{trade.paid_hours} h a year"),
                ("on-cost", f"{trade.on_cost:%}"),
                ("sold hours", f"{trade.sold_hours} h a year"),
                ("overhead", f"{trade.overhead_per_hour} {trade.currency}/h"),
            ),
            source=_source(trade),
            origin=trade.origin,
        )
    )
    name = f"rate/{trade.id}"
    reasons.note(
        Figure(
            name=name,
            title=f"Charge rate, {trade.name}",
            value=charge_rate(trade),
            unit=f"{trade.currency}/h",
            formula="cost / (1 - margin), half-up to the step",
            inputs=(f"cost_rate/{trade.id}",),
            numbers=(("margin", f"{trade.margin:%}"), ("step", f"{trade.rate_step}")),
            source=_source(trade),
            origin=trade.origin,
        )
    )
    return name


def _source(trade: Trade) -> str:
    return f"{trade.place}" + (f"; {trade.source}" if trade.source else "")
