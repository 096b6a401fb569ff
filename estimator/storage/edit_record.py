"""Reading and writing what was edited since the last issue, and text that is not valid yet.

Every edit runs these, so the statements are made once.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

import sqlalchemy as sa
from sqlalchemy.orm import Session

from estimator.domain.job_edit import JobEdit
from estimator.domain.record import EditStep, KeptText
from estimator.storage.change_codec import decoded, encoded
from estimator.storage.database import RecordDamaged
from estimator.storage.job_parts import new_id
from estimator.storage.side_tables import EditStepRow, KeptTextRow

BENCH = "bench/"  # places of what is chosen at the bench and not recorded yet
STEPS: Any = EditStepRow.__table__
KEPT: Any = KeptTextRow.__table__
_JOB: Any = sa.bindparam("job")
_PLACE: Any = sa.bindparam("at_place")
_STEP = sa.select(
    STEPS.c.place, STEPS.c.name, STEPS.c.who, STEPS.c.at, STEPS.c.changes, STEPS.c.undone
).where(STEPS.c.job_id == _JOB)
_NAME = sa.select(STEPS.c.name, STEPS.c.who).where(STEPS.c.job_id == _JOB).limit(1)
_STANDS, _UNDONE = STEPS.c.undone.is_(False), STEPS.c.undone.is_(True)
_TO_UNDO = _STEP.where(_STANDS).order_by(STEPS.c.place.desc()).limit(1)
_TO_REDO = _STEP.where(_UNDONE).order_by(STEPS.c.place).limit(1)
_ALL = _STEP.order_by(STEPS.c.place)
_NAME_TO_UNDO = _NAME.where(_STANDS).order_by(STEPS.c.place.desc())
_NAME_TO_REDO = _NAME.where(_UNDONE).order_by(STEPS.c.place)
_LAST = sa.select(sa.func.max(STEPS.c.place)).where(STEPS.c.job_id == _JOB)
_ADD = STEPS.insert()
_END_REDOING = STEPS.delete().where(STEPS.c.job_id == _JOB, _UNDONE)
_MARK = (
    STEPS.update()
    .where(STEPS.c.job_id == _JOB, STEPS.c.place == _PLACE)
    .values(undone=sa.bindparam("is_undone"))
)
_TEXTS = (
    sa.select(KEPT.c.place, KEPT.c.text, KEPT.c.reason, KEPT.c.who, KEPT.c.at)
    .where(KEPT.c.job_id == _JOB)
    .order_by(KEPT.c.place)
)
_KEEP = KEPT.insert()
_DROP = KEPT.delete().where(KEPT.c.job_id == _JOB, KEPT.c.place == _PLACE)


def add_step(
    session: Session, job_id: str, edit: JobEdit, who: str, now: datetime.datetime
) -> None:
    """Append an edit; what was undone before it can be redone no more."""
    run = session.connection().execute
    run(_END_REDOING, {"job": job_id})
    last = run(_LAST, {"job": job_id}).scalar()
    step = {
        "id": new_id(),
        "job_id": job_id,
        "place": 1 if last is None else last + 1,
        "name": edit.name,
        "who": who,
        "at": now,
        "changes": encoded(edit.changes),
        "undone": False,
    }
    run(_ADD, step)


def mark_step(session: Session, job_id: str, place: int, *, undone: bool) -> None:
    """Mark a step as undone, or as made again."""
    values = {"job": job_id, "at_place": place, "is_undone": undone}
    session.connection().execute(_MARK, values)


def step_to_undo(session: Session, job_id: str) -> EditStep | None:
    """The last step that stands."""
    return _first(session, job_id, _TO_UNDO)


def step_to_redo(session: Session, job_id: str) -> EditStep | None:
    """The first step that was undone."""
    return _first(session, job_id, _TO_REDO)


def _first(session: Session, job_id: str, wanted: Any) -> EditStep | None:
    row = session.connection().execute(wanted, {"job": job_id}).first()
    return None if row is None else _step(row)


def step_names(session: Session, job_id: str) -> tuple[tuple[str, str], tuple[str, str]]:
    """((name, who) of the step to undo, the same of the step to redo); blank where there is
    none."""
    run = session.connection().execute
    undo = run(_NAME_TO_UNDO, {"job": job_id}).first()
    redo = run(_NAME_TO_REDO, {"job": job_id}).first()
    return (
        ("", "") if undo is None else (undo.name, undo.who),
        ("", "") if redo is None else (redo.name, redo.who),
    )


def steps_of(session: Session, job_id: str) -> list[EditStep]:
    """Every step since the last issue, oldest first."""
    return [_step(row) for row in session.connection().execute(_ALL, {"job": job_id})]


def _step(row: Any) -> EditStep:
    try:
        edit = JobEdit(row.name, decoded(row.changes))
    except (ValueError, ArithmeticError, TypeError, KeyError) as error:
        raise RecordDamaged(f"an edit cannot be read ({error!r:.60})") from error
    return EditStep(row.place, row.name, row.who, row.at, edit, row.undone)


def clear_edits(session: Session, job_id: str) -> None:
    """Forget steps and kept text: what is issued is undone no more. What stands on the bench is no
    text of the job, and stays."""
    run = session.connection().execute
    run(STEPS.delete().where(STEPS.c.job_id == job_id))
    of_job = KEPT.c.job_id == job_id
    run(KEPT.delete().where(of_job, sa.not_(KEPT.c.place.startswith(BENCH, autoescape=True))))


def kept_texts(session: Session, job_id: str) -> list[KeptText]:
    """Text that is not valid yet, by place."""
    return [KeptText(*row) for row in session.connection().execute(_TEXTS, {"job": job_id})]


def keep_text(session: Session, job_id: str, kept: KeptText) -> None:
    """Keep a text in place of the one that was kept there."""
    run = session.connection().execute
    run(_DROP, {"job": job_id, "at_place": kept.place})
    run(_KEEP, {"job_id": job_id, **asdict(kept)})


def drop_texts(session: Session, job_id: str, places: Iterable[str]) -> None:
    """Forget the texts kept at these places, and below those that are whole rows."""
    kept = [one.place for one in kept_texts(session, job_id)]
    for place in places if kept else ():
        for one in kept:
            if one == place or one.startswith(f"{place}/"):
                session.connection().execute(_DROP, {"job": job_id, "at_place": one})
