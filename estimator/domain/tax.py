"""Totals of a document with tax by category, after EN 16931.

Line amounts are summed; document allowances are taken off and charges added, each in its own tax
category; tax is base x rate per category, rounded half-up to the minor unit (BR-CO-10 to 17).
A tie is rounded away from zero, for credits as for charges.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.money import Money, money_half_up, money_sum


@dataclass(frozen=True, slots=True)
class Taxed:
    """A sum with the tax category it falls under. `rate` is in percent."""

    amount: Money
    category: str
    rate: Decimal


@dataclass(frozen=True, slots=True)
class TaxLine:
    """Tax of one category and rate."""

    category: str
    rate: Decimal
    base: Money
    tax: Money


@dataclass(frozen=True, slots=True)
class Totals:
    """Totals of a document: lines, allowances, charges, net, tax by category, gross."""

    lines: Money
    allowances: Money
    charges: Money
    net: Money
    taxes: tuple[TaxLine, ...]
    tax: Money
    gross: Money


def document_totals(
    lines: Iterable[Taxed],
    allowances: Iterable[Taxed],
    charges: Iterable[Taxed],
    currency: str,
) -> Totals:
    """Totals of a document; all sums in `currency`. Allowances are given as positive sums."""
    line_list, allowance_list, charge_list = list(lines), list(allowances), list(charges)
    bases: dict[tuple[str, Decimal], Money] = {}
    for sign, group in ((1, line_list), (-1, allowance_list), (1, charge_list)):
        for one in group:
            key = (one.category, one.rate)
            amount = one.amount if sign > 0 else -one.amount
            bases[key] = bases.get(key, Money(0, currency)) + amount
    taxes = tuple(
        TaxLine(category, rate, base, money_half_up(base.amount * rate / 100, currency))
        for (category, rate), base in sorted(
            bases.items(), key=lambda item: (item[0][0], -item[0][1])
        )
    )
    line_sum = money_sum((one.amount for one in line_list), currency)
    allowance_sum = money_sum((one.amount for one in allowance_list), currency)
    charge_sum = money_sum((one.amount for one in charge_list), currency)
    net = line_sum - allowance_sum + charge_sum
    tax = money_sum((line.tax for line in taxes), currency)
    return Totals(line_sum, allowance_sum, charge_sum, net, taxes, tax, net + tax)
