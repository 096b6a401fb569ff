"""Find anywhere: by Ctrl+K, over everything there is."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from tests.desktop.accessible import nameless
from tests.desktop.conftest import plain_pages, settle, wait_for

CONTROL = Qt.KeyboardModifier.ControlModifier
NUMBER = "Q-2041"


@pytest.fixture(scope="module")
def window(make_shared_window):
    made = plain_pages(make_shared_window(), reckon=True)
    made.open_job(NUMBER, "price")
    wait_for(lambda: made.desk.job is not None)
    settle(None, made)
    return made


@pytest.fixture
def panel(window):
    window.go("jobs")
    window.activateWindow()
    window.page.search.setFocus()
    QTest.keyClick(window.page.search, Qt.Key.Key_K, CONTROL)
    panel = window.acts.find_panel
    wait_for(panel.line.hasFocus)
    yield panel
    panel.hide()


def find(panel, words):
    panel.line.clear()
    QTest.keyClicks(panel.line, words)
    wait_for(lambda: not panel._soon.isActive() and panel._looking is None)
    return [panel.list.item(n).text() for n in range(panel.list.count())]


def test_it_finds_a_job_and_enter_opens_it(window, panel):
    assert any(NUMBER in text for text in find(panel, "ostrey"))
    QTest.keyClick(panel.line, Qt.Key.Key_Return)
    wait_for(lambda: window.page_key == "enquiry")
    assert not panel.isVisible()


def test_it_finds_a_finding_and_goes_to_it(window, panel, monkeypatch):
    gone = []
    monkeypatch.setattr(window, "open_job", lambda *where: gone.append(where))
    finding = window.desk.job.findings[2]
    find(panel, finding.id)
    for row in range(panel.list.count()):
        if panel.list.item(row).data(Qt.ItemDataRole.UserRole)[0] == NUMBER:
            panel.list.setCurrentRow(row)
            break
    QTest.keyClick(panel.line, Qt.Key.Key_Return)
    assert gone == [(NUMBER, "inspection", finding.id)]


def test_it_finds_a_figure_and_tells_why(window, panel):
    assert "Contingency" in find(panel, "contingency")[0]
    QTest.keyClick(panel.line, Qt.Key.Key_Return)
    assert window.page_key == "exposure"
    assert window.why.isVisible()
    assert window.why.figure == "contingency"


def test_the_figure_of_a_finding_is_at_home_in_the_inspection(window, panel):
    finding = window.desk.job.findings[2].id
    find(panel, f"finding/{finding}")
    QTest.keyClick(panel.line, Qt.Key.Key_Return)
    assert window.page_key == "inspection"
    assert window.why.figure == f"finding/{finding}"


def test_enter_before_anything_was_found_takes_what_will_be(window, panel):
    QTest.keyClicks(panel.line, "ostrey")
    QTest.keyClick(panel.line, Qt.Key.Key_Return)
    wait_for(lambda: window.page_key == "enquiry")


def test_esc_gives_the_focus_back(window, panel):
    find(panel, "ostrey")
    QTest.keyClick(panel.line, Qt.Key.Key_Down)
    QTest.keyClick(panel.line, Qt.Key.Key_Escape)
    assert not panel.isVisible()
    assert window.page.search.hasFocus()


def test_going_elsewhere_leaves_it(window, panel):
    window.page.grid.setFocus()
    assert not panel.isVisible()
    assert window.page.grid.hasFocus()


def test_an_empty_line_finds_nothing_even_late(window, panel):
    QTest.keyClicks(panel.line, "ostrey")
    panel._soon.stop()
    panel._look()
    panel.line.clear()
    settle(None, window)
    QApplication.processEvents()
    assert panel.list.count() == 0


@pytest.mark.parametrize("words", ['"', "%", "a\0b", "NEAR(", "<b>", "*", "zzz " * 100])
def test_hostile_text_finds_nothing_and_breaks_nothing(window, panel, words):
    panel.line.setText(words)
    wait_for(lambda: not panel._soon.isActive() and panel._looking is None)
    assert window.messages.text == ""
    assert panel.isVisible()


def test_it_stays_inside_a_window_that_becomes_small(window, panel):
    window.resize(900, 600)
    assert panel.geometry().right() < 900
    assert panel.geometry().bottom() < 600
    assert nameless(panel) == []
    window.resize(1440, 900)
