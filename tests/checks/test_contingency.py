"""The contingency: its bounds, its contributions, and what it does as confidence grows."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.exposure.contingency import contingency, contingency_amount
from estimator.domain.exposure.factors import FactorModel, Item
from estimator.domain.money import Money


def held(golden, parts, lines, confidence: str) -> Money:
    return contingency_amount(golden.known, parts, lines, Decimal(confidence), "GBP", Decimal(1))


def some_of(golden):
    """Every fourth exposed part and every third provisional line: quick, and mixed enough."""
    lines = tuple(one for one in golden.lines if one.line.certainty == "provisional")
    return golden.exposed[::4], lines[::3]


def test_more_confidence_never_holds_less(golden):
    parts, lines = some_of(golden)
    amounts = [
        held(golden, parts, lines, c).minor for c in ("0.5", "0.6", "0.7", "0.8", "0.9", "0.95")
    ]
    assert amounts == sorted(amounts)
    assert amounts[0] < amounts[-1]


@pytest.mark.parametrize("confidence", ["0.5", "0.8"])
def test_never_below_the_mean(golden, confidence):
    parts, lines = some_of(golden)
    found = contingency(golden.known, parts, lines, Decimal(confidence), "GBP", Decimal(1))
    assert float(found.amount.amount) >= found.mean - 0.5
    assert sum(share.amount.minor for share in found.shares) == found.amount.minor
    assert sum(share.expected for share in found.shares) == pytest.approx(found.mean)


def test_one_unlikely_part_gives_its_mean_not_nothing(golden):
    part = next(one for one in golden.exposed if one.part == "P-XTB")
    model = FactorModel([Item("P-XTB", "", 0.45, 0.0, (0.06,))], ())
    known = replace(golden.known, model=model)
    found = contingency(known, (part,), (), Decimal("0.8"), "GBP", Decimal(1))
    assert found.bound == "mean"
    assert found.at_confidence == pytest.approx(0, abs=5)
    # by hand: 0.06 x (900 + 4 x 1,350 + 2,700) / 6 = 90
    assert found.amount == Money(90_00, "GBP")


def test_nothing_open_holds_nothing(golden):
    found = contingency(golden.known, (), (), Decimal("0.8"), "GBP", Decimal(1))
    assert (found.amount, found.bound) == (Money(0, "GBP"), "nothing")


def test_lines_that_can_only_fall_hold_nothing(golden):
    line = next(one for one in golden.lines if one.id == "P-TUR")
    falling = replace(line, high=line.amount)
    found = contingency(golden.known, (), (falling,), Decimal("0.8"), "GBP", Decimal(1))
    assert (found.amount, found.bound) == (Money(0, "GBP"), "nothing")
    assert found.mean < 0


@pytest.mark.parametrize("confidence", ["0", "1", "1.2"])
def test_a_confidence_that_cannot_be_is_refused(golden, confidence):
    parts, lines = some_of(golden)
    with pytest.raises(ValueError, match="confidence"):
        held(golden, parts[:1], lines[:1], confidence)
