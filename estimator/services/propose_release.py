"""Propose a quote for release, so that it waits on a service manager; or take that back."""

from __future__ import annotations

from datetime import datetime

from estimator.domain.people import ISSUE, Person
from estimator.domain.record import DRAFT, PROPOSED
from estimator.domain.wording import worded
from estimator.services.enrol_person import require
from estimator.services.errors import Conflict
from estimator.services.open_record import Record
from estimator.services.write_edit import Draft, changed_meanwhile, draft_of, editable, field_texts
from estimator.storage.change_log import append
from estimator.storage.job_rows import write_job


def propose(record: Record, number: str, who: Person, now: datetime) -> Draft:
    """Propose the draft revision of a job for release. Any edit makes it a draft again.

    Raises NotFound, NotAllowed, and Conflict where it is issued or proposed already, or holds text
    that is not valid yet.
    """
    return _turn(record, number, who, now, DRAFT, PROPOSED)


def withdraw(record: Record, number: str, who: Person, now: datetime) -> Draft:
    """Make a proposed revision a draft again: by whoever proposes, or by who would release it.

    Raises NotFound, NotAllowed, Conflict where it is not proposed.
    """
    return _turn(record, number, who, now, PROPOSED, DRAFT)


def _turn(record: Record, number: str, who: Person, now: datetime, old: str, new: str) -> Draft:
    require(who, ISSUE)
    with record.writing() as session:
        kept = editable(session, number)
        if kept.state != old:
            raise Conflict(
                worded("{title} is proposed already.", title=kept.job.title)
                if new == PROPOSED
                else worded("{title} is a draft.", title=kept.job.title),
                worded("Release it, or withdraw it.")
                if new == PROPOSED
                else worded("Propose it first."),
            )
        if new == PROPOSED and (texts := field_texts(session, kept.id)):
            raise Conflict(
                worded(
                    "{title} holds text that is not valid yet: {texts}.",
                    title=kept.job.title,
                    texts=", ".join(one.place for one in texts[:5]),
                ),
                worded("Mend it or take it out first."),
            )
        if write_job(session, kept, kept.job, new, now) is None:
            raise changed_meanwhile(number)
        act = "proposed for release" if new == PROPOSED else "withdrawn"
        after = {"revision": kept.job.revision}
        append(session, at=now, who=who.name, act=act, subject=f"job/{number}", after=after)
        return draft_of(session, editable(session, number), who.name)
