"""What each class comes to before anybody looked: sums that tie, and the shape the trade knows."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.plausibility import (
    MACHINE_HOURS,
    TOP_LINES,
    TYPICAL_REPAIR,
    class_price,
    unseen_job,
)
from estimator.domain.priced_work import held, priced_work
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_workshop import open_workshop

DAY = date(2026, 11, 26)
CATALOGUE, DEFAULTS = open_catalogue(), open_workshop()


@pytest.fixture(scope="module")
def loader():
    """The wheel loader at 10,000 h, by level."""
    cat = for_class(CATALOGUE, "WL28")
    return {
        level: class_price(cat, level, 10_000, DEFAULTS, DAY)
        for level in ("full", "driveline", "repair")
    }


def test_its_sums_are_those_of_its_lines(loader):
    cat = for_class(CATALOGUE, "WL28")
    for level, found in loader.items():
        work = priced_work(unseen_job(cat, level, 10_000, DEFAULTS, DAY), cat)
        lines = sum(one.amount.minor for one in work.lines)
        assert found.labour.minor + found.parts.minor + found.outwork.minor == lines
        assert found.net.minor == work.sums.base.minor + found.contingency.minor
        amounts = sorted((one.amount.minor for one in work.lines), reverse=True)[:TOP_LINES]
        assert [amount.minor for *_, amount in found.top] == amounts
        new = cat.machine_class.new_price_likely
        assert abs(found.share - found.likely.amount / new) <= Decimal("0.0005")


def test_the_more_is_done_the_more_it_comes_to(loader):
    repair, driveline, full = (loader[one] for one in ("repair", "driveline", "full"))
    assert repair.net < driveline.net < full.net
    assert repair.hours < driveline.hours < full.hours
    assert repair.weeks < driveline.weeks < full.weeks


def test_it_says_on_which_side_of_the_usual_it_lies(loader):
    full = loader["full"]
    low, high = full.band
    expected = "below" if full.share < low else "above" if full.share > high else ""
    assert full.outside == expected
    assert loader["repair"].band[0] == 0


@pytest.mark.parametrize("code", CATALOGUE.classes)
def test_a_machine_with_more_hours_is_no_cheaper(code):
    cat = for_class(CATALOGUE, code)
    for level in ("full", "driveline", "repair"):
        sums = []
        for hours in MACHINE_HOURS:
            work = priced_work(unseen_job(cat, level, hours, DEFAULTS, DAY), cat)
            sums.append(work.sums.base.amount + held(work).amount.amount)
        assert sums == sorted(sums), level


@pytest.mark.parametrize("code", CATALOGUE.classes)
def test_every_class_can_have_its_pumps_and_valves_repaired(code):
    cat = for_class(CATALOGUE, code)
    work = priced_work(unseen_job(cat, "repair", 10_000, DEFAULTS, DAY), cat)
    touched = {one.line.row.component for one in work.lines}
    assert TYPICAL_REPAIR[0] in touched
    assert work.sums.base < priced_work(unseen_job(cat, "full", 10_000, DEFAULTS, DAY),
                                        cat).sums.base  # fmt: skip
