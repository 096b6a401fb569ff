"""What the Programme page shows of a priced job: bars over days, two finishes, the weeks in which
it ends, and what is longest how often. Frozen rows; nothing here is reckoned anew.

Days are counted from the day the machine comes in (0.0 is its first hour), as calendar days with
fractions: a bar begins and ends within a working day, and runs over days that are closed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil, floor

from estimator.domain.figures import NO_SLACK
from estimator.domain.priced_job import PricedJob
from estimator.domain.programme.programme import Step
from estimator.domain.programme.working_time import SATURDAY, WorkingTime

OFTEN = 0.005  # a step that is on the longest path less often than this is not named
ALWAYS = 0.995
_TINY = 1e-9
WORK, OUTWORK = "work", "outwork"


@dataclass(frozen=True, slots=True)
class PartsWait:
    """The parts an activity waits for: who takes longest, and when they are there."""

    names: tuple[str, ...]
    weeks: float
    ready_day: date
    ready: float  # day counted from the start


@dataclass(frozen=True, slots=True)
class ActivityRow:
    """One activity: its bar, its tail to 8 in 10, its slack, what it waits for.

    `start`, `end` and `tail_end` are days counted from the start; `slack_hours` are working hours.
    """

    id: str
    name: str
    place: str
    kind: str
    teams: int
    man_hours: float
    outwork_days: float
    start: float
    end: float
    tail_end: float
    start_day: date
    finish_day: date
    covered_day: date  # done by then in 8 of 10 scenarios
    slack_hours: float
    slack_days: int
    longest: bool
    after: tuple[str, ...]
    waits_for: PartsWait | None


@dataclass(frozen=True, slots=True)
class WeekRow:
    """Share of the scenarios that end in one week; `covered` where the confidence reaches it."""

    monday: date
    share: float
    covered: bool


@dataclass(frozen=True, slots=True)
class LongestRow:
    """An activity, and the share of scenarios in which it is on the longest path."""

    id: str
    name: str
    share: float


@dataclass(frozen=True, slots=True)
class ProgrammeRows:
    """Everything the page shows. `first` and `last` bound the days drawn; `links` join rows of the
    longest path that follow each other: (row, row)."""

    job_number: str
    start: date
    rows: tuple[ActivityRow, ...]
    links: tuple[tuple[int, int], ...]
    closures: tuple[tuple[float, float], ...]
    mondays: tuple[tuple[float, date], ...]
    months: tuple[tuple[float, date], ...]
    first: float
    last: float
    confidence: float
    finish_nothing_worn: date
    finish_half: date
    finish_covered: date
    half: float
    covered: float
    days_nothing_worn: int  # working days from the start, both counted
    days_covered: int
    days_held: int  # the second less the first
    weeks_covered: int
    scenarios: int
    weeks: tuple[WeekRow, ...]
    longest: tuple[LongestRow, ...]
    always_longest: int
    wanted_by: date | None
    figure: str  # name of the finish at the confidence, to be asked why


def show_programme(priced: PricedJob) -> ProgrammeRows:
    """The page's rows of a priced job: activities in the order they begin."""
    programme, finish = priced.programme, priced.finish
    time, confidence = programme.time, float(priced.job.terms.confidence)
    steps = sorted(
        (step for step in programme.steps.values() if step.elapsed > 0),
        key=lambda step: (step.timing.start, step.timing.finish, step.id),
    )
    rows = tuple(_row(step, priced) for step in steps)
    half, covered = finish.days[0.5], finish.days[confidence]
    last = max([_end_of(time, covered), *(row.tail_end for row in rows)]) + 4
    named = [(name, share) for name, share in finish.longest_first(OFTEN) if _runs(priced, name)]
    return ProgrammeRows(
        job_number=priced.job.number,
        start=time.start,
        rows=rows,
        links=tuple(_links(rows)),
        closures=tuple(_closures(time, last)),
        mondays=tuple(_days(time.start, last, lambda day: day.weekday() == 0)),
        months=_months(time.start, last),
        first=0.0,
        last=last,
        confidence=confidence,
        finish_nothing_worn=programme.finish_day,
        finish_half=half,
        finish_covered=covered,
        half=_end_of(time, half),
        covered=_end_of(time, covered),
        days_nothing_worn=_working_days(time, programme.finish_day),
        days_covered=_working_days(time, covered),
        days_held=_working_days(time, covered) - _working_days(time, programme.finish_day),
        weeks_covered=ceil(((covered - time.start).days + 1) / 7),
        scenarios=finish.scenarios,
        weeks=tuple(WeekRow(one.monday, one.share, one.monday <= covered) for one in finish.weeks),
        longest=tuple(
            LongestRow(name, programme.steps[name].name, share)
            for name, share in named
            if share < ALWAYS
        ),
        always_longest=sum(share >= ALWAYS for _name, share in named),
        wanted_by=priced.job.wanted_by,
        figure=f"finish/{confidence * 100:g}",
    )


def _runs(priced: PricedJob, name: str) -> bool:
    return priced.programme.steps[name].elapsed > 0


def _row(step: Step, priced: PricedJob) -> ActivityRow:
    time, timing = priced.programme.time, step.timing
    covered = priced.finish.step_finish[step.id][1]
    end = _end(time, timing.finish)
    return ActivityRow(
        id=step.id,
        name=step.name,
        place=step.bay,
        kind=OUTWORK if step.kind == OUTWORK else WORK,
        teams=step.teams,
        man_hours=step.man_hours,
        outwork_days=step.outwork_days,
        start=_begin(time, timing.start),
        end=end,
        tail_end=max(end, _end_of(time, covered)),
        start_day=step.start_day,
        finish_day=step.finish_day,
        covered_day=covered,
        slack_hours=timing.slack,
        slack_days=floor(timing.slack / time.hours_per_day + _TINY),
        longest=abs(timing.slack) < NO_SLACK,
        after=step.after,
        waits_for=_wait(step, priced),
    )


def _wait(step: Step, priced: PricedJob) -> PartsWait | None:
    if not step.waits_for or step.ready <= 0:
        return None
    time, parts = priced.programme.time, priced.cat.parts
    awaited = sorted(step.waits_for, key=lambda part: (-parts[part].lead_weeks, part))
    return PartsWait(
        tuple(parts[part].name for part in awaited),
        step.lead_weeks,
        time.start_day(step.ready),
        _begin(time, step.ready),
    )


# Days as the chart counts them


def _begin(time: WorkingTime, hour: float) -> float:
    """The moment a working hour begins, as a day counted from the start."""
    day = floor(hour / time.hours_per_day + _TINY)
    into = max(hour / time.hours_per_day - day, 0.0)
    return (time.open_day(day) - time.start).days + into


def _end(time: WorkingTime, hour: float) -> float:
    """The moment a working hour ends: the end of a day rather than the beginning of the next."""
    day = max(ceil(hour / time.hours_per_day - _TINY) - 1, 0)
    return (time.open_day(day) - time.start).days + min(hour / time.hours_per_day - day, 1.0)


def _end_of(time: WorkingTime, day: date) -> float:
    """The end of a day."""
    return (day - time.start).days + 1.0


def _working_days(time: WorkingTime, day: date) -> int:
    return time.open_days_before(day) + time.is_open(day)


def _links(rows: tuple[ActivityRow, ...]) -> Iterator[tuple[int, int]]:
    """Rows of the longest path, each with those of it that it had to come before."""
    places = {row.id: place for place, row in enumerate(rows) if row.longest}
    for row in rows:
        for before in row.after:
            if row.longest and before in places and places[before] < places[row.id]:
                yield places[before], places[row.id]


def _closures(time: WorkingTime, last: float) -> Iterator[tuple[float, float]]:
    """Spans in which the workshop is closed on what would be working days, with the weekends that
    lie within or touch them."""
    begin: int | None = None
    special = False
    for number in range(int(last) + 2):
        day = time.start + timedelta(days=number)
        if time.is_open(day) or number > last:
            if begin is not None and special:
                yield float(begin), min(float(number), last)
            begin, special = None, False
            continue
        begin = number if begin is None else begin
        special = special or day.weekday() < SATURDAY


def _days(start: date, last: float, wanted: Callable[[date], bool]) -> Iterator[tuple[float, date]]:
    for number in range(int(last) + 1):
        day = start + timedelta(days=number)
        if wanted(day):
            yield float(number), day


def _months(start: date, last: float) -> tuple[tuple[float, date], ...]:
    """The start and the first of each month after it."""
    return ((0.0, start), *_days(start, last, lambda day: day.day == 1 and day > start))
