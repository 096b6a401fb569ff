"""The day the machine comes in, as text typed and as an edit of the job."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from estimator.domain.job import Job

PLACE = "start"


def with_start(job: Job, start: date) -> Job:
    """The job with another day on which the machine comes in and parts are ordered."""
    return replace(job, start=start)
