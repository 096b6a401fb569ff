"""What every act on a contract has in common, inside one writing transaction: who may, on what is
there now, appended with its entry in the log, and what it comes to kept for the lists."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from threading import Lock
from typing import TYPE_CHECKING

from estimator.domain.contract.authority import may_agree
from estimator.domain.contract.contract import CannotFollow, Case, Contract
from estimator.domain.contract.events import Event, StopDecided
from estimator.domain.contract.following import contract_of, follow
from estimator.domain.contract.states import ISSUED, WAITING_ON
from estimator.domain.contract.variation import CHARGED_TO_NOBODY
from estimator.domain.job import Job
from estimator.domain.priced_work import PricedWork
from estimator.domain.record import ACCEPTED, CLOSED, HANDED_OVER, STOPPED, UNDER_CONTRACT
from estimator.services.contract_texts import refuse_texts
from estimator.services.errors import Conflict, NotFound
from estimator.services.frozen_quote import frozen_work, issued_revision
from estimator.services.open_record import Record
from estimator.services.write_edit import changed_meanwhile, kept_job
from estimator.storage import contract_record
from estimator.storage.change_log import append
from estimator.storage.contract_codec import event_hash, said
from estimator.storage.job_rows import KeptJob, touch, write_job

if TYPE_CHECKING:
    from estimator.storage.database import Session

CUSTOMER = "customer"
MOST_SEEN = 32  # contracts kept folded
_SEEN: dict[str, Contract] = {}
_KEEPING = Lock()  # the window reads and acts on threads of their own


@dataclass(frozen=True, slots=True)
class Here:
    """A contract as it stands in the record, with the priced work it was accepted on."""

    job: Job
    state: str
    contract: Contract
    work: PricedWork


Make = Callable[[Here], Sequence[Event]]


def contract_here(session: Session, number: str) -> tuple[KeptJob, Here]:
    """The contract of a job. Raises NotFound where nothing was accepted, NotReckoned."""
    kept = kept_job(session, number)
    events = contract_record.read_events(session, kept.id)
    if not events:
        raise NotFound(
            f"Nothing of {kept.job.title} was accepted yet.", "Record the acceptance first."
        )
    contract = _folded(kept.id, events)
    issued = issued_revision(session, number, contract.acceptance.revision)
    work = frozen_work(session, kept.job, issued)
    return kept, Here(kept.job, kept.state, contract, work)


def _folded(job_id: str, events: Sequence[Event]) -> Contract:
    """The contract of a job's events, folded on from where it was last seen."""
    contract = contract_of(events, _SEEN.get(job_id))
    with _KEEPING:
        _SEEN.pop(job_id, None)
        _SEEN[job_id] = contract
        while len(_SEEN) > MOST_SEEN:
            del _SEEN[next(iter(_SEEN))]
    return contract


def act_on(record: Record, number: str, act: str, make: Make, now: datetime) -> Here:
    """Add the events that `make` answers for the contract as it is now; the contract after them.

    Raises NotFound, NotReckoned, Refused for texts that cannot be kept, and Conflict where an event
    cannot follow, with the reason: then nothing was written.
    """
    with record.writing() as session:
        return act_in(session, number, act, make, now)


def act_in(session: Session, number: str, act: str, make: Make, now: datetime) -> Here:
    """As `act_on`, within a writing transaction that holds more than this act."""
    kept, here = contract_here(session, number)
    events = make(here)
    refuse_texts(events)
    after = here.contract
    try:
        for event in events:
            after = follow(after, event)
    except CannotFollow as error:
        raise Conflict(f"{number}: {error.message}.", error.remedy) from error
    if events:
        write_events(session, kept, after, len(here.contract.events), events, act, now)
    return Here(kept.job, _state_of(after), after, here.work)


def write_events(
    session: Session,
    kept: KeptJob,
    after: Contract,
    before: int,
    events: Sequence[Event],
    act: str,
    now: datetime,
) -> None:
    """Append events and keep what they come to. Raises Conflict where others came first."""
    number = kept.job.number
    if not contract_record.add_events(session, kept.id, before, events):
        raise changed_meanwhile(number)
    touched = _touched(events)
    if any(isinstance(event, StopDecided) for event in events):
        touched |= set(after.cases)  # a stop ends what waits
    # An answer uses up limits and contingency, so that others may have to be asked elsewhere.
    rows = [
        variation_row(after, case)
        for name, case in after.cases.items()
        if name in touched or case.state == ISSUED
    ]
    contract_record.write_contract(session, kept.id, contract_row(after), rows)
    state = _state_of(after)
    if state == kept.state:
        touch(session, kept.id, now)
    elif write_job(session, kept, kept.job, state, now) is None:
        raise changed_meanwhile(number)
    for event in events:
        append(
            session,
            at=now,
            who=event.who,
            act=act,
            subject=f"job/{number}",
            after={"event": type(event).__name__, "sha256": event_hash(event), **said(event)},
        )


def _touched(events: Sequence[Event]) -> set[str]:
    names = set()
    for event in events:
        variation = getattr(event, "variation", None)
        names.add(variation.number if variation is not None else getattr(event, "number", ""))
    return names


def _state_of(contract: Contract) -> str:
    if contract.closed:
        return CLOSED
    if contract.handed_over:
        return HANDED_OVER
    return STOPPED if contract.stopped is not None else ACCEPTED


def contract_row(contract: Contract) -> dict[str, object]:
    """What is kept of a contract at once; its forecast is kept when it is known."""
    totals = contract.totals
    return {
        "revision": contract.acceptance.revision,
        "accepted_at": contract.accepted_at,
        "events": len(contract.events),
        "currency": contract.currency,
        "contract_sum": totals.contract_sum.minor,
        "current_sum": contract.current_sum.minor,
        "held": totals.held.minor,
        "left": contract.left.minor,
    }


def variation_row(contract: Contract, case: Case) -> dict[str, object]:
    """What is kept of a variation for lists."""
    variation = case.variation
    amount = variation.amount(contract.currency) if variation.is_priced else None
    if amount is not None and variation.remeasured:
        amount = amount + variation.remeasured_by(contract.currency)
    range_ = variation.range
    per_day = variation.waiting_per_day
    waits_on, ask = awaited(contract, case)
    return {
        "number": variation.number,
        "revision": variation.revision,
        "state": case.state,
        "since": case.since,
        "waits_on": waits_on,
        "ask": ask,
        "title": variation.title,
        "component": variation.component,
        "end": variation.end,
        "currency": contract.currency,
        "amount": None if amount is None else amount.minor,
        "low": None if range_ is None else range_.low.minor,
        "high": None if range_ is None else range_.high.minor,
        "raised_at": case.steps[0].at,
        "answer_by": variation.answer_by,
        "waiting_from": variation.waiting_from,
        "waiting_per_day": None if per_day is None else per_day.minor,
        "activity": variation.activity,
        "safety": variation.safety,
    }


def awaited(contract: Contract, case: Case) -> tuple[str, str]:
    """(role or side that a variation waits on, who is to be asked by name); blank for nobody."""
    waits = WAITING_ON.get(case.state, "")
    if case.state == ISSUED:
        ask = may_agree(contract, case, "").ask
        name = ask.split(", ")[0]
        authority = contract.authorities.get(name)
        if authority is not None and authority.side != CUSTOMER:
            return "service manager", ask
        return CUSTOMER, ask
    if case.variation.end in CHARGED_TO_NOBODY and waits == "estimator":
        return "service manager", ""
    return waits, ""


__all__ = [
    "UNDER_CONTRACT", "Here", "Make", "act_in", "act_on", "awaited", "contract_here",
    "contract_row", "variation_row", "write_events",
]  # fmt: skip
