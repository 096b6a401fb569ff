"""Reading a job folder: `job.toml` (or `job.json`) and `findings.csv` (or `findings.json`)."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.domain.by_hand_check import MOST_TYPED
from estimator.domain.catalogue.rows import JOB_LEVELS, WAYS
from estimator.domain.findings import Finding
from estimator.domain.job import (
    METERS,
    MOST_DOUBT,
    ORIGINAL,
    Event,
    Job,
    LineChange,
    Machine,
    OwnLine,
    ScopeChange,
)
from estimator.domain.new_job import LEAST_DUTY, MOST_DUTY, MOST_HOURS, MOST_LIFE
from estimator.domain.problem import Place, Problem
from estimator.domain.scope_line import KINDS
from estimator.intake.agreed_sections import party_of, rates_of, terms_of
from estimator.intake.new_machine_section import new_machine_of
from estimator.intake.sections import Section
from estimator.intake.structured import read_json, read_toml
from estimator.intake.tables import read_records, read_table
from estimator.intake.text_file import read_text


def read_job(folder: Path) -> tuple[Job | None, list[Problem]]:
    """The job in `folder` and every fault in its files; None if any fault was found.

    What the catalogue must confirm (codes, units, limits) is checked by
    `estimator.domain.job_check.check_job`.
    """
    if folder.is_file():
        message = "is a file."
        remedy = "Name the folder that holds job.toml and findings.csv."
        return None, [Problem("not-a-folder", Place(), f"{folder} {message}", remedy)]
    data, file, problems = _read_data(folder, "job")
    findings, faults = read_findings(folder)
    problems += faults
    if data is None:
        return None, problems
    top = Section(file, "", data, problems)
    job = _job(top, tuple(findings))
    return (None if problems else job), problems


def job_of_data(
    data: dict[str, Any], findings: list[dict[str, Any]], source: str
) -> tuple[Job | None, list[Problem]]:
    """A job from the plain data that `job.json` and `findings.json` hold; `source` stands in the
    faults for the file. None if any fault was found."""
    read, problems = read_records(findings, Finding, source)
    top = Section(source, "", data, problems)
    job = _job(top, tuple(read))
    return (None if problems else job), problems


def _read_data(folder: Path, stem: str) -> tuple[dict[str, Any] | None, str, list[Problem]]:
    path, problems = _one_of(folder, f"{stem}.toml", f"{stem}.json")
    text, faults = read_text(path)
    problems += faults
    if problems:
        return None, path.name, problems
    data, problems = (read_json if path.suffix == ".json" else read_toml)(text, path.name)
    if not problems and not isinstance(data, dict):
        problems = [Problem("bad-file", Place(path.name), "holds no table.", "Write {...}.")]
    return (None if problems else data), path.name, problems


def _one_of(folder: Path, usual: str, other: str) -> tuple[Path, list[Problem]]:
    """The one file of two that is there (the usual one if neither is), or the fault of both."""
    first, second = folder / usual, folder / other
    if first.exists() and second.exists():
        message = f"stands beside {other}: only one of the two may count."
        return first, [Problem("two-files", Place(usual), message, "Take one away.")]
    return (second if second.exists() else first), []


def read_findings(folder: Path) -> tuple[list[Finding], list[Problem]]:
    """Findings of `findings.csv` or `findings.json`, and every fault."""
    path, problems = _one_of(folder, "findings.csv", "findings.json")
    if problems:
        return [], problems
    if path.suffix == ".csv":
        return read_table(path, Finding)
    text, problems = read_text(path)
    if problems:
        return [], problems
    records, problems = read_json(text, path.name)
    return ([], problems) if problems else read_records(records, Finding, path.name)


def _job(top: Section, findings: tuple[Finding, ...]) -> Job:
    job = Job(
        number=top.text("number"),
        revision=top.text("revision"),
        date=top.day("date"),
        start=top.day("start"),
        inspected=top.day("inspected"),
        level=top.text("level", choices=JOB_LEVELS),
        machine=_machine(top.section("machine")),
        workshop=party_of(top.section("workshop")),
        customer=party_of(top.section("customer")),
        estimator=top.text("estimator"),
        releaser=top.text("releaser"),
        terms=terms_of(top.section("terms")),
        exchange_rates=rates_of(top),
        findings=findings,
        added=tuple(map(_change, top.sections("added"))),
        removed=tuple(map(_change, top.sections("removed"))),
        ways=_ways(top.section("ways", required=False)),
        changed=tuple(map(_line_change, top.sections("changed"))),
        own=tuple(map(_own_line, top.sections("own"))),
        kept=tuple(map(_change, top.sections("kept"))),
        note=top.text("note", ""),
        wanted_by=top.day_or_none("wanted_by"),
        learnt_until=top.day_or_none("learnt_until"),
        new_machine=new_machine_of(top),
        repaired=tuple(map(_change, top.sections("repaired"))),
    )
    if job.start < job.date:
        top.fault("start", "date-order", "lies before the date of the quote.", "Check both dates.")
    top.close()
    return job


def _machine(part: Section) -> Machine:
    history = tuple(map(_event, part.sections("history")))
    machine = Machine(
        class_id=part.text("class"),
        serial=part.text("serial"),
        hours=part.number("hours", above=0, high=MOST_HOURS),
        duty=part.number("duty", low=LEAST_DUTY, high=MOST_DUTY),
        life_wanted=part.number("life_wanted", above=0, high=MOST_LIFE),
        history=history,
        meter=part.text("meter", ORIGINAL, choices=METERS),
        hours_doubt=part.number("hours_doubt", Decimal(0), low=0, high=MOST_DOUBT),
    )
    for event in history:
        if event.hours > machine.hours:
            part.fault(
                "history",
                "history-hours",
                f"has {event.what!r} at {event.hours} h, after the {machine.hours} h now.",
                "Check both; a replaced hour meter is stated as total hours.",
            )
    part.close()
    return machine


def _event(part: Section) -> Event:
    event = Event(
        hours=part.number("hours", low=0, high=MOST_HOURS),
        what=part.text("what"),
        components=part.texts("components"),
        renewed=part.texts("renewed"),
        seen_sound=part.texts("seen_sound"),
    )
    part.close()
    return event


def _change(part: Section) -> ScopeChange:
    change = ScopeChange(part.text("row"), part.text("reason"), part.text("by"))
    if not change.reason:
        part.fault("reason", "no-reason", "is blank.", "Say why; it stays on record.")
    part.close()
    return change


def _line_change(part: Section) -> LineChange:
    change = LineChange(
        row_id=part.text("row"),
        quantity=part.number_or_none("quantity", above=0, high=MOST_TYPED),
        unit_cost=part.number_or_none("unit_cost", low=0, high=MOST_TYPED),
        reason=part.text("reason"),
        by=part.text("by"),
        date=part.day("date"),
    )
    part.close()
    return change


def _own_line(part: Section) -> OwnLine:
    """A line without a range may leave low and high out: they are the quantity."""
    quantity = part.number("quantity", above=0, high=MOST_TYPED)
    line = OwnLine(
        id=part.text("id"),
        component=part.text("component"),
        name=part.text("name"),
        kind=part.text("kind", choices=KINDS),
        quantity=quantity,
        quantity_low=part.number("quantity_low", quantity, low=0, high=MOST_TYPED),
        quantity_high=part.number("quantity_high", quantity, low=0, high=MOST_TYPED),
        unit=part.text("unit"),
        trade=part.text("trade", ""),
        unit_cost=part.number("unit_cost", Decimal(0), low=0, high=MOST_TYPED),
        markup=part.text("markup", ""),
        reason=part.text("reason"),
        by=part.text("by"),
    )
    part.close()
    return line


def _ways(part: Section) -> dict[str, str]:
    return {name: part.text(name, choices=WAYS) for name in list(part.data)}
