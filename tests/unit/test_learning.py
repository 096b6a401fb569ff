"""Which teardown outcomes are cases of which parts, and up to when."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimator.domain.learning import catalogue_of, later_outcomes, with_outcomes
from estimator.domain.past_work import TeardownOutcome
from tests.golden.golden_job import golden_inputs
from tests.unit.changed import walked

HUBS = "hub bearing seat"
DAY = datetime.date(2026, 6, 1)


def outcome(pool: str = HUBS, component: str = "C05A", **cells: object) -> TeardownOutcome:
    given = {
        "machine_class": "WL28", "hours": Decimal(12000), "duty": Decimal("1.1"),
        "life_basis": "since new", "disposition": "reuse", "worn": False, "found_on": DAY,
    }  # fmt: skip
    return TeardownOutcome(pool=pool, component=component, **{**given, **cells})


def cases(cat, pool: str) -> int:
    return len(cat.own_cases.get(pool, ()))


def test_a_job_that_has_not_learnt_sees_the_catalogue_s_cases_alone(job, catalogue):
    with_some = replace(catalogue, outcomes=(outcome(),))
    assert cases(catalogue_of(job, with_some), HUBS) == 14
    assert cases(catalogue_of(replace(job, learnt_until=DAY), with_some), HUBS) == 15


@pytest.mark.parametrize(
    ("told", "pool"),
    [
        (outcome(), HUBS),
        (outcome(component="P-HB1"), HUBS),
        (outcome("P-HB2"), HUBS),  # a part of the pool named as its pool
        (outcome("seats of hubs", "P-HB3"), HUBS),  # the part says it where the pool does not
        (outcome("P-CRK", "C01A"), "P-CRK"),
        (outcome("crankshaft", "P-CRK"), "P-CRK"),
        (outcome(life_basis="since overhaul"), HUBS),
        (outcome("crankshaft", "C01A"), ""),  # a component: what of it was worn is not told
        (outcome(life_basis="not known"), ""),
    ],
)
def test_what_an_outcome_is_a_case_of(job, cat, told, pool):
    learnt = with_outcomes(cat, [told], DAY)
    grown = {
        one: cases(learnt, one) - cases(cat, one)
        for one in learnt.own_cases
        if cases(learnt, one) != cases(cat, one)
    }
    assert grown == ({pool: 1} if pool else {})
    assert later_outcomes(job, cat, [told], DAY) == (1 if pool else 0)


def test_the_day_it_was_found_counts_and_what_is_later_waits(job, cat):
    day = datetime.timedelta(days=1)
    told = [outcome(found_on=DAY + n * day, component=f"C{n}") for n in range(5)]
    assert cases(with_outcomes(cat, told, DAY + day), HUBS) == 16
    learnt = replace(job, learnt_until=DAY + day)
    assert later_outcomes(learnt, cat, told, DAY + 3 * day) == 2  # the last lies ahead of today


def test_a_case_that_stands_in_the_catalogue_too_counts_once(cat):
    """Of equal ones, as many as the one that holds more of them says."""
    known = cat.own_cases[HUBS][0]
    again = outcome(
        machine_class=known.machine_class, hours=known.hours, duty=known.duty, worn=known.worn
    )
    assert cases(with_outcomes(cat, [again], DAY), HUBS) == 14
    assert cases(with_outcomes(cat, [again, replace(again, component="P-HB2")], DAY), HUBS) == 15


@given(st.permutations(range(6)))
def test_their_order_does_not_matter(order):
    _, cat = golden_inputs()
    told = [outcome(hours=Decimal(9000 + 100 * n), worn=n % 2 == 0) for n in range(6)]
    assert with_outcomes(cat, [told[n] for n in order], DAY) == with_outcomes(cat, told, DAY)


def test_worn_cases_raise_the_chance_of_the_part_and_are_counted(job, cat):
    told = [
        outcome("P-TGR", "C02A", hours=Decimal(9000 + 500 * n), worn=True, disposition="replace")
        for n in range(6)
    ]
    before = walked(job, cat).known.chances["P-TGR"]
    after = walked(job, with_outcomes(cat, told, DAY)).known.chances["P-TGR"]
    assert (before.rests_on, after.rests_on) == ("starting value", "own cases (6)")
    assert after.prior > 2 * before.prior
    assert after.start == before.start
