"""What was issued, reckoned again from what was kept of it: its own catalogue, rates and cases."""

from __future__ import annotations

import json
from collections import OrderedDict
from dataclasses import replace
from threading import Lock
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import ClassCatalogue, for_class
from estimator.domain.job import Job
from estimator.domain.priced_work import PricedWork, priced_work
from estimator.domain.record import IssuedQuote
from estimator.domain.wording import worded
from estimator.services.errors import NotFound, NotReckoned
from estimator.storage import job_record, kept_editions

if TYPE_CHECKING:
    from estimator.storage.database import Session

MOST_KEPT = 8
_WORK: OrderedDict[tuple[str, str], PricedWork] = OrderedDict()
_KEEPING = Lock()  # the window reads and acts on threads of their own


def keep_edition(session: Session, cat: ClassCatalogue) -> str:
    """Keep the catalogue as it counts now, own cases included; the name it is kept under."""
    from estimator.storage.catalogue_codec import packed

    edition = packed(cat.catalogue, cat.own_cases)
    return kept_editions.keep(session, cat.catalogue.version, edition)


def issued_revision(session: Session, number: str, revision: str) -> IssuedQuote:
    """A revision as it was issued. Raises NotFound."""
    for one in job_record.issued_quotes(session, number):
        if one.revision == revision:
            return one
    raise NotFound(
        worded("{number} has no issued revision {revision}.", number=number, revision=revision),
        worded("List what was issued."),
    )


def accepted_job(now: Job, issued: IssuedQuote) -> Job:
    """The job as a revision was issued: `now`, the job as it is in the record, unless a later
    revision was begun. Raises NotReckoned where what was kept cannot be read."""
    return now if now.revision == issued.revision else job_as_issued(issued)


def job_as_issued(issued: IssuedQuote) -> Job:
    """The job of a revision from what was frozen of it alone. Raises NotReckoned where that cannot
    be read."""
    from estimator.intake.job_files import job_of_data

    inputs, title = json.loads(issued.inputs), f"{issued.number} rev {issued.revision}"
    job, problems = job_of_data(inputs["job"], inputs["findings"], title)
    if job is None:
        raise NotReckoned(
            worded(
                "What was kept of {title} cannot be read: {message}",
                title=title,
                message=problems[0].message,
            ),
            worded("Compare the record with a backup."),
        )
    return job


def frozen_work(session: Session, job: Job, issued: IssuedQuote) -> PricedWork:
    """The priced work of an issued revision, `job` being the job as it was issued.

    Raises NotReckoned where what was kept does not give what was issued.
    """
    key = (issued.edition, issued.record)
    with _KEEPING:
        known = _WORK.get(key)
        if known is not None and known.job == job:
            _WORK.move_to_end(key)
            return known
    work = priced_work(job, _class_catalogue(session, job, issued))
    base = work.firm + work.provisional
    if base != issued.net - issued.contingency:
        raise NotReckoned(
            worded(
                "{title} comes to {base} before contingency, and was issued at {net}.",
                title=job.title,
                base=base,
                net=issued.net - issued.contingency,
            ),
            worded("The record was changed since; compare it with a backup."),
        )
    with _KEEPING:
        _WORK[key] = work
        while len(_WORK) > MOST_KEPT:
            _WORK.popitem(last=False)
    return work


def _class_catalogue(session: Session, job: Job, issued: IssuedQuote) -> ClassCatalogue:
    found = kept_editions.read(session, issued.edition)
    if found is None:
        raise NotReckoned(
            worded(
                "{title} was issued before catalogues were kept with what they priced.",
                title=job.title,
            ),
            worded("Revise it and issue it again, then record the acceptance."),
        )
    catalogue, own_cases = found
    return replace(for_class(catalogue, job.machine.class_id), own_cases=own_cases)
