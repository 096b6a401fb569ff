"""The findings by keyboard: typed, refused, pasted, overruled, added, removed, photographed."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from io import BytesIO
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication, QImage
from PySide6.QtWidgets import QApplication, QPlainTextEdit

from estimator.desktop.questions import Question
from estimator.domain.findings import Finding
from estimator.services.edit_job import open_draft
from estimator.services.open_record import Record
from tests.desktop.conftest import LONGEST, open_at

Key = Qt.Key
CONTROL, ALT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier


@pytest.fixture
def page(qtbot: Any, make_window: Callable[..., Any]) -> Any:
    """The inspection of Q-2041, worked out, the cursor on the first reading."""
    window = make_window()
    page = open_at(qtbot, window, "inspection")
    qtbot.waitUntil(lambda: page.desk.work is not None, timeout=LONGEST)
    in_front(qtbot, window)
    return page


def in_front(qtbot: Any, window: Any) -> None:
    """Without a screen nobody brings a window to the front again when a question closes."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow, timeout=LONGEST)


def written(qtbot: Any, window: Any) -> None:
    """Wait until the record holds every edit; the figures may still be on their way."""
    desk, runner = window.desk, window.workshop.runner
    qtbot.waitUntil(lambda: not desk.unsaved and "record" not in runner.lanes_busy, timeout=LONGEST)


def finding(record: Record, code: str) -> Finding | None:
    job = open_draft(record, "Q-2041").job
    return next((one for one in job.findings if one.id == code), None)


def type_here(qtbot: Any, page: Any, text: str) -> Any:
    """Type into the cell under the cursor; answers the editor, still open."""
    qtbot.keyClick(page.grid, text[0])
    editor = QApplication.focusWidget()
    qtbot.keyClicks(editor, text[1:])
    return editor


def row(page: Any, code: str) -> Any:
    return page.grid.rows.row_at(page.grid.rows.index_of(code))


def reason_given(qtbot: Any, page: Any, text: str) -> None:
    """Answer the question why."""
    question = page.findChild(Question)
    field = question.findChild(QPlainTextEdit)
    qtbot.keyClicks(field, text)
    qtbot.keyClick(question.buttons[1], Key.Key_Space)
    in_front(qtbot, page.window())
    qtbot.waitUntil(page.grid.hasFocus, timeout=LONGEST)


def test_a_reading_moves_gauge_and_header_while_typed_then_is_saved(
    qtbot: Any, page: Any, record: Record
) -> None:
    window = page.window()
    page.grid.go_to("I03", "measured")
    editor = type_here(qtbot, page, "1.1")
    assert row(page, "I03").measured == Decimal("1.1")
    assert editor.text() == "1.1"  # the row moved under the editor, the text stayed
    qtbot.waitUntil(
        lambda: page.desk.work.scope.judgements["I03"].measured == Decimal("1.1"), timeout=LONGEST
    )  # and with it the header's figures
    assert finding(record, "I03").measured == Decimal("1.9")
    qtbot.keyClick(editor, Key.Key_Return)
    assert page.place() == "I04"  # Enter goes on to the next row
    written(qtbot, window)
    saved = finding(record, "I03")
    assert (saved.measured, saved.unit) == (Decimal("1.1"), "bar")
    assert page.desk.undo_name == "reading of I03"
    qtbot.keyClick(page.grid, Key.Key_Z, CONTROL)
    written(qtbot, window)
    assert finding(record, "I03").measured == Decimal("1.9")


def test_escape_takes_back_what_was_being_typed(qtbot: Any, page: Any) -> None:
    page.grid.go_to("I03", "measured")
    editor = type_here(qtbot, page, "0.4")
    qtbot.keyClick(editor, Key.Key_Escape)
    assert row(page, "I03").measured == Decimal("1.9")
    qtbot.waitUntil(lambda: page.desk.work.job == page.desk.job, timeout=LONGEST)
    assert page.desk.undo_name == ""


def test_text_that_is_no_reading_stays_with_its_reason(
    qtbot: Any, page: Any, record: Record, make_window: Callable[..., Any]
) -> None:
    page.grid.go_to("I03", "measured")
    qtbot.keyClick(type_here(qtbot, page, "abc"), Key.Key_Return)
    page.grid.go_to("I03", "measured")
    assert "abc" in page.pane.note.text() and "Not a number" in page.pane.note.text()
    written(qtbot, page.window())
    assert open_draft(record, "Q-2041").kept == {"finding/I03/measured": "abc"}
    again = open_at(qtbot, make_window(), "inspection")
    in_front(qtbot, again.window())
    qtbot.waitUntil(lambda: "abc" in again.pane.note.text(), timeout=LONGEST)
    again.grid.go_to("I03", "measured")
    qtbot.keyClick(type_here(qtbot, again, "1.5"), Key.Key_Return)
    written(qtbot, again.window())
    draft = open_draft(record, "Q-2041")
    assert draft.kept == {} and again.pane.note.isHidden()
    assert finding(record, "I03").measured == Decimal("1.5")


def test_units_and_signs(qtbot: Any, page: Any) -> None:
    for typed, measured, said in (
        ("4 mm", Decimal("1.9"), "bar"),
        ("-3", Decimal("1.9"), "sign"),
        ("190 kPa", Decimal("1.90"), ""),
        ("170", Decimal(170), ""),
    ):
        page.grid.go_to("I03", "measured")
        qtbot.keyClick(type_here(qtbot, page, typed), Key.Key_Return)
        assert row(page, "I03").measured == measured
        assert said in page.pane.note.text() and bool(page.pane.note.text()) == bool(said)


def test_not_seen_is_a_word_and_opens_the_part(qtbot: Any, page: Any, record: Record) -> None:
    page.grid.go_to("I04", "measured")
    qtbot.keyClick(type_here(qtbot, page, "not seen"), Key.Key_Return)
    assert (row(page, "I04").disposition, row(page, "I04").certainty) == ("open", "exposed")
    written(qtbot, page.window())
    assert (finding(record, "I04").kind, finding(record, "I04").measured) == ("not seen", None)


def test_a_block_of_readings_is_pasted_and_undone_at_once(
    qtbot: Any, page: Any, record: Record
) -> None:
    before = open_draft(record, "Q-2041").job
    QGuiApplication.clipboard().setText("1.7\n0.25\n0.11\n")
    page.grid.go_to("I03", "measured")
    qtbot.keyClick(page.grid, Key.Key_V, CONTROL)
    written(qtbot, page.window())
    read = [finding(record, code).measured for code in ("I03", "I04", "I05")]
    assert read == [Decimal("1.7"), Decimal("0.25"), Decimal("0.11")]
    assert page.desk.undo_name == "reading of 3 findings"
    page.desk.undo()
    written(qtbot, page.window())
    assert open_draft(record, "Q-2041").job.findings == before.findings


def test_fill_as_above(qtbot: Any, page: Any, record: Record) -> None:
    qtbot.keyClick(page.grid, Key.Key_PageDown, CONTROL)  # in words
    page.grid.go_to("I05", "note")
    qtbot.keyClick(page.grid, Key.Key_D, CONTROL)
    written(qtbot, page.window())
    assert finding(record, "I05").note == finding(record, "I04").note == "same family as I03"


def test_the_rule_is_overruled_with_a_reason_and_the_word_taken_back(
    qtbot: Any, page: Any, record: Record
) -> None:
    page.grid.go_to("I04", "measured")
    rule = row(page, "I04").rule
    assert rule == "reuse"
    qtbot.keyClick(page.grid, Key.Key_4, ALT)
    reason_given(qtbot, page, "thrust faces are scored")
    written(qtbot, page.window())
    said = finding(record, "I04")
    assert (said.override, said.override_reason, said.overridden_by) == (
        "replace", "thrust faces are scored", "P. Holt",
    )  # fmt: skip
    qtbot.keyClick(page.grid, Key.Key_1, ALT)  # the rule's own
    written(qtbot, page.window())
    assert (finding(record, "I04").override, finding(record, "I04").override_reason) == ("", "")


def test_a_finding_is_begun_by_part_of_a_measures_name(
    qtbot: Any, page: Any, record: Record
) -> None:
    count = len(page.desk.job.findings)
    qtbot.keyClick(page.grid, Key.Key_Insert)
    qtbot.keyClicks(page.chooser.line, "case drain")
    chosen = page.chooser.grid.current_row()
    assert chosen.measure is not None and "drain" in chosen.name.casefold()
    qtbot.keyClick(page.chooser.line, Key.Key_Return)
    editor = QApplication.focusWidget()
    qtbot.keyClicks(editor, "17.5")
    qtbot.keyClick(editor, Key.Key_Return)
    written(qtbot, page.window())
    job = open_draft(record, "Q-2041").job
    new = job.findings[-1]
    assert len(job.findings) == count + 1
    assert (new.measure, new.measured, new.unit, new.kind) == (
        chosen.measure.id, Decimal("17.5"), chosen.measure.unit, "",
    )  # fmt: skip
    assert new.inspector == "P. Holt"


def test_typing_on_the_last_row_begins_a_finding_of_ones_own(
    qtbot: Any, page: Any, record: Record
) -> None:
    qtbot.keyClick(page.grid, Key.Key_End, CONTROL)
    assert page.place() == ""
    qtbot.keyClick(page.grid, "b")
    qtbot.keyClicks(page.chooser.line, "ucket")
    head = next(one for one, _offers in page.chooser._offers if "ucket" in one.name)
    page.chooser.grid.go_to(head.id)
    qtbot.keyClick(page.chooser.grid, Key.Key_Return)
    editor = QApplication.focusWidget()
    editor.selectAll()
    qtbot.keyClicks(editor, "Corner gusset")
    qtbot.keyClick(editor, Key.Key_Return)
    written(qtbot, page.window())
    new = open_draft(record, "Q-2041").job.findings[-1]
    assert (new.what, new.component, new.kind) == ("Corner gusset", head.component, "not seen")


def test_a_finding_removed_comes_back_in_its_place(qtbot: Any, page: Any, record: Record) -> None:
    order = [one.id for one in page.desk.job.findings]
    page.grid.go_to("I05", "id")
    qtbot.keyClick(page.grid, Key.Key_Delete)
    written(qtbot, page.window())
    assert finding(record, "I05") is None
    page.desk.undo()
    written(qtbot, page.window())
    assert [one.id for one in open_draft(record, "Q-2041").job.findings] == order


def test_a_component_narrows_the_grid_and_says_what_is_not_seen(qtbot: Any, page: Any) -> None:
    every = page.grid.rows.rowCount()
    qtbot.keyClick(page.machine.tree, Key.Key_Down)
    assert page.machine.tree.current_row().name == "Engine"
    shown = page.grid.rows.rowCount()
    assert 1 < shown < every and "Engine" in page.pane.title.whole_text
    assert "not seen" in page.machine.model.data(page.machine.tree.currentIndex())
    page.go_to("I43")  # hydraulics: whoever asks for it sees it
    assert page.place() == "I43" and page.grid.rows.rowCount() == every


def test_photographs_are_pasted_shown_refused_and_taken_out(
    qtbot: Any, page: Any, record: Record
) -> None:
    page.grid.go_to("I03", "measured")
    page.photos.strip.setFocus()
    image = QImage(320, 240, QImage.Format.Format_RGB32)
    image.fill(Qt.GlobalColor.darkGray)
    QGuiApplication.clipboard().setImage(image)
    qtbot.keyClick(page.photos.strip, Key.Key_V, CONTROL)
    written(qtbot, page.window())
    assert finding(record, "I03").photo == ("I03-1",)
    assert page.photos.strip.chosen == "I03-1"
    page.photos.give([("notes.png", BytesIO(b"no picture at all").getvalue())])
    written(qtbot, page.window())
    assert "notes.png" in page.window().messages.text
    assert finding(record, "I03").photo == ("I03-1",)
    qtbot.keyClick(page.photos.strip, Key.Key_Delete)
    written(qtbot, page.window())
    assert finding(record, "I03").photo == () and page.photos.strip.chosen is None
    page.desk.undo()
    written(qtbot, page.window())
    assert page.photos.strip.chosen == "I03-1"


def test_what_is_issued_is_shown_and_does_not_change(qtbot: Any, page: Any) -> None:
    page.desk.state = "issued"
    page.refresh()
    assert "Make rev B" in page.pane.note.text()
    page.grid.go_to("I03", "measured")
    qtbot.keyClick(page.grid, "9")
    assert QApplication.focusWidget() is page.grid
    qtbot.keyClick(page.grid, Key.Key_Insert)
    qtbot.keyClick(page.grid, Key.Key_Delete, CONTROL)
    qtbot.keyClick(page.grid, Key.Key_4, ALT)
    assert page.chooser.isHidden() and page.findChild(Question) is None
    assert row(page, "I03").measured == Decimal("1.9") and page.desk.unsaved == 0
