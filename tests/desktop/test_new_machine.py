"""Rebuild or new, by keyboard: what is typed moves the answer, is kept, undone, and printed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from PySide6.QtCore import Qt

from estimator.desktop.screens.quote import new_machine
from estimator.domain.new_machine import CUSTOMER, STANDS, TYPED, WORKS_ON
from estimator.domain.rebuild_or_new.carbon import FUEL_FACTORS
from estimator.services.compare_with_new import comparison_bytes
from estimator.services.edit_job import open_draft
from tests.desktop.conftest import LONGEST, open_at, settle
from tests.desktop.hands import Hands

CTRL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def window(make_window: Any) -> Any:
    return make_window()


@pytest.fixture
def page(qtbot: Any, window: Any) -> Any:
    found = open_at(qtbot, window, "quote")
    qtbot.waitUntil(lambda: window.desk.fresh, timeout=LONGEST)
    return found


def opened(page: Any) -> tuple[Hands, Any]:
    """Ctrl+Shift+N, with the hands on the form."""
    hands = Hands(page.window())
    page.take_focus()
    hands.press("Ctrl+Shift+N")
    hands.look_at_dialog()
    return hands, page.beside_new.form


def write(hands: Hands, field: Any, text: str) -> None:
    field.setFocus()
    hands.press("Ctrl+A")
    hands.type(text)


def test_what_is_typed_moves_the_answer(qtbot: Any, page: Any) -> None:
    hands, form = opened(page)
    price = form.rows["new_price"]
    assert hands.place == "Price of a new machine, likely"
    assert price.figures[1].placeholderText() == "465,000"
    assert price.whose.currentText() == "starting value"
    assert form.rows["hire_week"].figures[0].placeholderText() == "\u2013"
    before = form.outcome.answer.text()
    assert before.startswith("The rebuild costs less per hour")
    hands.type("380,000")
    assert price.whose.currentText() == "ours"
    assert price.figures[0].placeholderText() == ""  # a low left out is the likely figure then
    hands.press("Tab", 2)
    assert hands.place == "Price of a new machine, whose figure"
    qtbot.waitUntil(lambda: form.outcome.answer.text() != before, timeout=LONGEST)
    assert form.outcome.answer.text().startswith("A new machine costs less per hour")
    write(hands, price.figures[1], "")
    hands.press("Backspace")
    assert price.whose.currentText() == "starting value"
    qtbot.waitUntil(lambda: form.outcome.answer.text() == before, timeout=LONGEST)
    form.reject()


def test_what_cannot_be_is_marked_and_keeps_what_was_typed(page: Any) -> None:
    hands, form = opened(page)
    row, weeks = form.rows["residual_new"], form.rows["lead_weeks"]
    write(hands, row.figures[1], "140")
    hands.press("Ctrl+Return")
    assert page.beside_new.form is form
    assert row.reason.text() == "It must not be above 100 %."
    assert row.figures[1].text() == "140"
    assert "Mend" in form.outcome.words.text()
    assert hands.place == "Worth at the end, bought new, of a new price, low"
    write(hands, weeks.figures[0], "4")
    form.compare()
    assert "Give the likely figure" in weeks.reason.text()
    write(hands, weeks.figures[1], "soon")
    form.compare()
    assert "Not a number" in weeks.reason.text()
    write(hands, form.rows["fuel_new"].figures[0], "17")
    form.compare()
    assert "missing" in form.rows["fuel_rebuilt"].reason.text()
    hands.press("Ctrl+P")  # no page of what cannot be
    assert page.beside_new.form is form
    form.reject()


def test_it_is_kept_undone_and_printed(
    qtbot: Any, window: Any, page: Any, record: Any, tmp_path: Path, monkeypatch: Any
) -> None:
    hands, form = opened(page)
    hands.type("380,000")
    hands.press("Tab", 2)
    hands.press("Down")
    write(hands, form.rows["interest"].figures[0], "6.5")
    for box in (form.meanwhile, form.fuel_factor):
        box.setFocus()
        hands.press("Down")
    shown: list[str] = []
    monkeypatch.setattr(
        new_machine.QDesktopServices, "openUrl",
        lambda url: shown.append(url.toLocalFile()) or True,
    )  # fmt: skip
    page.beside_new.folder = tmp_path
    made, faults = form.read()
    assert faults == {}
    hands.press("Ctrl+P")  # the page of what is typed, before it is kept
    qtbot.waitUntil(lambda: bool(shown), timeout=LONGEST)
    data = Path(shown[0]).read_bytes()
    assert data == comparison_bytes(window.desk.priced, made)
    assert "380,000" in PdfReader(BytesIO(data)).pages[0].extract_text()
    hands.press("Ctrl+Return")
    qtbot.waitUntil(lambda: page.beside_new.form is None, timeout=LONGEST)
    given = window.desk.job.new_machine
    assert given == made
    assert (given.new_price.likely, given.new_price.origin) == (Decimal(380_000), CUSTOMER)
    assert (given.interest.likely, given.interest.origin) == (Decimal("0.065"), TYPED)
    assert (given.meanwhile, given.life_new) == (WORKS_ON, None)
    assert given.fuel_factor == FUEL_FACTORS["EPA 2025 diesel"]
    settle(qtbot, window)
    number = window.desk.job.number
    assert open_draft(record, number).job.new_machine == given
    hands.look_at_window()
    hands.press("Ctrl+Z")
    settle(qtbot, window)
    assert open_draft(record, number).job.new_machine is None


def test_what_was_kept_is_shown_again_and_can_be_left(qtbot: Any, window: Any, page: Any) -> None:
    hands, form = opened(page)
    write(hands, form.rows["lead_weeks"].figures[0], "4")
    write(hands, form.rows["lead_weeks"].figures[1], "6")
    write(hands, form.rows["lead_weeks"].figures[2], "9")
    hands.press("Ctrl+Return")
    qtbot.waitUntil(lambda: page.beside_new.form is None, timeout=LONGEST)
    qtbot.waitUntil(lambda: window.desk.fresh, timeout=LONGEST)
    hands, form = opened(page)
    assert [one.text() for one in form.rows["lead_weeks"].figures] == ["4", "6", "9"]
    write(hands, form.rows["lead_weeks"].figures[1], "12")
    hands.press("Escape")
    qtbot.waitUntil(lambda: page.beside_new.form is None, timeout=LONGEST)
    assert window.desk.job.new_machine.lead_weeks.likely == 6
    assert window.desk.job.new_machine.meanwhile == STANDS


def test_an_issued_revision_is_only_looked_at(qtbot: Any, window: Any, page: Any) -> None:
    window.desk.state = "issued"
    _hands, form = opened(page)
    assert not form.keep.isEnabled()
    assert form.rows["new_price"].figures[0].isReadOnly()
    assert form.open_page.isEnabled()
    form.reject()


def test_a_page_is_saved_where_the_user_says(
    qtbot: Any, window: Any, page: Any, tmp_path: Path
) -> None:
    priced = window.desk.priced
    given = replace(opened(page)[1].read()[0])
    page.beside_new.form.reject()
    target = tmp_path / "out" / "page.pdf"
    page.beside_new.save_page(priced, given, target)
    qtbot.waitUntil(target.exists, timeout=LONGEST)
    assert target.read_bytes() == comparison_bytes(priced, given)


@pytest.mark.parametrize("size", [(1440, 900), (1024, 700)])
def test_nothing_of_the_form_is_cut_at_the_side(
    window: Any, page: Any, size: tuple[int, int]
) -> None:
    window.resize(*size)
    _hands, form = opened(page)
    assert form._scroll.horizontalScrollBar().maximum() == 0
    form.reject()
