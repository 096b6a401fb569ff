"""The workshop's calendar: weekends, days closed, and the edges of a working day."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.programme.programme import parts_ready
from estimator.domain.programme.working_time import BeyondCalendar, WorkingTime, working_time

MONDAY = date(2026, 12, 7)
CHRISTMAS = [date(2026, 12, 25), date(2026, 12, 28)]
TIME = working_time(MONDAY, CHRISTMAS, 8)

STARTS = st.dates(date(2020, 1, 1), date(2040, 12, 31))
CLOSED = st.sets(st.integers(0, 60), max_size=20)


def calendar(start: date, closed: set[int], hours: float = 8.0) -> WorkingTime:
    return working_time(start, [start + timedelta(days=one) for one in closed], hours)


@pytest.mark.parametrize(
    ("hour", "start", "finish"),
    [
        (0, MONDAY, MONDAY),
        (0.1, MONDAY, MONDAY),
        (7.9, MONDAY, MONDAY),
        (8, date(2026, 12, 8), MONDAY),  # work that ends with the day is done that day
        (8.000000001, date(2026, 12, 8), MONDAY),
        (8.1, date(2026, 12, 8), date(2026, 12, 8)),
        (39, date(2026, 12, 11), date(2026, 12, 11)),
        (40, date(2026, 12, 14), date(2026, 12, 11)),  # over the weekend
        (40.1, date(2026, 12, 14), date(2026, 12, 14)),
        (112, date(2026, 12, 29), date(2026, 12, 24)),  # over Christmas and a weekend
    ],
)
def test_a_working_hour_as_a_day(hour, start, finish):
    assert TIME.start_day(hour) == start
    assert TIME.finish_day(hour) == finish


@pytest.mark.parametrize(
    ("start", "first"),
    [
        (date(2026, 12, 5), MONDAY),
        (date(2026, 12, 6), MONDAY),
        (date(2026, 12, 25), date(2026, 12, 29)),
        (date(2026, 12, 26), date(2026, 12, 29)),
    ],
)
def test_a_machine_that_comes_in_on_a_day_off_is_started_on_the_next_open_day(start, first):
    time = working_time(start, CHRISTMAS, 8)
    assert time.start_day(0) == first
    assert time.finish_day(8) == first


def test_hours_of_a_day_are_the_workshop_s_own():
    assert working_time(MONDAY, [], 10).finish_day(40) == date(2026, 12, 10)
    assert working_time(MONDAY, [], 7.5).finish_day(37.5) == date(2026, 12, 11)


@pytest.mark.parametrize("hours", [0, -8])
def test_a_day_of_no_length_is_refused(hours):
    with pytest.raises(ValueError, match="hours"):
        working_time(MONDAY, [], hours)


def test_a_day_too_far_away_is_refused():
    with pytest.raises(BeyondCalendar):
        TIME.finish_day(8 * 260 * 13)


def test_a_workshop_that_never_opens_is_refused():
    shut = working_time(MONDAY, [MONDAY + timedelta(days=n) for n in range(5000)], 8)
    with pytest.raises(BeyondCalendar):
        shut.start_day(0)


def test_near_the_end_of_the_calendar_of_the_language_itself():
    """A date typed as 9999 is a slip, answered in the program's own words."""
    last = working_time(date(9999, 12, 20), [], 8)
    with pytest.raises(BeyondCalendar):
        last.finish_day(8 * 30)


@given(STARTS, CLOSED, st.integers(0, 40))
def test_day_numbers_and_days_go_back_and_forth(start, closed, number):
    time = calendar(start, closed)
    day = time.open_day(number)
    assert time.is_open(day)
    assert time.open_days_before(day) == number
    assert time.hour_of(day) == 8 * number


@given(STARTS, CLOSED, st.floats(0, 400), st.floats(0, 400))
def test_later_work_never_ends_earlier(start, closed, one, other):
    time = calendar(start, closed)
    early, late = sorted((one, other))
    assert time.finish_day(early) <= time.finish_day(late)
    assert time.start_day(early) <= time.start_day(late)
    assert time.start_day(0) <= time.finish_day(early)
    assert time.finish_day(early) <= time.start_day(early)
    assert time.is_open(time.finish_day(early))


@given(STARTS, CLOSED, st.integers(1, 40), st.integers(0, 60))
def test_a_closure_never_brings_the_finish_forward(start, closed, days, more):
    before = calendar(start, closed)
    after = calendar(start, closed | {more})
    assert after.finish_day(8 * days) >= before.finish_day(8 * days)


# -- parts --------------------------------------------------------------------------------------


def test_a_two_week_lead_by_hand():
    assert parts_ready(TIME, 14) == 80  # 21 December is working day 10


@pytest.mark.parametrize(
    ("days", "hour"),
    [
        (0, 0),
        (-3, 0),
        (1, 8),
        (0.2, 8),  # part days count whole
        (4, 32),
        (5, 40),  # Saturday: usable on Monday
        (6, 40),
        (7, 40),
        (7.0000000001, 40),
        (7.01, 48),
        (18, 112),  # Christmas Day: usable on the 29th
    ],
)
def test_parts_are_usable_from_the_first_hour_of_an_open_day(days, hour):
    assert parts_ready(TIME, days) == hour
