"""Interest over the years: present values, equal yearly costs, payments.

Textbook formulae of engineering economy; years may be fractions, a rate of nothing is allowed.
Figures are exact to the 28 digits that Decimal keeps.
"""

from __future__ import annotations

from decimal import Decimal

ONE = Decimal(1)


def present_factor(rate: Decimal, years: Decimal) -> Decimal:
    """What one unit due after so many years is worth now: (1 + r)^-n. `rate` is above -1."""
    return (ONE + rate) ** -years


def recovery_factor(rate: Decimal, years: Decimal) -> Decimal:
    """The equal yearly cost of one unit spent now: r / (1 - (1 + r)^-n), or 1 / n without
    interest. Raises ValueError where there are no years."""
    if years <= 0:
        raise ValueError("a yearly cost needs a life of some length")
    if rate == 0:
        return ONE / years
    return rate / (ONE - present_factor(rate, years))


def equivalent_annual_cost(present_value: Decimal, rate: Decimal, years: Decimal) -> Decimal:
    """PV x r / (1 - (1 + r)^-n)."""
    return present_value * recovery_factor(rate, years)


def payment(sum_now: Decimal, rate_a_year: Decimal, months: Decimal) -> Decimal:
    """The equal payment at the end of each month that pays a sum back, one twelfth of the yearly
    rate being charged each month."""
    return sum_now * recovery_factor(rate_a_year / 12, months)


def worth_of_payments(monthly: Decimal, rate: Decimal, months: Decimal) -> Decimal:
    """What equal monthly payments are worth now at a yearly rate; a month is the twelfth root of a
    year."""
    month = (ONE + rate) ** (ONE / 12) - ONE
    return monthly / recovery_factor(month, months)
