"""A job as plain data: the very keys of `job.json` and `findings.json`, so that what leaves the
record can be read again as a job folder. Numbers are text, so that nothing is rounded."""

from __future__ import annotations

import datetime
from dataclasses import fields
from decimal import Decimal
from typing import Any

from estimator.domain.findings import Finding
from estimator.domain.job import Job, LineChange, Machine, OwnLine, Party, ScopeChange, Terms
from estimator.domain.new_machine_data import new_machine_as_data

Data = dict[str, Any]


def job_as_data(job: Job) -> Data:
    """What `job.json` holds."""
    return {
        "number": job.number,
        "revision": job.revision,
        "date": job.date.isoformat(),
        "start": job.start.isoformat(),
        "inspected": job.inspected.isoformat(),
        "level": job.level,
        "estimator": job.estimator,
        "releaser": job.releaser,
        "machine": _machine(job.machine),
        "workshop": _party(job.workshop),
        "customer": _party(job.customer),
        "terms": _terms(job.terms),
        "exchange_rate": [
            {
                "currency": rate.currency,
                "rate": str(rate.rate),
                "date": rate.date.isoformat(),
                "source": rate.source,
            }
            for rate in job.exchange_rates.values()
        ],
        "added": [_change(change) for change in job.added],
        "removed": [_change(change) for change in job.removed],
        "ways": dict(job.ways or {}),
        "changed": [_line_change(change) for change in job.changed],
        "own": [_own_line(line) for line in job.own],
        "kept": [_change(change) for change in job.kept],
        "note": job.note,
        "wanted_by": job.wanted_by.isoformat() if job.wanted_by is not None else None,
        "learnt_until": job.learnt_until.isoformat() if job.learnt_until is not None else None,
        # Left out where there is none, so that what was issued before keeps its fingerprint.
        **({"new_machine": new_machine_as_data(job.new_machine)} if job.new_machine else {}),
        **({"repaired": [_change(change) for change in job.repaired]} if job.repaired else {}),
    }


def findings_as_data(findings: tuple[Finding, ...]) -> list[Data]:
    """What `findings.json` holds: blank cells are left out."""
    return [
        {
            one.name: _cell(value)
            for one in fields(finding)
            if one.name != "place" and (value := getattr(finding, one.name)) not in (None, "", ())
        }
        for finding in findings
    ]


def _cell(value: object) -> object:
    if isinstance(value, Decimal | datetime.date):
        return str(value)
    return list(value) if isinstance(value, tuple) else value


def _machine(machine: Machine) -> Data:
    return {
        "class": machine.class_id,
        "serial": machine.serial,
        "hours": str(machine.hours),
        "duty": str(machine.duty),
        "life_wanted": str(machine.life_wanted),
        "meter": machine.meter,
        "hours_doubt": str(machine.hours_doubt),
        "history": [
            {
                "hours": str(event.hours),
                "what": event.what,
                "components": list(event.components),
                "renewed": list(event.renewed),
                "seen_sound": list(event.seen_sound),
            }
            for event in machine.history
        ],
    }


def _party(party: Party) -> Data:
    return {"name": party.name, "address": list(party.address), "contact": party.contact}


def _terms(terms: Terms) -> Data:
    stages = [{"share": str(stage.share), "when": stage.when} for stage in terms.stages]
    plain = {
        one.name: _cell(getattr(terms, one.name)) for one in fields(terms) if one.name != "stages"
    }
    return {**plain, "stage": stages}


def _change(change: ScopeChange) -> Data:
    return {"row": change.row_id, "reason": change.reason, "by": change.by}


def _line_change(change: LineChange) -> Data:
    """What was not typed over is left out."""
    typed = {"quantity": change.quantity, "unit_cost": change.unit_cost}
    return {
        "row": change.row_id,
        **{name: str(value) for name, value in typed.items() if value is not None},
        "reason": change.reason,
        "by": change.by,
        "date": change.date.isoformat(),
    }


def _own_line(line: OwnLine) -> Data:
    return {one.name: _cell(getattr(line, one.name)) for one in fields(line)}
