"""At the bench: the machine comes in, components are opened, parts are found worn or sound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from decimal import Decimal

from estimator.domain.contract.events import Event, Opened, Raised, Received
from estimator.domain.contract.remeasure import NotInQuote, remeasured_line
from estimator.domain.contract.variation import (
    AS_PRICED,
    CONTINGENCY,
    HIDDEN,
    SOUND,
    WORN,
    Range,
    Remeasured,
    Variation,
)
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.findings import DISPOSITIONS, Finding
from estimator.domain.money import Money, money_half_up
from estimator.domain.people import FIND, Person
from estimator.domain.priced_work import PricedWork
from estimator.domain.pricing import PricedLine
from estimator.domain.problem import Place, Problem
from estimator.domain.reasons import Reasons
from estimator.domain.teardown import teardown_offer
from estimator.domain.wording import said_by, worded
from estimator.services.enrol_person import require
from estimator.services.errors import Refused
from estimator.services.open_record import Record
from estimator.services.write_contract import Here, act_on

RAISE_IT = "Raise a variation of lines measured again, which the customer agrees to."
OF_THE_REBUILD = "is work of the rebuild, and the teardown alone was accepted."
NEXT_REVISION = "Price it in the next revision."
AT_THE_BENCH = "as seen when opened, put right the way the quote held for it"
NOT_SEEN = "inside a closed component; nobody could look before it was opened"


@dataclass(frozen=True, slots=True)
class Found:
    """What was found of one part, in the words of the bench. `way` is how the bench would put a
    worn one right; the price decides."""

    part: str
    state: str  # worn, sound or as priced
    location: str = ""
    title: str = ""
    measured: str = ""  # reading against limit
    photographs: tuple[str, ...] = ()
    consequence: str = ""
    cannot_be_declined: str = ""
    safety: bool = False
    way: str = ""
    place: Place = Place()  # in the file it was read from


@dataclass(frozen=True, slots=True)
class MeasuredAgain:
    """A provisional line measured: hours before difficulty, units, or a factor on what was
    quoted."""

    row_id: str
    value: Decimal
    by_factor: bool = False
    place: Place = Place()


@dataclass(frozen=True, slots=True)
class Opening:
    """A component as it was opened."""

    component: str
    found: tuple[Found, ...] = ()
    measured: tuple[MeasuredAgain, ...] = ()
    readings: tuple[Finding, ...] = ()
    cautions_ticked: tuple[str, ...] = ()
    note: str = ""
    place: Place = Place()


def receive_machine(
    record: Record, number: str, condition: str, who: Person, now: datetime
) -> Here:
    """Record that the machine came in, with its condition, fluids, keys and loose items. Raises
    NotAllowed, NotFound, Conflict."""
    require(who, FIND)
    return act_on(
        record, number, "received",
        lambda _here: [Received(at=now, who=who.name, capacity=who.role, note=condition)], now,
    )  # fmt: skip


def open_component(
    record: Record, number: str, opening: Opening, who: Person, now: datetime
) -> Here:
    """Record what opening a component showed. Every part found worn is carried by a variation of
    its own from now on, with the range that the quote held for it until it is priced.

    Raises NotAllowed, NotFound, Refused with every fault, and Conflict where a part is resolved
    already.
    """
    return open_components(record, number, [opening], who, now)


def open_components(
    record: Record, number: str, openings: Sequence[Opening], who: Person, now: datetime
) -> Here:
    """Record several openings as one act: all of them or none. As `open_component`."""
    require(who, FIND)
    return act_on(
        record, number, "opened", lambda here: opening_events(here, openings, who, now), now
    )


def opening_events(
    here: Here, openings: Sequence[Opening], who: Person, now: datetime
) -> list[Event]:
    """What openings come to: each opening, and a variation for each part found worn. Raises Refused
    with every fault."""
    exposed = {part.part: part for part in here.work.exposed}
    problems: list[Problem] = []
    events: list[Event] = []
    raised = len(here.contract.cases)
    for opening in openings:
        faults = _faults(here, opening, exposed)
        measured = _measured(here, opening, faults)
        problems += faults
        if not faults:
            if here.contract.acceptance.teardown_only:
                told = _as_findings(here.work, opening, who, now)
                events.append(_opened(told, measured, who, now))
                continue
            variations = _variations(here.work, opening, exposed, (who, now), raised + 1)
            events += [_opened(opening, measured, who, now), *variations]
            raised += len(variations)
    if problems:
        opened = ", ".join(dict.fromkeys(opening.component for opening in openings))
        raise Refused(worded("The opening of {opened}", opened=opened), problems)
    return events


def _measured(here: Here, opening: Opening, problems: list[Problem]) -> tuple[Remeasured, ...]:
    measured: list[Remeasured] = []
    strip = _strip_lines(here) if opening.measured else None
    open_lines = {line.id: line for line in here.work.provisional_lines}
    for one in opening.measured:
        try:
            again = remeasured_line(here.work, one.row_id, one.by_factor, one.value)
            if strip is not None and one.row_id not in strip:
                place = replace(one.place, column=one.row_id)
                problems.append(Problem("not-strip", place, OF_THE_REBUILD, NEXT_REVISION))
                continue
            if fault := _out_of_range(open_lines.get(one.row_id), again):
                place = replace(one.place, column=one.row_id)
                problems.append(Problem("out-of-range", place, fault, RAISE_IT))
            measured.append(again)
        except (NotInQuote, ValueError) as error:
            place = replace(one.place, column=one.row_id)
            problems.append(
                Problem(
                    "measured",
                    place,
                    worded("{said}.", said=said_by(error)),
                    worded("Measure a line of the quote."),
                )
            )
    return tuple(measured)


def _strip_lines(here: Here) -> set[str] | None:
    """Lines that a strip's price holds, where the teardown alone was accepted; None where all of
    the quote was."""
    if not here.contract.acceptance.teardown_only:
        return None
    work = here.work
    offer = teardown_offer(work.job, work.cat, dict(work.scope.judgements), Reasons())
    return {line.id for line in offer.lines}


def _out_of_range(line: PricedLine | None, again: Remeasured) -> str:
    """Why the bench alone cannot move the sum to what was measured: the customer was told a range
    for provisional lines, and for no other; "" where it can."""
    if line is None:
        return worded("is firm in the quote.")
    if line.low <= again.after <= line.high:
        return ""
    return worded(
        "comes to {after}, outside the {low} to {high} that was quoted.",
        after=again.after,
        low=line.low,
        high=line.high,
    )


def _faults(here: Here, opening: Opening, exposed: dict[str, ExposedPart]) -> list[Problem]:
    cat = here.work.cat
    problems = []
    if opening.component not in cat.components:
        place = replace(opening.place, column="component")
        problems.append(
            Problem(
                "component",
                place,
                worded("{component!r} is no component.", component=opening.component),
                worded("Choose one."),
            )
        )
    firm = here.work.firm_by_chance
    for one in opening.found:
        place = replace(one.place, column=one.part)
        if one.part not in cat.parts:
            problems.append(
                Problem("part", place, worded("is no part of this machine."), worded("Choose one."))
            )
        elif one.state not in (WORN, SOUND, AS_PRICED):
            problems.append(
                Problem(
                    "state",
                    place,
                    worded("cannot be {state!r}.", state=one.state),
                    worded("Say worn, sound or as priced."),
                )
            )
        elif one.state == AS_PRICED and one.part in exposed:
            problems.append(
                Problem(
                    "exposed",
                    place,
                    worded("is held for as a part that may be worn; nothing is priced."),
                    worded("Say worn or sound: as priced would leave it open for ever."),
                )
            )
        elif one.state == WORN and one.part not in exposed and one.part not in firm:
            problems.append(
                Problem(
                    "in scope", place,
                    worded("is in the scope of the quote already, or outside it."),
                    worded("Say as priced, or raise a variation for what is outside."),
                )
            )  # fmt: skip
    return problems


def _opened(
    opening: Opening, measured: tuple[Remeasured, ...], who: Person, now: datetime
) -> Opened:
    return Opened(
        at=now,
        who=who.name,
        capacity=who.role,
        note=opening.note,
        component=opening.component,
        parts=tuple((one.part, one.state) for one in opening.found),
        measured=measured,
        readings=opening.readings,
        cautions_ticked=opening.cautions_ticked,
    )


def _variations(
    work: PricedWork,
    opening: Opening,
    exposed: dict[str, ExposedPart],
    by: tuple[Person, datetime],
    first: int,
) -> list[Raised]:
    """One unpriced variation for each exposed part found worn, numbered from `first`."""
    worn = [one for one in opening.found if one.state == WORN and one.part in exposed]
    return [
        worn_raised(work, exposed[one.part], one, by, number)
        for number, one in enumerate(worn, start=first)
    ]


def worn_raised(
    work: PricedWork, part: ExposedPart, one: Found, by: tuple[Person, datetime], number: int
) -> Raised:
    """The variation of a part that was found worn, with the range that the quote held for it."""
    who, now = by
    variation = Variation(
        number=f"V{number:02d}",
        revision=0,
        found_at=now,
        finder=who.name,
        component=part.component,
        location=one.location or work.cat.components[part.component].name,
        title=one.title or f"{part.name} worn",
        cause=HIDDEN,
        end=CONTINGENCY,
        measured=one.measured,
        photographs=one.photographs,
        not_seen_before=NOT_SEEN,
        parts=(one.part,),
        range=cost_range(part, work),
        chosen=one.way,
        consequence=one.consequence,
        cannot_be_declined=one.cannot_be_declined,
        safety=one.safety or bool(one.cannot_be_declined),
    )
    return Raised(at=now, who=who.name, capacity=who.role, variation=variation)


def _as_findings(work: PricedWork, opening: Opening, who: Person, now: datetime) -> Opening:
    """An opening of a strip that alone was accepted: nothing is held for what it shows, so parts
    found worn or sound become findings, for the revision that is priced after it."""
    usual = {part.part: part.way for part in work.exposed}
    usual |= {part: way for part, (way, _) in work.firm_by_chance.items()}
    findings = tuple(
        _finding_of(one, opening.component, work, usual.get(one.part, ""), (who, now))
        for one in opening.found
        if one.state in (WORN, SOUND)
    )
    return replace(opening, readings=(*opening.readings, *findings))


def _finding_of(
    one: Found, component: str, work: PricedWork, usual: str, by: tuple[Person, datetime]
) -> Finding:
    who, now = by
    seen = "; ".join(filter(None, (one.title, one.location, one.measured)))
    way = (one.way or usual) if one.state == WORN else ""
    return Finding(
        id=f"S-{one.part}",
        component=component,
        part=(one.part,),
        kind="visual",
        what=work.cat.parts[one.part].name,
        reading=seen,
        result=one.state,
        override=way if way in DISPOSITIONS else "",
        override_reason=AT_THE_BENCH if way in DISPOSITIONS else "",
        overridden_by=who.name if way in DISPOSITIONS else "",
        photo=one.photographs,
        note=one.consequence,
        inspector=who.name,
        date=now.date(),
    )


def cost_range(part: ExposedPart, work: PricedWork) -> Range:
    """What the quote held for a part if it is found worn."""
    terms = work.job.terms

    def money(value: float) -> Money:
        return money_half_up(Decimal(repr(value)), terms.currency, terms.quoting_unit)

    return Range(money(part.cost.low), money(part.cost.likely), money(part.cost.high))
