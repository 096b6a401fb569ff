"""What every act on a contract has in common, inside one writing transaction: who may, on what is
there now, appended with its entry in the log, and what it comes to kept for the lists."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from threading import Lock
from typing import TYPE_CHECKING

from estimator.domain.contract.admission import admit
from estimator.domain.contract.authority import drawing_right, may_agree
from estimator.domain.contract.contract import CannotFollow, Case, Contract
from estimator.domain.contract.events import Accepted, Event, StopDecided
from estimator.domain.contract.following import contract_of, follow
from estimator.domain.contract.states import DRAFT as PRICED_DRAFT
from estimator.domain.contract.states import ISSUED, WAITING_ON
from estimator.domain.contract.variation import CHARGED_TO_NOBODY
from estimator.domain.job import Job
from estimator.domain.priced_work import PricedWork
from estimator.domain.record import (
    ACCEPTED,
    CLOSED,
    DRAFT,
    HANDED_OVER,
    PROPOSED,
    STOPPED,
    UNDER_CONTRACT,
)
from estimator.domain.record import ISSUED as JOB_ISSUED
from estimator.domain.wording import worded
from estimator.services.contract_texts import refuse_texts
from estimator.services.errors import Conflict, NotFound
from estimator.services.frozen_quote import accepted_job, frozen_work, issued_revision
from estimator.services.open_record import Record
from estimator.services.write_edit import changed_meanwhile, kept_job
from estimator.storage import contract_record
from estimator.storage.change_log import append
from estimator.storage.contract_codec import event_hash, said
from estimator.storage.edit_record import clear_edits
from estimator.storage.job_rows import KeptJob, touch, write_job

if TYPE_CHECKING:
    from estimator.storage.database import Session

CUSTOMER = "customer"
MOST_SEEN = 32  # contracts kept folded
_SEEN: dict[str, Contract] = {}
_KEEPING = Lock()  # the window reads and acts on threads of their own


@dataclass(frozen=True, slots=True)
class Here:
    """A contract as it stands in the record, with the job and the priced work it was accepted on.

    `strip` is the work of the revision whose teardown alone was accepted before, where there was
    one. With no more than a teardown accepted, `state` may be that of the revision priced after it.
    """

    job: Job
    state: str
    contract: Contract
    work: PricedWork
    strip: PricedWork | None = None
    unkept: str = ""  # after an act: why the paper of what was issued is not kept

    def work_at(self, contract: Contract) -> PricedWork:
        """The work that counted for this contract as it was at an earlier event."""
        if self.strip is None or not contract.acceptance.teardown_only:
            return self.work
        return self.strip


Make = Callable[[Here], Sequence[Event]]


def contract_here(session: Session, number: str) -> tuple[KeptJob, Here]:
    """The contract of a job. Raises NotFound where nothing was accepted, NotReckoned."""
    kept = kept_job(session, number)
    events = contract_record.read_events(session, kept.id)
    if not events:
        raise NotFound(
            worded("Nothing of {title} was accepted yet.", title=kept.job.title),
            worded("Record the acceptance first."),
        )
    contract = _folded(kept.id, events)
    accepted = [one.acceptance.revision for one in events if isinstance(one, Accepted)]
    first, *later = [_frozen(session, kept.job, revision) for revision in accepted]
    work = later[-1] if later else first
    return kept, Here(work.job, kept.state, contract, work, first if later else None)


def _frozen(session: Session, now: Job, revision: str) -> PricedWork:
    issued = issued_revision(session, now.number, revision)
    return frozen_work(session, accepted_job(now, issued), issued)


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
            admit(after, event)
            after = follow(after, event)
    except CannotFollow as error:
        raise Conflict(
            worded("{name}: {said}.", name=number, said=error.message), error.remedy
        ) from error
    if events:
        write_events(session, kept, after, len(here.contract.events), events, act, now, here.job)
    return replace(here, state=state_after(kept, after), contract=after)


def write_events(
    session: Session,
    kept: KeptJob,
    after: Contract,
    before: int,
    events: Sequence[Event],
    act: str,
    now: datetime,
    accepted: Job | None = None,
) -> None:
    """Append events and keep what they come to. `accepted` is the job as it was accepted, unless it
    is the one the record holds. Raises Conflict where others came first."""
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
        if name in touched or case.state in (PRICED_DRAFT, ISSUED)
    ]
    contract_record.write_contract(session, kept.id, contract_row(after), rows)
    state, job = state_after(kept, after), kept.job
    if state == STOPPED and accepted is not None and accepted.revision != job.revision:
        job = accepted  # nothing comes of the revision that was to follow the strip
        clear_edits(session, kept.id)
    if state == kept.state:
        touch(session, kept.id, now)
    elif write_job(session, kept, job, state, now) is None:
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
        names.update(getattr(event, "done", ()))  # said at hand-over
    return names


def state_after(kept: KeptJob, contract: Contract) -> str:
    """The state of a job with this contract. While nothing but a teardown is accepted, the revision
    that is to follow the strip may be a draft, proposed or issued."""
    if contract.closed:
        return CLOSED
    if contract.handed_over:
        return HANDED_OVER
    if contract.stopped is not None:
        return STOPPED
    followed = kept.job.revision != contract.acceptance.revision
    return kept.state if followed and kept.state in (DRAFT, PROPOSED, JOB_ISSUED) else ACCEPTED


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
    if case.state == PRICED_DRAFT:
        # Within a drawing right nobody is asked: whoever holds it can act, and nobody else need.
        able = drawing_right(contract, case)
        if able is not None:
            return "service manager", f"{able.name}, {able.capacity}"
    if case.variation.end in CHARGED_TO_NOBODY and waits == "estimator":
        return "service manager", ""
    return waits, ""


__all__ = [
    "UNDER_CONTRACT", "Here", "Make", "act_in", "act_on", "awaited", "contract_here",
    "contract_row", "variation_row", "write_events",
]  # fmt: skip
