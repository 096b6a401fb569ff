"""From a strip that alone was accepted to the revision that is priced after it: what was found goes
into its findings, and what it settles is carried over when it is accepted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from estimator.domain.contract.contract import Contract
from estimator.domain.contract.events import Accepted, Event, Opened
from estimator.domain.contract.variation import WORN, Remeasured
from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.domain.job_edit import edit_between
from estimator.domain.people import Person
from estimator.domain.priced_work import PricedWork
from estimator.domain.wording import worded
from estimator.services.edit_job import make_edit
from estimator.services.errors import Conflict
from estimator.services.open_record import Record
from estimator.services.record_teardown import Found, worn_raised
from estimator.services.write_contract import contract_here
from estimator.services.write_edit import Draft, draft_of, editable

MARK = "STRIP"  # findings of the strip are numbered STRIP01, STRIP02 ... in the order of openings


def strip_findings(contract: Contract) -> Iterator[Finding]:
    """Every reading and every part found during the strip, as findings of an inspection. Events
    are only ever added, so each keeps its number."""
    readings = (
        (event.component, one)
        for event in contract.events
        if isinstance(event, Opened)
        for one in event.readings
    )
    for place, (component, one) in enumerate(readings, start=1):
        yield replace(one, id=f"{MARK}{place:02d}", component=one.component or component)


def with_strip(job: Job, contract: Contract) -> Job:
    """A job with what the strip found by now; what it was given before stands as it is."""
    known = {one.id for one in job.findings}
    new = tuple(one for one in strip_findings(contract) if one.id not in known)
    return replace(job, findings=(*job.findings, *new)) if new else job


def take_in_strip(record: Record, number: str, who: Person, now: datetime) -> Draft:
    """Take what the strip has found since into the revision that is being priced, as one edit that
    can be undone. Raises NotFound, NotAllowed, NotReckoned, and Conflict where the revision is
    issued, or no strip alone was accepted."""
    with record.reading() as session:
        kept = editable(session, number)
        _, here = contract_here(session, number)
        if not here.contract.acceptance.teardown_only:
            raise Conflict(
                worded("The whole of {number} is accepted.", number=number),
                worded("Raise a variation instead."),
            )
        after = with_strip(kept.job, here.contract)
        if after is kept.job:
            return draft_of(session, kept, who.name)
    return make_edit(
        record, number, edit_between(kept.job, after, "the strip's findings"), who, now
    )


def carried_over(event: Accepted, strip: Contract, work: PricedWork) -> Accepted:
    """The acceptance of a revision after its strip, with what `work`, the revision's own, settles
    of it. Lines measured during the strip count from what the revision asks for them."""
    still_open = {part.part for part in work.exposed}
    lines = {line.id: line for line in work.provisional_lines}
    measured = tuple(
        Remeasured(row, lines[row].amount, one.after, one.quantity, one.unit)
        for row, one in strip.measured.items()
        if row in lines
    )
    return replace(
        event,
        carried=tuple(part for part in strip.resolved if part not in still_open),
        measured=measured,
        as_priced=tuple(sorted(strip.as_priced & set(lines))),
    )


def found_since(strip: Contract, work: PricedWork, who: Person, now: datetime) -> Iterator[Event]:
    """A variation for each part that the strip found worn after the revision was priced."""
    number = len(strip.cases)
    told = {part: one for one in strip_findings(strip) for part in one.part}
    for part in work.exposed:
        if strip.resolved.get(part.part) == WORN:
            number += 1
            finding = told.get(part.part)
            found = Found(
                part.part,
                WORN,
                measured=finding.reading if finding is not None else "",
                photographs=finding.photo if finding is not None else (),
            )
            yield worn_raised(work, part, found, (who, now), number)
