"""Adopt starting values for the workshop, so that quotes that rest on them may go out."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from estimator.domain.adoption import (
    Adoption,
    StartingValue,
    count_parts,
    in_words,
    starting_values,
    without,
)
from estimator.domain.people import RELEASE, Person
from estimator.domain.priced_job import PricedJob, PricedWork
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded, worded_count
from estimator.intake.plain_text import hidden_sign
from estimator.services.enrol_person import require
from estimator.services.errors import Refused, Withheld
from estimator.services.open_record import Record
from estimator.storage import adoption_record
from estimator.storage.change_log import append

if TYPE_CHECKING:
    from estimator.storage.database import Session


def not_adopted(record: Record, priced: PricedJob | PricedWork) -> tuple[StartingValue, ...]:
    """The starting values that a job's contingency rests on and nobody has adopted."""
    with record.reading() as session:
        return not_adopted_in(session, priced)


def not_adopted_in(session: Session, priced: PricedJob | PricedWork) -> tuple[StartingValue, ...]:
    """As `not_adopted`, within a transaction."""
    values = starting_values(priced.exposed, priced.cat)
    return without(values, adoption_record.adopted(session))


def adopt(
    record: Record, values: Iterable[StartingValue], who: Person, now: datetime, why: str
) -> int:
    """Adopt starting values; how many were not adopted before. For whoever may release, with a
    reason. Raises NotAllowed, Refused."""
    with record.writing() as session:
        return adopt_in(session, values, who, now, why)


def adopt_in(
    session: Session, values: Iterable[StartingValue], who: Person, now: datetime, why: str
) -> int:
    """As `adopt`, within a transaction."""
    require(who, RELEASE)
    reason = " ".join(why.split())
    fault = hidden_sign(why) if reason else worded("is blank.")
    if fault:
        place = Place("adoption", None, "why")
        raise Refused(
            worded("The adoption"), [Problem("no-reason", place, fault, worded("Say why."))]
        )
    found = without(values, adoption_record.adopted(session))
    if found:
        pairs = [(one.subject, one.stated) for one in found]
        adoption_record.add_adoptions(session, pairs, who.name, now, reason)
        append(
            session,
            at=now,
            who=who.name,
            act="starting values adopted",
            subject="starting values",
            after={"why": reason, "values": dict(pairs)},
        )
    return len(found)


def adoptions(record: Record) -> list[Adoption]:
    """Every adoption, oldest first."""
    with record.reading() as session:
        return adoption_record.adoptions(session)


def withheld(title: str, values: tuple[StartingValue, ...]) -> Withheld:
    """The answer to releasing a quote that rests on values nobody has adopted."""
    count = count_parts(values)
    return Withheld(
        worded_count(
            "{title} is not released: {n} chance rests on starting values that nobody has "
            "adopted: {parts}.",
            "{title} is not released: {n} chances rest on starting values that nobody has "
            "adopted: {parts}.",
            count,
            title=title,
            parts=in_words(values),
        ),
        worded("Adopt them for this workshop, or let the inspection look at these parts."),
    )
