"""Money and the end of a job: stage payments, exchange units, contingency given back, stop, tests,
hand-over, the final account."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from estimator.domain.contract.account import Account, account
from estimator.domain.contract.events import (
    BOXED_RETURN,
    REASSEMBLY,
    AccountClosed,
    ContingencyReturned,
    Event,
    ExchangeSettled,
    HandedOver,
    OrderChanged,
    StagePaid,
    StopDecided,
    Tested,
)
from estimator.domain.money import Money
from estimator.domain.people import ACCEPT, FIND, SETTLE, Person
from estimator.domain.reasons import Reasons
from estimator.domain.teardown import TeardownOffer, teardown_offer
from estimator.domain.wording import joined, worded
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict
from estimator.services.learn_from_contract import learn_from_contract
from estimator.services.open_record import Record
from estimator.services.write_contract import Here, act_in, act_on, contract_here


def invoice_stage(
    record: Record, number: str, name: str, share: Decimal, who: Person, now: datetime
) -> Here:
    """A stage payment: a share of the contract sum. Raises NotAllowed, NotFound, Conflict."""
    return _settle(
        record, number, "stage invoiced", who, now,
        StagePaid(at=now, who=who.name, capacity=who.role, name=name, share=share),
    )  # fmt: skip


def settle_exchange(
    record: Record, number: str, parts: tuple[str, ...], counts: tuple[Decimal, Decimal],
    charge: Money, who: Person, now: datetime, reason: str = "",
) -> Here:  # fmt: skip
    """Exchange units went back: (sent, accepted) and what is charged for the rest. Raises
    NotAllowed, NotFound, Conflict."""
    sent, accepted = counts
    event = ExchangeSettled(
        at=now, who=who.name, capacity=who.role, parts=parts, sent=sent, accepted=accepted,
        charge=charge, note=reason,
    )  # fmt: skip
    return _settle(record, number, "exchange settled", who, now, event)


def return_contingency(
    record: Record, number: str, amount: Money, who: Person, now: datetime
) -> Here:
    """Part of the contingency goes back before the end. Raises NotAllowed, NotFound, Conflict."""
    event = ContingencyReturned(at=now, who=who.name, capacity=who.role, amount=amount)
    return _settle(record, number, "contingency returned", who, now, event)


def stop_offer(record: Record, number: str) -> TeardownOffer:
    """What stopping after teardown means: boxed return and reassembly, priced and dated, what is
    no longer possible, storage. Raises NotFound, NotReckoned."""
    with record.reading() as session:
        _, here = contract_here(session, number)
    work = here.work
    return teardown_offer(work.job, work.cat, dict(work.scope.judgements), Reasons())


def stop_job(
    record: Record, number: str, way: str, words: str, by: str, who: Person, now: datetime
) -> Here:
    """The customer stops after teardown: from then on the sum is that of the work done, strip and
    report at their own price, and of the way back. Raises NotAllowed, NotFound, Conflict."""
    if way not in (BOXED_RETURN, REASSEMBLY):
        raise Conflict(
            worded("There is no way back called {way!r}.", way=way),
            worded("Boxed return, or reassembly."),
        )
    offer = stop_offer(record, number)
    back = offer.boxed_return if way == BOXED_RETURN else offer.reassembly
    event = StopDecided(
        at=now, who=by, side="customer", words=words, way=way, amount=back.net, strip=offer.net,
        note=f"recorded by {who.name}",
    )  # fmt: skip
    return _settle(record, number, "stopped", who, now, event)


def record_tests(record: Record, number: str, result: str, who: Person, now: datetime) -> Here:
    """The tests before hand-over. Raises NotAllowed, NotFound, Conflict."""
    require(who, FIND)
    event = Tested(at=now, who=who.name, capacity=who.role, note=result)
    return act_on(record, number, "tested", lambda _here: [event], now)


ALL = ("all",)
"""Said of everything that was agreed to: it is done."""


def hand_over(
    record: Record, number: str, by: str, words: str, who: Person, now: datetime, note: str = "",
    done: Sequence[str] = (),
) -> Here:  # fmt: skip
    """The machine was handed over; what is left of the contingency goes where the terms say.

    `done` are variations agreed to and not recorded as done of which `who` says, by name, that
    their work is done; or ALL. Raises NotAllowed, NotFound, and Conflict while a variation waits
    for an answer, or while work that was agreed to is not said to be done (a job that was stopped
    apart).
    """
    require(who, SETTLE)
    noted = "; ".join(filter(None, (note, f"recorded by {who.name}")))

    def make(here: Here) -> list[Event]:
        said = tuple(done)
        if said == ALL:
            said = tuple(one.variation.number for one in here.contract.not_recorded_as_done())
        return [
            HandedOver(
                at=now, who=by, side="customer", words=words, note=noted, done=said,
                said_done_by=who.name if said else "",
            )
        ]  # fmt: skip

    return act_on(record, number, "handed over", make, now)


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A purchase order as the customer gave it, or its limit raised: who, in which capacity, how
    it came, in which words."""

    purchase_order: str
    limit: Money | None
    by: str
    capacity: str
    channel: str
    words: str


def change_order(record: Record, number: str, order: Order, who: Person, now: datetime) -> Here:
    """The customer gave another purchase order, or another limit of it; what is agreed to is held
    against it from now on. Raises NotAllowed, NotFound, Conflict."""
    require(who, ACCEPT)
    said = {
        worded("who gave it"): order.by, worded("in which capacity"): order.capacity,
        worded("how it came"): order.channel, worded("what was said"): order.words,
    }  # fmt: skip
    if missing := [name for name, text in said.items() if not text.strip()]:
        raise Conflict(
            worded("An order is recorded with {missing}.", missing=joined(missing)),
            worded("Give it."),
        )
    event = OrderChanged(
        at=now, who=order.by, capacity=order.capacity, side="customer", channel=order.channel,
        words=order.words, note=f"recorded by {who.name}",
        purchase_order=order.purchase_order.strip(), limit=order.limit,
    )  # fmt: skip
    return act_on(record, number, "order changed", lambda _here: [event], now)


def close_account(record: Record, number: str, who: Person, now: datetime) -> Account:
    """Draw up the final account; nothing is added to the contract after it. What the job showed
    goes into past work by the same act. Raises NotAllowed, NotFound, Conflict before hand-over."""
    require(who, SETTLE)
    event = AccountClosed(at=now, who=who.name, capacity=who.role)
    with record.writing() as session:
        here = act_in(session, number, "account closed", lambda _here: [event], now)
        learn_from_contract(session, here, who, now)
    return account_of(here)


def read_account(record: Record, number: str) -> Account:
    """The account as it stands. Raises NotFound, NotReckoned."""
    with record.reading() as session:
        _, here = contract_here(session, number)
    return account_of(here)


def account_of(here: Here) -> Account:
    """The account of a contract, in the tax category of its job."""
    tax = here.work.cat.tax[here.job.terms.tax_category]
    return account(here.contract, tax.code, tax.rate_percent)


def _settle(
    record: Record, number: str, act: str, who: Person, now: datetime, event: Event
) -> Here:
    require(who, SETTLE)
    return act_on(record, number, act, lambda _here: [event], now)
