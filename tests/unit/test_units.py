"""Units: exact within a kind, refused between kinds."""

from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.units import UNITS, UnitError, converted, kind_of


@pytest.mark.parametrize(
    ("value", "unit", "to_unit", "wanted"),
    [
        ("1", "in", "mm", "25.4"),
        ("0.22", "mm", "um", "220"),
        ("142", "kPa", "bar", "1.42"),
        ("28", "MPa", "bar", "280"),
        ("1000", "mL/min", "L/min", "1"),
        ("1", "US gal/min", "L/min", "3.785411784"),  # 231 cubic inches
        ("2", "min", "s", "120"),
        ("1", "lb", "kg", "0.45359237"),
        ("3", "each", "count", "3"),
    ],
)
def test_conversion_within_a_kind(value, unit, to_unit, wanted):
    assert converted(Decimal(value), unit, to_unit) == Decimal(wanted)


def test_a_pound_per_square_inch_is_what_its_definition_says():
    # 0.45359237 kg x 9.80665 m/s2 / (0.0254 m)^2
    pascal = Decimal("0.45359237") * Decimal("9.80665") / Decimal("0.0254") ** 2
    assert abs(converted(Decimal(1), "psi", "kPa") * 1000 - pascal) < Decimal("1e-8")


def test_a_pound_force_foot_is_what_its_definition_says():
    newton_metre = Decimal("0.45359237") * Decimal("9.80665") * Decimal("0.3048")
    assert abs(converted(Decimal(1), "lbf ft", "Nm") - newton_metre) < Decimal("1e-9")


def test_two_kinds_never_meet():
    for one, other in product(UNITS, UNITS):
        if kind_of(one) != kind_of(other):
            with pytest.raises(UnitError):
                converted(Decimal(1), one, other)


@given(
    st.decimals(-(10**6), 10**6, places=4),
    st.sampled_from([(a, b) for a, b in product(UNITS, UNITS) if kind_of(a) == kind_of(b)]),
)
def test_there_and_back_is_the_same_reading(value, units):
    one, other = units
    back = converted(converted(value, one, other), other, one)
    assert abs(back - value) <= abs(value) * Decimal("1e-24")


@pytest.mark.parametrize("unit", ["", "inch", "MM", "psig", "degF"])
def test_an_unknown_unit_is_named(unit):
    with pytest.raises(UnitError, match=repr(unit)):
        kind_of(unit)
