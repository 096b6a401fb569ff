"""The golden job's programme: hours, leads and dates of every activity, and the finish.

Expected files: computed by a separate script (critical path written apart, 200,000 scenarios and
six seeds for the finish); working days by numpy's busday functions.
"""

from __future__ import annotations

from datetime import date

import pytest

FOUR_PLACES = 0.6e-4  # the expected file gives four places


def by_id(rows) -> dict[str, dict[str, str]]:
    return {row["id"]: row for row in rows}


def test_network_and_what_each_activity_waits_for(golden, expected):
    wanted = {
        code: (
            row["activity"], row["place"], set(filter(None, row["predecessor_ids"].split(";"))),
            int(row["teams"]), set(filter(None, row["waits_for_parts"].split(";"))),
            float(row["longest_lead_weeks"] or 0), float(row["outwork_days"] or 0),
        )
        for code, row in by_id(expected("programme")).items()
    }  # fmt: skip
    found = {
        step.id: (
            step.name, step.bay, set(step.after), step.teams, set(step.waits_for),
            step.lead_weeks, step.outwork_days,
        )
        for step in golden.programme.steps.values()
    }  # fmt: skip
    assert len(wanted) == 39
    assert found == wanted


@pytest.mark.parametrize(
    ("column", "figure"),
    [
        ("man_hours_h", lambda step: step.man_hours),
        ("elapsed_working_hours_h", lambda step: step.elapsed),
        ("parts_here_working_hour", lambda step: step.ready),
        ("start_working_hour", lambda step: step.timing.start),
        ("finish_working_hour", lambda step: step.timing.finish),
    ],
    ids=["man-hours", "elapsed", "parts here", "start", "finish"],
)
def test_hours_of_every_activity(golden, expected, column, figure):
    wanted = {code: float(row[column] or 0) for code, row in by_id(expected("programme")).items()}
    found = {code: figure(step) for code, step in golden.programme.steps.items()}
    assert found == pytest.approx(wanted, abs=FOUR_PLACES)


def test_days_of_every_activity(golden, expected):
    wanted = {
        code: (row["start_date"], row["finish_date"])
        for code, row in by_id(expected("programme")).items()
    }
    found = {
        code: (step.start_day.isoformat(), step.finish_day.isoformat())
        for code, step in golden.programme.steps.items()
    }
    assert found == wanted


def test_elapsed_hours_worked_by_hand(golden):
    # O0103 44 h by two: 44 / (2 x 0.95 x 0.85) = 27.245; 40 h by one: 47.059; two teams: 37.152
    assert golden.programme.steps["A13"].elapsed == pytest.approx(37.152, abs=0.001)
    # two weeks' lead: parts usable from 21 Dec 2026, the eleventh working day
    assert golden.programme.steps["A13"].ready == 80


def test_finish_with_nothing_found_worn(golden, expected):
    wanted = by_id(expected("dates"))["DET"]
    assert golden.programme.finish_day == date.fromisoformat(wanted["date"]) == date(2027, 2, 26)
    assert golden.programme.finish_hour == pytest.approx(float(wanted["working_hour"]), abs=0.006)
    assert golden.programme.weeks == pytest.approx(float(wanted["weeks_from_start"]), abs=0.051)


@pytest.mark.parametrize("percent", [10, 50, 80, 90])
def test_finish_by_share_of_scenarios(golden, expected, percent):
    wanted = by_id(expected("dates"))[f"P{percent}"]
    share = percent / 100
    assert golden.finish.days[share] == date.fromisoformat(wanted["date"])
    # 5,000 other draws: the quantile of the working hours moves by an hour or two
    hours = float(wanted["working_hour"])
    assert golden.finish.hours[share] == pytest.approx(hours, abs=4)


def test_finish_of_every_activity_by_share_of_scenarios(golden, expected):
    """Drawn apart with other random numbers, so a few dates may be one working day out."""
    time = golden.programme.time
    out = 0
    for code, row in by_id(expected("programme")).items():
        for found, name in zip(golden.finish.step_finish[code], ("P50", "P80"), strict=True):
            wanted = date.fromisoformat(row[f"{name}_finish"])
            apart = time.open_days_before(found) - time.open_days_before(wanted)
            assert abs(apart) <= 1, (code, name, found, wanted)
            out += apart != 0
    assert out <= 8  # of 78


def test_share_of_scenarios_on_the_longest_path(golden, expected):
    # six standard errors of a share of 5,000 draws on each side: 0.03 at most
    wanted = {
        code: float(row["share_of_scenarios_on_longest_path"])
        for code, row in by_id(expected("programme")).items()
    }
    assert golden.finish.on_longest == pytest.approx(wanted, abs=0.03)
