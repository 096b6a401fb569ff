"""From a scope to a programme: what takes how long, and what it waits for."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.programme.network import NetworkCycle
from estimator.domain.programme.programme import build_programme, elapsed_hours
from estimator.domain.programme.working_time import BeyondCalendar
from tests.unit.changed import row_changed, row_of, settings_changed, walked


@pytest.fixture(scope="module")
def golden(job, cat, golden_walk):
    return build_programme(job, cat, golden_walk.scope)


def programme_of(job, catalogue):
    cat = for_class(catalogue, "WL28")
    return build_programme(job, cat, walked(job, cat).scope)


def test_elapsed_hours_by_hand(golden):
    # O0103: 44 / (2 x 0.95 x 0.85) = 27.245; the other 40 h / 0.85 = 47.059; two teams
    assert golden.steps["A13"].elapsed == pytest.approx(37.152, abs=5e-4)
    assert golden.steps["A13"].man_hours == 84


def test_a_crew_shortens_the_work_but_not_in_proportion(job, catalogue, golden):
    """A03 holds O0008 with O0101, O0301 and O0801: three at O0008 in the place of two."""
    three = programme_of(job, row_changed(catalogue, "operations", "O0008", crew=3))
    alone = 18 * 1.25 / 0.85  # packed mud
    saved = alone / (2 * 0.95) - alone / (3 * 0.88)
    assert golden.steps["A03"].elapsed - three.steps["A03"].elapsed == pytest.approx(saved)
    assert three.steps["A03"].man_hours == golden.steps["A03"].man_hours


def test_two_teams_halve_an_activity(job, catalogue, golden):
    one_team = programme_of(job, row_changed(catalogue, "activities", "A01", teams=1))
    assert one_team.steps["A01"].elapsed == pytest.approx(2 * golden.steps["A01"].elapsed)


def test_less_productive_hours_last_longer(job, catalogue, golden):
    slow = programme_of(job, settings_changed(catalogue, productivity=Decimal("0.425")))
    assert slow.steps["A13"].elapsed == pytest.approx(2 * golden.steps["A13"].elapsed)
    assert slow.finish_day > golden.finish_day


def test_nothing_to_do_takes_no_time(cat):
    assert elapsed_hours([], cat.activities["A01"], cat) == 0


def test_outwork_takes_the_longest_of_its_turn_rounds(job, catalogue, golden):
    # X01 holds W01 (4 days), W04 (5) and W05 (5)
    assert golden.steps["X01"].outwork_days == 5
    assert golden.steps["X01"].elapsed == 40
    longer = programme_of(job, row_changed(catalogue, "outwork", "W01", turn_round_days=Decimal(9)))
    assert longer.steps["X01"].elapsed == 72


def test_outwork_in_the_workshop_holds_nothing_up(job, catalogue, golden):
    """W10 is hired in for A15 and occupies no outwork step of its own."""
    longer = programme_of(
        job, row_changed(catalogue, "outwork", "W10", turn_round_days=Decimal(90))
    )
    assert longer.finish_day == golden.finish_day


def test_an_activity_waits_for_the_slowest_part_needed_at_its_start(job, catalogue, golden):
    step = golden.steps["A13"]
    assert "P-LIN" in step.waits_for
    assert "P-BRG" not in step.waits_for  # needed during
    assert step.lead_weeks == 2
    assert step.ready == 80
    slower = programme_of(job, row_changed(catalogue, "parts", "P-LIN", lead_weeks=Decimal(26)))
    start = slower.steps["A13"].start_day
    assert start >= job.start + timedelta(weeks=26)
    assert slower.finish_day > golden.finish_day
    during = programme_of(job, row_changed(catalogue, "parts", "P-BRG", lead_weeks=Decimal(26)))
    assert during.finish_day == golden.finish_day


def test_every_step_comes_after_those_it_waits_for(golden):
    for step in golden.steps.values():
        for one in step.after:
            before = golden.steps[one]
            assert before.timing.finish <= step.timing.start + 1e-9
            assert before.finish_day <= step.finish_day
        assert step.start_day <= step.finish_day or step.elapsed == 0
        assert step.timing.start >= step.ready - 1e-9


def test_the_finish_is_that_of_the_last_step(golden):
    assert golden.finish_hour == max(one.timing.finish for one in golden.steps.values())
    assert golden.finish_day == max(one.finish_day for one in golden.steps.values())
    assert golden.weeks == pytest.approx(((golden.finish_day - date(2026, 12, 7)).days + 1) / 7)


def test_every_line_of_work_belongs_to_a_step(golden, golden_walk):
    placed = {code for step in golden.steps.values() for code in step.lines}
    work = {line.id for line in golden_walk.scope.lines if line.kind == "labour"}
    assert work <= placed


def test_a_later_start_moves_the_finish(job, cat, golden_walk, golden):
    later = build_programme(
        replace(job, start=job.start + timedelta(days=7)), cat, golden_walk.scope
    )
    assert later.finish_day > golden.finish_day


def test_a_ring_of_activities_is_named(job, catalogue):
    ring = row_changed(catalogue, "activities", "A01", after=("A34",))
    with pytest.raises(NetworkCycle, match="A34"):
        programme_of(job, ring)


def test_work_of_half_a_lifetime_is_refused(job, catalogue):
    endless = row_changed(catalogue, "operations", "O0103", hours=Decimal(200000))
    with pytest.raises(BeyondCalendar):
        programme_of(job, endless)


def test_closures_lengthen_the_job(job, catalogue, golden):
    year_end = row_of(catalogue, "closures", "Christmas Day (public holiday)")
    shut = tuple(replace(year_end, date=date(2027, 1, 4) + timedelta(days=n)) for n in range(5))
    closures = (*catalogue.tables["closures"], *shut)
    longer = programme_of(
        job, replace(catalogue, tables={**catalogue.tables, "closures": closures})
    )
    assert longer.finish_hour >= golden.finish_hour
    assert (longer.finish_day - golden.finish_day).days >= 5
