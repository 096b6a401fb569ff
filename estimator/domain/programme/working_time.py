"""The workshop's calendar as a line of working hours counted from the day the machine comes in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from math import ceil, floor

SATURDAY = 5
LONGEST_YEARS = 12
NEAR_DAYS = 2 * 366
_TINY = 1e-9  # hours; a finish at 16.000000001 h is a finish at the end of the second day


class BeyondCalendar(ValueError):
    """A date further away than any rebuild takes: something is wrong with the durations."""


@dataclass(frozen=True, slots=True)
class WorkingTime:
    """Monday to Friday from `start`, without the days closed; `hours_per_day` working hours."""

    start: date
    closed: frozenset[date]
    hours_per_day: float

    def is_open(self, day: date) -> bool:
        """Whether the workshop works on that day."""
        return day.weekday() < SATURDAY and day not in self.closed

    def open_day(self, number: int) -> date:
        """The working day of that number; 0 is the first on or after the start."""
        near = _near_open_days(self)
        if 0 <= number < len(near):
            return near[number]
        count = -1
        for offset in range(366 * LONGEST_YEARS):
            try:
                day = self.start + timedelta(days=offset)
            except OverflowError:
                break
            if self.is_open(day):
                count += 1
                if count == number:
                    return day
        raise BeyondCalendar(f"working day {number} lies more than {LONGEST_YEARS} years away")

    def start_day(self, hour: float) -> date:
        """The day on which work that starts at this working hour begins."""
        return self.open_day(floor(hour / self.hours_per_day + _TINY))

    def finish_day(self, hour: float) -> date:
        """The day on which work that ends at this working hour is done."""
        return self.open_day(max(ceil(hour / self.hours_per_day - _TINY) - 1, 0))

    def hour_of(self, day: date) -> float:
        """First working hour on or after `day`."""
        return self.hours_per_day * self.open_days_before(day)

    def open_days_before(self, day: date) -> int:
        """Working days from the start up to, not including, `day`."""
        return sum(
            self.is_open(self.start + timedelta(days=offset))
            for offset in range((day - self.start).days)
        )


@lru_cache(maxsize=64)
def _near_open_days(time: WorkingTime) -> tuple[date, ...]:
    """The working days that dates nearly always lie in, counted once for each calendar."""
    last = min(NEAR_DAYS, (date.max - time.start).days)
    days = (time.start + timedelta(days=offset) for offset in range(last))
    return tuple(day for day in days if time.is_open(day))


def working_time(start: date, closures: Iterable[date], hours_per_day: float) -> WorkingTime:
    """Working time from `start`. Raises ValueError on a day of no length."""
    if hours_per_day <= 0:
        raise ValueError(f"a working day has more than {hours_per_day} hours")
    return WorkingTime(start, frozenset(closures), hours_per_day)
