"""Money as whole minor units of an ISO 4217 currency, and the only roundings there are.

Rounding is half-up (a tie moves away from zero), and its mode is in each function's name.
It happens at the points that EN 16931 names - line amount, tax per category, totals - and
nowhere else. Floats are refused.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from math import floor, isfinite

MINOR_DIGITS: dict[str, int] = {
    # ISO 4217 list one, column "minor unit"; currencies a workshop of this trade meets.
    "AED": 2, "AUD": 2, "BHD": 3, "BRL": 2, "CAD": 2, "CHF": 2, "CLF": 4, "CLP": 0,
    "CNY": 2, "CZK": 2, "DKK": 2, "EUR": 2, "GBP": 2, "HUF": 2, "IDR": 2, "ILS": 2, "INR": 2,
    "ISK": 0, "JPY": 0, "KRW": 0, "KWD": 3, "MAD": 2, "MXN": 2, "MYR": 2, "NOK": 2, "NZD": 2,
    "OMR": 3, "PEN": 2, "PHP": 2, "PLN": 2, "QAR": 2, "RON": 2, "SAR": 2, "SEK": 2, "SGD": 2,
    "THB": 2, "TND": 3, "TRY": 2, "UAH": 2, "USD": 2, "VND": 0, "XOF": 0, "ZAR": 2,
}  # fmt: skip


class UnknownCurrency(ValueError):
    """A code that is not in the ISO 4217 list kept here."""


class CurrencyMismatch(ValueError):
    """Two currencies met in one sum."""


def minor_digits(currency: str) -> int:
    """Decimal places of a currency's minor unit (ISO 4217). Raises UnknownCurrency."""
    try:
        return MINOR_DIGITS[currency]
    except KeyError:
        raise UnknownCurrency(currency) from None


def round_half_up(value: Decimal, step: Decimal) -> Decimal:
    """The multiple of `step` (> 0) nearest to `value`; a tie moves away from zero."""
    if step <= 0:
        raise ValueError(f"a rounding step must be above zero, not {step}")
    with localcontext() as context:
        context.prec = 60
        return (value / step).quantize(Decimal(1), rounding=ROUND_HALF_UP) * step


@dataclass(frozen=True, slots=True, order=False)
class Money:
    """A sum: `minor` whole minor units of `currency`."""

    minor: int
    currency: str

    def __post_init__(self) -> None:
        if type(self.minor) is not int:  # floats and booleans are refused
            raise TypeError("money is a whole number of minor units")
        minor_digits(self.currency)

    @property
    def amount(self) -> Decimal:
        """The sum in major units, exact."""
        return Decimal(self.minor).scaleb(-minor_digits(self.currency))

    def __add__(self, other: Money) -> Money:
        return Money(self.minor + self._same(other).minor, self.currency)

    def __sub__(self, other: Money) -> Money:
        return Money(self.minor - self._same(other).minor, self.currency)

    def __neg__(self) -> Money:
        return Money(-self.minor, self.currency)

    def __lt__(self, other: Money) -> bool:
        return self.minor < self._same(other).minor

    def __le__(self, other: Money) -> bool:
        return self.minor <= self._same(other).minor

    def __bool__(self) -> bool:
        return self.minor != 0

    def __str__(self) -> str:
        return f"{self.amount:,f} {self.currency}"

    def _same(self, other: Money) -> Money:
        if self.currency != other.currency:
            raise CurrencyMismatch(f"{self.currency} and {other.currency} cannot be added")
        return other


def money_half_up(amount: Decimal, currency: str, step: Decimal | None = None) -> Money:
    """`amount` in major units as money, half-up to `step` (the minor unit if None).

    Raises ValueError where `step` is finer than, or no multiple of, the minor unit.
    """
    minor_step = Decimal(1).scaleb(-minor_digits(currency))
    unit = minor_step if step is None else step
    if unit % minor_step != 0:
        raise ValueError(f"{unit} is no whole number of minor units of {currency}")
    return Money(int(round_half_up(amount, unit) / minor_step), currency)


def money_sum(sums: Iterable[Money], currency: str) -> Money:
    """Total of `sums`; zero of `currency` if there are none."""
    total = Money(0, currency)
    for one in sums:
        total = total + one
    return total


def shares_by_largest_remainder(total: Money, weights: list[float], step: Decimal) -> list[Money]:
    """Split `total` in proportion to `weights` (any sign, sum not zero) in multiples of `step`.

    Each share is its exact part rounded down to the step; the steps left over go to the largest
    remainders, first come first on a tie, so that the shares add up to `total` exactly.
    `total` must itself be a multiple of `step`.
    """
    steps = step.scaleb(minor_digits(total.currency))
    if steps <= 0 or steps != steps.to_integral_value():
        raise ValueError(f"{step} is no whole number of minor units of {total.currency}")
    step_minor = int(steps)
    units, rest = divmod(total.minor, step_minor)
    if rest:
        raise ValueError(f"{total} is no multiple of the quoting unit {step}")
    if not all(isfinite(weight) for weight in weights):
        raise ValueError("shares need weights that are numbers")
    exact_weights = [Fraction(weight) for weight in weights]
    weight_sum = sum(exact_weights, Fraction(0))
    if weight_sum == 0:
        raise ValueError("shares need weights whose sum is not zero")
    exact = [units * weight / weight_sum for weight in exact_weights]
    floors = [floor(part) for part in exact]
    order = sorted(range(len(exact)), key=lambda i: (floors[i] - exact[i], i))
    for position in range(units - sum(floors)):
        floors[order[position]] += 1
    return [Money(part * step_minor, total.currency) for part in floors]
