"""Answers to variations: the workshop's own by passphrase, the customer's as it was given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from estimator.domain.contract.acceptance import CUSTOMER, WORKSHOP
from estimator.domain.contract.authority import Verdict, may_agree, together
from estimator.domain.contract.contract import CannotFollow, Contract
from estimator.domain.contract.events import Decided, Event
from estimator.domain.contract.following import follow
from estimator.domain.contract.states import APPROVE, CALL_OFF, DECLINE, DEFER, PART_APPROVE
from estimator.domain.money import money_sum
from estimator.domain.people import ANSWER, Person
from estimator.domain.wording import joined, worded
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotAllowed
from estimator.services.open_record import Record
from estimator.services.write_contract import Here, act_on, contract_here

NEEDS_REASON = (DECLINE, DEFER, PART_APPROVE, CALL_OFF)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """An answer to one revision of a variation.

    `words` and `channel` are the customer's, exactly as given; `lines` the places agreed to where
    only part is.
    """

    variation: str
    revision: int
    act: str
    channel: str = ""
    words: str = ""
    reason: str = ""
    lines: tuple[int, ...] = ()
    waits_activity: str = ""
    waits_days: Decimal = Decimal(0)


def answer_as_manager(
    record: Record, number: str, answers: Sequence[Answer], approver: Person, now: datetime
) -> Here:
    """The workshop's own answers, several at once where the limits allow; all of them or none.

    `approver` is whoever gave their own passphrase for it (`know_person`). Raises NotAllowed above
    the limit (naming who is to be asked), NotFound, Conflict; also where what they agreed to before
    on the same component comes above their limit for one together with this, and no reason says
    why these are separate findings.
    """
    require(approver, ANSWER)

    def make(here: Here) -> list[Event]:
        authority = here.contract.authorities.get(approver.name)
        if authority is not None and authority.side != WORKSHOP:
            raise NotAllowed(
                worded(
                    "{name} answers for the customer on this job, not for the workshop.",
                    name=approver.name,
                ),
                worded("Record the customer's answer, with its channel and its words."),
            )
        _may(here, answers, approver.name)
        decided = [
            _decided(one, approver.name, approver.role, WORKSHOP, now, proved=True)
            for one in answers
        ]
        return _with_what_went_before(here.contract, decided)

    return act_on(record, number, "answered", make, now)


def record_customers_answer(
    record: Record, number: str, answer: Answer, by: str, who: Person, now: datetime
) -> Here:
    """The customer's answer, given by `by` through a channel in words, recorded by `who`.

    Raises NotAllowed where `by` may not (naming who is to be asked) or `who` may not record it,
    NotFound, Conflict.
    """
    return record_customers_answers(record, number, [(answer, by)], who, now)


def record_customers_answers(
    record: Record, number: str, answers: Sequence[tuple[Answer, str]], who: Person, now: datetime
) -> Here:
    """Several answers of the customer, each with who gave it, as one act: all of them or none. As
    `record_customers_answer`."""
    require(who, ANSWER)
    for answer, _ in answers:
        if not answer.channel.strip() or not answer.words.strip():
            raise Conflict(
                worded("An answer is recorded with its channel and its words."),
                worded("Say how it came, and what was said."),
            )

    def make(here: Here) -> list[Event]:
        noted = f"recorded by {who.name}"
        given = [replace(_customers(here, answer, by, now), note=noted) for answer, by in answers]
        return _with_what_went_before(here.contract, given)

    return act_on(record, number, "answered by the customer", make, now)


def _customers(here: Here, answer: Answer, by: str, now: datetime) -> Decided:
    authority = here.contract.authorities.get(by)
    if authority is None or authority.side != CUSTOMER:
        known = ", ".join(
            name for name, one in here.contract.authorities.items() if one.side == CUSTOMER
        )
        raise NotAllowed(
            worded("{by} does not answer for the customer.", by=by),
            worded("Named are: {known}.", known=known),
        )
    _may(here, [answer], by)
    return _decided(answer, by, authority.capacity, CUSTOMER, now, proved=False)


def _with_what_went_before(contract: Contract, decided: Sequence[Decided]) -> list[Event]:
    """Answers one after the other, each with what the same person agreed to on the same component
    before. The customer's own words are their reason; the workshop's people give one."""
    noted: list[Event] = []
    for answered in decided:
        event = _noted(contract, answered)
        noted.append(event)
        try:
            contract = follow(contract, event)
        except CannotFollow:
            continue  # said when it is written
    return noted


def _noted(contract: Contract, event: Decided) -> Decided:
    case = contract.cases.get(event.number)
    if case is None or event.act not in (APPROVE, PART_APPROVE):
        return event
    lines, amount = case.variation.lines, None
    if event.act == PART_APPROVE:
        chosen = (lines[one].amount for one in set(event.lines) if 0 <= one < len(lines))
        amount = money_sum(chosen, contract.currency)
    before = together(contract, case, event.who, amount)
    if before is None:
        return event
    why = event.reason if event.side == WORKSHOP else event.reason or event.words
    if not why.strip():
        raise Conflict(
            worded("{name}: {said}.", name=case.variation.name, said=before.words),
            worded(
                "Say in the reason why they are separate findings, or leave it to the next who may."
            ),
        )
    return replace(event, together=before.amount, together_with=before.numbers)


def who_may(record: Record, number: str, variation: str, name: str) -> Verdict:
    """Whether somebody may agree to a variation, ground by ground. Raises NotFound."""
    with record.reading() as session:
        _, here = contract_here(session, number)
    return may_agree(here.contract, here.contract.case(variation), name)


def _may(here: Here, answers: Sequence[Answer], name: str) -> None:
    """Refuse an approval without the limit in its own kind of error: it is no accident."""
    for answer in answers:
        case = here.contract.cases.get(answer.variation)
        if answer.act in NEEDS_REASON and not (answer.reason or answer.words).strip():
            raise Conflict(
                worded("{variation} is answered without a reason.", variation=answer.variation),
                worded("Give one."),
            )
        if case is None or answer.act not in ("approve",):
            continue
        if answer.revision != case.variation.revision:
            continue  # superseded: said by the contract itself
        verdict = may_agree(here.contract, case, name)
        if not verdict.may and case.is_open:
            ask = worded("Nobody named may.")
            if verdict.ask:
                ask = worded("Ask {who}.", who=verdict.ask)
            raise NotAllowed(
                worded(
                    "{name}: {said}.",
                    name=case.variation.name,
                    said=joined(verdict.against, "; "),
                ),
                ask,
            )


def _decided(
    answer: Answer, name: str, capacity: str, side: str, now: datetime, *, proved: bool
) -> Decided:
    return Decided(
        at=now,
        who=name,
        capacity=capacity,
        side=side,
        channel=answer.channel,
        words=answer.words,
        number=answer.variation,
        revision=answer.revision,
        act=answer.act,
        lines=answer.lines,
        reason=answer.reason,
        proved=proved,
        waits_activity=answer.waits_activity,
        waits_days=answer.waits_days,
    )
