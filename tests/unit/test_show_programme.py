"""Rows of the Programme page, against the golden dates."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from estimator.services.show_programme import OUTWORK, ProgrammeRows, show_programme
from tests.golden.golden_job import expected_rows


@pytest.fixture(scope="module")
def shown(priced) -> ProgrammeRows:
    return show_programme(priced)


def day_of(shown: ProgrammeRows, number: float) -> date:
    return shown.start + timedelta(days=int(number))


def test_the_finishes_are_the_golden_dates(shown):
    wanted = {row["id"]: date.fromisoformat(row["date"]) for row in expected_rows("dates")}
    assert shown.finish_nothing_worn == wanted["DET"]
    assert shown.finish_half == wanted["P50"]
    assert shown.finish_covered == wanted["P80"]
    # a finish line stands at the end of its day
    assert day_of(shown, shown.half - 0.5) == wanted["P50"]
    assert day_of(shown, shown.covered - 0.5) == wanted["P80"]
    assert shown.weeks_covered == 14  # 7 December to 12 March: 96 days


def test_bars_lie_on_the_golden_days(shown):
    wanted = {
        row["id"]: (row["start_date"], row["finish_date"])
        for row in expected_rows("programme")
        if float(row["elapsed_working_hours_h"] or 0) > 0
    }
    found = {
        row.id: (day_of(shown, row.start).isoformat(), day_of(shown, row.end - 1e-6).isoformat())
        for row in shown.rows
    }
    assert found == wanted
    assert all(row.start < row.end <= row.tail_end <= shown.last for row in shown.rows)


def test_the_longest_path_holds_together(shown):
    path = [row for row in shown.rows if row.longest]
    assert {row.id for row in path} >= {"A01", "A10", "X04", "A34"}
    assert all(row.slack_days > 0 for row in shown.rows if not row.longest)
    # each of it but the first follows another of it
    followers = {end for _start, end in shown.links}
    assert [
        row.id for place, row in enumerate(shown.rows) if row.longest and place not in followers
    ] == ["A01"]
    assert all(shown.rows[a].longest and shown.rows[b].longest for a, b in shown.links)


def test_outwork_and_awaited_parts(shown):
    rows = {row.id: row for row in shown.rows}
    assert {row.id for row in shown.rows if row.kind == OUTWORK} == {
        "X01",
        "X02",
        "X03",
        "X04",
        "X05",
    }
    wait = rows["A15"].waits_for
    assert (wait.weeks, wait.ready_day) == (2.0, date(2026, 12, 21))
    assert len(wait.names) == 1
    assert wait.ready == pytest.approx(rows["A15"].start)
    assert rows["A01"].waits_for is None


def test_closed_days_are_spans_with_their_weekends(shown):
    spans = [(day_of(shown, a), day_of(shown, b - 1)) for a, b in shown.closures]
    # Christmas Day 2026 is a Friday: closed until Sunday at least, New Year's Day too
    assert any(a <= date(2026, 12, 25) and b >= date(2026, 12, 27) for a, b in spans)
    assert any(a <= date(2027, 1, 1) <= b for a, b in spans)
    assert not any(a <= date(2026, 12, 21) <= b for a, b in spans)


def test_weeks_and_what_is_longest(shown):
    assert sum(week.share for week in shown.weeks) == pytest.approx(1)
    assert [week.covered for week in shown.weeks] == [True, True, True, False, False]
    shares = [row.share for row in shown.longest]
    assert shares == sorted(shares, reverse=True)
    assert all(0 < share < 1 for share in shares)
    assert shown.always_longest >= 8
    assert ("A16", "Front axle, hubs, brakes") in {(row.id, row.name) for row in shown.longest}


def test_heads(shown):
    assert shown.mondays[0] == (0.0, date(2026, 12, 7))
    assert all(day.weekday() == 0 for _number, day in shown.mondays)
    assert [day for _number, day in shown.months] == [
        date(2026, 12, 7),
        date(2027, 1, 1),
        date(2027, 2, 1),
        date(2027, 3, 1),
    ]


def test_working_days_and_the_figure_to_ask_why(shown, priced):
    assert shown.days_nothing_worn == 54  # 431.19 h of 8
    assert shown.days_held == shown.days_covered - shown.days_nothing_worn == 10
    assert shown.figure in priced.reasons.figures
