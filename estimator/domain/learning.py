"""What a job learns from the workshop's teardowns: which outcomes are cases of which parts.

An outcome is a case of the pool it names, or of the part that it names as its pool or component
(of that part's pool, where it is in one). It counts whatever the class of its machine: parts of a
pool wear alike, hours and duty carry the rest. Not counted is one

* whose part the catalogue states no chance for, or a component as a whole: what was worn is not
  known then;
* whose life is "not known": its hours are the machine's at most, and a part renewed on the way
  would count as having lasted them all;
* that was found after the day up to which the job has learnt, so that the same job with the same
  record gives the same figure.

A case that stands in own_cases.csv and in the record counts once: of equal cases (pool, class,
hours, duty, worn) there are as many as the one that holds more of them says.
"""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace

from estimator.domain.catalogue.catalogue import (
    Catalogue,
    ClassCatalogue,
    SeenAtTeardown,
    for_class,
)
from estimator.domain.catalogue.work_rows import OwnCase
from estimator.domain.exposure.wear_out import pool_of
from estimator.domain.job import Job
from estimator.domain.past_work import LIFE_UNKNOWN


def catalogue_of(job: Job, catalogue: Catalogue) -> ClassCatalogue:
    """The catalogue as the job's class sees it, with the cases the job has learnt from. Raises
    UnknownClass."""
    cat = for_class(catalogue, job.machine.class_id)
    return with_outcomes(cat, catalogue.outcomes, job.learnt_until)


def with_outcomes(
    cat: ClassCatalogue, outcomes: Iterable[SeenAtTeardown], until: datetime.date | None
) -> ClassCatalogue:
    """The catalogue with the outcomes found on or before `until` among its own cases; as it is
    where that is None."""
    if until is None:
        return cat
    pools = _pools(cat)
    found: dict[str, list[OwnCase]] = {}
    for outcome in outcomes:
        pool = _pool(outcome, pools)
        if pool and outcome.found_on <= until:
            found.setdefault(pool, []).append(_case(outcome, pool))
    merged = dict(cat.own_cases)
    for pool in sorted(found):
        merged[pool] = (*merged.get(pool, ()), *_besides(merged.get(pool, ()), found[pool]))
    return replace(cat, own_cases=merged)


def later_outcomes(
    job: Job, cat: ClassCatalogue, outcomes: Iterable[SeenAtTeardown], today: datetime.date
) -> int:
    """How many cases of parts of its class the job would learn from besides, up to today."""
    pools = _pools(cat)
    known = job.learnt_until or datetime.date.min
    return sum(1 for one in outcomes if known < one.found_on <= today and _pool(one, pools))


def _pools(cat: ClassCatalogue) -> Mapping[str, str]:
    """Pool by every name it goes by: its own, and those of its parts."""
    names = {row.part: pool_of(row) for row in cat.wear.values()}
    return names | {pool: pool for pool in names.values()}


def _pool(outcome: SeenAtTeardown, pools: Mapping[str, str]) -> str:
    """The pool an outcome is a case of; "" where it is none."""
    if outcome.life_basis == LIFE_UNKNOWN:
        return ""
    return pools.get(outcome.pool) or pools.get(outcome.component, "")


def _case(outcome: SeenAtTeardown, pool: str) -> OwnCase:
    return OwnCase(
        pool=pool,
        machine_class=outcome.machine_class,
        hours=outcome.hours,
        duty=outcome.duty,
        worn=outcome.worn,
        origin="own",
        source=f"teardown of {outcome.found_on.isoformat()}",
    )


def _besides(known: Iterable[OwnCase], found: Iterable[OwnCase]) -> list[OwnCase]:
    """The cases found that are not among the known ones, oldest first."""
    there = Counter(map(_said, known))
    besides = []
    for case in sorted(found, key=lambda one: (one.source, one.hours, one.duty, one.worn)):
        if there[_said(case)] > 0:
            there[_said(case)] -= 1
        else:
            besides.append(case)
    return besides


def _said(case: OwnCase) -> tuple[object, ...]:
    return case.pool, case.machine_class, case.hours, case.duty, case.worn
