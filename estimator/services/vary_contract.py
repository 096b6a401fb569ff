"""Raise a variation, price it, write it anew, and move it on without an answer."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
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
from estimator.domain.people import ANSWER, VARY, WORK, Person
from estimator.domain.problem import Place, Problem
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, Refused
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
    """Issue, query, pass on, withdraw, let lapse, close, release or finish a variation.

    Raises NotAllowed, NotFound, and Conflict where the state forbids it.
    """
    if move.act not in RIGHTS:
        raise Conflict(f"{move.act!r} is no step.", f"Steps are: {', '.join(RIGHTS)}.")
    require(who, RIGHTS[move.act])
    name, capacity = who.name, who.role

    def make(here: Here) -> list[Event]:
        revision = move.revision
        if revision is None and move.variation in here.contract.cases:
            revision = here.contract.cases[move.variation].variation.revision
        events: list[Event] = [
            Moved(
                at=now, who=name, capacity=capacity, number=move.variation,
                revision=revision or 0, act=move.act, reason=move.reason,
            )
        ]  # fmt: skip
        if move.waits_activity:
            waited = Waited(
                at=now, who=name, capacity=capacity, activity=move.waits_activity,
                days=move.waits_days,
            )  # fmt: skip
            events.append(waited)
        return events

    return act_on(record, number, f"variation {move.act}", make, now)


def make_safe(record: Record, number: str, variation: str, who: Person, now: datetime) -> Here:
    """Record that work which makes the machine safe went ahead before an answer. Raises NotAllowed,
    NotFound, and Conflict where it is no safety matter."""
    require(who, WORK)
    event = MadeSafe(at=now, who=who.name, capacity=who.role, number=variation)
    return act_on(record, number, "made safe", lambda _here: [event], now)


def _complete(variation: Variation) -> None:
    problems = [
        Problem("variation", Place(column=variation.number), f"It {fault}.", "Mend it.")
        for fault in variation_faults(variation)
    ]
    if problems:
        raise Refused(f"Variation {variation.title or variation.number}", problems)
