"""The scope by keyboard: overruled and taken back, ways and levels, lines out and in, pairs."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPlainTextEdit

from estimator.desktop.questions import Question
from estimator.desktop.screens.scope.choose_row import RowChooser
from estimator.desktop.screens.scope.decide import EITHER, OVERRULE, REFUSED, WAY, decision
from estimator.desktop.screens.scope.words import done_words, rests_words
from estimator.domain.job import Job
from estimator.services.edit_job import open_draft
from estimator.services.open_record import Record
from tests.desktop.accessible import nameless
from tests.desktop.conftest import LONGEST, open_at
from tests.unit.changed import row_changed

Key = Qt.Key
ALT = Qt.KeyboardModifier.AltModifier


@pytest.fixture
def page(qtbot: Any, make_window: Callable[..., Any]) -> Any:
    """The scope of Q-2041, worked out."""
    window = make_window()
    page = open_at(qtbot, window, "scope")
    qtbot.waitUntil(lambda: page.grid.rows.rowCount() > 0, timeout=LONGEST)
    in_front(qtbot, page)
    return page


def in_front(qtbot: Any, page: Any) -> None:
    page.window().activateWindow()
    qtbot.waitUntil(page.window().isActiveWindow, timeout=LONGEST)
    page.grid.setFocus()
    qtbot.waitUntil(page.grid.hasFocus, timeout=LONGEST)


def job_kept(record: Record) -> Job:
    return open_draft(record, "Q-2041").job


def lines_out(record: Record) -> list[tuple[str, str]]:
    """Lines taken out by hand; the job comes with its found work (FW...) taken out already."""
    removed = job_kept(record).removed
    return [(one.row_id, one.reason) for one in removed if not one.row_id.startswith("FW")]


def written(qtbot: Any, page: Any) -> None:
    runner = page.workshop.runner
    qtbot.waitUntil(
        lambda: not page.desk.unsaved and "record" not in runner.lanes_busy, timeout=LONGEST
    )


def row(page: Any, key: str) -> Any:
    return next((one for one in page._table.rows if one.key == key), None)


def shown(qtbot: Any, page: Any, key: str, what: Callable[[Any], bool]) -> Any:
    """Wait until a row is as it should be."""
    qtbot.waitUntil(lambda: what(row(page, key)), timeout=LONGEST)
    return row(page, key)


def question(page: Any) -> Question:
    return next(one for one in page.findChildren(Question) if one.isVisible())


def reason_given(qtbot: Any, page: Any, text: str) -> None:
    asked = question(page)
    qtbot.keyClicks(asked.findChild(QPlainTextEdit), text)
    qtbot.keyClick(asked.buttons[1], Key.Key_Space)
    in_front(qtbot, page)


def test_a_finding_is_overruled_and_the_proposal_stands_again(
    qtbot: Any, page: Any, record: Record
) -> None:
    part = "part/P-CAC"
    assert (row(page, part).disposition, row(page, part).overruled) == ("reuse", False)
    page.grid.go_to(part)
    qtbot.keyClick(page.grid, Key.Key_4, ALT)
    reason_given(qtbot, page, "fins are crushed")
    written(qtbot, page)
    found = next(one for one in job_kept(record).findings if one.id == "I15")
    assert (found.override, found.override_reason) == ("replace", "fins are crushed")
    assert found.overridden_by == "P. Holt"
    after = shown(qtbot, page, part, lambda one: one.disposition == "replace")
    assert (after.proposal, after.reason) == ("reuse", "fins are crushed")
    assert after.amount is not None
    qtbot.keyClick(page.grid, Key.Key_1, ALT)
    written(qtbot, page)
    found = next(one for one in job_kept(record).findings if one.id == "I15")
    assert (found.override, found.overridden_by) == ("", "")


def test_an_open_part_is_priced_now_by_a_finding_of_its_own(
    qtbot: Any, page: Any, record: Record
) -> None:
    page.grid.go_to("part/P-HED")
    qtbot.keyClick(page.grid, Key.Key_4, ALT)
    asked = question(page)
    qtbot.keyClick(asked.buttons[2], Key.Key_Space)
    reason_given(qtbot, page, "heads of this age crack")
    written(qtbot, page)
    job = job_kept(record)
    own = next(one for one in job.findings if one.override_reason == "heads of this age crack")
    assert own.part == ("P-HED",)
    others = next(one for one in job.findings if one.id == "I80")
    assert "P-HED" not in others.part
    shown(qtbot, page, "part/P-HED", lambda one: one.disposition == "replace")


def test_what_cannot_be_overruled_says_why(qtbot: Any, page: Any, record: Record) -> None:
    told: list[str] = []
    page.workshop.presenter.told.connect(lambda message: told.append(message.text))
    for key, digit, words in (
        ("part/P-GSK", Key.Key_1, "renewed at every rebuild"),
        ("part/P-OCL", Key.Key_1, "No finding to overrule"),
        ("work/O0101", Key.Key_4, "work, not a part"),
    ):
        page.grid.go_to(key)
        qtbot.keyClick(page.grid, digit, ALT)
        assert words in told[-1]
    assert not job_kept(record).added
    parts = {one.id: one for one in page._table.rows if one.kind == "part"}
    assert decision(parts["P-FNM"], "exchange").what == WAY
    assert decision(parts["P-CRK"], "replace").what == EITHER
    assert decision(parts["P-CRK"], "exchange").what == OVERRULE
    assert decision(parts["P-CRK"], "open").what == REFUSED


def test_a_line_goes_out_and_comes_back_and_a_row_goes_in(
    qtbot: Any, page: Any, record: Record
) -> None:
    page.grid.go_to("work/O0101")
    qtbot.keyClick(page.grid, Key.Key_Delete)
    reason_given(qtbot, page, "done last year")
    written(qtbot, page)
    assert lines_out(record) == [("O0101", "done last year")]
    shown(qtbot, page, "gone/O0101", lambda one: one is not None)
    page.grid.go_to("gone/O0101")
    qtbot.keyClick(page.grid, Key.Key_Delete)
    written(qtbot, page)
    assert lines_out(record) == []
    qtbot.keyClick(page.grid, Key.Key_Insert)
    chooser = page.findChild(RowChooser)
    qtbot.keyClicks(chooser.search, "seized pin")
    assert chooser.model.rowCount() == 1
    qtbot.keyClicks(chooser.reason, "tilt pin is seized")
    qtbot.keyClick(chooser.take, Key.Key_Space)
    written(qtbot, page)
    assert [one.row_id for one in job_kept(record).added] == ["O0081"]
    shown(qtbot, page, "work/O0081", lambda one: one is not None)


def test_found_work_comes_back_and_goes_out_again(qtbot: Any, page: Any, record: Record) -> None:
    page.grid.go_to("gone/FW09")
    qtbot.keyClick(page.grid, Key.Key_Delete)
    written(qtbot, page)
    back = shown(qtbot, page, "work/FW09", lambda one: one is not None)
    say = page.workshop.formats
    assert (done_words(back), rests_words(back.rests, say)) == ("Open", "1 expected")
    assert back.cautions[0].hazard == "Seized pins"
    page.grid.go_to("work/FW09")
    qtbot.keyClick(page.grid, Key.Key_Delete)
    reason_given(qtbot, page, "it moved at the press")
    written(qtbot, page)
    gone = [one.reason for one in job_kept(record).removed if one.row_id == "FW09"]
    assert gone == ["it moved at the press"]


def test_operations_counted_twice(qtbot: Any, page: Any, record: Record, catalogue: Any) -> None:
    twice = row_changed(catalogue, "operations", "O0102", includes=("O0109",))
    changed = replace(twice, fingerprint="counted twice")
    page.workshop.take_catalogue((changed, page.workshop.defaults))
    shown(qtbot, page, "work/O0109", lambda one: one is not None and one.twice is not None)
    page.filter.choose("to decide")
    page.grid.go_to("work/O0109")
    assert dict(page.keys())["Alt+2"]
    qtbot.keyClick(page.grid, Key.Key_2, ALT)
    reason_given(qtbot, page, "run in once more after dynamometer")
    written(qtbot, page)
    assert [one.row_id for one in job_kept(record).kept] == ["O0102+O0109"]
    page.desk.undo()
    written(qtbot, page)
    shown(qtbot, page, "work/O0109", lambda one: one is not None and one.twice is not None)
    page.grid.go_to("work/O0109")
    page.grid.setFocus()
    qtbot.keyClick(page.grid, Key.Key_1, ALT)
    written(qtbot, page)
    assert lines_out(record) == [("O0109", "counted twice")]


def test_a_way_and_a_level_are_chosen_and_why_swaps_with_them(
    qtbot: Any, page: Any, record: Record
) -> None:
    window = page.window()
    page.grid.go_to("part/P-CRK")
    qtbot.waitUntil(lambda: bool(page.side.ways.heads), timeout=LONGEST)
    qtbot.keyClick(page.grid, Key.Key_Return)
    assert page.side.ways.heads["recondition"].hasFocus()
    qtbot.keyClick(page.side.ways.heads["replace"], Key.Key_Return)
    written(qtbot, page)
    assert job_kept(record).ways["P-CRK"] == "replace"
    page.side.level_chosen.emit("driveline")  # what Enter on its head does, without reckoning it
    written(qtbot, page)
    assert job_kept(record).level == "driveline"
    qtbot.keyClick(page, Key.Key_F9)
    assert window.why.isVisible()
    assert not page.side.isVisible()
    qtbot.keyClick(page, Key.Key_F9)
    assert page.side.isVisible()
    page.workshop.runner.stop_all("reckoning")


def test_everything_the_keyboard_reaches_has_a_name(qtbot: Any, page: Any) -> None:
    page.grid.go_to("part/P-CRK")
    qtbot.waitUntil(lambda: bool(page.side.ways.heads), timeout=LONGEST)
    assert nameless(page) == []
    page.acts.put_row_in()
    assert nameless(page.findChild(RowChooser)) == []
