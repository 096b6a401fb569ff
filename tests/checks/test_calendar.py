"""Working days against numpy's business days, and closures against public holidays.

Sources: numpy 2.4.6 (busday functions); holidays 0.109, England. Dates are asserted, not counts:
counts change with the package.
"""

from __future__ import annotations

from datetime import date, timedelta

import holidays
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.programme.programme import parts_ready
from estimator.domain.programme.working_time import BeyondCalendar, working_time

QUICK = settings(deadline=None, max_examples=150, database=None)
CHRISTMAS = (date(2026, 12, 25), date(2026, 12, 28), date(2027, 1, 1))
DAYS = st.dates(date(2024, 1, 1), date(2030, 12, 31))


def test_days_over_christmas():
    # computed with numpy: 21 Dec 2026 to 11 Jan 2027, that day left out
    time = working_time(date(2026, 12, 21), CHRISTMAS, 8)
    assert time.open_days_before(date(2027, 1, 11)) == 12
    assert time.hour_of(date(2027, 1, 11)) == 96


def test_five_working_days_after_the_23rd():
    # computed with numpy: 24, 29, 30 and 31 Dec, then 4 Jan
    time = working_time(date(2026, 12, 23), CHRISTMAS, 8)
    assert time.open_day(5) == date(2027, 1, 4)


@pytest.mark.parametrize(
    ("hour", "begins", "ends"),
    [
        # by hand, from Monday 7 Dec 2026, 8 h a day
        (0, date(2026, 12, 7), date(2026, 12, 7)),
        (7.9, date(2026, 12, 7), date(2026, 12, 7)),
        (8, date(2026, 12, 8), date(2026, 12, 7)),
        (8.1, date(2026, 12, 8), date(2026, 12, 8)),
        (40, date(2026, 12, 14), date(2026, 12, 11)),
        (112, date(2026, 12, 29), date(2026, 12, 24)),
    ],
)
def test_first_and_last_day_of_an_hour(hour, begins, ends):
    time = working_time(date(2026, 12, 7), CHRISTMAS, 8)
    assert time.start_day(hour) == begins
    assert time.finish_day(hour) == ends


@QUICK
@given(start=DAYS, closed=st.lists(DAYS, max_size=12), offset=st.integers(0, 700))
def test_against_numpy(start, closed, offset):
    time = working_time(start, closed, 7.5)
    calendar = np.busdaycalendar(holidays=closed)
    day = start + timedelta(days=offset)
    count = int(np.busday_count(start, day, busdaycal=calendar))
    assert time.open_days_before(day) == count
    assert time.hour_of(day) == 7.5 * count
    wanted = np.busday_offset(start, offset, roll="forward", busdaycal=calendar).astype(date)
    assert time.open_day(offset) == wanted
    assert time.is_open(day) == bool(np.is_busday(day, busdaycal=calendar))


@QUICK
@given(start=DAYS, closed=st.lists(DAYS, max_size=12), days=st.integers(0, 300))
def test_a_day_and_its_hour_lead_to_each_other(start, closed, days):
    time = working_time(start, closed, 8)
    day = time.open_day(days)
    assert time.hour_of(day) == 8 * days
    assert time.start_day(time.hour_of(day)) == day
    assert time.finish_day(8 * (days + 1)) == day


@pytest.mark.parametrize(
    ("weeks", "hour"),
    [
        # by hand, ordered Monday 7 Dec 2026 with the golden closures: 21 Dec is working day 10;
        # 28 Dec to 1 Jan are closed, so three and four weeks both end on 4 Jan, working day 14
        (0, 0), (1, 40), (2, 80), (3, 112), (4, 112), (5, 152),
    ],
)  # fmt: skip
def test_when_parts_can_be_used(golden, weeks, hour):
    assert parts_ready(golden.programme.time, weeks * 7) == hour


def test_golden_closures_are_englands_holidays(golden_catalogue):
    england = holidays.country_holidays("GB", subdiv="ENG", years=[2026, 2027])
    public = {row.date for row in golden_catalogue.closures if "public holiday" in row.why}
    assert public
    for day in public:
        assert day in england, day
    own = {row.date for row in golden_catalogue.closures} - public
    assert own == {date(2026, 12, 29), date(2026, 12, 30), date(2026, 12, 31)}


def test_no_holiday_within_the_golden_calendar_is_missing(golden, golden_catalogue):
    closed = {row.date for row in golden_catalogue.closures}
    england = holidays.country_holidays("GB", subdiv="ENG", years=[2026, 2027])
    for day in sorted(england):
        if golden.job.start <= day <= max(closed) and day.weekday() < 5:
            assert day in closed, (day, england[day])


@pytest.mark.parametrize(
    "day",
    [date(2026, 1, 1), date(2026, 4, 3), date(2026, 4, 6), date(2026, 5, 4), date(2026, 5, 25),
     date(2026, 8, 31), date(2026, 12, 25), date(2026, 12, 28)],
)  # fmt: skip
def test_a_public_holiday_moves_the_work(day):
    # holidays 0.109, England 2026, days that fall on Monday to Friday
    assert day in holidays.country_holidays("GB", subdiv="ENG", years=2026)
    before = day - timedelta(days=1)
    open_time, shut_time = working_time(before, (), 8), working_time(before, (day,), 8)
    assert open_time.is_open(day)
    assert not shut_time.is_open(day)
    after = day + timedelta(days=14)
    assert open_time.open_days_before(after) - shut_time.open_days_before(after) == 1


def test_a_date_beyond_the_calendar_is_refused():
    with pytest.raises(BeyondCalendar):
        working_time(date(2026, 12, 7), (), 8).open_day(4000)


@pytest.mark.parametrize("hours", [0, -8])
def test_a_day_without_hours_is_refused(hours):
    with pytest.raises(ValueError, match="hours"):
        working_time(date(2026, 12, 7), (), hours)
