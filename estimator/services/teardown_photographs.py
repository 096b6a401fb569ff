"""Photographs taken at the teardown, of a job that itself changes no more: kept under the component
they were taken at, and named after it (C05B-1, C05B-2 ...)."""

from __future__ import annotations

from datetime import datetime

from estimator.domain.people import FIND, Person
from estimator.domain.record import Photograph
from estimator.domain.wording import worded
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict, NotFound
from estimator.services.open_record import Record
from estimator.services.photographs import new_photograph, read_picture
from estimator.services.write_edit import kept_job
from estimator.storage import contract_record, photograph_record
from estimator.storage.change_log import append


def add_teardown_photograph(
    record: Record,
    number: str,
    component: str,
    picture: tuple[str, bytes],
    who: Person,
    now: datetime,
) -> Photograph:
    """Keep a photograph, (file name, content), of a component. Raises NotFound, NotAllowed,
    Conflict before acceptance, and Refused where it is no image, damaged, or too large."""
    require(who, FIND)
    file_name, data = picture
    read = read_picture(file_name, data)
    with record.writing() as session:
        kept = kept_job(session, number)
        if contract_record.contract_row(session, kept.id) is None:
            raise Conflict(
                worded("Nothing of {title} was accepted yet.", title=kept.job.title),
                worded("Put the photograph to a finding of the inspection."),
            )
        place = photograph_record.next_place(session, kept.id, component)
        photograph = new_photograph(component, place, file_name, read)
        photograph_record.add_photograph(session, kept.id, photograph, place, read.image)
        append(
            session,
            at=now,
            who=who.name,
            act="photograph",
            subject=f"job/{number}",
            after={"component": component, "name": photograph.name, "sha256": read.sha256},
        )
        found = photograph_record.photographs(session, kept.id)
    return next(one for one in found if (one.finding, one.name) == (component, photograph.name))


def teardown_photographs(record: Record, number: str, component: str = "") -> list[Photograph]:
    """The photographs of a job's teardown (of one component, where it is named), with thumbnails;
    a variation names them by `name`. Raises NotFound."""
    with record.reading() as session:
        kept = kept_job(session, number)
        found = photograph_record.photographs(session, kept.id)
    inspected = {one.id for one in kept.job.findings}
    return [
        one
        for one in found
        if one.finding not in inspected and (not component or one.finding == component)
    ]


def teardown_photograph(record: Record, number: str, name: str) -> Photograph:
    """One of them by its name. Raises NotFound."""
    for one in teardown_photographs(record, number):
        if one.name == name:
            return one
    raise NotFound(
        worded("{number} has no photograph {name!r} of its teardown.", number=number, name=name),
        worded("Look at those it has."),
    )
