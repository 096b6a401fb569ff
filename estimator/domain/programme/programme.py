"""From a scope to a programme: how long each activity takes, what it waits for, when all is done.

Elapsed hours = charged hours / (crew x crew factor x productivity) / teams. Parts are ordered the
day the machine comes in and can be used from the first hour of the first working day on or after
order + lead time. Outwork takes its turn-round in working days. Trades are not levelled: the
weekly load shows where they would have to be.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from math import ceil

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import Activity, Crew
from estimator.domain.catalogue.work_rows import Operation, Outwork, PartsGroup
from estimator.domain.job import Job
from estimator.domain.programme.network import Timing, critical_path
from estimator.domain.programme.working_time import WorkingTime, working_time
from estimator.domain.scope import Scope, ScopeLine


@dataclass(frozen=True, slots=True)
class Step:
    """One activity of a job's programme, with nothing found worn."""

    id: str
    name: str
    bay: str
    after: tuple[str, ...]
    teams: int
    kind: str
    man_hours: float
    elapsed: float  # working hours
    outwork_days: float
    waits_for: tuple[str, ...]  # parts that must be there before it starts
    lead_weeks: float
    ready: float  # working hour at which those parts are there
    timing: Timing
    start_day: date
    finish_day: date
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Programme:
    """The programme of a job at its likely durations."""

    steps: Mapping[str, Step]
    time: WorkingTime
    finish_hour: float
    finish_day: date

    @property
    def weeks(self) -> float:
        """Calendar weeks from the machine coming in to its hand-over, both days counted."""
        return ((self.finish_day - self.time.start).days + 1) / 7


def build_programme(job: Job, cat: ClassCatalogue, scope: Scope) -> Programme:
    """The programme of a scope. Raises NetworkCycle, BeyondCalendar."""
    settings = cat.settings
    time = working_time(
        job.start, (closure.date for closure in cat.closures), float(settings.hours_per_day)
    )
    by_activity: dict[str, list[ScopeLine]] = {}
    for line in scope.lines:
        by_activity.setdefault(line.row.activity, []).append(line)
    away = _outwork_days(scope)
    durations, ready, waits = {}, {}, {}
    for activity in cat.activities.values():
        lines = by_activity.get(activity.id, [])
        durations[activity.id] = (
            away.get(activity.id, 0.0) * float(settings.hours_per_day)
            if activity.kind == "outwork"
            else elapsed_hours(lines, activity, cat)
        )
        waits[activity.id] = _waits_for(lines)
        lead = max((float(row.lead_weeks) for row in waits[activity.id]), default=0.0)
        ready[activity.id] = parts_ready(time, lead * 7)
    after = {activity.id: activity.after for activity in cat.activities.values()}
    timings = critical_path(durations, after, ready)
    finish = max((timing.finish for timing in timings.values()), default=0.0)
    steps = {
        name: _step(
            cat.activities[name],
            by_activity.get(name, []),
            away.get(name, 0.0),
            waits[name],
            durations[name],
            ready[name],
            timing,
            time,
        )
        for name, timing in timings.items()
    }
    return Programme(steps, time, finish, time.finish_day(finish))


def elapsed_hours(lines: list[ScopeLine], activity: Activity, cat: ClassCatalogue) -> float:
    """Working hours an activity takes at its likely charged hours."""
    productivity = float(cat.settings.productivity)
    total = 0.0
    for line in lines:
        if isinstance(line.row, Operation):
            crew = cat.crews[line.row.crew] if line.own is None else _alone(cat)
            total += float(line.quantity) / (crew.people * float(crew.factor) * productivity)
    return total / activity.teams


def _alone(cat: ClassCatalogue) -> Crew:
    """The smallest crew: whose output a line of the estimator's own is reckoned with."""
    return cat.crews[min(cat.crews)]


def parts_ready(time: WorkingTime, lead_days: float) -> float:
    """Working hour from which parts ordered at the start can be used; part days count whole."""
    if lead_days <= 0:
        return 0.0
    return time.hour_of(time.start + timedelta(days=ceil(lead_days - 1e-9)))


def _outwork_days(scope: Scope) -> dict[str, float]:
    """Longest turn-round in each outwork step."""
    days: dict[str, float] = {}
    for line in scope.lines:
        if isinstance(line.row, Outwork) and line.row.away:
            turn = float(line.row.turn_round_days)
            days[line.row.away] = max(days.get(line.row.away, 0.0), turn)
    return days


def _waits_for(lines: list[ScopeLine]) -> list[PartsGroup]:
    return [
        line.row
        for line in lines
        if isinstance(line.row, PartsGroup) and line.row.needed_at == "start"
    ]


def _step(
    activity: Activity,
    lines: list[ScopeLine],
    outwork_days: float,
    waits: list[PartsGroup],
    elapsed: float,
    ready: float,
    timing: Timing,
    time: WorkingTime,
) -> Step:
    hours = sum(float(line.quantity) for line in lines if isinstance(line.row, Operation))
    return Step(
        activity.id,
        activity.name,
        activity.bay,
        activity.after,
        activity.teams,
        activity.kind,
        hours,
        elapsed,
        outwork_days,
        tuple(row.id for row in waits),
        max((float(row.lead_weeks) for row in waits), default=0.0),
        ready,
        timing,
        time.start_day(timing.start),
        time.finish_day(timing.finish),
        tuple(line.id for line in lines),
    )
