"""What a reading says: percent worn in both directions, life left, and what the gauge can tell."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from estimator.domain.wear import (
    LimitError,
    Limits,
    is_beyond,
    percent_worn,
    remaining_life,
    within_gauge_error,
)

GROWING = Limits(Decimal("0.05"), Decimal("0.25"), Decimal("0.40"))  # play of a joint, mm
SHRINKING = Limits(Decimal(45), Decimal(28), Decimal(22))  # thickness of an edge, mm


def values(text: str) -> Decimal:
    return Decimal(text)


@pytest.mark.parametrize(
    ("reading", "limits", "wanted"),
    [
        ("0.05", GROWING, "0"),
        ("0.40", GROWING, "100"),
        ("0.225", GROWING, "50"),
        ("0.75", GROWING, "200"),
        ("0.015", GROWING, "-10"),
        ("45", SHRINKING, "0"),
        ("22", SHRINKING, "100"),
        ("33.5", SHRINKING, "50"),
        ("10.5", SHRINKING, "150"),
        ("46.15", SHRINKING, "-5"),
    ],
)
def test_percent_worn_holds_in_both_directions_and_is_never_clamped(reading, limits, wanted):
    assert percent_worn(values(reading), limits) == values(wanted)


LENGTHS = st.decimals("0.01", 1000, places=2)


@given(LENGTHS, LENGTHS, LENGTHS, LENGTHS)
def test_more_wear_is_a_higher_percent(new, service, one, other):
    assume(new != service)
    limits = Limits(new, (new + service) / 2, service)
    worn_more = max(one, other) if limits.grows else min(one, other)
    worn_less = min(one, other) if limits.grows else max(one, other)
    assert percent_worn(worn_more, limits) >= percent_worn(worn_less, limits)


@pytest.mark.parametrize(
    ("reading", "limit", "limits", "beyond"),
    [
        ("0.25", "0.25", GROWING, False),
        ("0.2501", "0.25", GROWING, True),
        ("28", "28", SHRINKING, False),
        ("27.9", "28", SHRINKING, True),
        ("28.1", "28", SHRINKING, False),
    ],
)
def test_a_reading_at_a_limit_has_not_passed_it(reading, limit, limits, beyond):
    assert is_beyond(values(reading), values(limit), limits) is beyond


@pytest.mark.parametrize(
    ("percent", "hours", "wanted"),
    [
        ("50", "6660", "6660"),
        ("25", "1000", "3000"),
        ("100", "5000", "0"),
        ("125", "5000", "-1000"),
        ("28.5714285714285714285714285714", "14860", "37150"),
    ],
)
def test_life_left_at_the_rate_so_far(percent, hours, wanted):
    assert remaining_life(values(percent), values(hours)) == values(wanted)


@pytest.mark.parametrize(("percent", "hours"), [("0", "5000"), ("-3", "5000"), ("40", "0")])
def test_no_wear_and_no_hours_give_no_rate(percent, hours):
    assert remaining_life(values(percent), values(hours)) is None


@pytest.mark.parametrize(
    ("reading", "error", "wanted"),
    [
        ("0.24", "0.01", "rebuild"),
        ("0.26", "0.01", "rebuild"),
        ("0.2601", "0.01", ""),
        ("0.39", "0.01", "service"),
        ("0.41", "0.01", "service"),
        ("0.4101", "0.01", ""),
        ("0.25", "0", "rebuild"),
        ("0.30", None, ""),
    ],
)
def test_within_the_gauge_s_error_of_a_limit(reading, error, wanted):
    gauge = None if error is None else values(error)
    assert within_gauge_error(values(reading), gauge, GROWING) == wanted


@pytest.mark.parametrize(
    ("new", "rebuild", "service"),
    [
        ("5", "5", "5"),
        ("5", "6", "5"),
        ("0.05", "0.45", "0.40"),
        ("0.05", "0.04", "0.40"),
        ("45", "21", "22"),
        ("45", "46", "22"),
    ],
)
def test_limits_that_cannot_be_are_refused(new, rebuild, service):
    with pytest.raises(LimitError):
        Limits(values(new), values(rebuild), values(service))


@pytest.mark.parametrize(("rebuild", "service"), [("0.05", "0.40"), ("0.40", "0.40")])
def test_the_rebuild_limit_may_be_one_of_the_two(rebuild, service):
    assert Limits(values("0.05"), values(rebuild), values(service)).grows
