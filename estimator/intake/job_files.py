"""Reading a job folder: `job.toml` (or `job.json`) and `findings.csv` (or `findings.json`)."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

from estimator.domain.catalogue.rows import JOB_LEVELS, WAYS
from estimator.domain.findings import Finding
from estimator.domain.job import (
    Event,
    ExchangeRate,
    Job,
    Machine,
    Party,
    ScopeChange,
    Stage,
    Terms,
)
from estimator.domain.problem import Place, Problem
from estimator.intake.sections import Section
from estimator.intake.structured import read_json, read_toml
from estimator.intake.tables import read_records, read_table
from estimator.intake.text_file import read_text

FORMS = ("base and named contingency", "fixed price", "not to exceed")


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
        workshop=_party(top.section("workshop")),
        customer=_party(top.section("customer")),
        estimator=top.text("estimator"),
        releaser=top.text("releaser"),
        terms=_terms(top.section("terms")),
        exchange_rates=_rates(top),
        findings=findings,
        added=tuple(map(_change, top.sections("added"))),
        removed=tuple(map(_change, top.sections("removed"))),
        ways=_ways(top.section("ways", required=False)),
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
        hours=part.number("hours", above=0, high=200_000),
        duty=part.number("duty", low=Decimal("0.2"), high=5),
        life_wanted=part.number("life_wanted", above=0, high=100_000),
        history=history,
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
        hours=part.number("hours", low=0, high=200_000),
        what=part.text("what"),
        components=part.texts("components"),
        renewed=part.texts("renewed"),
        seen_sound=part.texts("seen_sound"),
    )
    part.close()
    return event


def _party(part: Section) -> Party:
    party = Party(part.text("name"), part.texts("address"), part.text("contact", ""))
    part.close()
    return party


def _terms(part: Section) -> Terms:
    stages = tuple(
        Stage(one.number("share", above=0, high=1), one.text("when"))
        for one in part.sections("stage")
    )
    terms = Terms(
        currency=part.currency("currency"),
        quoting_unit=part.number("quoting_unit", Decimal(1), above=0, high=1000),
        discount_share=part.number("discount_share", Decimal(0), low=0, high=Decimal("0.9")),
        confidence=part.number("confidence", low=Decimal("0.5"), high=Decimal("0.99")),
        tax_category=part.text("tax_category"),
        commercial_form=part.text("commercial_form", choices=FORMS),
        valid_days=part.whole("valid_days", low=1, high=365),
        stages=stages,
        answer_days=part.whole("answer_days", 5, low=1, high=60),
        storage_free_days=part.whole("storage_free_days", 14, high=365),
        storage_per_day=part.number("storage_per_day", Decimal(0), low=0),
        removed_parts_days=part.whole("removed_parts_days", 30, high=365),
        teardown_longest_days=part.whole("teardown_longest_days", 15, low=1, high=250),
    )
    if sum((stage.share for stage in stages), Decimal(0)) > 1:
        part.fault("stage", "stages-over", "add up to more than the whole price.", "Lower one.")
    part.close()
    return terms


def _rate(part: Section) -> ExchangeRate:
    rate = ExchangeRate(
        part.currency("currency"),
        part.number("rate", above=0),
        part.day("date"),
        part.text("source"),
    )
    part.close()
    return rate


def _rates(top: Section) -> dict[str, ExchangeRate]:
    rates: dict[str, ExchangeRate] = {}
    for part in top.sections("exchange_rate"):
        rate = _rate(part)
        if rate.currency in rates:
            part.fault("currency", "rate-twice", f"{rate.currency} stands twice.", "Keep one rate.")
        rates[rate.currency] = rate
    return rates


def _change(part: Section) -> ScopeChange:
    change = ScopeChange(part.text("row"), part.text("reason"), part.text("by"))
    if not change.reason:
        part.fault("reason", "no-reason", "is blank.", "Say why; it stays on record.")
    part.close()
    return change


def _ways(part: Section) -> dict[str, str]:
    return {name: part.text(name, choices=WAYS) for name in list(part.data)}
