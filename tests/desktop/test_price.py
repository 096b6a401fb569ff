"""The price by keyboard: typed over, refused, restored, lines of one's own, filtered, copied."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QApplication, QLineEdit, QPlainTextEdit

from estimator.desktop.questions import Question
from estimator.desktop.screens.price.own_line import OwnLineForm
from estimator.domain.job import Job
from estimator.services.edit_job import open_draft
from estimator.services.open_record import Record
from tests.desktop.accessible import nameless
from tests.desktop.conftest import LONGEST, open_at

Key = Qt.Key
LINE = "line/O0302"


@pytest.fixture
def page(qtbot: Any, make_window: Callable[..., Any]) -> Any:
    """The price of Q-2041, its lines worked out."""
    window = make_window()
    page = open_at(qtbot, window, "price")
    qtbot.waitUntil(lambda: page.grid.rows.rowCount() > 0, timeout=LONGEST)
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow, timeout=LONGEST)
    return page


def job_kept(record: Record) -> Job:
    return open_draft(record, "Q-2041").job


def written(qtbot: Any, page: Any) -> None:
    runner = page.workshop.runner
    qtbot.waitUntil(
        lambda: not page.desk.unsaved and "record" not in runner.lanes_busy, timeout=LONGEST
    )


def row(page: Any, figure: str) -> Any:
    return page.model.row_at(page.model.index_of(figure))


def type_into(qtbot: Any, page: Any, figure: str, key: str, text: str) -> Any:
    """Go to a cell, type into it; answers the editor, still open."""
    assert page.grid.go_to(figure, key)
    qtbot.keyClick(page.grid, text[0])
    editor = QApplication.focusWidget()
    assert isinstance(editor, QLineEdit)
    qtbot.keyClicks(editor, text[1:])
    return editor


def test_hours_typed_over_move_the_header_and_are_kept_with_a_reason(
    qtbot: Any, page: Any, record: Record
) -> None:
    window, resets = page.window(), []
    page.model.modelReset.connect(lambda: resets.append(1))
    before = window.header.price.figure.text()
    was = row(page, LINE).quantity
    editor = type_into(qtbot, page, LINE, "hours", "31.5")
    qtbot.waitUntil(lambda: row(page, LINE).quantity == Decimal("31.5"), timeout=LONGEST)
    assert editor.text() == "31.5"
    assert window.header.price.figure.text() != before
    assert not job_kept(record).changed, "typing is no edit yet"
    qtbot.keyClick(editor, Key.Key_Return)
    written(qtbot, page)
    (change,) = job_kept(record).changed
    assert (change.row_id, change.quantity, change.by) == ("O0302", Decimal("31.5"), "P. Holt")
    assert change.reason
    assert row(page, LINE).before_quantity == was
    # the column that tells why has no room here: so it is asked for
    asked = next(one for one in page.findChildren(Question) if one.isVisible())
    qtbot.keyClicks(asked.findChild(QPlainTextEdit), "seized bolts")
    qtbot.keyClick(asked.buttons[1], Key.Key_Space)
    written(qtbot, page)
    assert job_kept(record).changed[0].reason == "seized bolts"
    assert not resets, "an edit repaints what it touches, and never the whole"
    page.grid.go_to(LINE, "hours")
    qtbot.keyClick(page.grid, Key.Key_Delete)
    written(qtbot, page)
    assert job_kept(record).changed == ()
    page.desk.undo()
    written(qtbot, page)
    assert job_kept(record).changed[0].reason == "seized bolts"


def test_escape_takes_back_what_was_tried(qtbot: Any, page: Any, record: Record) -> None:
    was = row(page, LINE).quantity
    editor = type_into(qtbot, page, LINE, "hours", "99")
    qtbot.waitUntil(lambda: row(page, LINE).quantity == Decimal(99), timeout=LONGEST)
    qtbot.keyClick(editor, Key.Key_Escape)
    qtbot.waitUntil(lambda: row(page, LINE).quantity == was, timeout=LONGEST)
    assert job_kept(record).changed == ()


def test_text_that_is_no_figure_stays_with_its_reason(
    qtbot: Any, page: Any, record: Record
) -> None:
    editor = type_into(qtbot, page, LINE, "hours", "12 days")
    qtbot.keyClick(editor, Key.Key_Return)
    written(qtbot, page)
    assert open_draft(record, "Q-2041", page.workshop.person).kept == {
        "changed/O0302/quantity": "12 days"
    }
    index = page.model.index_of(LINE, page.model.column_of("hours"))
    assert page.model.data(index) == "12 days"
    assert "Not a number" in page.model.data(index, int(Qt.ItemDataRole.ToolTipRole))
    editor = type_into(qtbot, page, LINE, "hours", "0")
    qtbot.keyClick(editor, Key.Key_Return)
    assert "Above zero" in page.model.data(index, int(Qt.ItemDataRole.ToolTipRole))
    editor = type_into(qtbot, page, LINE, "hours", "12")
    qtbot.keyClick(editor, Key.Key_Return)
    written(qtbot, page)
    assert open_draft(record, "Q-2041", page.workshop.person).kept == {}
    assert job_kept(record).changed[0].quantity == 12


def test_a_line_of_ones_own_by_keyboard(qtbot: Any, page: Any, record: Record) -> None:
    page.grid.setFocus()
    page.grid.go_to("group/G03")
    qtbot.keyClick(page.grid, Key.Key_Insert)
    form = page.findChild(OwnLineForm)
    fields = form._fields
    for key, text in (("name", "=Bracket <b>new</b>"), ("quantity", "five"), ("reason", "missing")):
        qtbot.keyClicks(fields[key], text)
    qtbot.keyClick(form.take, Key.Key_Space)
    assert "Not a number" in fields["quantity"].accessibleDescription()
    assert job_kept(record).own == ()
    fields["quantity"].clear()
    qtbot.keyClicks(fields["quantity"], "5")
    qtbot.keyClicks(fields["quantity_low"], "3")
    qtbot.keyClicks(fields["quantity_high"], "9")
    qtbot.keyClick(form.take, Key.Key_Space)
    written(qtbot, page)
    (line,) = job_kept(record).own
    assert (line.name, line.quantity, line.quantity_high) == ("=Bracket <b>new</b>", 5, 9)
    assert line.component.startswith("C03")
    qtbot.waitUntil(lambda: page.model.index_of("line/X01") is not None, timeout=LONGEST)
    shown = row(page, "line/X01")
    assert shown.own
    assert shown.low < shown.likely < shown.high
    page.grid.go_to("line/X01", "name")
    page.grid.copy()
    assert QGuiApplication.clipboard().text() == "'=Bracket <b>new</b>"
    page.grid.setFocus()
    qtbot.keyClick(page.grid, Key.Key_Delete)
    written(qtbot, page)
    assert job_kept(record).own == ()


def test_filters_views_and_copies(qtbot: Any, page: Any) -> None:
    uncertain = sum(one.uncertain for one in page._table.rows)
    page.tools.show_row.choose("uncertain")
    shown = [
        page.model.row_at(page.model.index(n, 0, page.model.index(m, 0)))
        for m in range(page.model.rowCount())
        for n in range(page.model.rowCount(page.model.index(m, 0)))
    ]
    assert len(shown) == uncertain > 0
    page.tools.show_row.choose("all")
    page.filter_asked()
    qtbot.keyClicks(page.tools.text, "turbocharger, ex")
    qtbot.waitUntil(lambda: page.model.rowCount() == 1, timeout=LONGEST)
    page.tools.text.clear()
    qtbot.waitUntil(lambda: page.model.rowCount() > 10, timeout=LONGEST)
    page.grid.select_rows({"group/G01"})
    page.grid.copy()
    cells = QGuiApplication.clipboard().text().split("\t")
    amount = row(page, "group/G01").amount
    assert f"{amount.minor // 100}" in cells, "plain numbers, no grouping"
    qtbot.keyClick(page.tools.switch, Key.Key_Right)
    assert [column.key for column in page.model.columns].count("margin") == 1
    head = row(page, "group/G01")
    assert head.amount == head.cost + head.margin
    qtbot.keyClick(page.tools.switch, Key.Key_Left)
    assert "range" in [column.key for column in page.model.columns]


def test_every_row_is_explained(qtbot: Any, page: Any) -> None:
    asked: list[object] = []
    page.why_asked.connect(asked.append)
    for figure in ("group/G01", LINE, "contribution/P-CRK"):
        page.grid.go_to(figure)
    page.totals.setFocus()
    for _step in range(3):
        qtbot.keyClick(page.totals, Key.Key_Down)
    assert asked[:3] == ["group/G01", LINE, "contribution/P-CRK"]
    assert asked[3:7] == ["base", "discount", "freight", "levies"]


def test_who_may_not_price_reads_only(qtbot: Any, page: Any) -> None:
    from estimator.domain.people import Person

    page.workshop.take_person(Person("9", "V. Reader", "viewer", True))
    page.refresh()
    assert not page.tools.switch.isVisible()
    assert page.model.locked
    index = page.model.index_of(LINE, page.model.column_of("hours"))
    assert not page.model.flags(index) & Qt.ItemFlag.ItemIsEditable
    qtbot.keyClick(page.grid, Key.Key_Insert)
    assert page.findChild(OwnLineForm) is None


def test_everything_the_keyboard_reaches_has_a_name(qtbot: Any, page: Any) -> None:
    assert nameless(page) == []
    page.editing.ask_own_line()
    assert nameless(page.findChild(OwnLineForm)) == []
