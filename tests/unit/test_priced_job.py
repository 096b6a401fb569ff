"""One job reckoned through: what a reader is warned of, and what never changes."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.money import Money
from estimator.domain.priced_job import reckon
from tests.golden.golden_job import golden_inputs
from tests.unit.changed import (
    row_changed,
)


@pytest.fixture(scope="module")
def turned():
    """The golden job with its findings in reverse, on a machine twice as dear when new."""
    job, cat = golden_inputs()
    dear = row_changed(
        cat.catalogue, "classes", "WL28", new_price_likely=Decimal(900000),
        new_price_high=Decimal(900000),
    )  # fmt: skip
    told: list[str] = []
    got = reckon(replace(job, findings=job.findings[::-1]), for_class(dear, "WL28"), told.append)
    assert list(dict.fromkeys(told)) == ["scope", "chances", "contingency", "programme", "done"]
    return got


def test_certainties_are_kept_apart_down_to_the_net(priced):
    price = priced.price
    assert price.firm + price.provisional_lines + priced.contingency.amount == price.net
    by_group = sum(group.contingency.minor for group in price.groups)
    assert by_group == priced.contingency.amount.minor


def test_findings_in_any_order_give_the_same_price(priced, turned):
    assert turned.price.net == priced.price.net == Money(27594600, "GBP")
    assert turned.contingency.amount == priced.contingency.amount
    assert {s.id: s.amount for s in turned.contingency.shares} == {
        s.id: s.amount for s in priced.contingency.shares
    }
    assert turned.finish.days == priced.finish.days


def test_every_open_part_has_its_chance_cost_and_share_in_the_reasons(priced):
    for part in priced.exposed:
        assert priced.reasons.get(f"chance/{part.part}").value == round(part.chance.after, 6)
        assert priced.reasons.get(f"cost_if_worn/{part.part}").numbers
        share = priced.reasons.get(f"contribution/{part.part}")
        assert f"chance/{part.part}" in share.inputs


def test_a_chance_names_the_findings_that_moved_it(priced):
    figure = priced.reasons.get("chance/P-HB2")
    assert {"finding/I28", "finding/I33"} <= set(figure.inputs)
    assert figure.origin == "own cases (14)"
