"""Copies of the golden job and catalogue with one thing changed, and what reading them says."""

from __future__ import annotations

import csv
from pathlib import Path

from estimator.domain.catalogue.catalogue import ClassCatalogue, for_class
from estimator.domain.job import Job
from estimator.domain.job_check import check_job
from estimator.domain.problem import Problem
from estimator.intake.catalogue_files import read_catalogue
from estimator.intake.job_files import read_job
from tests.golden.golden_job import golden_inputs


def edited(path: Path, old: str, new: str) -> None:
    """Change one piece of a text file; it must be there."""
    text = path.read_text(encoding="utf-8")
    assert old in text, f"no {old!r} in {path.name}"
    path.write_text(text.replace(old, new, 1), encoding="utf-8", newline="")


def cell_set(path: Path, code: str, column: str, value: str) -> int:
    """Put a value into a row (named by its first cell) and column; returns the row's number."""
    with path.open(encoding="utf-8", newline="") as file:
        table = list(csv.reader(file))
    number = next(n for n, cells in enumerate(table) if n and cells[0] == code)
    if column not in table[0]:
        table[0].append(column)
        for cells in table[1:]:
            cells.append("")
    table[number][table[0].index(column)] = value
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(table)
    return number + 1


def cat() -> ClassCatalogue:
    return golden_inputs()[1]


def faults_of_job(folder: Path) -> list[Problem]:
    """Every fault of a job folder: of its files, or else against the golden catalogue."""
    job, problems = read_job(folder)
    if job is None:
        assert problems, "neither a job nor a fault"
        return problems
    assert problems == []
    return check_job(job, cat())


def faults_of_catalogue(folder: Path) -> list[Problem]:
    catalogue, problems = read_catalogue(folder)
    if catalogue is None:
        assert problems, "neither a catalogue nor a fault"
    return problems


def sound_job(folder: Path) -> Job:
    """The job of a folder that has no fault."""
    job, problems = read_job(folder)
    assert problems == []
    assert job is not None
    assert check_job(job, cat()) == []
    return job


def sound_catalogue(folder: Path) -> ClassCatalogue:
    catalogue, problems = read_catalogue(folder)
    assert problems == []
    assert catalogue is not None
    return for_class(catalogue, "WL28")


def named(problems: list[Problem], file: str, row: int | None, column: str) -> Problem:
    """The fault at that place; it must say what is wrong and how to mend it, in a few lines."""
    ours = [
        one
        for one in problems
        if (one.place.file, one.place.row, one.place.column) == (file, row, column)
    ]
    assert ours, [str(one) for one in problems]
    text = str(ours[0])
    assert file in text
    assert row is None or f"row {row}" in text
    assert column in text
    assert len(ours[0].message) > 5
    assert len(text) < 1500
    assert "Traceback" not in text
    return ours[0]
