"""Looks that could still be taken before the price is settled: parts opened fully, tests not done.

A test answers for each part that it reads by itself. Of each family of signs the strongest counts
once, so a second sign of a family says less than it would alone: the chances of its answers are
those, and there is only one pair of them, under which "the strongest counts" is Bayes' own rule.
With r_alarm and r_clear the ratios by which either answer would multiply a part's odds,

    P(alarm | sound) = (1 - r_clear) / (r_alarm - r_clear),  P(alarm | worn) = r_alarm times that,

which is 1 - specificity and sensitivity where the family has no sign yet. Where either answer
would move the odds the same way, or none would, such a look can teach nothing and is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import log

from estimator.domain.catalogue.catalogue import ClassCatalogue
from estimator.domain.catalogue.work_rows import ConditionTest
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.exposure.evidence import Sign, likelihood_ratio
from estimator.domain.exposure.exposed_parts import Known

OPEN, TEST, CIRCUIT_TEST = "open", "test", "circuit test"
OPENING = "open/"  # begins the id of a full opening


@dataclass(frozen=True, slots=True)
class Answer:
    """How one part answers a test: chance of an alarm if it is worn, and if it is sound."""

    part: str
    if_worn: float
    if_sound: float


@dataclass(frozen=True, slots=True)
class Look:
    """One look that could be taken. `parts` are the exposed parts it speaks of: itself, or those
    of the circuit. `answers` has one entry for each part a test reads; `test` is None where a part
    is opened."""

    id: str
    kind: str
    name: str
    parts: tuple[str, ...]
    circuit: str = ""
    test: ConditionTest | None = None
    answers: tuple[Answer, ...] = ()


def possible_looks(
    cat: ClassCatalogue, known: Known, exposed: tuple[ExposedPart, ...]
) -> tuple[Look, ...]:
    """Every look that could still be taken: open fully each exposed part; each test of the
    catalogue whose exposed parts, or whose circuit, it has not answered for yet.

    A circuit that has an answer of a test's family already is not asked again.
    """
    openings = tuple(Look(OPENING + one.part, OPEN, one.name, (one.part,)) for one in exposed)
    return (*openings, *_tests(cat, known, exposed))


def _tests(cat: ClassCatalogue, known: Known, exposed: tuple[ExposedPart, ...]) -> Iterator[Look]:
    open_parts = {one.part for one in exposed}
    in_circuit: dict[str, list[str]] = {}
    for item in known.model.items:
        if item.part in open_parts:
            in_circuit.setdefault(item.circuit, []).append(item.part)
    for test in cat.tests.values():
        if test.on == "circuit":
            asked = {one.target for one in known.circuit_signs if one.family == test.family}
            for circuit in test.target:
                if circuit in in_circuit and circuit not in asked:
                    parts = tuple(in_circuit[circuit])
                    code = circuit_look_id(test, circuit)
                    yield Look(code, CIRCUIT_TEST, test.name, parts, circuit, test)
            continue
        answers = tuple(
            answer
            for part in test.target
            if part in open_parts and (answer := _answer(test, part, known.chances[part].signs))
        )
        if answers:
            read = tuple(answer.part for answer in answers)
            yield Look(test.id, TEST, test.name, read, "", test, answers)


def circuit_look_id(test: ConditionTest, circuit: str) -> str:
    """A test of several circuits is a look at each of them."""
    return test.id if len(test.target) == 1 else f"{test.id}/{circuit}"


def _answer(test: ConditionTest, part: str, signs: Iterable[Sign]) -> Answer | None:
    """How the part would answer; None where it has answered, or where nothing can be learnt."""
    present = 1.0
    for sign in signs:
        if sign.test == test.id:
            return None
        if sign.family == test.family and sign.used:
            present = sign.ratio
    alarm, clear = (
        _stronger(present, likelihood_ratio(test, alarm=one)) / present for one in (True, False)
    )
    if (alarm - 1) * (clear - 1) >= 0:
        return None
    if_sound = (1 - clear) / (alarm - clear)
    return Answer(part, alarm * if_sound, if_sound)


def _stronger(present: float, new: float) -> float:
    return new if abs(log(new)) > abs(log(present)) else present
