"""Edit a recorded job: one edit a transaction, on what is there now, to be undone until issue."""

from __future__ import annotations

import re
from datetime import datetime

from estimator.domain.job_edit import JobEdit, inverse
from estimator.domain.people import Person
from estimator.domain.record import EditStep, KeptText
from estimator.domain.wording import worded
from estimator.services.errors import NotFound
from estimator.services.open_record import Record
from estimator.services.write_edit import (
    Draft,
    changed_meanwhile,
    draft_of,
    editable,
    fit_to_keep,
    kept_job,
    require_for,
    taken_back,
    write_edit,
)
from estimator.storage import edit_record

__all__ = [
    "Draft", "drop_text", "edits_of", "keep_text", "make_edit", "open_draft", "redo_edit",
    "undo_edit",
]  # fmt: skip

_UNSTORABLE = re.compile("[\0\ud800-\udfff]")  # NUL, and halves of characters


def open_draft(record: Record, number: str, who: Person | None = None) -> Draft:
    """A job as it is, issued ones included. Raises NotFound."""
    with record.reading() as session:
        return draft_of(session, kept_job(session, number), who.name if who else "")


def make_edit(
    record: Record,
    number: str,
    edit: JobEdit,
    who: Person,
    now: datetime,
    *,
    force: bool = False,
) -> Draft:
    """Make an edit on the job as it is now; what others changed elsewhere stays.

    A proposed job is a draft again after it, and `notice` says so. Raises NotFound, NotAllowed,
    Refused where a value cannot be kept, Conflict where the revision is issued, and Clash where
    somebody else changed the same value (`force` writes mine all the same). Nothing is written
    then. An edit that changes nothing is no edit.
    """
    edit = fit_to_keep(edit)
    require_for(who, _sections(edit))
    with record.writing() as session:
        before = editable(session, number)
        after, made = write_edit(session, before, edit, who, now, force=force)
        if made.changes:
            edit_record.add_step(session, before.id, made, who.name, now)
        return draft_of(session, after, who.name, taken_back(before, after))


def undo_edit(
    record: Record,
    number: str,
    who: Person,
    now: datetime,
    *,
    version: int | None = None,
    force: bool = False,
) -> Draft:
    """Take back the last edit since the last issue, whoever made it.

    `version` is that of the draft the person sees: where the job has gone on, Conflict, since
    another edit than the one shown would be undone. Else as `make_edit`; NotFound where there is
    nothing to undo.
    """
    return _step(record, number, who, now, version=version, force=force, back=True)


def redo_edit(
    record: Record,
    number: str,
    who: Person,
    now: datetime,
    *,
    version: int | None = None,
    force: bool = False,
) -> Draft:
    """Make the last edit that was undone once more. As `undo_edit`."""
    return _step(record, number, who, now, version=version, force=force, back=False)


def _step(
    record: Record,
    number: str,
    who: Person,
    now: datetime,
    *,
    version: int | None,
    force: bool,
    back: bool,
) -> Draft:
    word = "undo" if back else "redo"
    with record.writing() as session:
        before = editable(session, number)
        if version is not None and version != before.version:
            raise changed_meanwhile(number)
        find = edit_record.step_to_undo if back else edit_record.step_to_redo
        step = find(session, before.id)
        if step is None:
            raise NotFound(
                worded("There is nothing to {word} in {title}.", word=word, title=before.job.title),
                worded("Go on."),
            )
        require_for(who, _sections(step.edit))
        edit = inverse(step.edit) if back else step.edit
        act = f"{word} {step.name}"
        after, _ = write_edit(session, before, edit, who, now, act=act, force=force)
        edit_record.mark_step(session, before.id, step.place, undone=back)
        return draft_of(session, after, who.name, taken_back(before, after))


def keep_text(
    record: Record,
    number: str,
    place: str,
    text: str,
    reason: str,
    who: Person,
    now: datetime,
) -> None:
    """Keep what was typed at `place` (a key joined by "/": finding/I03/measured) although the field
    does not take it yet. The job itself does not change, nor does a text by being kept: signs that
    cannot be stored are kept as "\\ufffd". An edit of the same place drops it.

    Raises NotFound, NotAllowed, Conflict where the revision is issued.
    """
    require_for(who, {place.split("/", 1)[0]})
    kept = KeptText(_storable(place), _storable(text), _storable(reason), who.name, now)
    with record.writing() as session:
        edit_record.keep_text(session, editable(session, number).id, kept)


def drop_text(
    record: Record, number: str, place: str, who: Person, _now: datetime | None = None
) -> None:
    """Forget the text kept at a place. Raises NotFound, NotAllowed, Conflict."""
    require_for(who, {place.split("/", 1)[0]})
    with record.writing() as session:
        edit_record.drop_texts(session, editable(session, number).id, [_storable(place)])


def edits_of(record: Record, number: str) -> list[EditStep]:
    """Every edit since the last issue, oldest first, undone ones included. Raises NotFound."""
    with record.reading() as session:
        return edit_record.steps_of(session, kept_job(session, number).id)


def _sections(edit: JobEdit) -> set[str]:
    return {change.key[0] for change in edit.changes}


def _storable(text: str) -> str:
    return _UNSTORABLE.sub("\ufffd", text)
