"""When the machine is ready, given what was opened: parts found worn add their days for certain,
parts found sound and what was declined add none, and waits for answers add theirs."""

from __future__ import annotations

from dataclasses import dataclass

from estimator.domain.contract.contract import Contract
from estimator.domain.contract.remaining import Remaining
from estimator.domain.contract.states import NOT_DONE, WITHDRAWN
from estimator.domain.contract.variation import WORN
from estimator.domain.priced_work import PricedWork
from estimator.domain.programme.programme import Programme, build_programme
from estimator.domain.programme.scenario_draws import ScenarioDraws, draw_scenarios
from estimator.domain.programme.scenarios import Finish, Sure, finish_dates


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """What dates of a contract rest on and no finding changes: the quote's programme, and what
    chance decides in each scenario."""

    programme: Programme
    draws: ScenarioDraws


def plan_of(work: PricedWork, programme: Programme | None = None) -> Plan:
    """The plan of a frozen quote's priced work. Raises NetworkCycle, BeyondCalendar."""
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

    `plan`, of the same work, spares making it anew; `programme` spares half of that.
    """
    plan = plan or plan_of(work, programme)
    waits = {activity: float(days) for activity, days in contract.waits.items()}
    return finish_dates(
        plan.programme, rest.closed, rest.known, work.cat.settings, work.job.terms.confidence,
        found=rest.found, sure=sure_days(contract, work), waits=waits, draws=plan.draws,
        of_steps=False,
    )  # fmt: skip
