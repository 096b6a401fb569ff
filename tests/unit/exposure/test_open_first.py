"""What looks would tell: against the long way, and what must hold whatever the parts are."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from estimator.domain.catalogue.work_rows import ConditionTest
from estimator.domain.exposure.distribution import Distribution
from estimator.domain.exposure.endings import Endings
from estimator.domain.exposure.evidence import Sign
from estimator.domain.exposure.factors import CircuitTest, FactorModel
from estimator.domain.exposure.looks import (
    CIRCUIT_TEST,
    OPEN,
    OPENING,
    TEST,
    Answer,
    Look,
    possible_looks,
)
from estimator.domain.exposure.open_first import Held, Worth, spread_now, worth_of_looks
from estimator.domain.exposure.outcomes import percentiles
from estimator.domain.exposure.pert import Pert
from tests.golden.golden_job import golden_inputs
from tests.unit.exposure import models
from tests.unit.exposure.looks_slowly import Slowly

SHARE = 0.8
FIXED = st.integers(500, 5000).map(float)
SPREAD = {"X01": Pert(-4000.0, 0.0, 8000.0)}  # a provisional line: the total has no steps
QUADRATURE = 1e-7  # of chances: 25 nodes of life, 21 of a circuit


def nobody(_done: int = 0, _of: int = 0) -> None:
    pass


def held(distribution: Distribution, above: float = 1e9, firm: float = 0.85) -> Held:
    """Held against a limit `above` today's price (base 0)."""
    reached = max(distribution.percentile(SHARE), distribution.moments.mean, 0.0)
    return Held(0.0, reached + above, SHARE, firm, frozenset())


def any_test() -> ConditionTest:
    """Some test of the catalogue: looks made here carry their own answers."""
    return golden_inputs()[1].tests["T-ESC"]


def ranked(distribution: Distribution, looks: list[Look], against: Held) -> tuple[Worth, ...]:
    return worth_of_looks(distribution, looks, against, golden_inputs()[1].settings, nobody)


def opening(part: str) -> Look:
    return Look(OPENING + part, OPEN, part, (part,))


def read_by(parts: tuple[str, ...], se: float, sp: float) -> Look:
    answers = tuple(Answer(part, se, 1 - sp) for part in parts)
    return Look("T", TEST, "T", parts, "", any_test(), answers)


def asked_of(circuit: str, parts: tuple[str, ...]) -> Look:
    return Look("C", CIRCUIT_TEST, "C", parts, circuit, any_test())


@st.composite
def made(draw, least: int = 1, most: int = 4) -> Distribution:
    """A few open and settled parts, a provisional line, perhaps an oil test."""
    items = draw(models.items(least, most, settled=True).filter(lambda found: any(
        one.state is None for one in found)))  # fmt: skip
    tests = tuple(
        CircuitTest(circuit, draw(st.booleans()), 0.65, 0.8, 0.5, 0.5)
        for circuit in sorted({one.circuit for one in items} - {""})
        if draw(st.booleans())
    )
    costs = {one.part: draw(models.narrow_perts()) for one in items if one.state is None}
    return Distribution(FactorModel(items, tests), costs, SPREAD)


def looks_at(
    distribution: Distribution,
) -> list[Look]:
    """Every opening, a test of one part and of two, and a test of each circuit."""
    parts = tuple(distribution.open_items)
    found = [opening(part) for part in parts]
    found.append(read_by(parts[:1], 0.7, 0.85))
    if len(parts) > 1:
        found.append(read_by(parts[:2], 0.6, 0.95))
    circuits = {item.circuit for item in distribution.open_items.values()} - {""}
    return found + [asked_of(one, parts) for one in sorted(circuits)]


def endings_of(distribution: Distribution) -> Endings:
    return Endings(distribution, golden_inputs()[1].settings, nobody)


@settings(max_examples=6)
@given(made(1, 3))
def test_as_the_long_way_would_have_it(distribution):
    quick, slow = endings_of(distribution), Slowly(distribution)
    for look in looks_at(distribution):
        for one, other in zip(quick.of(look), slow.endings(look, SHARE), strict=True):
            assert one.left.chance == pytest.approx(other.chance, abs=1e-9)
            assert one.certain == other.certain
            assert one.left.mean == pytest.approx(other.mean, rel=1e-9, abs=1e-6)
            assert dict(one.chances) == pytest.approx(dict(other.chances), abs=1e-9)


@settings(max_examples=5)
@given(made(1, 3), st.sampled_from([0.5, 0.8, 0.95]))
def test_falls_as_the_long_way_would_have_them(distribution, share):
    looks = looks_at(distribution)
    against = replace(held(distribution), confidence=share)
    slow = Slowly(distribution)
    scale = max(distribution.moments.deviation, 1.0)
    for one in ranked(distribution, looks, against):
        assert one.fall == pytest.approx(slow.fall(one.look, share), abs=2e-5 * scale)


@settings(max_examples=8)
@given(made())
def test_over_all_endings_nothing_is_saved(distribution):
    """The law of total expectation: the mean of the final cost stays what it is, for every look;
    so opening moves no money by itself."""
    endings = endings_of(distribution)
    for look in looks_at(distribution):
        found = endings.of(look)
        assert sum(one.left.chance for one in found) == pytest.approx(1, abs=1e-9)
        after = sum(one.left.chance * (one.certain + one.left.mean) for one in found)
        assert after == pytest.approx(distribution.moments.mean, rel=1e-9, abs=1e-6)


@settings(max_examples=8)
@given(made())
def test_over_all_endings_no_chance_moves(distribution):
    endings = endings_of(distribution)
    for look in looks_at(distribution):
        found = endings.of(look)
        for part, now in endings.now.items():
            if look.kind != OPEN or part != look.parts[0]:
                after = sum(one.left.chance * one.chances[part] for one in found)
                assert after == pytest.approx(now, abs=1e-9)


@settings(max_examples=6)
@given(made(1, 3), st.floats(0.05, 0.95))
def test_a_look_that_tells_worn_from_sound_no_better_than_a_coin(distribution, how):
    part = next(iter(distribution.open_items))
    look = read_by((part,), how, 1 - how)
    (found,) = ranked(distribution, [look], held(distribution))
    assert found.fall == pytest.approx(0, abs=1e-5 * max(distribution.moments.deviation, 1))


@settings(max_examples=6)
@given(models.items(1, 3), FIXED)
def test_a_perfect_test_tells_what_opening_does(items, cost):
    """Where the cost is known, nothing else is left to learn by opening."""
    costs = {one.part: Pert(cost, cost, cost) for one in items}
    distribution = Distribution(FactorModel(items, ()), costs, SPREAD)
    part = items[0].part
    looks = [opening(part), read_by((part,), 1.0, 1.0)]
    found = ranked(distribution, looks, held(distribution))
    assert found[0].fall == pytest.approx(found[1].fall, abs=1e-5 * distribution.moments.deviation)


@settings(max_examples=6)
@given(made(1, 3), st.floats(0.55, 0.75), st.floats(0.8, 0.95))
def test_a_better_test_is_expected_to_move_chances_further(distribution, se, more):
    """How far the chance of the part spreads over the endings rises with what a test detects."""
    part = next(iter(distribution.open_items))
    endings = endings_of(distribution)

    def spread(sensitivity: float) -> float:
        found = endings.of(read_by((part,), sensitivity, 0.8))
        return sum(one.left.chance * one.chances[part] ** 2 for one in found)

    assert spread(more) >= spread(se) - 1e-12


def one_part(chance: float = 0.3) -> Distribution:
    items = [models.item("P0", chance)]
    return Distribution(FactorModel(items, ()), {"P0": Pert(1000.0, 1200.0, 2000.0)}, {})


def test_the_last_part_opened_leaves_nothing_open():
    """The closed form: nothing is left to fall from, so all of (percentile - mean) falls."""
    distribution = one_part()
    (found,) = ranked(distribution, [opening("P0")], held(distribution))
    assert found.fall == pytest.approx(spread_now(distribution, SHARE), abs=1e-9)
    assert found.changes_disposition == pytest.approx(0.3, abs=QUADRATURE)


def test_an_opening_changes_the_decision_where_the_part_alone_is_too_much():
    """Base 0; the price now is the P80 of one part, which only its being worn can pass."""
    distribution = one_part()
    near = replace(held(distribution), limit=1100.0)  # now at some 1,260: over
    (found,) = ranked(distribution, [opening("P0")], near)
    assert found.changes_decision == pytest.approx(0.7, abs=QUADRATURE)  # sound: inside after all
    far = replace(near, limit=1290.0)  # now inside; worn it would be 1,300 in the mean
    (found,) = ranked(distribution, [opening("P0")], far)
    assert found.changes_decision == pytest.approx(0.3, abs=QUADRATURE)
    never = replace(near, limit=5000.0)
    (found,) = ranked(distribution, [opening("P0")], never)
    assert found.changes_decision == 0


def test_an_alarm_that_makes_a_part_firm_changes_its_disposition():
    """0.3 -> 0.872 on an alarm of 0.8 and 0.95 (Bayes by hand); P(alarm) = 0.275."""
    distribution = one_part()
    look = read_by(("P0",), 0.8, 0.95)
    (found,) = ranked(distribution, [look], held(distribution))
    assert found.changes_disposition == pytest.approx(0.8 * 0.3 + 0.05 * 0.7, abs=QUADRATURE)
    higher = held(distribution, firm=0.9)
    (found,) = ranked(distribution, [look], higher)
    assert found.changes_disposition == 0


def test_a_part_that_is_firm_by_its_chance_may_fall_below():
    """P0, priced as firm at 0.9, follows P1 through the life factor: found sound, P1 takes it
    below 0.85 (to 0.82: by the bivariate normal); found worn, it leaves it firm."""
    items = [models.item("P0", 0.9, life=0.65), models.item("P1", 0.5, life=0.65)]
    distribution = Distribution(FactorModel(items, ()), {"P1": Pert(900.0, 1000.0, 1200.0)}, SPREAD)
    chances = [one.chances["P0"] for one in endings_of(distribution).of(opening("P1"))]
    assert chances[0] > 0.9
    assert chances[1] < 0.85
    against = replace(held(distribution), firm=frozenset({"P0"}))
    (found,) = ranked(distribution, [opening("P1")], against)
    assert found.changes_disposition == pytest.approx(1, abs=QUADRATURE)  # worn, or P0 no more


def test_looks_of_the_golden_job_to_six_places(priced):
    """Against the long way on the job worked by hand: hubs that share their parameters, all
    circuits, oil tests that were taken."""
    distribution = priced.contingency.distribution
    looks = {one.id: one for one in possible_looks(priced.cat, priced.known, priced.exposed)}
    quick = endings_of(distribution).of(looks["T-NDT"])
    slow = Slowly(distribution).endings(looks["T-NDT"], SHARE)
    reached = percentiles(distribution, [one.left for one in quick], SHARE)
    for one, at, other in zip(quick, reached, slow, strict=True):
        assert one.left.chance == pytest.approx(other.chance, rel=1e-6)
        assert one.left.mean == pytest.approx(other.mean, rel=1e-6)
        assert at == pytest.approx(other.reached, rel=1e-6)
        assert dict(one.chances) == pytest.approx(dict(other.chances), rel=1e-6, abs=1e-9)


@given(st.floats(0.55, 0.95), st.floats(0.55, 0.95), st.booleans())
def test_a_second_sign_of_a_family_keeps_bayes_rule(se, sp, alarmed):
    """The strongest of a family counts: under the chances taken for its answers the posterior
    still averages to what it is now."""
    test = replace(any_test(), id="T-NEW", target=("P-CWR",), sensitivity=se, specificity=sp)
    known, exposed = _with_sign(test.family, 2.75 if alarmed else 0.5625)
    catalogue = replace(golden_inputs()[1], tests={"T-NEW": test})
    looks = [one for one in possible_looks(catalogue, known, exposed) if one.kind == TEST]
    if not looks:
        return  # either answer would leave the sign that is there, or move the same way
    (answer,) = looks[0].answers
    assert 0 <= answer.if_sound <= 1
    assert 0 <= answer.if_worn <= 1
    now = 0.4
    alarm = answer.if_worn * now + answer.if_sound * (1 - now)
    after = alarm * (answer.if_worn * now / alarm if alarm else 0.0)
    after += (1 - answer.if_worn) * now
    assert after == pytest.approx(now)


def _with_sign(family: str, ratio: float):
    part = models.exposed("P-CWR", Pert(1.0, 2.0, 3.0))
    sign = Sign("I01", "T-OLD", "P-CWR", family, ratio > 1, ratio, True)
    chance = replace(part.chance, signs=(sign,))
    known = models.known([models.item("P-CWR")])
    return replace(known, chances={"P-CWR": chance}), (replace(part, chance=chance),)
