"""What the workshop learns from a contract once its account is closed: what the parts that were
opened showed at known hours, and whether the quote held."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any, cast

from estimator.domain.contract.contract import Case, Contract
from estimator.domain.contract.events import Opened, Raised, Revised
from estimator.domain.contract.states import NOT_DONE, WITHDRAWN
from estimator.domain.contract.variation import REQUEST, SOUND, WORN
from estimator.domain.exposure.wear_out import pool_of
from estimator.domain.job import ORIGINAL, Job
from estimator.domain.money import Money, money_half_up, money_sum
from estimator.domain.past_work import LIFE_UNKNOWN, ClosedJob, TeardownOutcome
from estimator.domain.people import PAST, Person
from estimator.domain.priced_work import PricedWork, held
from estimator.services.enrol_person import require
from estimator.services.past_work import add_closed_in, add_outcomes_in
from estimator.services.write_contract import Here

if TYPE_CHECKING:
    from estimator.storage.database import Session

SHARES = {"p10": 0.1, "p50": 0.5, "p80": 0.8, "p90": 0.9}
RENEWING = ("recondition", "exchange", "replace")


@dataclass(frozen=True, slots=True)
class Learnt:
    """How much was added to past work."""

    outcomes: int
    closed: int


def learn_from_contract(session: Session, here: Here, who: Person, now: datetime) -> Learnt:
    """Add what a closed contract showed to past work, in the transaction that closes it. What is
    there already, entered by hand say, stands and is not added twice. Raises NotAllowed."""
    require(who, PAST)
    act = f"learnt from {here.job.number}"
    found = list(outcomes_of(here))
    closed = closed_job_of(here, now.date())
    return Learnt(
        add_outcomes_in(session, found, who, now, act),
        add_closed_in(session, [closed] if closed else [], who, now, act),
    )


def outcomes_of(here: Here) -> Iterator[TeardownOutcome]:
    """A teardown outcome of every part that was opened and found worn or sound. Hours count from
    new or from the part's renewal; where the meter is doubted its life is not known."""
    contract, work, machine = here.contract, here.work, here.job.machine
    seen = _days_seen(contract)
    cases = {part: case for case in contract.cases.values() for part in case.variation.parts}
    for part, state in contract.found.items():
        hours, basis = _run(part, here.job)
        if part not in work.cat.wear or state not in (WORN, SOUND) or hours <= 0:
            continue
        worn, case = state == WORN, cases.get(part)
        cost = _cost(part, case, contract) if worn else None
        yield TeardownOutcome(
            pool=pool_of(work.cat.wear[part]),
            machine_class=machine.class_id,
            component=part,
            hours=hours,
            duty=machine.duty,
            life_basis=basis,
            disposition=_disposition(part, case, here) if worn else "reuse",
            worn=worn,
            cost=None if cost is None else cost.amount,
            currency="" if cost is None else cost.currency,
            days=_days(case) if worn else None,
            found_on=seen[part],
        )


def _days_seen(contract: Contract) -> dict[str, date]:
    """The day on which each part was first told to be worn or sound."""
    seen: dict[str, date] = {}
    for event in contract.events:
        parts: tuple[str, ...] = ()
        if isinstance(event, Opened):
            parts = tuple(part for part, _ in event.parts)
        elif isinstance(event, Raised | Revised):
            parts = event.variation.parts
        for part in parts:
            seen.setdefault(part, event.at.date())
    return seen


def _run(part: str, job: Job) -> tuple[Decimal, str]:
    """(hours the part had run, from when they count)."""
    machine = job.machine
    renewed = [event.hours for event in machine.history if part in event.renewed]
    hours = machine.hours - max(renewed, default=Decimal(0))
    if machine.meter != ORIGINAL or machine.hours_doubt:
        return hours, LIFE_UNKNOWN
    return hours, "since renewal" if renewed else "since new"


def _disposition(part: str, case: Case | None, here: Here) -> str:
    if case is not None and case.state in (*NOT_DONE, WITHDRAWN):
        return "reuse"  # worn, and fitted again as it is
    if case is not None and case.variation.chosen in RENEWING:
        return case.variation.chosen
    usual: dict[str, str] = {}
    for work in filter(None, (here.strip, here.work)):
        usual |= {one.part: one.way for one in work.exposed}
        usual |= {name: way for name, (way, _) in work.firm_by_chance.items()}
    return usual.get(part, "replace")


def _cost(part: str, case: Case | None, contract: Contract) -> Money | None:
    """What was agreed for a part: all of its variation where it has it to itself, else the lines
    that name it."""
    if case is None or case.funding is None:
        return None
    variation, agreed = case.variation, case.agreed_lines
    lines = [
        line
        for place, line in enumerate(variation.lines)
        if (not agreed or place in agreed) and (len(variation.parts) == 1 or line.part == part)
    ]
    return money_sum((line.amount for line in lines), contract.currency) if lines else None


def _days(case: Case | None) -> Decimal | None:
    alone = case is not None and len(case.variation.parts) == 1
    return case.variation.days if case is not None and alone and case.variation.days else None


def closed_job_of(here: Here, today: date) -> ClosedJob | None:
    """What was quoted and what the work came to; None for a job that was not done: accepted for
    teardown only, or stopped after it.

    What it came to is base, lines measured again, all that was agreed or borne for findings, and
    exchange units, less the customer's own requests. With the unspent contingency the customer's,
    that is the final account less requests. Where it stays with the workshop, or the workshop bears
    what runs over, the account says what was paid; the quote is judged by what was needed.
    """
    contract, work = here.contract, here.work
    if contract.stopped is not None or not contract.totals.held:
        return None
    totals, currency = contract.totals, contract.currency
    borne = money_sum(
        (one.funding.on_workshop for one in contract.cases.values() if one.funding), currency
    )
    asked = money_sum(
        (
            one.funding.on_contract_sum
            for one in contract.cases.values()
            if one.funding and one.variation.cause == REQUEST
        ),
        currency,
    )
    used = totals.base + totals.remeasured + totals.drawn + totals.authorised
    final = used + borne + totals.exchange - asked
    return ClosedJob(
        number=here.job.number,
        machine_class=here.job.machine.class_id,
        hours=here.job.machine.hours,
        currency=currency,
        quoted_base=totals.base.amount,
        quoted_contingency=totals.held.amount,
        final_less_requests=final.amount,
        closed_on=today,
        **cast(Any, quoted_distribution(work, totals.held)),
    )


def quoted_distribution(work: PricedWork, contingency: Money) -> dict[str, Decimal | None]:
    """The final sum as it was quoted, base included: p10 to p90 and mean. None, all of them, where
    the contingency that was issued is not the one its distribution gives."""
    kept, terms = held(work), work.job.terms
    if kept.amount != contingency:
        return dict.fromkeys((*SHARES, "mean"))
    base = work.firm + work.provisional

    def sum_of(above: float) -> Decimal:
        found = money_half_up(Decimal(repr(above)), terms.currency, terms.quoting_unit)
        return (base + found).amount

    found: dict[str, Decimal | None] = {
        name: sum_of(float(kept.percentiles[share])) for name, share in SHARES.items()
    }
    return found | {"mean": sum_of(float(kept.mean))}
