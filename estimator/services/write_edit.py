"""What every edit of a recorded job has in common, inside one writing transaction: who may, on what
is there now, as a step that can be undone, and with an entry in the log."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import TYPE_CHECKING, Any

from estimator.domain.fixed_words import fixed
from estimator.domain.job import Job
from estimator.domain.job_edit import EditClash, JobEdit, Key, apply_edit, edit_between
from estimator.domain.people import EDIT, FIND, Person
from estimator.domain.problem import Place, Problem
from estimator.domain.record import (
    DRAFT,
    ISSUED,
    PROPOSED,
    UNDER_CONTRACT,
    KeptText,
    next_revision,
)
from estimator.domain.wording import joined, worded
from estimator.intake.plain_text import hidden_sign
from estimator.services.enrol_person import require
from estimator.services.errors import Clash, Conflict, NotFound, Refused
from estimator.storage import contract_record, edit_record, photograph_record
from estimator.storage.change_codec import NotKept, as_plain, decoded, encoded
from estimator.storage.change_log import append
from estimator.storage.job_rows import KeptJob, read_kept, write_job

if TYPE_CHECKING:
    from estimator.domain import job_edit
    from estimator.storage.database import Session

EVIDENCE = frozenset({"finding"})  # what inspector and foreman may edit
FIXED = frozenset({"number", "revision"})  # given by the record


@dataclass(frozen=True, slots=True)
class Draft:
    """A job that is being worked on, with what can be undone and redone."""

    job: Job
    state: str
    version: int
    undo: str  # name of the edit that "undo" takes back; "" where there is none
    redo: str
    kept: Mapping[str, str]  # place, like finding/I03/measured -> text that is not valid yet
    reasons: Mapping[str, str]  # the same places -> why it is not valid
    notice: str = ""  # what else the act did, in words
    contracted: bool = False  # whether a revision, or the strip of one, was accepted


def kept_job(session: Session, number: str) -> KeptJob:
    """A job by its number. Raises NotFound."""
    found = read_kept(session, number)
    if found is None:
        raise NotFound(
            worded("There is no job {number!r} in the record.", number=number),
            worded("List them with `list`."),
        )
    return found


def editable(session: Session, number: str) -> KeptJob:
    """A job that may still change. Raises NotFound, Conflict where its revision is issued."""
    kept = kept_job(session, number)
    if kept.state in UNDER_CONTRACT:
        raise Conflict(
            worded(
                "{title} is {state} and no longer changes.",
                title=kept.job.title,
                state=fixed(kept.state),
            ),
            worded("Raise a variation for what is found or asked for."),
        )
    if kept.state == ISSUED:
        raise Conflict(
            worded("{title} is issued and no longer changes.", title=kept.job.title),
            worded(
                "Make rev {next_revision} first.", next_revision=next_revision(kept.job.revision)
            ),
        )
    return kept


def require_for(who: Person, sections: set[str]) -> None:
    """Let `who` edit these sections of a job ("finding", "terms" ...). Raises NotAllowed."""
    require(who, FIND if sections <= EVIDENCE else EDIT)


def fit_to_keep(edit: JobEdit) -> JobEdit:
    """The edit as the record will give it back. Raises Refused where a value cannot be kept."""
    problems = [
        Problem(
            "fixed",
            Place(column=change.key[0]),
            worded("is given by the record."),
            worded("Leave it."),
        )
        for change in edit.changes
        if change.key[0] in FIXED
    ]
    for change in edit.changes:
        try:
            fault = _sign_in(as_plain(change.after))
        except NotKept as error:
            fault = f"{error}."
        if fault:
            place = Place(column="/".join(change.key))
            problems.append(Problem("not-kept", place, fault, worded("Type it again.")))
    if problems:
        raise Refused(worded("The edit {name!r}", name=edit.name), problems)
    return JobEdit(edit.name, decoded(encoded(edit.changes)))


def _sign_in(plain: Any) -> str:
    """What is wrong with a text anywhere in a value; "" where nothing is."""
    if isinstance(plain, str):
        return hidden_sign(plain)
    parts = plain.values() if isinstance(plain, dict) else plain if isinstance(plain, list) else ()
    return next((fault for part in parts if (fault := _sign_in(part))), "")


def write_edit(
    session: Session,
    kept: KeptJob,
    edit: JobEdit,
    who: Person,
    now: datetime,
    *,
    act: str = "",
    force: bool = False,
) -> tuple[KeptJob, JobEdit]:
    """Make an edit on what is there now and log it as `act` (default: its name). Answers the job
    after it and what the edit changed indeed: what stood there already is no change.

    Raises Clash. Steps are the caller's to keep.
    """
    try:
        job = apply_edit(kept.job, edit, force=force)
    except EditClash as error:
        raise _clash(session, kept, error.clashes) from error
    edit_record.drop_texts(session, kept.id, ("/".join(one.key) for one in edit.changes))
    edit = edit_between(kept.job, job, edit.name)
    if not edit.changes:
        return kept, edit
    state = DRAFT if kept.state == PROPOSED else kept.state
    version = write_job(session, kept, job, state, now)
    if version is None:
        raise changed_meanwhile(job.number)
    if any(_shows_photographs(change.key) for change in edit.changes):
        photograph_record.index(session, kept.id, job)
    append(
        session,
        at=now,
        who=who.name,
        act=act or edit.name,
        subject=f"job/{job.number}",
        before={"/".join(one.key): as_plain(one.before) for one in edit.changes},
        after={"/".join(one.key): as_plain(one.after) for one in edit.changes},
    )
    return replace(kept, job=job, state=state, version=version), edit


def _shows_photographs(key: Key) -> bool:
    """Whether a change may show photographs or hide them: a finding come or gone, or its list."""
    return key[0] == "finding" and key[2:] in ((), ("photo",))


def draft_of(session: Session, kept: KeptJob, who: str = "", notice: str = "") -> Draft:
    """A job with what can be undone and redone; edits of others than `who` name their author."""
    undo, redo = (
        f"{name} ({author})" if author and author != who else name
        for name, author in edit_record.step_names(session, kept.id)
    )
    texts = field_texts(session, kept.id)
    return Draft(
        kept.job,
        kept.state,
        kept.version,
        undo,
        redo,
        {one.place: one.text for one in texts},
        {one.place: one.reason for one in texts},
        notice,
        contract_record.contract_row(session, kept.id) is not None,
    )


def field_texts(session: Session, job_id: str) -> list[KeptText]:
    """Text kept of the job's fields that is not valid yet; what stands on the bench is none."""
    kept = edit_record.kept_texts(session, job_id)
    return [one for one in kept if not one.place.startswith(edit_record.BENCH)]


def taken_back(before: KeptJob, after: KeptJob) -> str:
    """What an edit of a proposed job also did, in words."""
    if before.state == PROPOSED and after.state == DRAFT:
        return worded(
            "{title} was proposed for release; it is a draft again.", title=after.job.title
        )
    return ""


def changed_meanwhile(number: str) -> Conflict:
    """The answer to a save that came too late."""
    return Conflict(
        worded("{number} was changed by someone else meanwhile.", number=number),
        worded("Look at it again; nothing was saved."),
    )


def _clash(session: Session, kept: KeptJob, clashes: tuple[job_edit.Clash, ...]) -> Clash:
    authors = {
        change.key: step.who
        for step in edit_record.steps_of(session, kept.id)
        for change in step.edit.changes
    }
    said = [
        worded(
            "{who} changed {what} to {theirs} meanwhile; yours is {mine}.",
            who=authors.get(clash.key) or worded("Somebody else"),
            what=_called(clash.key),
            theirs=_shown(clash.theirs),
            mine=_shown(clash.mine),
        )
        for clash in clashes[:3]
    ]
    if (more := len(clashes) - len(said)) > 0:
        said.append(worded("So it is with {n} more.", n=more))
    return Clash(joined(said, " "), clashes)


def _called(key: Key) -> str:
    """A key as people would say it: measured of I03, confidence of terms."""
    if len(key) == 1:
        return key[0].replace("_", " ")
    section, *rest = key
    if section == "finding" and len(rest) == 2:  # noqa: PLR2004 - a cell of a finding
        return worded("{field} of {what}", field=rest[1].replace("_", " "), what=rest[0])
    return worded("{field} of {what}", field=rest[0].replace("_", " "), what=section)


def _shown(value: Any) -> str:
    if value is None or value == "":
        return worded("nothing")
    if isinstance(value, tuple):
        if all(isinstance(one, str) for one in value):
            return ", ".join(value) or worded("nothing")
        return worded("another row")
    return str(value)
