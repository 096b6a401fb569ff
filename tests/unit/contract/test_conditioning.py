"""What opening tells of what is still closed: never less after more worn parts of a circuit, none
once all is open, and the same whatever was opened first."""

from __future__ import annotations

from datetime import timedelta
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.contract import events as happened
from estimator.domain.contract.contract import Contract
from estimator.domain.contract.following import follow
from estimator.domain.contract.ledger import ledger_row
from estimator.domain.contract.remaining import Remaining, remaining
from estimator.domain.contract.variation import AS_PRICED, SOUND, WORN
from estimator.domain.money import Money
from estimator.domain.priced_work import PricedWork, priced_work
from estimator.intake.catalogue_files import read_catalogue
from estimator.intake.job_files import read_job
from tests.golden.golden_contract import accepted
from tests.golden.golden_job import CATALOGUE, JOB
from tests.unit.contract.lives import START

HELD = Money(31_317_00, "GBP")
FEW = settings(max_examples=12, deadline=None)


@cache
def work() -> PricedWork:
    """The golden job's priced work."""
    catalogue, _ = read_catalogue(CATALOGUE)
    job, _ = read_job(JOB)
    assert catalogue is not None
    assert job is not None
    return priced_work(job, for_class(catalogue, job.machine.class_id))


@cache
def start() -> Contract:
    event = happened.Accepted(at=START, who="R. Ostrey", acceptance=accepted(work(), HELD))
    return follow(None, event)


@cache
def quoted() -> Remaining:
    return remaining(start(), work())


def opened(states: dict[str, str], order: list[str] | None = None) -> Contract:
    """The contract after parts were opened one by one."""
    contract = start()
    components = {part.part: part.component for part in work().exposed}
    for hours, part in enumerate(order or list(states), start=1):
        event = happened.Opened(
            at=START + timedelta(hours=hours), who="A. Rowe", component=components[part],
            parts=((part, states[part]),),
        )  # fmt: skip
        contract = follow(contract, event)
    return contract


def after(states: dict[str, str], order: list[str] | None = None) -> Remaining:
    return remaining(opened(states, order), work(), quoted())


def exposed_names() -> list[str]:
    return [part.part for part in work().exposed]


def circuits() -> dict[str, list[str]]:
    """Exposed parts by circuit."""
    found: dict[str, list[str]] = {}
    parts = set(exposed_names())
    for item in work().known.model.items:
        if item.part in parts and item.circuit:
            found.setdefault(item.circuit, []).append(item.part)
    return {circuit: names for circuit, names in found.items() if len(names) > 1}


def chances(rest: Remaining) -> dict[str, float]:
    """Chance of each part that is still closed."""
    closed = {part.part for part in rest.closed}
    return {
        item.part: rest.known.model.chance(item)
        for item in rest.known.model.items
        if item.part in closed
    }


@FEW
@given(data=st.data())
def test_one_more_worn_part_of_a_circuit_makes_no_closed_one_less_likely(data):
    """Against the same part found sound, and against leaving it closed."""
    circuit = data.draw(st.sampled_from(sorted(circuits())))
    names = circuits()[circuit]
    some = data.draw(st.lists(st.sampled_from(names), unique=True, max_size=len(names) - 2))
    before = dict.fromkeys(some, WORN)
    left = [name for name in names if name not in some]
    part = data.draw(st.sampled_from(left))
    less, worn = after(before), after({**before, part: WORN})
    sound = after({**before, part: SOUND})
    known, now, without = chances(less), chances(worn), chances(sound)
    for other in (name for name in left if name != part):
        assert now[other] >= known[other] - 1e-9
        assert without[other] <= known[other] + 1e-9
    # Of what is closed in each of the three, part apart, the mean and the percentile follow.
    assert worn.held.mean >= sound.held.mean - 1e-6
    assert worn.held.at_confidence >= sound.held.at_confidence - 1e-6
    assert worn.exposed >= sound.exposed


@FEW
@given(data=st.data())
def test_the_more_are_worn_the_more_must_be_held_for_the_rest_of_the_circuit(data):
    circuit = data.draw(st.sampled_from(sorted(circuits())))
    names = data.draw(st.permutations(circuits()[circuit]))
    still = names[-1]
    chance_before = 0.0
    for count in range(len(names)):
        states = {name: WORN if at < count else SOUND for at, name in enumerate(names[:-1])}
        chance = chances(after(states))[still]
        assert chance >= chance_before - 1e-9
        chance_before = chance


@FEW
@given(data=st.data())
def test_all_open_leaves_nothing_exposed_and_the_sums_that_are_known(data):
    states = {
        name: data.draw(st.sampled_from((WORN, SOUND)), label=name) for name in exposed_names()
    }  # fmt: skip
    contract = opened(states)
    lines = tuple((line.id, AS_PRICED) for line in work().provisional_lines)
    at = contract.events[-1].at + timedelta(hours=1)
    every = tuple(sorted({one.component for one in work().found}))
    contract = follow(contract, happened.Opened(at=at, who="A. Rowe", component="", parts=lines))
    for component in every:
        event = happened.Opened(at=at, who="A. Rowe", component=component, parts=())
        contract = follow(contract, event)
    rest = remaining(contract, work())
    nothing = contract.nothing
    assert (rest.closed, rest.unmeasured, rest.found, rest.unpriced) == ((), (), (), ())
    assert (rest.exposed, rest.mean) == (nothing, nothing)
    row = ledger_row(contract, rest)
    known = row.contract_sum - row.held + row.drawn + row.remeasured + row.authorised
    assert row.forecast_low == row.forecast_likely == row.forecast_high == known
    assert row.mark == "covered"


@FEW
@given(data=st.data())
def test_the_order_of_openings_does_not_matter(data):
    names = data.draw(st.lists(st.sampled_from(exposed_names()), unique=True, min_size=2,
                               max_size=12))  # fmt: skip
    states = {name: data.draw(st.sampled_from((WORN, SOUND)), label=name) for name in names}
    other = data.draw(st.permutations(names))
    first, second = after(states, names), after(states, list(other))
    for share, sum_ in first.held.percentiles.items():
        assert second.held.percentiles[share] == pytest.approx(sum_, abs=1e-6)
    assert second.held.mean == pytest.approx(first.held.mean, abs=1e-6)
    assert (second.low, second.likely, second.high) == (first.low, first.likely, first.high)


@FEW
@given(data=st.data())
def test_what_is_spared_changes_nothing(data):
    """Worked out step by step, each from the one before, or at once: the same figures."""
    names = data.draw(st.lists(st.sampled_from(exposed_names()), unique=True, min_size=1,
                               max_size=6))  # fmt: skip
    states = {name: data.draw(st.sampled_from((WORN, SOUND)), label=name) for name in names}
    contract, rest = start(), quoted()
    for count in range(1, len(names) + 1):
        contract = opened({name: states[name] for name in names[:count]})
        rest = remaining(contract, work(), rest)
    at_once = remaining(contract, work())
    for share, sum_ in at_once.held.percentiles.items():
        assert rest.held.percentiles[share] == pytest.approx(sum_, abs=1e-6)
    assert rest.exposed == at_once.exposed
