"""A repair: some components of a machine put right, the rest left as it is.

Of the components that are chosen everything is done that a full rebuild would do to them; what
every repair needs beside (receive, isolate, start, test) stands in the catalogue at the level
`repair`. Parts of other components are neither priced nor held for: the quote says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.rows import FULL, REPAIR
from estimator.domain.finding_check import nearest
from estimator.domain.job import Job, ScopeChange
from estimator.domain.problem import Place, Problem
from estimator.domain.wording import worded

JOB_FILE = "job.toml"


def with_components(job: Job, components: Iterable[str], reason: str, who: str) -> Job:
    """The job as a repair of these components: those chosen before keep their reason."""
    before = {one.row_id: one for one in job.repaired}
    chosen = tuple(
        before.get(code) or ScopeChange(code, reason, who) for code in dict.fromkeys(components)
    )
    return replace(job, repaired=chosen)


def repairable(cat: ClassCatalogue) -> tuple[str, ...]:
    """Components that a full rebuild does something to and that not every repair takes anyway, in
    the order of the breakdown."""
    rows = (*cat.operations.values(), *cat.parts.values(), *cat.outwork.values())
    always = {row.component for row in rows if REPAIR in row.levels}
    worked_on = {row.component for row in rows if FULL in row.levels} - always
    ordered = sorted(cat.components.values(), key=lambda one: (one.group, one.id))
    return tuple(one.id for one in ordered if one.id in worked_on)


def repair_faults(job: Job, cat: ClassCatalogue) -> Iterator[Problem]:
    """Components that the class has not, or that are named twice."""
    seen: set[str] = set()
    for number, change in enumerate(job.repaired, 1):
        where = Place(JOB_FILE, None, f"[[repaired]] {number} row")
        if change.row_id not in cat.components:
            yield Problem(
                "unknown-component",
                where,
                worded("{code!r} is no component of this class.", code=change.row_id[:40]),
                nearest(change.row_id, dict(cat.components)),
            )
        if change.row_id in seen:
            yield Problem(
                "component-twice",
                where,
                worded("{code} is named twice.", code=change.row_id),
                worded("Keep one."),
            )
        seen.add(change.row_id)


def repairs_nothing(job: Job) -> bool:
    """Whether a repair has no component to put right yet."""
    return job.level == REPAIR and not job.repaired
