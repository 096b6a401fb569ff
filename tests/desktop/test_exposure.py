"""The Exposure page, by keyboard: the handle, the shares, what is not seen."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from estimator.services.edit_job import open_draft
from tests.desktop.conftest import LONGEST, open_at, settle


@pytest.fixture
def window(qtbot: Any, make_window: Any) -> Any:
    return make_window()


@pytest.fixture
def page(qtbot: Any, window: Any) -> Any:
    found = open_at(qtbot, window, "exposure")
    qtbot.waitUntil(lambda: found.parts.curve.data is not None, timeout=LONGEST)
    return found


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
    shown = [column.text(row) for column in parts.unseen.rows.columns]
    assert shown[1:5] == ["8 in 10, 78\u202f%", "14 own", "850", "1,080"]
    # Enter on another confidence takes it
    parts.others.setFocus()
    parts.others.go_to("0.90")
    qtbot.keyClick(parts.others, Qt.Key.Key_Return)
    assert window.desk.job.terms.confidence == Decimal("0.9")
    assert parts.held.text() == "£36,908"


def test_an_issued_revision_keeps_its_confidence(qtbot, window, page):
    window.desk.state = "issued"
    page.stale()
    qtbot.keyClick(page.parts.curve, Qt.Key.Key_PageUp)
    page.parts.others.go_to("0.90")
    qtbot.keyClick(page.parts.others, Qt.Key.Key_Return)
    assert window.desk.job.terms.confidence == Decimal("0.8")
    assert not page.parts.more.isEnabled()
    assert "Rev A is issued" in page.parts.state.text()
