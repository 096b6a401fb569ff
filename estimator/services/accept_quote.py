"""Record that a customer accepted an issued revision, whole or teardown only."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING

from estimator.domain.contract.acceptance import (
    CUSTOMER,
    TEARDOWN_ONLY,
    WHOLE,
    WORKSHOP,
    Acceptance,
    Authority,
)
from estimator.domain.contract.contract import CannotFollow, Contract
from estimator.domain.contract.events import Accepted, Event
from estimator.domain.contract.following import follow
from estimator.domain.fixed_words import fixed
from estimator.domain.money import Money
from estimator.domain.people import ACCEPT, RELEASE, Person
from estimator.domain.priced_work import PricedWork
from estimator.domain.reasons import Reasons
from estimator.domain.record import ACCEPTED, ISSUED, IssuedQuote
from estimator.domain.teardown import teardown_offer
from estimator.domain.wording import worded
from estimator.services.after_strip import carried_over, found_since
from estimator.services.chosen_options import refuse_other_options
from estimator.services.contract_texts import refuse_texts
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotFound
from estimator.services.frozen_quote import frozen_work, issued_revision
from estimator.services.open_record import Record
from estimator.services.write_contract import Here, contract_here, write_events
from estimator.services.write_edit import kept_job

if TYPE_CHECKING:
    from estimator.storage.database import Session


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """What the customer accepted and on which terms; sums follow from the issued revision."""

    revision: str
    by: str  # who accepted
    capacity: str
    channel: str  # signed paper, e-mail ...
    words: str
    on: datetime
    extent: str = WHOLE
    unspent: str
    approvers: tuple[Authority, ...]  # of the customer
    drawing: tuple[Authority, ...] = ()  # of the workshop, as blanket rights
    purchase_order: str = ""
    order_limit: Money | None = None
    options: tuple[str, ...] = ()
    deposit: Money | None = None
    custody_from: date | None = None
    insurance: str = ""


def accept_quote(
    record: Record, number: str, terms: Terms, who: Person, now: datetime, *, held: bool = False
) -> Here:
    """Record an acceptance. `held` lets a service manager accept after the quote's last day, at
    the price that was issued. After a teardown that alone was accepted, the revision priced with
    what it showed is accepted on the same contract.

    Raises NotFound, NotAllowed, NotReckoned, and Conflict where the revision is not the one that
    is issued, is past its day, or the terms cannot be.
    """
    require(who, ACCEPT)
    with record.writing() as session:
        kept = kept_job(session, number)
        if kept.state != ISSUED or kept.job.revision != terms.revision:
            raise Conflict(
                worded(
                    "{title} is {state}; only the revision that is issued is accepted.",
                    title=kept.job.title,
                    state=fixed(kept.state),
                ),
                worded("Issue it first."),
            )
        issued = issued_revision(session, number, terms.revision)
        _in_time(issued, terms, who, held=held)
        refuse_other_options(kept.job, terms.options)
        work = frozen_work(session, kept.job, issued)
        strip = strip_of(session, number)
        event = Accepted(
            at=now,
            who=terms.by,
            capacity=terms.capacity,
            side=CUSTOMER,
            channel=terms.channel,
            words=terms.words,
            note=f"accepted on {terms.on:%Y-%m-%d %H:%M}, recorded by {who.name}",
            acceptance=_acceptance(terms, work, issued),
        )
        events: list[Event] = [event]
        if strip is not None:
            found = found_since(strip.contract, work, who, now)
            events = [carried_over(event, strip.contract, work), *found]
        refuse_texts(events)
        contract = _after(number, events, None if strip is None else strip.contract)
        place = len(contract.events) - len(events)
        write_events(session, kept, contract, place, events, "accepted", now)
        return Here(work.job, ACCEPTED, contract, work, None if strip is None else strip.work)


def _after(number: str, events: list[Event], contract: Contract | None) -> Contract:
    try:
        for one in events:
            contract = follow(contract, one)
    except CannotFollow as error:
        raise Conflict(
            worded("{name}: {said}.", name=number, said=error.message), error.remedy
        ) from error
    assert contract is not None  # there is an acceptance among them
    return contract


def strip_of(session: Session, number: str) -> Here | None:
    """The contract of a job's strip, where nothing more was accepted of it yet. Raises
    NotReckoned."""
    try:
        _, here = contract_here(session, number)
    except NotFound:
        return None
    return here


def _in_time(issued: IssuedQuote, terms: Terms, who: Person, *, held: bool) -> None:
    if terms.on < issued.issued_at:
        raise Conflict(
            worded(
                "Rev {revision} was issued on {issued_at:%Y-%m-%d}, after that day.",
                revision=issued.revision,
                issued_at=issued.issued_at,
            ),
            worded("Check the day of acceptance."),
        )
    if terms.on.date() <= issued.valid_until:
        return
    if not held:
        raise Conflict(
            worded(
                "Rev {revision} was valid until {valid_until}.",
                revision=issued.revision,
                valid_until=issued.valid_until,
            ),
            worded("Revise it, or let the service manager hold its price."),
        )
    require(who, RELEASE)


def _acceptance(terms: Terms, work: PricedWork, issued: IssuedQuote) -> Acceptance:
    sum_, held = issued.net, issued.contingency
    if terms.extent == TEARDOWN_ONLY:
        sum_, held = strip_price(work), Money(0, issued.net.currency)
    sides = {CUSTOMER: terms.approvers, WORKSHOP: terms.drawing}
    authorities = tuple(replace(one, side=side) for side, people in sides.items() for one in people)
    return Acceptance(
        revision=terms.revision,
        extent=terms.extent,
        commercial_form=work.job.terms.commercial_form,
        contract_sum=sum_,
        contingency=held,
        unspent=terms.unspent,
        authorities=authorities,
        purchase_order=terms.purchase_order,
        order_limit=terms.order_limit,
        options=terms.options,
        deposit=terms.deposit,
        custody_from=terms.custody_from,
        insurance=terms.insurance,
    )


def strip_price(work: PricedWork) -> Money:
    """What strip and report alone cost, as quoted."""
    return teardown_offer(work.job, work.cat, dict(work.scope.judgements), Reasons()).net
