"""What jobs learn from the teardowns that the record holds, and which wording it confirms."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.job import Job
from estimator.domain.learning import later_outcomes
from estimator.services.confirm_clauses import confirmed_in
from estimator.services.open_record import Record
from estimator.services.work_out import class_catalogue
from estimator.storage.past_record import OUTCOMES

if TYPE_CHECKING:
    from estimator.storage.database import Session


def learnt(record: Record, catalogue: Catalogue) -> Catalogue:
    """The catalogue with the teardown outcomes of the record and who confirmed which translation.
    Which outcomes count, each job says by the day up to which it has learnt."""
    with record.reading() as session:
        return learnt_in(session, catalogue)


def learnt_in(session: Session, catalogue: Catalogue) -> Catalogue:
    """As `learnt`, within a transaction."""
    outcomes = tuple(kept.row for kept in OUTCOMES.listed(session))
    return replace(confirmed_in(session, catalogue), outcomes=outcomes)


def later_cases(job: Job, catalogue: Catalogue, today: date) -> int:
    """How many cases found since, up to today, the job would take in. `catalogue` is one that
    `learnt` gave."""
    cat = class_catalogue(catalogue, job.machine.class_id)
    return 0 if cat is None else later_outcomes(job, cat, catalogue.outcomes, today)


def with_later_cases(job: Job, today: date) -> Job:
    """The job with every case up to today taken in: an edit like any other."""
    return replace(job, learnt_until=today)
