"""ISO 4406 codes: the table at its edges, codes read and compared."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.cleanliness import (
    UPPER_LIMITS,
    CleanlinessError,
    code_of,
    codes_over,
    parsed,
    scale_number,
)


@pytest.mark.parametrize("number", range(29))
def test_a_scale_number_holds_its_own_limit_and_no_more(number):
    limit = UPPER_LIMITS[number]
    assert scale_number(limit) == number
    if number < 28:
        assert scale_number(limit + Decimal("0.001")) == number + 1


@pytest.mark.parametrize(
    ("count", "number"), [("0", 0), ("0.64", 6), ("1.3", 7), ("80", 13), ("640", 16), ("641", 17)]
)
def test_counts_of_the_table(count, number):
    assert scale_number(Decimal(count)) == number


@pytest.mark.parametrize("count", ["-0.01", "2500001"])
def test_a_count_off_the_table_is_refused(count):
    with pytest.raises(CleanlinessError):
        scale_number(Decimal(count))


@given(st.lists(st.decimals(0, 2_500_000, places=2), min_size=2, max_size=2))
def test_a_dirtier_fluid_never_has_the_lower_number(counts):
    low, high = sorted(counts)
    assert scale_number(low) <= scale_number(high)


def test_a_code_from_its_three_counts():
    assert code_of(Decimal(2500), Decimal(640), Decimal(80)) == "18/16/13"
    with pytest.raises(CleanlinessError):
        code_of(Decimal(80), Decimal(640), Decimal(2500))


def test_a_code_is_read():
    assert parsed("18/16/13") == (18, 16, 13)
    assert parsed(" 9/8/7 ") == (9, 8, 7)


@pytest.mark.parametrize(
    "code", ["", "18/16", "18-16-13", "16/18/13", "18/16/13/10", "29/16/13", "18/16/x", "-1/0/0"]
)
def test_what_is_no_code_is_refused(code):
    with pytest.raises(CleanlinessError):
        parsed(code)


@pytest.mark.parametrize(
    ("code", "target", "over"),
    [
        ("21/19/16", "18/16/13", 3),
        ("18/16/13", "18/16/13", 0),
        ("17/15/12", "18/16/13", -1),
        ("17/15/14", "18/16/13", 1),
    ],
)
def test_the_worst_of_the_three_counts(code, target, over):
    assert codes_over(code, target) == over
