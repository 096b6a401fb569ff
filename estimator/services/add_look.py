"""Put a look on the inspection as a task: a finding to be done, whose result flows back from there.

A test becomes a row without an answer for each part that it reads; opening a part becomes a row
that says the part is not seen. Neither moves a figure: what nobody has looked at keeps its chance.
Typed on the Inspection page, the answer counts as any other finding does.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue, for_class
from estimator.domain.catalogue.work_rows import ConditionTest
from estimator.domain.disposition import UNSEEN
from estimator.domain.exposure.looks import OPENING, circuit_look_id
from estimator.domain.finding_edits import (
    NOT_TESTED,
    finding_of_measure,
    next_finding_id,
    own_finding,
    with_finding,
)
from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.domain.job_check import check_class
from estimator.domain.job_edit import edit_between
from estimator.domain.people import Person
from estimator.domain.scope import called_parts, judge_all
from estimator.domain.wording import worded
from estimator.services.edit_job import make_edit, open_draft
from estimator.services.errors import NotFound, Refused
from estimator.services.open_record import Record

TASK = "open first"  # in the note of a finding that waits to be done


def with_look(job: Job, cat: ClassCatalogue, look_id: str) -> Job:
    """The job with a look on its inspection as a task. `look_id` is "open/PART" for opening a part
    fully (or the part's code alone), a test's code, or "TEST/CIRCUIT" where a test speaks of
    several circuits.

    Where the inspection holds an unanswered row for it already, that row becomes the task; a look
    that is a task already changes nothing. Raises NotFound where there is no such look, or nothing
    is left for it to say.
    """
    for finding in _tasks(job, cat, look_id):
        job = with_finding(job, _marked(finding))
    return job


def added_looks(job: Job, cat: ClassCatalogue) -> frozenset[str]:
    """Ids of the looks that stand on the inspection as tasks still to be done."""
    found: set[str] = set()
    for judgement in judge_all(job, cat).values():
        if judgement.finding.kind not in UNSEEN or TASK not in judgement.finding.note:
            continue
        test = cat.tests.get(judgement.test)
        if test is None:
            found |= {OPENING + part for part in judgement.parts}
        elif test.on == "part":
            found.add(test.id)
        else:
            found |= {circuit_look_id(test, circuit) for circuit in test.target}
    return frozenset(found)


def _tasks(job: Job, cat: ClassCatalogue, look_id: str) -> Iterator[Finding]:
    """The rows to be done, those that are there and those that are new (numbered in order)."""
    wanted = look_id.strip()
    tests = {
        circuit_look_id(test, circuit): (test, circuit)
        for test in cat.tests.values()
        if test.on == "circuit"
        for circuit in test.target
    }
    part = wanted.removeprefix(OPENING)
    if wanted in tests:
        yield _circuit_task(job, cat, *tests[wanted])
    elif wanted in cat.tests:
        yield from _test_tasks(job, cat, cat.tests[wanted])
    elif part in cat.parts:
        yield _opening_task(job, cat, part)
    else:
        raise NotFound(
            worded(
                "{look_id!r} is no look at a {type}.",
                look_id=look_id[:40],
                type=cat.machine_class.type,
            ),
            worded("Name a test of the catalogue, or a part to be opened, like open/P-TGR."),
        )


def _circuit_task(job: Job, cat: ClassCatalogue, test: ConditionTest, circuit: str) -> Finding:
    judged = [one for one in judge_all(job, cat).values() if one.test == test.id]
    if any(one.alarm is not None for one in judged):
        raise _nothing_left(test.name)
    for one in judged:
        if one.finding.kind in UNSEEN:
            return one.finding
    for measure in cat.measures.values():
        if measure.test == test.id:
            return finding_of_measure(job, measure, "", job.inspected)
    component = next(row.id for row in cat.components.values() if row.circuit == circuit)
    return _row(job, component, test.name, test=test.id)


def _test_tasks(job: Job, cat: ClassCatalogue, test: ConditionTest) -> Iterator[Finding]:
    judgements = judge_all(job, cat)
    called = called_parts(judgements, cat)
    judged = [one for one in judgements.values() if one.test == test.id]
    answered = {part for one in judged if one.alarm is not None for part in one.sign_of}
    waiting = {
        part: one.finding for one in judged if one.finding.kind in UNSEEN for part in one.sign_of
    }
    parts = [
        part
        for part in test.target
        if part in cat.parts and part not in answered and not called[part].settled
    ]
    if not parts:
        raise _nothing_left(test.name)
    for part in parts:
        task = waiting.get(part) or _test_task(job, cat, test, part)
        job = with_finding(job, task)  # so that the next one takes the next number
        yield task


def _test_task(job: Job, cat: ClassCatalogue, test: ConditionTest, part: str) -> Finding:
    alone = len(test.target) == 1
    for measure in cat.measures.values():
        if measure.test == test.id and (part in measure.sign_of or (alone and not measure.sign_of)):
            return finding_of_measure(job, measure, "", job.inspected)
    row = _row(job, cat.parts[part].component, test.name, test=test.id)
    return row if alone else replace(row, sign_of=(part,))


def _opening_task(job: Job, cat: ClassCatalogue, part: str) -> Finding:
    judgements = judge_all(job, cat)
    name = cat.parts[part].name
    if called_parts(judgements, cat)[part].settled:
        raise _nothing_left(name)
    for one in judgements.values():
        if one.finding.kind in UNSEEN and not one.test and one.parts == (part,):
            return one.finding
    for measure in cat.measures.values():
        if measure.part == part and not measure.test:
            return finding_of_measure(job, measure, "", job.inspected)
    row = own_finding(job, cat.parts[part].component, f"Opened: {name}", "", job.inspected)
    return replace(row, part=(part,))


def _row(job: Job, component: str, what: str, test: str) -> Finding:
    return Finding(
        id=next_finding_id(job),
        component=component,
        what=what,
        test=test,
        kind=NOT_TESTED,
        date=job.inspected,
    )


def _marked(finding: Finding) -> Finding:
    if TASK in finding.note:
        return finding
    return replace(finding, note=f"{finding.note}; {TASK}" if finding.note else TASK)


def _nothing_left(name: str) -> NotFound:
    return NotFound(
        worded("{name}: there is an answer already.", name=name), worded("Look at the inspection.")
    )


def add_look(
    record: Record, number: str, look_id: str, catalogue: Catalogue, who: Person, now: datetime
) -> tuple[str, ...]:
    """Put a look on the inspection of a recorded job, as one edit that can be undone. Returns the
    numbers of the findings that are tasks now and were not; none where it was a task already.

    Raises NotFound, NotAllowed, Refused where the job's class is unknown, Conflict, Clash.
    """
    before = open_draft(record, number).job
    if faults := check_class(before, catalogue):
        raise Refused(before.title, list(faults))
    after = with_look(before, for_class(catalogue, before.machine.class_id), look_id)
    if after == before:
        return ()
    make_edit(record, number, edit_between(before, after, f"look {look_id.strip()}"), who, now)
    old = set(before.findings)
    return tuple(one.id for one in after.findings if one not in old)
