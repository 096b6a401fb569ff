"""The Programme page, by keyboard: the activities, the finish, the start date."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from PySide6.QtCore import Qt

from estimator.desktop.formats import Formats
from estimator.services.edit_job import open_draft
from tests.desktop.conftest import LONGEST, open_at, settle


@pytest.fixture
def window(make_window: Any) -> Any:
    return make_window()


@pytest.fixture
def page(qtbot: Any, window: Any) -> Any:
    found = open_at(qtbot, window, "programme")
    qtbot.waitUntil(lambda: found.chart.data is not None, timeout=LONGEST)
    return found


def type_start(qtbot: Any, page: Any, text: str) -> None:
    page.main_action()
    assert page.start.hasFocus()
    qtbot.keyClicks(page.start, text)
    qtbot.keyClick(page.start, Qt.Key.Key_Return)


def test_activities_and_the_finish(qtbot, window, page):
    assert page.chart.hasFocus()
    assert page.place() == "A01"
    assert "on the longest path" in page._words.whole_text
    data = page.chart.data
    assert data.finish_50.words.endswith("Tue 9 Mar 2027")
    assert data.finish_80.words.endswith("Fri 12 Mar 2027")
    assert page.side._finish.text() == "Fri 12 Mar 2027"
    qtbot.keyClick(page.chart, Qt.Key.Key_Down)
    assert page.place() == "A02"
    page.go_to("X02")
    assert "away, 10 days" in page._words.whole_text
    assert "days of slack" in page._words.whole_text
    # F9 swaps the finish with why it is so
    assert page.side.isVisible()
    assert not window.why.isVisible()
    qtbot.keyClick(window, Qt.Key.Key_F9)
    assert window.why.isVisible()
    assert not page.side.isVisible()
    assert window.why.figure == "finish/80"
    qtbot.keyClick(window, Qt.Key.Key_F9)
    assert page.side.isVisible()


def test_the_start_date(qtbot, window, page, record):
    type_start(qtbot, page, "soon")
    settle(qtbot, window)
    draft = open_draft(record, "Q-2041")
    assert draft.kept == {"start": "soon"}
    assert draft.job.start == datetime.date(2026, 12, 7)
    assert page.start.text() == "soon"
    assert page.start.property("state") == "invalid"
    type_start(qtbot, page, "14 Dec 2026")
    assert page.start.property("state") == ""
    assert window.desk.undo_name == "start date"
    qtbot.waitUntil(lambda: page._shown.start == datetime.date(2026, 12, 14), timeout=LONGEST)
    draft = open_draft(record, "Q-2041")
    assert (draft.job.start, draft.kept) == (datetime.date(2026, 12, 14), {})
    assert page.side._finish.text() > ""
    assert page._shown.finish_covered > datetime.date(2027, 3, 12)


@pytest.mark.parametrize("locale", ["en_GB", "de_DE", "fr_FR", "pl_PL"])
def test_a_day_is_read_as_it_is_shown(locale):
    say = Formats(locale)
    for month in range(1, 13):
        day = datetime.date(2027, month, 5)
        assert say.read_day(say.day(day)) == day
