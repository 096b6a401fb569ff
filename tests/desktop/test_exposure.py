"""The Exposure page, by keyboard: the handle, the shares, and the four panes below."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QFileDialog

from estimator.domain.past_work import TeardownOutcome
from estimator.services.adopt_values import not_adopted
from estimator.services.edit_job import open_draft
from estimator.services.enrol_person import person_named
from estimator.services.past_work import add_outcomes
from tests.desktop.conftest import HOLT, LONGEST, MANAGER, NOW, settle, wait_for
from tests.desktop.hands import Hands


@pytest.fixture(scope="module")
def shared(make_shared_window: Any) -> Iterator[Any]:
    """The window for all tests here, on Exposure. The whiskers of groups are left out: they take
    the longest, and the page's picture has them."""
    from estimator.desktop.screens.exposure import page as exposure

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(exposure, "groups_alone", lambda _priced, _alive: {})
        window = make_shared_window()
        window.open_job("Q-2041", "exposure")
        wait_for(lambda: window.desk.fresh)
        yield window


@pytest.fixture
def window(shared: Any) -> Iterator[Any]:
    """The window with the job as it came in; what a test edits is taken back."""
    yield shared
    desk = shared.desk
    shared.workshop.take_person(person_named(shared.workshop.record, HOLT))
    while desk.undo_name:
        before = desk.undo_name, desk.job
        desk.undo()
        wait_for(lambda: not desk.unsaved and (desk.undo_name, desk.job) != before)  # noqa: B023
    shared.messages.clear()


@pytest.fixture
def page(window: Any) -> Any:
    window.go("exposure")
    found = window.page
    wait_for(lambda: window.desk.fresh and found._view_of is window.desk.priced)
    wait_for(lambda: found._view is not None and found.parts.curve.data is not None)
    settle(None, window)
    found.earlier.dismiss()
    found.parts.lower.show_pane(found.parts.lower.open_first)
    found.parts.lower.unseen.filter.clear()
    found.take_focus()
    return found


@pytest.fixture
def record(shared_record: Any) -> Any:
    return shared_record


def confidence(record: Any) -> Decimal:
    return open_draft(record, "Q-2041").job.terms.confidence


def test_the_confidence_by_keyboard(qtbot, window, page, record):
    curve, parts = page.parts.curve, page.parts
    assert curve.hasFocus()
    assert (parts.held.text(), parts.confidence.text()) == ("£31,317", "80\u202f%")
    assert parts.bars.accessibleName()
    # while a key is held the picture follows, and nothing is edited
    QTest.keyPress(curve, Qt.Key.Key_PageUp)
    assert parts.confidence.text() == "85\u202f%"
    assert window.desk.job.terms.confidence == Decimal("0.8")
    QTest.keyRelease(curve, Qt.Key.Key_PageUp)
    assert window.desk.job.terms.confidence == Decimal("0.85")
    assert window.desk.undo_name == "confidence"
    qtbot.keyClick(curve, Qt.Key.Key_Left)
    qtbot.waitUntil(lambda: not window.desk.unsaved, timeout=LONGEST)
    assert confidence(record) == Decimal("0.84")
    window.desk.undo()
    window.desk.undo()
    settle(qtbot, window)
    assert confidence(record) == Decimal("0.8")
    assert parts.held.text() == "£31,317"
    assert page.earlier.before is None, "another confidence resolves nothing"


def test_what_is_shown_and_why(qtbot, window, page):
    parts = page.parts
    assert window.why.figure == "contingency"
    view = page._view
    assert parts.curve.data.points == view.points
    assert [row.confidence for row in view.others][0] == Decimal("0.5")
    parts.bars.setFocus()
    first = view.groups[0]
    assert window.why.figure == f"group/{first.group}/contingency"
    rows = len(parts.bars._rows)
    qtbot.keyClick(parts.bars, Qt.Key.Key_Right)
    assert len(parts.bars._rows) == rows + len(first.rows)
    qtbot.keyClick(parts.bars, Qt.Key.Key_Down)
    assert window.why.figure == f"contribution/{first.rows[0].id}"
    qtbot.keyClick(parts.bars, Qt.Key.Key_Up)
    qtbot.keyClick(parts.bars, Qt.Key.Key_Left)
    assert len(parts.bars._rows) == rows
    page.go_to("P-HB4")
    assert parts.unseen.hasFocus()
    assert window.why.figure == "chance/P-HB4"
    assert page.place() == "P-HB4"
    row = parts.unseen.current_row()
    shown = {column.key: column.text(row) for column in parts.unseen.rows.columns}
    assert shown["chance"] == "8 in 10, 78\u202f%"
    assert (shown["rests"], shown["likely"]) == ("14 own", "1,080")
    assert shown["range"].startswith("850 to ")
    low, high = shown["between"].removesuffix("\u202f%").split("\u2013")
    assert 60 < int(low) < 78 < int(high) < 95
    # Enter on another confidence takes it
    parts.others.setFocus()
    parts.others.go_to("0.90")
    qtbot.keyClick(parts.others, Qt.Key.Key_Return)
    assert window.desk.job.terms.confidence == Decimal("0.9")
    assert parts.held.text() == "£36,908"


# The panes below


def to_pane(hands: Hands, name: str) -> Any:
    """Go to a pane by its switch; its grid, with the focus."""
    page = hands.window.page
    page.take_focus()
    hands.tab_to("Lower pane")
    hands.press("Home")
    while page.parts.lower.pane.grid.accessibleName() != name:
        hands.press("Right")
    hands.tab_to(name)
    return page.parts.lower.pane.grid


def texts(grid: Any, key: str) -> list[str]:
    """A column of a flat grid."""
    column = grid.rows.columns[grid.rows.column_of(key)]
    rows = (grid.rows.row_at(grid.rows.index(n, 0)) for n in range(grid.rows.rowCount()))
    return [column.text(row) for row in rows]


def test_parts_are_filtered_and_sorted_by_keyboard(window: Any, page: Any) -> None:
    hands = Hands(window)
    hands.press("Ctrl+F")
    assert hands.place == "Filter parts"
    hands.type("hub rear")
    hands.press("Return")
    grid = page.parts.unseen
    assert hands.focus is grid
    assert set(texts(grid, "circuit")) == {"rear axle oil"}
    hands.press("Ctrl+F")
    hands.press("Esc")
    hands.press("Down")
    everything = texts(grid, "part")
    assert len(everything) == len(page._view.unseen)
    hands.go_across_to("likely")
    hands.press("Ctrl+Shift+O")
    assert [row.likely.minor for row in rows_of(grid)] == sorted(
        row.likely.minor for row in page._view.unseen
    )
    hands.press("Ctrl+Shift+O")
    hands.press("Ctrl+Shift+O")
    assert texts(grid, "part") == everything, "as given, the largest share first"


def rows_of(grid: Any) -> list[Any]:
    return [grid.rows.row_at(grid.rows.index(n, 0)) for n in range(grid.rows.rowCount())]


def test_a_look_goes_on_the_inspection(qtbot: Any, window: Any, page: Any, record: Any) -> None:
    looks = page.parts.lower.open_first
    wait_for(lambda: looks.found is not None)
    hands = Hands(window)
    grid = to_pane(hands, "Open first")
    falls = [row.fall.minor for row in rows_of(grid)]
    assert falls == sorted(falls, reverse=True) and falls[0] > 0
    row = hands.go_down_to(lambda one: one.kind == "test")
    assert window.why.figure == f"look/{row.id}"
    why = window.why._figure()
    assert "expected to fall" in why.formula and "priced, not saved" in why.rule
    before = len(window.desk.job.findings)
    hands.press("Ctrl+Return")
    wait_for(lambda: len(window.desk.job.findings) > before)
    hands.saved()
    assert len(open_draft(record, "Q-2041").job.findings) > before
    column = grid.rows.columns[0]
    assert column.text(grid.current_row()).endswith("on the inspection")
    assert not looks.add.isEnabled()
    hands.reckoned()
    wait_for(lambda: looks._found_of is window.desk.priced)
    assert grid.current_row().id == row.id and grid.current_row().added
    assert page.earlier.before is None, "a task alone resolves nothing"
    hands.press("Ctrl+Z")
    hands.saved()
    assert len(window.desk.job.findings) == before


def test_looks_are_worked_out_only_while_somebody_looks(window: Any, page: Any) -> None:
    looks = page.parts.lower.open_first
    wait_for(lambda: looks.found is not None)
    hands = Hands(window)
    hands.press("Ctrl+PgDown")
    job = window.desk.job
    window.desk.edit("hours", replace(job, machine=replace(job.machine, hours=Decimal(14_000))))
    settle(None, window)
    assert looks._found_of is not window.desk.priced
    hands.press("Ctrl+PgUp")
    assert page.parts.lower.pane is looks
    # stopped, it says so and offers to begin again
    hands.tab_to("Stop working out")
    hands.press("Space")
    assert looks._task is None
    assert looks.note.whole_text == "From before the last change."
    assert hands.place == "Work out what to open first"
    hands.press("Space")
    wait_for(lambda: looks._found_of is window.desk.priced)


def test_what_stood_before_stays_until_it_is_dismissed(window: Any, page: Any) -> None:
    hands, curve = Hands(window), page.parts.curve
    points = curve.data.points
    job = window.desk.job
    window.desk.edit("hours", replace(job, machine=replace(job.machine, hours=Decimal(14_000))))
    wait_for(lambda: page.earlier.before is not None)
    said = page.parts.before.whole_text
    assert said.startswith("Before: contingency \u00a331,317; now \u00a3")
    assert page.parts.before_row.isVisible()
    assert said in curve.accessibleDescription()
    assert curve.data.before.points == points
    assert curve.data.before.words(Decimal("0.8")) == "before \u00a3275,946"
    hands.press("Esc")
    assert curve.data.before is None and not page.parts.before_row.isVisible()
    # what changes while another page is in front is held against what was shown here last
    page_key = hands.area("Ctrl+2", "inspection").key
    assert page_key == "inspection"
    window.desk.undo()
    settle(None, window)
    hands.area("Ctrl+5", "exposure")
    wait_for(lambda: page.earlier.before is not None)
    assert "now \u00a331,317 (+" in page.parts.before.whole_text
    hands.area("Ctrl+4", "price")
    hands.area("Ctrl+5", "exposure")
    assert page.earlier.before is None, "left is dismissed"


def test_forms_side_by_side(window: Any, page: Any) -> None:
    hands = Hands(window)
    grid = to_pane(hands, "Commercial forms")
    wait_for(lambda: grid.rows.rowCount() > 0)
    row = hands.go_down_to(lambda one: getattr(one, "form", "") == "fixed price")
    shown = {column.key: column.text(row) for column in grid.rows.columns}
    assert (shown["quoted"], shown["worst"]) == ("275,946", "275,946")
    assert (shown["bears"], shown["keeps"]) == ("workshop", "workshop")
    certain = hands.go_down_to(lambda one: getattr(one, "here", False))
    text = {column.key: column.text(certain) for column in grid.rows.columns}
    assert (text["form"], text["quoted"]) == ("At 80\u202f%", "275,946")
    assert text["above"] == shown["above"], "what certainty costs at the job's own confidence"


def test_starting_values_are_adopted_by_who_may(
    qtbot: Any, window: Any, page: Any, record: Any
) -> None:
    pane, hands = page.parts.lower.starting, Hands(window)
    grid = to_pane(hands, "Starting values")
    wait_for(lambda: pane._values is not None)
    assert not pane.adopt.isEnabled() and "service manager" in pane.adopt.toolTip()
    row = rows_of(grid)[0]
    hands.press("Return")
    assert page.place() == row.parts[0], "Enter goes to the part"
    window.workshop.take_person(person_named(record, MANAGER))
    to_pane(hands, "Starting values")
    hands.tab_to("Adopt them", "Shift+Tab")
    hands.press("Space")
    hands.answer_why("they fit what we see")
    wait_for(lambda: pane._values == ())
    assert grid.rows.rowCount() == 0
    assert not_adopted(record, window.desk.priced) == ()
    assert "starting values adopted" in window.messages.text


def test_later_cases_are_taken_in(window: Any, page: Any, record: Any) -> None:
    holt = person_named(record, HOLT)
    pool = page._view_of.cat.wear["P-HB4"].pool
    outcomes = [
        TeardownOutcome(
            pool=pool, machine_class="wheel_loader", component="", hours=Decimal(hours),
            life_basis="since new", disposition="replace", worn=True, found_on=date(2026, 11, 20),
        )
        for hours in (9_000, 9_100, 9_200)
    ]  # fmt: skip
    add_outcomes(record, outcomes, holt, NOW)
    window.workshop.changed("outcomes")
    hands, pane = Hands(window), page.parts.lower.starting
    to_pane(hands, "Starting values")
    wait_for(lambda: pane._later == 3)
    assert pane._cases.whole_text.endswith("; 3 later ones")
    settle(None, window)
    hands.tab_to("Take them in")
    hands.press("Space")
    hands.saved()
    assert open_draft(record, "Q-2041").job.learnt_until == NOW.date()
    wait_for(lambda: page.earlier.before is not None)
    assert page.parts.before.whole_text.startswith("Before: contingency")
    assert not pane.take_in.isEnabled()


def test_charts_are_copied_and_saved(
    window: Any, page: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    hands = Hands(window)
    hands.press("Ctrl+C")
    data = QGuiApplication.clipboard().mimeData()
    assert data.hasImage()
    drawing = ElementTree.fromstring(bytes(data.data("image/svg+xml").data()))
    said = ["".join(one.itertext()).strip() for one in drawing.iter() if one.tag.endswith("text")]
    assert "\u00a3266,236" in said, "the figures of the curve, as text"
    assert any("Q-2041 rev A" in one for one in said)
    hands.tab_to("What makes up the contingency")
    hands.press("Right")
    path = tmp_path / "shares.svg"
    monkeypatch.setattr(QFileDialog, "open", lambda dialog: dialog.fileSelected.emit(str(path)))
    hands.press("Ctrl+Shift+S")
    wait_for(path.exists)
    settle(None, window)
    text = path.read_text(encoding="utf-8")
    assert page._view.groups[0].rows[0].name in text, "an unfolded group has its parts"
    assert "<image" not in text


def test_an_issued_revision_keeps_its_confidence(qtbot, window, page):
    window.desk.state = "issued"
    page.stale()
    qtbot.keyClick(page.parts.curve, Qt.Key.Key_PageUp)
    page.parts.others.go_to("0.90")
    qtbot.keyClick(page.parts.others, Qt.Key.Key_Return)
    assert window.desk.job.terms.confidence == Decimal("0.8")
    assert not page.parts.more.isEnabled()
    assert "Rev A is issued" in page.parts.state.text()
    assert not page.parts.lower.open_first.add.isEnabled()
    window.desk.state = "draft"
    page.stale()
