"""Jobs that do not begin as an enquiry: one from before there was a record, and a sister of a
sample job's machine."""

from __future__ import annotations

import datetime
import json
import tempfile
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from estimator.domain.job import Job, Party
from estimator.domain.job_data import findings_as_data, job_as_data
from estimator.domain.new_job import new_job, new_machine
from estimator.domain.people import Person
from estimator.services.begin_job import Enquiry
from estimator.services.keep_job import NEW_NUMBER, take_in_job
from estimator.services.open_job import open_job

from .bench import Bench
from .scenario import Plan


def from_the_old_book(
    bench: Bench, plan: Plan, asked: Enquiry, estimator: str, day: datetime.date
) -> Job:
    """The first job brings the number it had before there was a record."""
    defaults = bench.defaults
    machine = new_machine(
        asked.class_id,
        asked.serial,
        asked.hours or Decimal(0),
        defaults,
        asked.duty,
        asked.life_wanted,
    )
    return new_job(
        plan.number, machine, asked.customer, estimator, day, defaults,
        level=asked.level, note=asked.note,
    )  # fmt: skip


def sister_of(bench: Bench, plan: Plan, customer: Party) -> Job:
    """A sister of a sample job's machine, inspected and quoted earlier: the same findings. Raises
    ValueError where the plan does not say when it was quoted."""
    if plan.quoted is None:
        raise ValueError(f"{plan.folder} is quoted on no day")
    job, _ = open_job(bench.folder / plan.folder, bench.catalogue)
    earlier = plan.quoted - job.date
    return replace(
        job,
        number=NEW_NUMBER,
        date=plan.quoted,
        start=job.start + earlier,
        inspected=job.inspected + earlier,
        machine=replace(job.machine, serial=plan.serial),
        customer=customer,
        findings=tuple(replace(one, date=one.date + earlier) for one in job.findings),
    )


def taken_in(bench: Bench, job: Job, who: Person, now: datetime.datetime) -> str:
    """Take a job in by way of a folder; its number."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        _write(folder / "job.json", job_as_data(job))
        _write(folder / "findings.json", findings_as_data(job.findings))
        return take_in_job(bench.record, folder, bench.catalogue, who, now)


def _write(path: Path, data: object) -> None:
    path.write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")
