"""Cost of an hour's work from a rebuilt machine and from a new one, and where they break even.

Cost per hour = (capital + time without a machine - residual x (1 + r)^-n) / life hours + fuel +
upkeep per hour. Equivalent annual cost = PV x r / (1 - (1 + r)^-n), with running costs spread
evenly. Break-even rebuild price R* = L x (c_new - c_run) + S x (1 + r)^-n - H: the residual counts
at its present value there as it does in the cost per hour, or R* would not break even.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from estimator.domain.rebuild_or_new.annual import (
    equivalent_annual_cost,
    payment,
    present_factor,
    worth_of_payments,
)

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class Case:
    """One set of figures for both ways: sums in the job's currency, weeks, hours, shares of one.

    `price_now` is the likely price of a new machine, of which residual values are shares. What is
    not given is nothing on both sides.
    """

    rebuild_price: Decimal
    new_price: Decimal
    price_now: Decimal
    trade_in: Decimal
    weeks_rebuild: Decimal  # without the machine
    weeks_new: Decimal
    hire_week: Decimal
    lost_day: Decimal
    days_a_week: Decimal
    life_rebuilt: Decimal
    life_new: Decimal
    hours_a_year: Decimal
    interest: Decimal
    residual_rebuilt: Decimal
    residual_new: Decimal
    fuel_rebuilt: Decimal
    fuel_new: Decimal
    fuel_price: Decimal
    upkeep_rebuilt: Decimal
    upkeep_new: Decimal
    financed_share: Decimal
    finance_rate: Decimal
    finance_months: Decimal


@dataclass(frozen=True, slots=True)
class Side:
    """One way, reckoned: what it costs to have, to wait for and to run.

    `residual_now` is the residual value at what it is worth now; `finance` what paying by the month
    adds to the capital.
    """

    capital: Decimal
    finance: Decimal
    waiting: Decimal
    residual: Decimal
    residual_now: Decimal
    hours: Decimal
    years: Decimal
    fuel: Decimal  # per hour
    upkeep: Decimal  # per hour
    per_hour: Decimal
    per_year: Decimal

    @property
    def running(self) -> Decimal:
        """Fuel and upkeep per hour."""
        return self.fuel + self.upkeep


def rebuilt_side(case: Case) -> Side:
    """The rebuilt machine. Raises ValueError where a life or the hours of a year are nothing."""
    return _side(
        case,
        case.rebuild_price,
        NOTHING,
        case.weeks_rebuild,
        case.life_rebuilt,
        case.residual_rebuilt * case.price_now,
        case.fuel_rebuilt * case.fuel_price,
        case.upkeep_rebuilt,
    )


def new_side(case: Case) -> Side:
    """The new machine, less what the old one fetches as it stands. Raises as `rebuilt_side`."""
    return _side(
        case,
        case.new_price - case.trade_in,
        finance_cost(case),
        case.weeks_new,
        case.life_new,
        case.residual_new * case.new_price,
        case.fuel_new * case.fuel_price,
        case.upkeep_new,
    )


def monthly_payment(case: Case) -> Decimal:
    """The payment of each month on what is financed; nothing where nothing is."""
    financed = case.financed_share * case.new_price
    if not financed or not case.finance_months:
        return NOTHING
    return payment(financed, case.finance_rate, case.finance_months)


def finance_cost(case: Case) -> Decimal:
    """What the monthly payments are worth now, above the sum that they pay back; below nothing
    where the finance costs less than the interest reckoned with."""
    monthly = monthly_payment(case)
    if not monthly:
        return NOTHING
    worth = worth_of_payments(monthly, case.interest, case.finance_months)
    return worth - case.financed_share * case.new_price


def waiting_cost(case: Case, weeks: Decimal) -> Decimal:
    """Weeks without a machine: hire by the week, margin lost by the working day."""
    return weeks * case.hire_week + weeks * case.days_a_week * case.lost_day


def _side(
    case: Case,
    capital: Decimal,
    finance: Decimal,
    weeks: Decimal,
    hours: Decimal,
    residual: Decimal,
    fuel: Decimal,
    upkeep: Decimal,
) -> Side:
    if hours <= 0 or case.hours_a_year <= 0:
        raise ValueError("a life and the hours of a year must be above nothing")
    years = hours / case.hours_a_year
    waiting = waiting_cost(case, weeks)
    residual_now = residual * present_factor(case.interest, years)
    sunk = capital + finance + waiting - residual_now
    running = fuel + upkeep
    return Side(
        capital=capital,
        finance=finance,
        waiting=waiting,
        residual=residual,
        residual_now=residual_now,
        hours=hours,
        years=years,
        fuel=fuel,
        upkeep=upkeep,
        per_hour=sunk / hours + running,
        per_year=equivalent_annual_cost(sunk, case.interest, years) + running * case.hours_a_year,
    )


def break_even(rebuilt: Side, new: Side) -> Decimal:
    """The rebuild price R* at which an hour costs the same both ways; below nothing where no
    rebuild would."""
    return rebuilt.hours * (new.per_hour - rebuilt.running) + rebuilt.residual_now - rebuilt.waiting


def advantage(case: Case) -> Decimal:
    """By how much an hour of the rebuilt machine costs less than one of a new one."""
    return new_side(case).per_hour - rebuilt_side(case).per_hour


def fuel_payback(case: Case) -> Decimal | None:
    """Hours of work after which the fuel a new machine saves has paid what it costs more to buy
    than the rebuild does; None where it saves none, nothing where it costs no more."""
    saved = (case.fuel_rebuilt - case.fuel_new) * case.fuel_price
    if saved <= 0:
        return None
    more = case.new_price - case.trade_in - case.rebuild_price
    return max(more, NOTHING) / saved
