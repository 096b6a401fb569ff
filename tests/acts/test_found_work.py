"""A sample job with ways by chance and work that may be found: reckoned, shown, taken out."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.exposure.ways_when_worn import WaysWhenWorn
from estimator.domain.job import ScopeChange
from estimator.domain.money import money_sum
from estimator.domain.priced_job import PricedJob
from estimator.domain.quote import build_quote
from estimator.domain.scope_edits import with_line_back, with_line_out, with_way
from estimator.services.compare_options import compare_ways
from estimator.services.errors import Refused
from estimator.services.explain_figure import explain_as_text
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_job import open_job
from estimator.services.show_exposure import show_exposure
from estimator.services.show_price import price_table
from estimator.services.show_scope import GONE, scope_table
from estimator.services.work_out import hold, reckon_whole, work_out
from tests.acts.workshop import NOW

SAMPLES = Path(__file__).parent.parent.parent / "sample_db"


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return open_catalogue()


@pytest.fixture(scope="module")
def excavator(catalogue: Catalogue) -> PricedJob:
    return reckon_whole(open_job(SAMPLES / "crawler_excavator", catalogue)[0], catalogue)


def test_the_sample_holds_ways_by_chance_and_found_work(excavator: PricedJob) -> None:
    assert len(excavator.found) >= 8
    assert sum(isinstance(one.cost, WaysWhenWorn) for one in excavator.exposed) >= 5
    for part in excavator.exposed:
        assert sum(way.share for way in part.ways) == pytest.approx(1)
        assert 0.7 * part.cost.mean <= part.workshop_cost.mean <= 0.9 * part.cost.mean
    for one in excavator.found:
        assert 0.6 * one.cost.mean <= one.workshop_cost.mean <= 0.9 * one.cost.mean


def test_contributions_come_to_the_contingency(excavator: PricedJob) -> None:
    held = excavator.contingency
    assert money_sum((one.amount for one in held.shares), "GBP") == held.amount
    assert {one.key for one in excavator.found} <= {one.id for one in held.shares}
    expected = sum(one.expected for one in held.shares)
    assert expected == pytest.approx(held.mean, rel=1e-6)
    groups = {one.group: one for one in show_exposure(excavator).groups}
    for group, amount in held.group_amounts("GBP").items():
        assert groups[group].amount == amount


def test_no_figure_dangles_and_found_work_can_be_asked_why(excavator: PricedJob) -> None:
    figures = excavator.reasons.figures
    assert [i for one in figures.values() for i in one.inputs if i not in figures] == []
    for one in excavator.found:
        share = figures[f"contribution/{one.key}"]
        assert share.inputs == (one.key,)
        assert dict(figures[one.key].numbers)["expected count"].startswith(f"{one.expected:.4f}")
    assert "expected count" in explain_as_text(excavator, excavator.found[0].key)
    mixed = next(one for one in excavator.exposed if len(one.ways) > 1)
    numbers = dict(figures[f"cost_if_worn/{mixed.part}"].numbers)
    assert sum(name.endswith("%") for name in numbers) == len(mixed.ways)


def test_the_price_shows_found_work_as_rows_of_its_own(excavator: PricedJob) -> None:
    table = price_table(None, excavator, NOW.date())
    rows = {row.id: row for row in table.rows if row.kind == "found"}
    shares = {one.id: one.amount for one in excavator.contingency.shares}
    assert set(rows) == {one.id for one in excavator.found}
    for one in excavator.found:
        row = rows[one.id]
        assert row.contingency == shares[one.key]
        assert (row.amount, row.low) == (None, 0)
        assert 0 < row.likely <= row.high
        assert row.rests.count == Decimal(repr(one.expected)).quantize(Decimal("0.1"))
    held = money_sum(
        (head.contingency for head, _rows in table.sections if head.contingency), "GBP"
    )
    assert held == excavator.price.contingency


def test_an_estimator_takes_found_work_out_with_a_reason(
    excavator: PricedJob, catalogue: Catalogue
) -> None:
    row = next(one for one in scope_table(excavator).rows if one.id == "FW09")
    assert (row.disposition, row.rests.unseen) == ("open", True)
    assert [one.hazard for one in row.cautions] == ["Seized pins", "Hot work"]
    job = with_line_out(excavator.job, row.id, "every pin seen to turn", "P. Holt")
    work = work_out(job, catalogue)
    assert "FW09" not in {one.id for one in work.found}
    assert hold(work).mean < excavator.contingency.mean
    assert work.scope.idle_changes == ()
    gone = next(one for one in scope_table(work).rows if one.id == "FW09")
    assert (gone.kind, gone.reason) == (GONE, "every pin seen to turn")
    back = work_out(with_line_back(job, "FW09"), catalogue)
    assert [one.id for one in back.found] == [one.id for one in excavator.found]


def test_found_work_that_was_taken_out_is_named_on_the_quote(
    excavator: PricedJob, catalogue: Catalogue
) -> None:
    job = with_line_out(excavator.job, "FW09", "every pin seen to turn", "P. Holt")
    quote = build_quote(reckon_whole(job, catalogue), with_options=False)
    assert quote.not_held == ("Boom or linkage pin seized in its bore, freed with heat and press",)


def test_found_work_cannot_be_put_in_as_a_line(excavator: PricedJob, catalogue: Catalogue) -> None:
    added = replace(excavator.job, added=(ScopeChange("FW09", "it is seized", "P. Holt"),))
    with pytest.raises(Refused) as caught:
        work_out(added, catalogue)
    assert "FW09" in str(caught.value.problems[0])


def test_a_way_chosen_counts_alone(excavator: PricedJob, catalogue: Catalogue) -> None:
    part = next(one for one in excavator.exposed if len(one.ways) == 2)
    options = compare_ways(excavator, part.part)
    assert not any(one.chosen for one in options)
    assert sum(one.share or 0 for one in options) == 1
    sums = sorted(one.contingency for one in options)
    assert sums[0] <= excavator.price.contingency <= sums[-1]
    chosen = work_out(with_way(excavator.job, part.part, part.way), catalogue)
    alone = next(one for one in chosen.exposed if one.part == part.part)
    assert [(one.way, one.share) for one in alone.ways] == [(part.way, 1.0)]
    held = hold(chosen).amount
    assert held == next(one.contingency for one in options if one.way == part.way)


def test_the_worked_job_has_decided_all_of_it(catalogue: Catalogue) -> None:
    """The wheel loader's own job says which ways, and that nothing is held for found work."""
    work = work_out(open_job(SAMPLES / "wheel_loader", catalogue)[0], catalogue)
    assert work.found == ()
    assert all(len(one.ways) == 1 for one in work.exposed)
    assert hold(work).amount.minor == 3_131_700
