"""Work out a job's price while somebody is still changing it."""

from __future__ import annotations

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue, for_class
from estimator.domain.exposure.contingency import Contingency
from estimator.domain.job import Job
from estimator.domain.job_check import check_class, check_job
from estimator.domain.priced_job import PricedJob, Progress
from estimator.domain.priced_work import PricedWork, held, priced_work
from estimator.domain.pricing import NoRate
from estimator.domain.problem import Problem, errors_in
from estimator.services.errors import NotReckoned, Refused
from estimator.services.price_job import quiet, reckoned

_CLASSES: dict[tuple[str, str], ClassCatalogue] = {}


def class_catalogue(catalogue: Catalogue, class_id: str) -> ClassCatalogue | None:
    """The catalogue as a class sees it, kept for the next time; None where there is no such
    class."""
    key = (catalogue.fingerprint, class_id)
    if key not in _CLASSES:
        if class_id not in catalogue.classes:
            return None
        _CLASSES[key] = for_class(catalogue, class_id)
    return _CLASSES[key]


def faults_of(job: Job, catalogue: Catalogue) -> list[Problem]:
    """Everything that keeps the job from being priced; empty where it can be."""
    if faults := check_class(job, catalogue):
        return list(faults)
    cat = class_catalogue(catalogue, job.machine.class_id)
    return [] if cat is None else errors_in(check_job(job, cat))


def work_out(job: Job, catalogue: Catalogue) -> PricedWork:
    """Scope and priced work, without contingency and dates: quick enough for each key pressed.

    Raises Refused, NotReckoned.
    """
    cat = _sound(job, catalogue)
    try:
        return priced_work(job, cat)
    except (NoRate, ValueError) as error:
        raise NotReckoned(f"{job.title} cannot be priced: {error}.", "Check what it names.") from (
            error
        )


def hold(work: PricedWork) -> Contingency:
    """What must be held for parts found worn, without its shares. Raises NotReckoned."""
    try:
        return held(work)
    except ValueError as error:
        title = work.job.title
        raise NotReckoned(f"{title} cannot be priced: {error}.", "Check what it names.") from error


def reckon_whole(job: Job, catalogue: Catalogue, progress: Progress = quiet) -> PricedJob:
    """The job reckoned through. An exception raised by `progress` stops it. Raises Refused,
    NotReckoned."""
    return reckoned(job, _sound(job, catalogue), progress)


def _sound(job: Job, catalogue: Catalogue) -> ClassCatalogue:
    faults = faults_of(job, catalogue)
    cat = class_catalogue(catalogue, job.machine.class_id)
    if faults or cat is None:
        raise Refused(job.title, faults)
    return cat
