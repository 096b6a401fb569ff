"""Edits of the findings of a job: what follows when one cell of a finding is typed.

A cell seldom stands alone. A reading typed on what was "not seen" makes it seen; "not seen" takes
the reading out; a reading taken out leaves the part not tested, never good; limits and quantities
go in threes. Everything here is a function from frozen values to frozen values.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from estimator.domain.catalogue.work_rows import Measure
from estimator.domain.disposition import READINGS, UNSEEN
from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.domain.units import UNITS, UnitError, converted

NOT_SEEN, NOT_TESTED = UNSEEN
LIMITS = ("new", "rebuild_limit", "service_limit")
QUANTITIES = ("quantity_low", "quantity", "quantity_high")
_NUMBERED = re.compile(r"I(\d{1,6})\Z")
_SPOKEN_UNITS = {
    '"': "in", "inch": "in", "inches": "in", "\u00b5m": "um", "\u03bcm": "um", "\u00b0": "deg",
    "\u00b0c": "degC", "c": "degC", "l/min": "L/min", "ml/min": "mL/min", "sec": "s",
    "mohm": "Mohm", "m\u03c9": "Mohm", "mpa": "MPa", "kpa": "kPa", "lbf\u00b7ft": "lbf ft",
}  # fmt: skip
_CONVERTED_TO = Decimal("0.000001")
_READING = re.compile(r"(?P<number>.*?\d[.,]?)\s*(?P<unit>[^\d\s.,].*)?\Z", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading as typed: a value in a unit, no value, or a word that says why there is none."""

    value: Decimal | None = None
    unit: str = ""
    unseen: str = ""  # "not seen", "not tested"


def next_finding_id(job: Job) -> str:
    """The number after the highest in use: I61."""
    used = [int(m[1]) for finding in job.findings if (m := _NUMBERED.match(finding.id))]
    return f"I{max(used, default=0) + 1:02d}"


def finding_of_measure(job: Job, measure: Measure, inspector: str, day: datetime.date) -> Finding:
    """A new finding of a measure; not tested until a reading or a result is typed."""
    return Finding(
        id=next_finding_id(job),
        measure=measure.id,
        component=measure.component,
        kind=NOT_TESTED,
        inspector=inspector,
        date=day,
    )


def own_finding(job: Job, component: str, what: str, inspector: str, day: datetime.date) -> Finding:
    """A new finding that no measure of the catalogue names; not seen until somebody says so."""
    return Finding(
        id=next_finding_id(job),
        component=component,
        kind=NOT_SEEN,
        what=what,
        inspector=inspector,
        date=day,
    )


def with_finding(job: Job, finding: Finding) -> Job:
    """The job with one finding in the place of the one of that number, or after the last."""
    if all(one.id != finding.id for one in job.findings):
        return replace(job, findings=(*job.findings, finding))
    return replace(
        job, findings=tuple(finding if one.id == finding.id else one for one in job.findings)
    )


def without_findings(job: Job, ids: Collection[str]) -> Job:
    """The job without these findings."""
    return replace(job, findings=tuple(one for one in job.findings if one.id not in ids))


def with_cell(finding: Finding, key: str, value: Any, measure: Measure | None) -> Finding:
    """The finding with one cell typed, and what follows from that in others.

    `key` is a field of the finding; `measured` takes a Reading, every other the field's own value.
    Raises UnitError where a reading's unit measures another kind of thing than the finding.
    """
    if key == "measured":
        return _with_reading(finding, value, measure)
    if key == "kind":
        return _unseen(finding, value) if value in UNSEEN else replace(finding, kind=value)
    if key in LIMITS:
        return _with_limit(finding, key, value, measure)
    if key in QUANTITIES:
        return _with_quantity(finding, key, value)
    typed = _set(finding, key, value)
    if value and finding.kind in UNSEEN and key in ("result", "metals", "cleanliness"):
        bare = ("test" if finding.test else "visual") if key == "result" else "oil"
        return replace(typed, kind="" if measure else bare)
    if key == "result" and not value and finding.kind in ("visual", "safety"):
        return replace(typed, kind=NOT_SEEN)
    return typed


def overruled(finding: Finding, disposition: str, rule: str, reason: str, by: str) -> Finding:
    """The finding with the estimator's word; the rule's own answer (or a blank) takes it back."""
    if disposition in ("", rule):
        return replace(finding, override="", override_reason="", overridden_by="")
    return replace(finding, override=disposition, override_reason=reason, overridden_by=by)


def reading_unit(finding: Finding, measure: Measure | None) -> str:
    """The unit a reading of this finding is typed and shown in."""
    own = finding.new is not None or measure is None
    return finding.unit if own else measure.unit if measure else ""


def split_reading(text: str) -> tuple[str, str]:
    """("4.2", "in") from "4.2 in"; the unit as it is typed, "" where there is none."""
    found = _READING.match(text.strip())
    if found is None:
        return text.strip(), ""
    return found["number"], (found["unit"] or "").strip()


def known_unit(text: str) -> str:
    """The unit people mean: its own spelling, another case, or a usual sign. Raises UnitError."""
    if text in UNITS:
        return text
    folded = text.casefold().replace(" ", "")
    if folded in _SPOKEN_UNITS:
        return _SPOKEN_UNITS[folded]
    for unit in UNITS:
        if unit.casefold().replace(" ", "") == folded:
            return unit
    raise UnitError(f"{text!r} is not a unit known here")


def _set(finding: Finding, key: str, value: Any) -> Finding:
    changed: dict[str, Any] = {key: value}
    return replace(finding, **changed)


def _unseen(finding: Finding, kind: str) -> Finding:
    """Nothing was found where nobody looked: what would say so is taken out with it."""
    return replace(finding, kind=kind, measured=None, result="", metals=(), cleanliness="")


def _with_reading(finding: Finding, typed: Reading, measure: Measure | None) -> Finding:
    if typed.unseen:
        return _unseen(finding, typed.unseen)
    if typed.value is None:
        return _without_reading(finding, measure)
    wanted = reading_unit(finding, measure) or typed.unit
    value = _in_unit(typed.value, typed.unit, wanted)
    gauge = finding.gauge_error
    if gauge is not None and finding.unit:
        gauge = _in_unit(gauge, finding.unit, wanted)
    kind = finding.kind
    if kind in UNSEEN:
        kind = "" if measure else "measure"
    return replace(finding, measured=value, unit=wanted, gauge_error=gauge, kind=kind)


def _without_reading(finding: Finding, measure: Measure | None) -> Finding:
    kind = finding.kind or (measure.kind if measure else "")
    own = None not in (finding.new, finding.rebuild_limit, finding.service_limit)
    needs_one = kind in READINGS or own or (measure is not None and measure.new is not None)
    after = replace(finding, measured=None)
    return replace(after, kind=NOT_TESTED) if needs_one and kind not in UNSEEN else after


def _in_unit(value: Decimal, unit: str, wanted: str) -> Decimal:
    if not unit or unit == wanted:
        return value
    return Decimal(f"{converted(value, unit, wanted).quantize(_CONVERTED_TO).normalize():f}")


def _with_limit(
    finding: Finding, key: str, value: Decimal | None, measure: Measure | None
) -> Finding:
    """Own limits go in threes: those not typed are the catalogue's, where it has any; a blank takes
    all three back."""
    if value is None:
        return replace(finding, new=None, rebuild_limit=None, service_limit=None)
    unit = finding.unit or (measure.unit if measure else "")
    own = {name: getattr(finding, name) for name in LIMITS}
    if measure is not None:
        for name in LIMITS:
            if own[name] is None:
                stated = getattr(measure, name)
                own[name] = None if stated is None else _in_unit(stated, measure.unit, unit)
    return replace(finding, unit=unit, **{**own, key: value})


def _with_quantity(finding: Finding, key: str, value: Decimal | None) -> Finding:
    """Low, likely and high go together: those not typed yet are what was typed first."""
    if value is None:
        return replace(finding, quantity_low=None, quantity=None, quantity_high=None)
    own = {name: getattr(finding, name) for name in QUANTITIES}
    own = {name: value if one is None else one for name, one in own.items()}
    return replace(finding, **{**own, key: value})


def with_cells(
    job: Job, cells: Iterable[tuple[str, str, Any]], measures: Mapping[str, Measure]
) -> Job:
    """The job with cells typed, one act: (finding, field, value) each, in their order. Cells of a
    finding that is not there any more are left out. Raises UnitError as `with_cell`."""
    found = {one.id: one for one in job.findings}
    for code, key, value in cells:
        if code in found:
            measure = measures.get(found[code].measure)
            found[code] = with_cell(found[code], key, value, measure)
    return replace(job, findings=tuple(found[one.id] for one in job.findings))
