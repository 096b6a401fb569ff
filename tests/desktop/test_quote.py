"""The Quote page, by keyboard: the very bytes, proposing, issuing, revising, what changed."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QCheckBox, QLabel, QLineEdit

from estimator.desktop.screens.quote import saving
from estimator.desktop.screens.quote.locales import printed_in
from estimator.desktop.screens.quote.places import where
from estimator.desktop.screens.quote.words import file_name, in_one_line
from estimator.domain.problem import Place, Problem
from estimator.services.adopt_values import adopt, adoptions, not_adopted
from estimator.services.compare_revisions import issued_revisions
from estimator.services.edit_job import open_draft
from estimator.services.enrol_person import person_named
from estimator.services.errors import NotWritten
from estimator.services.print_quote import quote_bytes
from tests.desktop.conftest import LONGEST, MANAGER, NOW, PASSPHRASE, open_at, settle
from tests.golden.golden_job import golden_inputs


@pytest.fixture
def window(make_window: Any) -> Any:
    return make_window()


@pytest.fixture
def page(qtbot: Any, window: Any) -> Any:
    found = open_at(qtbot, window, "quote")
    laid_out(qtbot, found)
    return found


def laid_out(qtbot: Any, page: Any) -> None:
    preview = page.parts.preview
    qtbot.waitUntil(
        lambda: preview._is_made() and preview.print_locale == "en_GB",
        timeout=LONGEST,
    )


def main_action(qtbot: Any, page: Any) -> None:
    """Ctrl+Enter; a dialog that was just closed leaves the window without the keyboard."""
    window = page.window()
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow, timeout=LONGEST)
    qtbot.keyClick(window, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)


def asked(qtbot: Any, page: Any) -> Any:
    """Ctrl+Enter; the question, once it is known what the price rests on."""
    main_action(qtbot, page)
    qtbot.waitUntil(lambda: page.releasing.question is not None, timeout=LONGEST)
    return page.releasing.question


def answer(qtbot: Any, page: Any, passphrase: str) -> None:
    """Ctrl+Enter, then whoever releases adopts what it rests on, and gives name and passphrase."""
    question = asked(qtbot, page)
    (box,) = question.findChildren(QCheckBox)
    qtbot.keyClick(box, Qt.Key.Key_Space)
    who, secret = question.findChildren(QLineEdit)
    assert who.text() == MANAGER
    qtbot.keyClicks(secret, passphrase)
    qtbot.keyClick(secret, Qt.Key.Key_Return)


def test_from_draft_to_rev_b(qtbot, window, page, record, tmp_path):
    preview, desk = page.parts.preview, window.desk
    # the paper is the very bytes that would be printed
    assert preview.content == quote_bytes(desk.priced, "en_GB")
    target = tmp_path / "out" / "quote.pdf"
    page.files.save_to(target)
    qtbot.waitUntil(target.exists, timeout=LONGEST)
    assert target.read_bytes() == preview.content
    # proposed: it waits on a service manager
    page.parts.propose.setFocus()
    qtbot.keyClick(page.parts.propose, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: desk.state == "proposed", timeout=LONGEST)
    assert page.parts.withdraw.isVisible()
    # a wrong passphrase issues nothing
    answer(qtbot, page, "not the right one")
    qtbot.waitUntil(lambda: not page.releasing.busy, timeout=LONGEST)
    assert "do not belong together" in window.messages.text
    settle(qtbot, window)
    assert issued_revisions(record, "Q-2041") == ()
    # the right one does, and what is shown then is what was issued
    answer(qtbot, page, PASSPHRASE)
    assert page.parts.stop.isVisible()
    qtbot.waitUntil(lambda: desk.locked and bool(page.issued), timeout=LONGEST)
    (issued,) = issued_revisions(record, "Q-2041")
    assert (issued.issued_by, issued.released_by) == ("P. Holt", MANAGER)
    settle(qtbot, window)
    assert preview.content == issued.pdf
    assert not page.parts.issue.isVisible()
    assert page.parts.revise.isVisible()
    assert not preview.locale_box.isEnabled()
    # the only thing to do then is the next revision
    main_action(qtbot, page)
    qtbot.waitUntil(lambda: desk.job.revision == "B", timeout=LONGEST)
    job = desk.job
    desk.edit("confidence", replace(job, terms=replace(job.terms, confidence=Decimal("0.9"))))
    model = page.parts.changes.rows
    qtbot.waitUntil(lambda: model.rowCount() > 0 and desk.fresh, timeout=LONGEST)
    assert page.parts.changes_title.whole_text == "What changed since rev A"
    heads = [model.row_at(model.index(n, 0)) for n in range(model.rowCount())]
    assert [head.id for head in heads][0] == "figures"
    lines = [
        in_one_line(model.row_at(model.index(n, 0, top)), window.workshop.formats)
        for top in [model.index(place, 0) for place in range(len(heads))]
        for n in range(model.rowCount(top))
    ]
    assert any(line.startswith("Price before tax: 275,946 \u2192 ") for line in lines)
    assert "confidence: 80\u202f% \u2192 90\u202f%" in lines
    # the old paper is still there, byte for byte
    page.go_to("A")
    assert preview.content == issued.pdf


def test_starting_values_are_adopted_before_it_is_released(qtbot, window, page, record):
    """Without the tick Enter does nothing; once adopted, nobody is asked again."""
    question = asked(qtbot, page)
    said = " ".join(one.text() for one in question.findChildren(QLabel))
    assert "chances rest on starting values that nobody has adopted" in said
    go_on = question.buttons[1]
    who, secret = question.findChildren(QLineEdit)
    qtbot.keyClicks(secret, PASSPHRASE)
    assert not go_on.isEnabled()
    qtbot.keyClick(secret, Qt.Key.Key_Return)
    assert question.isVisible()
    qtbot.keyClick(question, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: page.releasing.question is None, timeout=LONGEST)
    settle(qtbot, window)
    assert adoptions(record) == []
    values = not_adopted(record, window.desk.priced)
    adopt(record, values, person_named(record, MANAGER), NOW, "they fit what we have seen")
    question = asked(qtbot, page)
    assert question.findChildren(QCheckBox) == []
    assert question.buttons[1].isEnabled()
    question.reject()


def test_what_keeps_it_from_being_issued(qtbot, window, page, record, monkeypatch, tmp_path):
    # stopped before it is written, nothing is issued
    answer(qtbot, page, PASSPHRASE)
    page.parts.stop.click()
    qtbot.waitUntil(lambda: not page.releasing.busy, timeout=LONGEST)
    settle(qtbot, window)
    assert issued_revisions(record, "Q-2041") == ()
    assert open_draft(record, "Q-2041").state == "draft"
    assert page.parts.issue.isEnabled()
    # somebody else's edit meanwhile: nothing is issued either
    other = replace(window.desk.job, note="wants it by spring")
    assert other != open_draft(record, "Q-2041").job
    window.desk.job = other
    window.desk.reckoner.priced = replace(window.desk.priced, job=other)
    answer(qtbot, page, PASSPHRASE)
    qtbot.waitUntil(lambda: not page.releasing.busy, timeout=LONGEST)
    assert "changed by someone else meanwhile" in window.messages.text
    assert issued_revisions(record, "Q-2041") == ()
    settle(qtbot, window)
    look_at_what_keeps_it(qtbot, window, page, monkeypatch, tmp_path)


def look_at_what_keeps_it(qtbot, window, page, monkeypatch, tmp_path):
    went: list[tuple[str, str]] = []
    page.go_asked.connect(lambda area, place: went.append((area, place)))
    # a warning is gone to by Enter
    things = page.parts.things
    things.setFocus()
    rows = [things.rows.row_at(things.rows.index(n, 0)) for n in range(things.rows.rowCount())]
    assert [(row.area, row.stops) for row in rows] == [("exposure", False), ("programme", False)]
    window._makers.pop("programme", None)
    things.go_to(rows[1].id)
    qtbot.keyClick(things, Qt.Key.Key_Return)
    assert went[-1] == ("programme", "start")

    # the disk is full: said in plain words, and nothing half-written
    def full(_path: Path, _data: bytes) -> Path:
        raise NotWritten(
            "x.pdf cannot be written (No space left on device).", "Choose another place."
        )

    monkeypatch.setattr(saving, "write_whole", full)
    page.files.save_to(tmp_path / "x.pdf")
    qtbot.waitUntil(lambda: "No space left" in window.messages.text, timeout=LONGEST)
    # a fault leaves no paper, stands first, and cannot be issued
    job = window.desk.job
    window.desk.edit("tax", replace(job, terms=replace(job.terms, tax_category="none such")))
    qtbot.waitUntil(lambda: bool(window.desk.faults), timeout=LONGEST)
    assert page.parts.preview.content == b""
    first = things.rows.row_at(things.rows.index(0, 0))
    assert (first.area, first.stops) == ("price", True)
    assert not page.parts.issue.isEnabled()
    main_action(qtbot, page)
    assert page.releasing.question is None


def test_where_a_problem_is_mended():
    job, _cat = golden_inputs()

    def at(code: str, column: str, message: str, row: int | None = None) -> tuple[str, str]:
        return where(Problem(code, Place("", row, column), message), job)

    assert at("bad-kind", "measured", "I03 is read in bar.") == ("inspection", "I03/measured")
    assert at("id-twice", "id", "I03 stands twice.") == ("inspection", "I03/id")
    assert at("no-rate", "[[exchange_rate]]", "holds no rate for SEK.")[0] == "price"
    assert at("unknown-code", "[machine.history 1]", "'X' is not known.")[0] == "enquiry"
    assert at("counted-twice", "", "O0103 already includes O0104.") == ("scope", "O0103")
    assert at("start-past", "", "the machine is to come in before.") == ("programme", "start")
    assert file_name("Q-2041/..", "A") == "Q-2041_.. rev A.pdf"
    assert printed_in("de_DE")[0] == ("de_DE", "Deutsch (Deutschland)")
