"""What an estimator changes about scope and price by hand, as a job before and a job after.

Nothing here reckons: each function takes a job and gives the one it becomes. Whether the change
fits the catalogue is the business of `estimator.domain.by_hand_check`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import JOB_LEVELS
from estimator.domain.catalogue.work_rows import CalledRow
from estimator.domain.disposition import Judgement
from estimator.domain.findings import Finding
from estimator.domain.job import Job, LineChange, OwnLine, ScopeChange

COUNTED_TWICE = "counted twice"
_NUMBERED = re.compile(r"([A-Z]+)(\d+)\Z")


# Dispositions


def overruled(job: Job, by: Judgement, part: str, disposition: str, reason: str, who: str) -> Job:
    """The job with the finding behind a part overruled.

    A finding that speaks of several parts is overruled for this one alone: a finding of its own,
    next in number, takes the part over, and the others keep theirs.
    """
    findings: list[Finding] = []
    for finding in job.findings:
        if finding.id != by.finding.id:
            findings.append(finding)
            continue
        others = tuple(one for one in by.parts if one != part)
        own = replace(finding, override=disposition, override_reason=reason, overridden_by=who)
        if others:
            findings.append(replace(finding, part=others))
            own = replace(own, id=next_finding_id(job), part=(part,))
        findings.append(own)
    return replace(job, findings=tuple(findings))


def as_proposed(job: Job, finding_id: str) -> Job:
    """The job with the rule's word standing again for a finding."""
    return replace(
        job,
        findings=tuple(
            replace(one, override="", override_reason="", overridden_by="")
            if one.id == finding_id
            else one
            for one in job.findings
        ),
    )


def next_finding_id(job: Job) -> str:
    """The number after the highest of the job's findings, in their manner: I84 gives I85."""
    found = [match for one in job.findings if (match := _NUMBERED.match(one.id))]
    if not found:
        return "I01"
    highest = max(found, key=lambda match: int(match[2]))
    digits = len(highest[2])
    return f"{highest[1]}{int(highest[2]) + 1:0{digits}d}"


def with_way(job: Job, part: str, way: str) -> Job:
    """The job with a way chosen of putting a part right if it is worn; "" takes the choice back."""
    ways = {one: chosen for one, chosen in (job.ways or {}).items() if one != part}
    if way:
        ways[part] = way
    return replace(job, ways=ways)


# Lines taken out, put in, kept twice


def with_line_out(job: Job, row_id: str, reason: str, who: str) -> Job:
    """The job without a line of the catalogue; one that was put in by hand simply goes.

    What was typed over the line, and its being kept twice, go with it: neither has a meaning
    without it.
    """
    job = replace(
        as_worked_out(job, row_id),
        kept=tuple(one for one in job.kept if row_id not in one.row_id.split("+")),
    )
    if any(one.row_id == row_id for one in job.added):
        return replace(job, added=_without(job.added, row_id))
    removed = (*_without(job.removed, row_id), ScopeChange(row_id, reason, who))
    return replace(job, removed=removed)


def with_line_back(job: Job, row_id: str) -> Job:
    """The job with a line that was taken out by hand standing as the rules call it."""
    return replace(job, removed=_without(job.removed, row_id))


def with_row_in(job: Job, row_id: str, reason: str, who: str) -> Job:
    """The job with a row of the catalogue put in by hand; one that was taken out comes back."""
    if any(one.row_id == row_id for one in job.removed):
        return with_line_back(job, row_id)
    added = (*_without(job.added, row_id), ScopeChange(row_id, reason, who))
    return replace(job, added=added)


def with_one_kept(job: Job, pair: tuple[str, str], who: str) -> Job:
    """Of an operation and one it includes, the included one is taken out."""
    return with_line_out(job, pair[1], COUNTED_TWICE, who)


def with_both_kept(job: Job, pair: tuple[str, str], reason: str, who: str) -> Job:
    """An operation and one it includes are counted twice on purpose."""
    both = "+".join(pair)
    kept = (*_without(job.kept, both), ScopeChange(both, reason, who))
    return replace(job, kept=kept)


def without_idle(job: Job, row_id: str) -> Job:
    """The job without a change by hand that has no effect, whichever list it stands in."""
    return replace(
        job,
        added=_without(job.added, row_id),
        removed=_without(job.removed, row_id),
        kept=_without(job.kept, row_id),
        changed=tuple(one for one in job.changed if one.row_id != row_id),
    )


def _without(changes: Iterable[ScopeChange], row_id: str) -> tuple[ScopeChange, ...]:
    return tuple(one for one in changes if one.row_id != row_id)


def rows_to_put_in(job: Job, cat: ClassCatalogue, in_scope: Iterable[str]) -> tuple[CalledRow, ...]:
    """Rows of the class's catalogue that may be put in by hand: those of a rebuild that are not in
    the scope, this level's first. A part that is never bought (a carrier) is none."""
    present = set(in_scope)
    rows: tuple[CalledRow, ...] = (
        *cat.operations.values(),
        *cat.parts.values(),
        *cat.outwork.values(),
    )
    free = [
        row
        for row in rows
        if row.id not in present
        and getattr(row, "called_by", "") != "carrier"
        and any(level in JOB_LEVELS for level in row.levels)
    ]
    free.sort(key=lambda row: (not job.takes(row), row.component, row.id))
    return tuple(free)


# Lines typed over


def with_line_typed(
    job: Job,
    row_id: str,
    reason: str,
    who: str,
    day: date,
    *,
    quantity: Decimal | None = None,
    unit_cost: Decimal | None = None,
) -> Job:
    """The job with a line's quantity or cost of one typed over; what is None stays as it was."""
    before = typed_change(job, row_id)
    change = LineChange(
        row_id=row_id,
        quantity=before.quantity if before and quantity is None else quantity,
        unit_cost=before.unit_cost if before and unit_cost is None else unit_cost,
        reason=reason,
        by=who,
        date=day,
    )
    if before is None:
        return replace(job, changed=(*job.changed, change))
    return replace(
        job, changed=tuple(change if one.row_id == row_id else one for one in job.changed)
    )


def as_worked_out(job: Job, row_id: str, *, quantity: bool = True, unit_cost: bool = True) -> Job:
    """The job with a line as it was worked out: its quantity, its cost of one, or both."""
    changed: list[LineChange] = []
    for one in job.changed:
        if one.row_id != row_id:
            changed.append(one)
            continue
        left = replace(
            one,
            quantity=None if quantity else one.quantity,
            unit_cost=None if unit_cost else one.unit_cost,
        )
        if left.quantity is not None or left.unit_cost is not None:
            changed.append(left)
    return replace(job, changed=tuple(changed))


def typed_change(job: Job, row_id: str) -> LineChange | None:
    """What was typed over a line, or None."""
    return next((one for one in job.changed if one.row_id == row_id), None)


# Lines of the estimator's own


def next_own_id(job: Job) -> str:
    """The number of the next line of the estimator's own: X01, X02, ..."""
    highest = max((int(one.id[1:]) for one in job.own if one.id[1:].isdigit()), default=0)
    return f"X{highest + 1:02d}"


def with_own_line(job: Job, line: OwnLine) -> Job:
    """The job with a line of the estimator's own, new or in the place of the one so numbered."""
    if any(one.id == line.id for one in job.own):
        return replace(job, own=tuple(line if one.id == line.id else one for one in job.own))
    return replace(job, own=(*job.own, line))


def without_own_line(job: Job, own_id: str) -> Job:
    """The job without a line of the estimator's own."""
    return replace(job, own=tuple(one for one in job.own if one.id != own_id))


def with_level(job: Job, level: str) -> Job:
    """The job at another rebuild level, with the same findings and terms."""
    return replace(job, level=level)
