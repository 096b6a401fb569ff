"""Options side by side: levels, ways of one part, teardown only."""

from __future__ import annotations

from decimal import Decimal

import pytest

from estimator.domain.priced_job import PricedJob
from estimator.services.compare_options import compare_levels, compare_ways, offer_teardown
from estimator.services.errors import NotFound


def test_levels_are_priced_with_the_same_findings(priced: PricedJob) -> None:
    full, driveline = compare_levels(priced)
    assert (full.level, driveline.level) == ("full", "driveline")
    assert full.net == priced.price.net
    assert driveline.net < full.net
    for one in (full, driveline):
        assert one.net == one.firm + one.provisional + one.contingency
        # usual bands for a machine of 30 t: common practice, no source
        assert one.usual_low <= one.share_of_new <= one.usual_high


def test_ways_of_an_open_part_move_only_the_contingency(priced: PricedJob) -> None:
    recondition, replace = compare_ways(priced, "P-CRK")
    assert recondition.chosen
    assert recondition.net == priced.price.net
    assert replace.contingency > recondition.contingency
    assert replace.net - recondition.net == replace.contingency - recondition.contingency


def test_ways_of_a_firm_part_move_the_whole_price(priced: PricedJob) -> None:
    (only,) = compare_ways(priced, "P-MPR")  # firm by its chance; replaced is the one way offered
    assert only.chosen
    assert only.net == priced.price.net


def test_a_part_without_ways_is_answered_with_those_that_have(priced: PricedJob) -> None:
    with pytest.raises(NotFound) as caught:
        compare_ways(priced, "P-BRG")
    assert "P-CRK" in caught.value.remedy


def test_teardown_only_is_priced_with_what_stopping_means(priced: PricedJob) -> None:
    offer = offer_teardown(priced)
    lines = sum((one.amount.amount for one in offer.lines), Decimal(0))
    assert Decimal(0) < lines < offer.net.amount < priced.price.net.amount
    assert offer.report_day < priced.programme.finish_day
    assert offer.reassembly.net > offer.boxed_return.net
    assert offer.longest_days >= offer.reassembly.working_days
    assert offer.destroyed
    ids = {one.id for one in offer.lines}
    assert "O0010" in ids  # measure and record; strip report
    assert "O0303" not in ids  # nothing is rebuilt
