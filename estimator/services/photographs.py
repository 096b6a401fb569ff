"""Photographs of findings: put in, listed, taken out again (an edit that can be undone)."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import PurePath
from typing import TYPE_CHECKING

from estimator.domain.findings import Finding
from estimator.domain.job_edit import Change, JobEdit
from estimator.domain.people import FIND, Person
from estimator.domain.problem import Place, Problem
from estimator.domain.record import Photograph
from estimator.domain.wording import worded
from estimator.intake.photographs import NoPhotograph, Picture, read_photograph
from estimator.intake.plain_text import hidden_sign
from estimator.services.edit_job import make_edit
from estimator.services.enrol_person import require
from estimator.services.errors import NotFound, Refused
from estimator.services.open_record import Record
from estimator.services.write_edit import (
    Draft,
    draft_of,
    editable,
    kept_job,
    taken_back,
    write_edit,
)
from estimator.storage import photograph_record
from estimator.storage.change_log import append
from estimator.storage.edit_record import add_step

if TYPE_CHECKING:
    from estimator.storage.job_rows import KeptJob

LONGEST_CAPTION = 200


def add_photograph(
    record: Record,
    number: str,
    finding: str,
    file_name: str,
    data: bytes,
    who: Person,
    now: datetime,
) -> Draft:
    """Put a photograph to a finding: an edit, named after the finding, that can be undone.

    It is called after the finding (I03-1, I03-2 ...); its caption is the file's name without its
    ending, until another is written. Raises NotFound, NotAllowed, Conflict where the revision is
    issued, and Refused where `data` is no image, damaged, or too large.
    """
    require(who, FIND)
    picture = read_picture(file_name, data)
    with record.writing() as session:
        kept = editable(session, number)
        row = _finding(kept, finding)
        place = photograph_record.next_place(session, kept.id, finding)
        photograph = new_photograph(finding, place, file_name, picture)
        photograph_record.add_photograph(session, kept.id, photograph, place, picture.image)
        edit = _photo_edit(row, (*row.photo, photograph.name), f"photograph of {finding}")
        after, made = write_edit(session, kept, edit, who, now)
        add_step(session, kept.id, made, who.name, now)
        return draft_of(session, after, who.name, taken_back(kept, after))


def read_picture(file_name: str, data: bytes) -> Picture:
    """A picture as it will be kept. Raises Refused where it is no image, damaged, or too large."""
    try:
        return read_photograph(data)
    except NoPhotograph as error:
        problem = Problem(
            "no-photograph", Place(_plain(file_name) or "photograph"), f"{error}.",
            worded("Choose another picture."),
        )  # fmt: skip
        raise Refused(worded("The photograph"), [problem]) from error


def new_photograph(finding: str, place: int, file_name: str, picture: Picture) -> Photograph:
    """A photograph before it is kept, called after what it is of; captioned after its file."""
    return Photograph(
        id="",
        finding=finding,
        name=f"{finding}-{place}",
        caption=_plain(PurePath(file_name.replace("\\", "/")).stem)[:LONGEST_CAPTION],
        taken_on=picture.taken_on,
        width=picture.width,
        height=picture.height,
        sha256=picture.sha256,
        thumbnail=picture.thumbnail,
    )


def _plain(text: str) -> str:
    """A name from outside without signs that no text may hold."""
    return "".join(" " if hidden_sign(sign) else sign for sign in text).strip()


def _finding(kept: KeptJob, code: str) -> Finding:
    for one in kept.job.findings:
        if one.id == code:
            return one
    raise NotFound(
        worded("{title} has no finding {code!r}.", title=kept.job.title, code=code),
        worded("Write the finding first."),
    )


def _photo_edit(row: Finding, photo: tuple[str, ...], name: str) -> JobEdit:
    return JobEdit(name, (Change(("finding", row.id, "photo"), row.photo, photo),))


def remove_photograph(
    record: Record, number: str, finding: str, name: str, who: Person, now: datetime
) -> Draft:
    """Take a photograph from a finding: an edit that can be undone, so the picture stays kept.

    Raises NotFound, NotAllowed, Conflict where the revision is issued.
    """
    require(who, FIND)
    with record.reading() as session:
        row = _finding(editable(session, number), finding)
    if name not in row.photo:
        raise NotFound(
            worded("{finding} has no photograph {name!r}.", finding=finding, name=name),
            worded("Look at those it has."),
        )
    left = tuple(one for one in row.photo if one != name)
    edit = _photo_edit(row, left, f"photograph {name} taken out")
    return make_edit(record, number, edit, who, now)


def photographs_of(record: Record, number: str, finding: str = "") -> list[Photograph]:
    """The photographs that a job shows (of one finding, where it is named), with thumbnails.
    Raises NotFound."""
    with record.reading() as session:
        kept = kept_job(session, number)
        found = photograph_record.photographs(session, kept.id)
    return [
        one
        for one in photograph_record.shown(found, kept.job)
        if not finding or one.finding == finding
    ]


def picture_of(record: Record, photograph: Photograph) -> bytes:
    """The picture of a photograph, as JPEG. Raises NotFound."""
    with record.reading() as session:
        found = photograph_record.image_of(session, photograph.id)
    if found is None:
        raise NotFound(
            worded("Photograph {name} is not in the record.", name=photograph.name),
            worded("Look again."),
        )
    return found


def write_caption(
    record: Record, number: str, finding: str, name: str, caption: str, who: Person, now: datetime
) -> Photograph:
    """Write what a photograph shows. Raises NotFound, NotAllowed, Conflict where the revision is
    issued, Refused where the text holds what no text may."""
    require(who, FIND)
    if fault := hidden_sign(caption) or (
        worded("is longer than {most} signs.", most=LONGEST_CAPTION)
        if len(caption) > LONGEST_CAPTION
        else ""
    ):
        raise Refused(
            worded("The caption"),
            [Problem("caption", Place(column=name), fault, worded("Mend it."))],
        )
    with record.writing() as session:
        kept = editable(session, number)
        there = photograph_record.shown(photograph_record.photographs(session, kept.id), kept.job)
        found = next((one for one in there if (one.finding, one.name) == (finding, name)), None)
        if found is None:
            raise NotFound(
                worded("{finding} has no photograph {name!r}.", finding=finding, name=name),
                worded("Look at those it has."),
            )
        photograph_record.caption(session, found.id, caption)
        photograph_record.index(session, kept.id, kept.job)
        append(
            session,
            at=now,
            who=who.name,
            act="caption",
            subject=f"job/{number}",
            before={name: found.caption},
            after={name: caption},
        )
    return replace(found, caption=caption)
