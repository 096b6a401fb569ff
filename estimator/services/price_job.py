"""Price a job from its folder: scope, price, exposure and dates in one go."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.job import Job
from estimator.domain.priced_job import PricedJob, Progress, reckon
from estimator.domain.pricing import NoRate
from estimator.domain.programme.network import NetworkCycle
from estimator.domain.programme.working_time import BeyondCalendar
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotReckoned
from estimator.services.open_job import open_job


def quiet(_: str) -> None:
    """Progress that nobody listens to."""


def price_job(
    folder: Path,
    catalogue: Catalogue,
    *,
    level: str | None = None,
    confidence: Decimal | None = None,
    progress: Progress = quiet,
) -> PricedJob:
    """The job in `folder`, priced; `level` and `confidence` replace those of the job.

    Raises Refused where a file has faults, NotReckoned where its figures cannot be reckoned with.
    """
    job, cat = open_job(folder, catalogue)
    if level is not None:
        job = replace(job, level=level)
    if confidence is not None:
        job = with_confidence(job, confidence)
    return reckoned(job, cat, progress)


def reckoned(
    job: Job,
    cat: ClassCatalogue,
    progress: Progress = quiet,
    before: Distribution | None = None,
) -> PricedJob:
    """A checked job, priced; `before` spares time (`reckon`). Raises NotReckoned where its figures
    cannot be reckoned with."""
    try:
        return reckon(job, cat, progress, before=before)
    except (NoRate, NetworkCycle, BeyondCalendar, ValueError) as error:
        raise NotReckoned(
            worded("{title} cannot be priced: {error}.", title=job.title, error=said_by(error)),
            worded("Check the figures it names."),
        ) from error


def with_confidence(job: Job, confidence: Decimal) -> Job:
    """The job at another confidence. Raises NotReckoned outside 0.5 to 0.99."""
    if not Decimal("0.5") <= confidence <= Decimal("0.99"):
        raise NotReckoned(
            worded("A confidence of {confidence} is not offered.", confidence=confidence),
            worded("Choose between 0.5 and 0.99."),
        )
    return replace(job, terms=replace(job.terms, confidence=confidence))
