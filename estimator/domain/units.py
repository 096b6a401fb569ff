"""Units of measure: what kind of quantity each is, and exact conversion within a kind.

Factors are to the SI or derived unit of the kind; inch, pound and gallon are exact by the
international definitions (NIST SP 811, appendix B).
"""

from __future__ import annotations

from decimal import Decimal

_PSI = Decimal("6.894757293168")

UNITS: dict[str, tuple[str, Decimal]] = {
    # length, mm
    "mm": ("length", Decimal(1)),
    "um": ("length", Decimal("0.001")),
    "m": ("length", Decimal(1000)),
    "in": ("length", Decimal("25.4")),
    # pressure, kPa
    "kPa": ("pressure", Decimal(1)),
    "bar": ("pressure", Decimal(100)),
    "MPa": ("pressure", Decimal(1000)),
    "psi": ("pressure", _PSI),
    # flow, L/min
    "L/min": ("flow", Decimal(1)),
    "mL/min": ("flow", Decimal("0.001")),
    "US gal/min": ("flow", Decimal("3.785411784")),
    # the rest stand alone in their kind or have few neighbours
    "s": ("time", Decimal(1)),
    "min": ("time", Decimal(60)),
    "h": ("hours", Decimal(1)),
    "rpm": ("speed", Decimal(1)),
    "deg": ("angle", Decimal(1)),
    "mm/m": ("straightness", Decimal(1)),
    "%": ("percent", Decimal(1)),
    "A": ("current", Decimal(1)),
    "V": ("voltage", Decimal(1)),
    "Mohm": ("resistance", Decimal(1)),
    "Nm": ("torque", Decimal(1)),
    "lbf ft": ("torque", Decimal("1.3558179483")),
    "kg": ("mass", Decimal(1)),
    "g": ("mass", Decimal("0.001")),
    "lb": ("mass", Decimal("0.45359237")),
    "degC": ("temperature", Decimal(1)),
    "ppm": ("concentration", Decimal(1)),
    "L": ("volume", Decimal(1)),
    "US gal": ("volume", Decimal("3.785411784")),
    "m2": ("area", Decimal(1)),
    "code": ("code", Decimal(1)),
    "text": ("text", Decimal(1)),
    "count": ("count", Decimal(1)),
    "each": ("count", Decimal(1)),
    "set": ("set", Decimal(1)),
    "lot": ("lot", Decimal(1)),
    "job": ("job", Decimal(1)),
    "day": ("day", Decimal(1)),
    "week": ("week", Decimal(1)),
    "sample": ("sample", Decimal(1)),
}


class UnitError(ValueError):
    """An unknown unit, or two units that do not measure the same kind of thing."""


def kind_of(unit: str) -> str:
    """Kind of quantity a unit measures. Raises UnitError."""
    try:
        return UNITS[unit][0]
    except KeyError:
        raise UnitError(f"{unit!r} is not a unit known here") from None


def converted(value: Decimal, unit: str, to_unit: str) -> Decimal:
    """`value` in `unit`, expressed in `to_unit`. Raises UnitError where the kinds differ."""
    if unit == to_unit:
        return value
    if kind_of(unit) != kind_of(to_unit):
        raise UnitError(f"{unit} is a {kind_of(unit)}, {to_unit} a {kind_of(to_unit)}")
    return value * UNITS[unit][1] / UNITS[to_unit][1]
