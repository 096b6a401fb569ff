"""When the machine is ready, given what was opened: parts found worn add their days for certain,
parts found sound and what was declined add none, and waits for answers add theirs."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from estimator.domain.contract.contract import Contract
from estimator.domain.contract.events import StopDecided
from estimator.domain.contract.remaining import Remaining
from estimator.domain.contract.states import NOT_DONE, WITHDRAWN
from estimator.domain.contract.variation import WORN
from estimator.domain.priced_work import PricedWork
from estimator.domain.programme.programme import Programme, build_programme
from estimator.domain.programme.scenario_draws import ScenarioDraws, draw_scenarios
from estimator.domain.programme.scenarios import PERCENTILES, Finish, Sure, finish_dates
from estimator.domain.programme.working_time import WorkingTime
from estimator.domain.teardown import days_back, strip_programme


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """What dates of a contract rest on and no finding changes: the quote's programme, and what
    chance decides in each scenario."""

    programme: Programme
    draws: ScenarioDraws


def plan_of(
    work: PricedWork, programme: Programme | None = None, *, teardown_only: bool = False
) -> Plan:
    """The plan of a frozen quote's priced work, or of its strip alone. Raises NetworkCycle,
    BeyondCalendar."""
    if teardown_only:
        strip = strip_programme(work.job, work.cat, dict(work.scope.judgements))
        return Plan(strip, draw_scenarios(strip, (), work.known, work.cat.settings, ()))
    built = programme or build_programme(work.job, work.cat, work.scope)
    draws = draw_scenarios(built, work.exposed, work.known, work.cat.settings, work.found)
    return Plan(built, draws)


def sure_days(contract: Contract, work: PricedWork) -> tuple[Sure, ...]:
    """Working days that activities take longer for certain, one for each cause.

    A variation that names an activity gives its own days; else a part found worn gives those that
    the quote held for it.
    """
    dropped = set()
    told: list[Sure] = []
    for case in contract.cases.values():
        variation = case.variation
        if case.state == WITHDRAWN:
            continue  # its parts count as closed again, or another variation carries them
        if case.state in NOT_DONE:
            dropped |= set(variation.parts)
        elif variation.activity:
            dropped |= set(variation.parts)
            told.append(Sure(variation.activity, float(variation.days)))
    for part in work.exposed:
        if contract.resolved.get(part.part) == WORN and part.part not in dropped:
            told.append(Sure(part.activity, part.added_days))
    return tuple(told)


def finish_now(
    contract: Contract,
    work: PricedWork,
    rest: Remaining,
    programme: Programme | None = None,
    plan: Plan | None = None,
) -> Finish:
    """Finish by share of scenarios, with the same chances as the money; its steps are left out.
    A job that was stopped is done when the machine has gone back.

    `plan`, of the same work and extent, spares making it anew; `programme` spares half of that.
    """
    strip_alone = contract.acceptance.teardown_only
    plan = plan or plan_of(work, programme, teardown_only=strip_alone)
    if contract.stopped is not None:
        return _on_one_day(back_on(contract.stopped, work, plan.programme.time), plan, work)
    steps = plan.programme.steps
    waits = {activity: float(days) for activity, days in contract.waits.items()}
    sure = sure_days(contract, work)
    if strip_alone:  # what the rebuild would wait for is not the strip's
        waits = {activity: days for activity, days in waits.items() if activity in steps}
        sure = tuple(one for one in sure if one.activity in steps)
    return finish_dates(
        plan.programme, () if strip_alone else rest.closed, rest.known, work.cat.settings,
        work.job.terms.confidence, found=() if strip_alone else rest.found, sure=sure,
        waits=waits, draws=plan.draws, of_steps=False,
    )  # fmt: skip


def back_on(stopped: StopDecided, work: PricedWork, time: WorkingTime) -> date:
    """The day on which a machine goes back after a stop: as many working days later as its way back
    takes."""
    days = days_back(work.job, work.cat, dict(work.scope.judgements), stopped.way)
    return replace(time, start=stopped.at.date()).finish_day(days * time.hours_per_day)


def _on_one_day(day: date, plan: Plan, work: PricedWork) -> Finish:
    """A finish that is certain."""
    hour = plan.programme.time.hour_of(day)
    shares = sorted({*PERCENTILES, float(work.job.terms.confidence)})
    return Finish(dict.fromkeys(shares, hour), dict.fromkeys(shares, day), plan.draws.count, {}, {})
