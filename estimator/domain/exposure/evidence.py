"""What tests say of parts and of circuits, as likelihood ratios.

A test of a part attaches to that part only; of each family of signs the strongest counts once
(five signs of one fault are one sign). A test of a circuit attaches to that circuit's factor.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from math import log

from estimator.domain.catalogue.work_rows import ConditionTest
from estimator.domain.disposition import Judgement

_LEAST = 1e-6  # a test said to be perfect is taken as wrong once in a million


@dataclass(frozen=True, slots=True)
class Sign:
    """One test result on one part or circuit. `used` is false where a stronger one of its family
    stands for it."""

    finding: str
    test: str
    target: str
    family: str
    alarm: bool
    ratio: float
    used: bool


def likelihood_ratio(test: ConditionTest, *, alarm: bool) -> float:
    """How much likelier the result is on a worn part than on a sound one."""
    sensitivity, specificity = float(test.sensitivity), float(test.specificity)
    if alarm:
        return sensitivity / max(1 - specificity, _LEAST)
    return max(1 - sensitivity, _LEAST) / specificity


def signs_from(
    judgements: Iterable[Judgement], tests: Mapping[str, ConditionTest], on: str
) -> tuple[Sign, ...]:
    """Every sign on parts (`on` = "part") or circuits ("circuit"), strongest of a family marked.

    On a tie the finding that comes first counts.
    """
    found: list[Sign] = []
    for judgement in judgements:
        test = tests.get(judgement.test)
        if test is None or judgement.alarm is None or test.on != on:
            continue
        targets = judgement.sign_of if on == "part" else test.target
        ratio = likelihood_ratio(test, alarm=judgement.alarm)
        found += [
            Sign(judgement.finding.id, test.id, one, test.family, judgement.alarm, ratio, True)
            for one in targets
        ]
    strongest: dict[tuple[str, str], Sign] = {}
    for sign in found:
        known = strongest.get((sign.target, sign.family))
        if known is None or abs(log(sign.ratio)) > abs(log(known.ratio)):
            strongest[sign.target, sign.family] = sign
    return tuple(
        sign if strongest[sign.target, sign.family] is sign else _unused(sign) for sign in found
    )


def _unused(sign: Sign) -> Sign:
    return Sign(sign.finding, sign.test, sign.target, sign.family, sign.alarm, sign.ratio, False)


def combined_ratio(signs: Iterable[Sign], target: str) -> float:
    """Product of the used ratios on one target; 1 where there is none."""
    product = 1.0
    for sign in signs:
        if sign.target == target and sign.used:
            product *= sign.ratio
    return product


def updated(chance: float, ratio: float) -> float:
    """Chance after evidence of likelihood ratio `ratio` (Bayes' rule in odds)."""
    return ratio * chance / (1 - chance + ratio * chance)
