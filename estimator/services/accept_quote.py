"""Record that a customer accepted an issued revision, whole or teardown only."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from estimator.domain.contract.acceptance import (
    CUSTOMER,
    TEARDOWN_ONLY,
    WHOLE,
    WORKSHOP,
    Acceptance,
    Authority,
)
from estimator.domain.contract.contract import CannotFollow
from estimator.domain.contract.events import Accepted
from estimator.domain.contract.following import follow
from estimator.domain.money import Money
from estimator.domain.people import ACCEPT, RELEASE, Person
from estimator.domain.priced_work import PricedWork
from estimator.domain.reasons import Reasons
from estimator.domain.record import ISSUED, IssuedQuote
from estimator.domain.teardown import teardown_offer
from estimator.services.contract_texts import refuse_texts
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict
from estimator.services.frozen_quote import frozen_work, issued_revision
from estimator.services.open_record import Record
from estimator.services.write_contract import Here, write_events
from estimator.services.write_edit import kept_job


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
    the price that was issued.

    Raises NotFound, NotAllowed, NotReckoned, and Conflict where the revision is not the one that
    is issued, is past its day, or the terms cannot be.
    """
    require(who, ACCEPT)
    with record.writing() as session:
        kept = kept_job(session, number)
        if kept.state != ISSUED or kept.job.revision != terms.revision:
            raise Conflict(
                f"{kept.job.title} is {kept.state}; only the revision that is issued is accepted.",
                "Issue it first.",
            )
        issued = issued_revision(session, number, terms.revision)
        _in_time(issued, terms, who, held=held)
        work = frozen_work(session, kept.job, issued)
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
        refuse_texts([event])
        try:
            contract = follow(None, event)
        except CannotFollow as error:
            raise Conflict(f"{number}: {error.message}.", error.remedy) from error
        write_events(session, kept, contract, 0, (event,), "accepted", now)
        return Here(kept.job, "accepted", contract, work)


def _in_time(issued: IssuedQuote, terms: Terms, who: Person, *, held: bool) -> None:
    if terms.on < issued.issued_at:
        raise Conflict(
            f"Rev {issued.revision} was issued on {issued.issued_at:%Y-%m-%d}, after that day.",
            "Check the day of acceptance.",
        )
    if terms.on.date() <= issued.valid_until:
        return
    if not held:
        raise Conflict(
            f"Rev {issued.revision} was valid until {issued.valid_until.isoformat()}.",
            "Revise it, or let the service manager hold its price.",
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
