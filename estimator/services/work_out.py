"""Work out a job's price while somebody is still changing it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from estimator.domain.catalogue.catalogue import (
    Catalogue,
    ClassCatalogue,
    SeenAtTeardown,
    for_class,
)
from estimator.domain.exposure.contingency import Contingency
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.job import Job
from estimator.domain.job_check import check_class, check_job
from estimator.domain.learning import with_outcomes
from estimator.domain.priced_job import PricedJob, Progress
from estimator.domain.priced_work import PricedWork, held, priced_work
from estimator.domain.pricing import NoRate
from estimator.domain.problem import Problem, errors_in
from estimator.domain.wording import said_by, worded
from estimator.services.errors import NotReckoned, Refused
from estimator.services.price_job import quiet, reckoned

Outcomes = tuple[SeenAtTeardown, ...]
_CLASSES: dict[tuple[str, str], ClassCatalogue] = {}
_LEARNT: dict[tuple[str, str, date], tuple[Outcomes, ClassCatalogue]] = {}
MOST_LEARNT = 64  # classes as of different days kept for the next time


def class_catalogue(
    catalogue: Catalogue, class_id: str, learnt_until: date | None = None
) -> ClassCatalogue | None:
    """The catalogue as a class sees it, with the outcomes of the record found up to a day among
    its own cases; kept for the next time. None where there is no such class."""
    key = (catalogue.fingerprint, class_id)
    if key not in _CLASSES:
        if class_id not in catalogue.classes:
            return None
        _CLASSES[key] = for_class(catalogue, class_id)
    elif _CLASSES[key].catalogue.clauses is not catalogue.clauses:  # some were confirmed since
        _CLASSES[key] = replace(_CLASSES[key], catalogue=catalogue)
        _LEARNT.clear()
    if learnt_until is None or not catalogue.outcomes:
        return _CLASSES[key]
    return _learnt(_CLASSES[key], catalogue, learnt_until)


def _learnt(cat: ClassCatalogue, catalogue: Catalogue, until: date) -> ClassCatalogue:
    key = (catalogue.fingerprint, cat.machine_class.id, until)
    kept = _LEARNT.get(key)
    if kept is None or kept[0] is not catalogue.outcomes:
        if len(_LEARNT) >= MOST_LEARNT:
            _LEARNT.clear()
        kept = (catalogue.outcomes, with_outcomes(cat, catalogue.outcomes, until))
        _LEARNT[key] = kept
    return kept[1]


def faults_of(job: Job, catalogue: Catalogue) -> list[Problem]:
    """Everything that keeps the job from being priced; empty where it can be."""
    if faults := check_class(job, catalogue):
        return list(faults)
    cat = class_catalogue(catalogue, job.machine.class_id, job.learnt_until)
    return [] if cat is None else errors_in(check_job(job, cat))


def work_out(job: Job, catalogue: Catalogue, before: Distribution | None = None) -> PricedWork:
    """Scope and priced work, without contingency and dates: quick enough for each key pressed.

    `before` as in `hold`. Raises Refused, NotReckoned.
    """
    cat = _sound(job, catalogue)
    try:
        return priced_work(job, cat, before=before)
    except (NoRate, ValueError) as error:
        raise NotReckoned(
            worded("{title} cannot be priced: {error}.", title=job.title, error=said_by(error)),
            worded("Check what it names."),
        ) from (error)


def hold(work: PricedWork, before: Distribution | None = None) -> Contingency:
    """What must be held for parts found worn, without its shares. `before` is the distribution as
    it was last held: it spares time and moves no figure. Raises NotReckoned."""
    try:
        return held(work, before=before)
    except ValueError as error:
        title = work.job.title
        raise NotReckoned(
            worded("{title} cannot be priced: {error}.", title=title, error=said_by(error)),
            worded("Check what it names."),
        ) from error


def reckon_whole(
    job: Job,
    catalogue: Catalogue,
    progress: Progress = quiet,
    before: Distribution | None = None,
) -> PricedJob:
    """The job reckoned through; `before` as in `hold`. An exception raised by `progress` stops
    it. Raises Refused, NotReckoned."""
    return reckoned(job, _sound(job, catalogue), progress, before)


def _sound(job: Job, catalogue: Catalogue) -> ClassCatalogue:
    faults = faults_of(job, catalogue)
    cat = class_catalogue(catalogue, job.machine.class_id, job.learnt_until)
    if faults or cat is None:
        raise Refused(job.title, faults)
    return cat
