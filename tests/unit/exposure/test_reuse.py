"""What is taken over from a distribution of before: the same figures, and only what has changed is
worked out again."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.exposure.contingency import held_only
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.exposed_parts import Known
from estimator.domain.exposure.factors import CircuitTest, FactorModel, Item
from estimator.domain.exposure.pert import Pert
from estimator.domain.exposure.shares import conditional_means
from estimator.domain.priced_job import reckon
from estimator.domain.priced_work import held, priced_work
from tests.unit.changed import finding_dropped
from tests.unit.exposure.models import exposed, item, items

CIRCUITS = ("", "EO", "FO", "HO")
OIL = CircuitTest("EO", True, 0.65, 0.80, 0.5, 0.5)
SPREADS = {"line": Pert(-400, 0, 1500)}


def parts(count: int = 40) -> list[Item]:
    return [
        item(f"P{n}", 0.05 + 0.4 * (n * 7 % 10) / 10, CIRCUITS[n % 4], 0.35, 0.45)
        for n in range(count)
    ]


def costs_of(some: list[Item]) -> dict[str, Pert]:
    return {
        one.part: Pert(500 + 40 * n, 700 + 45 * n, 1500 + 60 * n)
        for n, one in enumerate(some)
        if one.state is None
    }


def made(some: list[Item], before: Distribution | None = None, tests=(), grid=(1.0,)):
    model = FactorModel(some, tests, grid, before.model if before else None)
    return Distribution(model, costs_of(some), SPREADS, before=before)


def settled(some: list[Item], *found: tuple[str, bool]) -> list[Item]:
    states = dict(found)
    return [replace(one, state=states.get(one.part, one.state)) for one in some]


def assert_same(one: Distribution, other: Distribution) -> None:
    level = other.percentile(0.8)
    assert one.percentile(0.8) == pytest.approx(level, rel=1e-9)
    assert one.moments.mean == pytest.approx(other.moments.mean, rel=1e-9)
    assert one.moments.deviation == pytest.approx(other.moments.deviation, rel=1e-9)
    assert one.transform == pytest.approx(other.transform, abs=1e-12)
    split, wanted = conditional_means(one, level), conditional_means(other, level)
    assert split == pytest.approx(wanted, rel=1e-9, abs=1e-9 * level)
    for part in other.open_items.values():
        assert one.model.chance(part) == pytest.approx(other.model.chance(part), abs=1e-12)


@pytest.fixture(scope="module")
def before() -> Distribution:
    return made(parts())


@pytest.mark.parametrize("part", ["P0", "P1", "P6", "P39"])
@pytest.mark.parametrize("worn", [True, False])
def test_one_finding_works_out_its_own_circuit_alone(before, part, worn):
    after = settled(parts(), (part, worn))
    found = made(after, before)
    circuit = next(one.circuit for one in after if one.part == part)
    assert found.model.computed == (circuit,)
    assert found.period == before.period  # else all frequencies were others
    assert found.computed == (circuit,)
    fresh = made(after)
    assert set(fresh.computed) == set(CIRCUITS)
    assert_same(found, fresh)


def test_nothing_new_works_out_nothing(before):
    found = made(parts(), before)
    assert found.computed == found.model.computed == ()
    assert_same(found, before)


def test_a_test_of_a_circuit_works_out_that_circuit(before):
    found = made(parts(), before, [OIL])
    assert found.model.computed == found.computed == ("EO",)
    assert_same(found, made(parts(), tests=[OIL]))


def test_another_cost_is_no_reason_to_ask_the_factors_again(before):
    model = FactorModel(parts(), (), before=before.model)
    costs = costs_of(parts()) | {"P2": Pert(900, 1000, 1100)}
    found = Distribution(model, costs, SPREADS, before=before)
    assert (model.computed, found.computed) == ((), ("FO",))
    assert_same(found, Distribution(FactorModel(parts(), ()), costs, SPREADS))


def test_a_far_wider_total_takes_nothing_over_but_is_right(before):
    spreads = {"line": Pert(-400, 0, 900_000)}
    found = Distribution(before.model, before.costs, spreads, before=before)
    assert set(found.computed) == set(CIRCUITS)
    fresh = Distribution(before.model, before.costs, spreads)
    assert found.percentile(0.8) == pytest.approx(fresh.percentile(0.8), rel=1e-9)


def test_a_quite_other_machine_takes_nothing_over_but_is_right(before):
    other = [replace(one, part=f"Q{n}") for n, one in enumerate(parts(20))]
    assert_same(made(other, before), made(other))


def test_pooled_parts_know_their_grid():
    """Other chances at the points of the grid are another circuit; other weights are not."""
    plain = parts(12)
    pooled = [Item(f"L{n}", "FO", 0.35, 0.45, (0.1, 0.3, 0.5)) for n in range(2)]
    first = made([*plain, *pooled], grid=(0.2, 0.5, 0.3))
    weighed = made([*plain, *pooled], first, grid=(0.5, 0.3, 0.2))
    assert weighed.computed == ()
    assert_same(weighed, made([*plain, *pooled], grid=(0.5, 0.3, 0.2)))
    moved = [replace(one, chances=(0.1, 0.3, 0.6)) for one in pooled]
    found = made([*plain, *moved], first, grid=(0.2, 0.5, 0.3))
    assert found.computed == ("FO",)
    assert_same(found, made([*plain, *moved], grid=(0.2, 0.5, 0.3)))
    longer = made(plain, first, grid=(1.0,))
    assert_same(longer, made(plain))


@settings(max_examples=8)
@given(items(2, 5), st.lists(st.tuples(st.integers(0, 4), st.booleans()), min_size=1, max_size=4))
def test_findings_one_by_one_in_any_order_are_findings_all_at_once(some, found):
    found = [(some[at % len(some)].part, worn) for at, worn in found]
    found = list(dict(found).items())
    for order in (found, found[::-1]):
        now, last = some, made(some)
        for one in order:
            now = settled(now, one)
            last = made(now, last)
        fresh = made(settled(some, *found))
        assert last.percentile(0.8) == pytest.approx(fresh.percentile(0.8), rel=1e-9)
        for part in fresh.open_items.values():
            assert last.model.chance(part) == pytest.approx(fresh.model.chance(part), abs=1e-12)


def test_the_contingency_hands_it_on(before):
    def held(distribution):
        known = Known(before.model, {}, (), (), ())
        open_parts = tuple(exposed(part, cost) for part, cost in before.costs.items())
        return held_only(
            known, open_parts, (), Decimal("0.8"), "GBP", Decimal(1), before=distribution
        )

    first = held(None)
    again = held(first.distribution)
    assert again.distribution.computed == ()
    assert (again.amount, again.percentiles) == (first.amount, first.percentiles)


def test_a_job_hands_it_on_through_all_its_stages(job, cat, priced):
    """Without the sign at the main pump (I43) one oil is another; all else is as it was."""
    before = priced.contingency.distribution
    changed = finding_dropped(job, "I43")
    work = priced_work(changed, cat, before=before)
    assert set(work.known.model.computed) == {"HO"}
    now = held(work, before=before)
    fresh = held(priced_work(changed, cat))
    assert set(now.distribution.computed) <= {"HO"} or now.distribution.period != before.period
    assert now.amount == fresh.amount
    assert now.mean == pytest.approx(fresh.mean, rel=1e-9)
    assert list(now.percentiles.values()) == pytest.approx(
        list(fresh.percentiles.values()), rel=1e-9
    )
    again = reckon(job, cat, before=before)
    assert again.contingency.distribution.computed == ()
    assert again.price == priced.price
    assert again.contingency.shares == priced.contingency.shares
