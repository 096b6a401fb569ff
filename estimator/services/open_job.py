"""Open a job folder and check it against the catalogue."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.job import Job
from estimator.domain.job_check import check_class, check_job, duplicate_serials
from estimator.domain.learning import catalogue_of
from estimator.domain.problem import Place, Problem, errors_in
from estimator.domain.wording import worded
from estimator.intake.job_files import read_job
from estimator.services.errors import Refused


def open_job(folder: Path, catalogue: Catalogue) -> tuple[Job, ClassCatalogue]:
    """The job in `folder` and the catalogue as its class sees it. Raises Refused."""
    job, problems = read_job(folder)
    if job is None:
        raise Refused(worded("Job {folder}", folder=str(folder)), problems)
    return job, catalogue_for(job, catalogue, f"Job {folder}")


def catalogue_for(job: Job, catalogue: Catalogue, what: str) -> ClassCatalogue:
    """The catalogue as the job's class sees it, with what the job has learnt of past work, if the
    job fits it. Raises Refused, naming `what` was refused: also a job kept for a while, since
    catalogues change."""
    if faults := check_class(job, catalogue):
        raise Refused(what, faults)
    cat = catalogue_of(job, catalogue)
    if faults := errors_in(check_job(job, cat)):
        raise Refused(what, faults)
    return cat


def check_jobs(folders: Sequence[Path], catalogue: Catalogue) -> dict[Path, list[Problem]]:
    """Faults and warnings of several jobs, one serial number on two machines included."""
    found: dict[Path, list[Problem]] = {}
    jobs: list[tuple[Path, Job]] = []
    for folder in folders:
        try:
            job, cat = open_job(folder, catalogue)
            jobs.append((folder, job))
            found[folder] = [_in_folder(problem, folder) for problem in check_job(job, cat)]
        except Refused as refused:
            found[folder] = [_in_folder(problem, folder) for problem in refused.problems]
    for problem in duplicate_serials(job for _, job in jobs):
        folder = next(f for f, job in reversed(jobs) if job.title == problem.place.file)
        found[folder].append(replace(problem, place=Place(str(folder), None, problem.place.column)))
    return found


def _in_folder(problem: Problem, folder: Path) -> Problem:
    """The fault with its file's whole path, so that several jobs can be told apart."""
    if not problem.place.file:
        return problem
    place = replace(problem.place, file=str(folder / problem.place.file))
    return replace(problem, place=place)
