"""Raise a variation, price it, write it anew, and move it on without an answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from decimal import Decimal

from estimator.domain.contract.events import Event, MadeSafe, Moved, Raised, Revised, Waited
from estimator.domain.contract.states import (
    CLOSE,
    FINISH,
    ISSUE,
    LAPSE,
    PASS_ON,
    QUERY,
    RELEASE,
    WITHDRAW,
)
from estimator.domain.contract.variation import Variation, variation_faults
from estimator.domain.fixed_words import fixed
from estimator.domain.money import Money
from estimator.domain.people import ANSWER, TAKE_BACK, VARY, WORK, Person
from estimator.domain.problem import Place, Problem
from estimator.domain.programme.working_time import working_time
from estimator.domain.wording import worded
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotAllowed, Refused
from estimator.services.open_record import Record
from estimator.services.write_contract import Here, act_on

RIGHTS = {
    ISSUE: VARY, WITHDRAW: VARY, QUERY: ANSWER, LAPSE: ANSWER, CLOSE: ANSWER, RELEASE: WORK,
    FINISH: WORK, PASS_ON: ANSWER,
}  # fmt: skip


def raise_variation(
    record: Record, number: str, variation: Variation, who: Person, now: datetime
) -> Here:
    """Raise a variation under the contract's next number, whatever number it carries. Raises
    NotAllowed, NotFound, Refused with every fault, Conflict."""
    return raise_variations(record, number, [variation], who, now)


def raise_variations(
    record: Record, number: str, variations: Sequence[Variation], who: Person, now: datetime
) -> Here:
    """Raise several variations as one act: all of them or none. As `raise_variation`."""
    require(who, VARY)
    for variation in variations:
        _complete(variation)

    def make(here: Here) -> list[Event]:
        first = len(here.contract.cases) + 1
        return [
            Raised(
                at=now, who=who.name, capacity=who.role,
                variation=replace(variation, number=f"V{place:02d}", revision=0),
            )
            for place, variation in enumerate(variations, start=first)
        ]  # fmt: skip

    return act_on(record, number, "variation raised", make, now)


def revise_variation(
    record: Record, number: str, variation: Variation, who: Person, now: datetime
) -> Here:
    """Price a variation, or write it anew: it becomes the next revision of the one that carries
    its `revision`. Raises NotAllowed, NotFound, Refused with every fault, and Conflict where there
    is a later revision or its state forbids it."""
    require(who, VARY)
    _complete(variation)
    priced = replace(variation, revision=variation.revision + 1, priced_by=who.name)
    event = Revised(at=now, who=who.name, capacity=who.role, variation=priced)
    return act_on(record, number, "variation revised", lambda _here: [event], now)


@dataclass(frozen=True, slots=True, kw_only=True)
class Move:
    """A step of a variation that is no answer. `revision` is the one that was looked at (default:
    the newest); `waits_activity` stood still for `waits_days` working days on account of it."""

    variation: str
    act: str  # issue, query, pass on, withdraw, lapse, close, release or finish
    revision: int | None = None
    reason: str = ""
    waits_activity: str = ""
    waits_days: Decimal = Decimal(0)


def move_variation(record: Record, number: str, move: Move, who: Person, now: datetime) -> Here:
    """Issue, query, pass on, withdraw, let lapse, close, release or finish a variation. What is
    issued without a day to answer by, or with one that is over, gets that of `answer_day`; its
    paper is kept in the same act, or `unkept` of the answer says why it is not.

    Raises NotAllowed (also where a safety matter is withdrawn: `take_back_safety` does that),
    NotFound, and Conflict where the state forbids it.
    """
    if move.act not in RIGHTS:
        raise Conflict(
            worded("{act!r} is no step.", act=move.act),
            worded("Steps are: {known}.", known=", ".join(RIGHTS)),
        )
    require(who, RIGHTS[move.act])
    name, capacity = who.name, who.role

    def make(here: Here) -> list[Event]:
        case = here.contract.cases.get(move.variation)
        if case is not None and case.variation.safety and move.act == WITHDRAW:
            raise NotAllowed(
                worded("{name} is a safety matter.", name=case.variation.name),
                worded(
                    "The service manager takes it back, with a reason and their own passphrase."
                ),
            )
        events: list[Event] = [_moved(here, move, who, now, _answer_by(here, move, now))]
        if move.waits_activity:
            waited = Waited(
                at=now, who=name, capacity=capacity, activity=move.waits_activity,
                days=move.waits_days,
            )  # fmt: skip
            events.append(waited)
        return events

    if move.act == ISSUE:
        from estimator.services.issued_papers import issue_with_paper  # loads the printing engine

        return issue_with_paper(record, number, move.variation, make, who, now)
    return act_on(record, number, f"variation {move.act}", make, now)


def _moved(
    here: Here, move: Move, who: Person, now: datetime, answer_by: date | None, *,
    proved: bool = False,
) -> Moved:  # fmt: skip
    revision = move.revision
    if revision is None and move.variation in here.contract.cases:
        revision = here.contract.cases[move.variation].variation.revision
    return Moved(
        at=now, who=who.name, capacity=who.role, number=move.variation, revision=revision or 0,
        act=move.act, reason=move.reason, answer_by=answer_by, proved=proved,
    )  # fmt: skip


def answer_day(here: Here, asked: date) -> date:
    """The last day to answer what is asked on a day: as many working days later as the terms of the
    quote give the customer, by the calendar it was reckoned with."""
    cat, terms = here.work.cat, here.work.job.terms
    closed = (one.date for one in cat.closures)
    time = working_time(asked + timedelta(days=1), closed, float(cat.settings.hours_per_day))
    return time.open_day(max(terms.answer_days, 1) - 1)


def _answer_by(here: Here, move: Move, now: datetime) -> date | None:
    """The day to answer by that a step gives: of what is issued without one; and of what was issued
    without one before such a day was asked for, counted from its issue."""
    case = here.contract.cases.get(move.variation)
    if case is None or move.act not in (ISSUE, LAPSE):
        return None
    named = case.variation.answer_by
    if move.act == LAPSE:
        return answer_day(here, case.since.date()) if named is None else None
    return answer_day(here, now.date()) if named is None or named < now.date() else None


def take_back_safety(
    record: Record, number: str, move: Move, approver: Person, now: datetime
) -> Here:
    """Withdraw a variation that is a safety matter. `approver` is a service manager who gave their
    own passphrase for it (`know_person`), with a reason. Raises NotAllowed, NotFound, Conflict."""
    require(approver, TAKE_BACK)
    if move.act != WITHDRAW:
        raise Conflict(
            worded("{act} takes nothing back.", act=fixed(move.act)), worded("Withdraw it.")
        )
    return act_on(
        record, number, f"variation {WITHDRAW}",
        lambda here: [_moved(here, move, approver, now, None, proved=True)], now,
    )  # fmt: skip


def make_safe(
    record: Record, number: str, variation: str, cost: Money, who: Person, now: datetime
) -> Here:
    """Record that work which makes the machine safe went ahead before an answer, and what it cost
    the workshop: its own to bear unless the variation is agreed to (`made_safe_for_nothing`).
    Raises NotAllowed, NotFound, and Conflict where it is no safety matter."""
    require(who, WORK)
    if cost.minor < 0:
        raise Conflict(
            worded("Making safe cannot cost {cost}.", cost=cost),
            worded("Give the workshop's own cost."),
        )

    def make(here: Here) -> list[Event]:
        if cost.currency != here.contract.currency:
            raise Conflict(
                worded("The contract is in {currency}.", currency=here.contract.currency),
                worded("{cost} is in another currency.", cost=cost),
            )
        return [MadeSafe(at=now, who=who.name, capacity=who.role, number=variation, cost=cost)]

    return act_on(record, number, "made safe", make, now)


def _complete(variation: Variation) -> None:
    problems = [
        Problem(
            "variation",
            Place(column=variation.number),
            worded("It {fault}.", fault=fault),
            worded("Mend it."),
        )
        for fault in variation_faults(variation)
    ]
    if problems:
        raise Refused(
            worded("Variation {title}", title=variation.title or variation.number), problems
        )
