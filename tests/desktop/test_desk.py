"""The open job: edits at once, in the record a moment later, and never lost on the way."""

from __future__ import annotations

from contextlib import contextmanager
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from types import SimpleNamespace

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel
from sqlalchemy import event, text

from estimator.desktop import desk, reckoner
from estimator.desktop.questions import Question
from estimator.desktop.runner import RECORD
from estimator.domain.exposure.contingency import CURVE, NOTHING, Contingency
from estimator.domain.money import Money
from estimator.services.edit_job import edits_of, make_edit, open_draft
from estimator.services.errors import Busy
from estimator.services.open_record import Record
from tests.desktop.conftest import LONGEST, MANAGER, NOW, plain_pages, settle

NUMBER = "Q-2041"
NOTHING_HELD = Contingency(
    Money(0, "GBP"), Decimal("0.8"), NOTHING, 0.0, 0.0, dict.fromkeys(CURVE, 0.0), 0.0, (), None
)
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def opened(qtbot, make_window, monkeypatch):
    """A window with the job on its desk, at a page with nothing on it. Most of this is not about
    figures: those are reckoned where a test asks for it."""

    def make(*args, reckon=False):
        window = plain_pages(make_window(*args), reckon=reckon)
        if not reckon:
            monkeypatch.setattr(reckoner, "hold", lambda _work, _before: NOTHING_HELD)
        with qtbot.waitSignal(window.desk.worked, timeout=LONGEST):
            window.open_job(NUMBER, "enquiry")
        return window

    return make


def note(window, words):
    window.desk.edit("note", replace(window.desk.job, note=words))


def customer(window, name):
    job = window.desk.job
    window.desk.edit("customer", replace(job, customer=replace(job.customer, name=name)))


def written(qtbot, window):
    """Wait until the record has everything that was typed."""
    qtbot.waitUntil(lambda: not window.desk.unsaved and not window.desk.queue.writing)


def question(window):
    return next((one for one in window.findChildren(Question) if one.isVisible()), None)


def press(window, key, modifier=CONTROL):
    window.activateWindow()
    QApplication.processEvents()
    QTest.keyClick(window, key, modifier)


@contextmanager
def spoilt(record, pragma):
    """The record's connections as a full disk, or one that may only be read, makes them: SQLite
    itself answers so."""

    def spoil(connection, _known, _proxy):
        connection.execute(f"PRAGMA {pragma}")

    event.listen(record.database.engine, "checkout", spoil)
    try:
        yield
    finally:
        event.remove(record.database.engine, "checkout", spoil)

        def mend(connection, _known, _proxy):
            connection.execute("PRAGMA query_only=0")
            connection.execute("PRAGMA max_page_count=1000000")

        event.listen(record.database.engine, "checkout", mend)


READ_ONLY, FULL = "query_only=1", "max_page_count=1"


def test_an_edit_shows_at_once_reaches_the_record_and_survives_closing(qtbot, opened, record):
    window = opened()
    customer(window, "Marl & Sons")
    assert window.desk.job.customer.name == "Marl & Sons"
    assert "Marl & Sons" in window.header._customer.whole_text
    window.close()  # at once: what is on its way arrives all the same
    assert not window.isVisible()
    assert open_draft(record, NUMBER).job.customer.name == "Marl & Sons"


def test_undo_and_redo_by_key_are_named_and_survive_a_restart(qtbot, opened, record):
    window = opened()
    before = window.desk.job.note
    note(window, "one")
    customer(window, "Two")
    written(qtbot, window)
    assert window.undo_action.text() == "Undo customer"
    assert "undo customer" in window.key_line._saved.text()
    window.close()

    again = opened()
    assert again.undo_action.text() == "Undo customer"
    press(again, Qt.Key.Key_Z)
    qtbot.waitUntil(lambda: again.redo_action.text() == "Redo customer")
    press(again, Qt.Key.Key_Z)
    qtbot.waitUntil(lambda: again.redo_action.text() == "Redo note")
    assert again.desk.job.note == before
    press(again, Qt.Key.Key_Y)
    press(again, Qt.Key.Key_Z, CONTROL | Qt.KeyboardModifier.ShiftModifier)
    qtbot.waitUntil(lambda: again.desk.job.customer.name == "Two")
    assert again.desk.job.note == "one"
    assert open_draft(record, NUMBER).job.note == "one"
    assert not again.redo_action.isEnabled()


def test_what_was_held_is_handed_on_to_the_next_reckoning(qtbot, opened, monkeypatch):
    handed, given = [], [SimpleNamespace(model=None) for _time in range(3)]

    def hold(_work, before):
        handed.append(before)
        return replace(NOTHING_HELD, distribution=given[len(handed) - 1])

    window = opened()
    settle(qtbot, window)
    monkeypatch.setattr(reckoner, "hold", hold)
    for number in (1, 2):
        note(window, str(number))
        qtbot.waitUntil(lambda count=number: len(handed) == count)
        settle(qtbot, window)
    assert handed == [None, given[0]]
    window.desk.open(NUMBER)  # the job anew: nothing of before is known of it
    qtbot.waitUntil(lambda: len(handed) == 3)
    assert handed[2] is None


def test_undo_pressed_more_often_than_there_are_edits_is_no_error(qtbot, opened):
    window = opened()
    told = []
    window.workshop.presenter.told.connect(told.append)
    note(window, "one")
    for _time in range(5):
        window.desk.undo()
    written(qtbot, window)
    settle(qtbot, window)
    assert window.desk.job.note != "one"
    assert not told


def test_undo_away_from_the_job_changes_nothing_unseen(qtbot, opened, record):
    window = opened()
    note(window, "stays")
    written(qtbot, window)
    window.go("jobs")
    assert not window.undo_action.isEnabled()
    press(window, Qt.Key.Key_Z)
    assert "undo" not in window.key_line._saved.text()
    window.go("enquiry")
    assert window.undo_action.isEnabled()
    assert open_draft(record, NUMBER).job.note == "stays"


def test_a_text_field_undoes_its_own_text_first_and_the_job_after(qtbot, opened):
    window = opened()
    note(window, "job's")
    written(qtbot, window)
    field = window.acts.find_panel.line
    window.find_asked.emit()
    window.activateWindow()
    qtbot.waitUntil(field.hasFocus)
    qtbot.keyClicks(field, "abc")
    QTest.keyClick(field, Qt.Key.Key_Z, CONTROL)
    assert field.text() != "abc"
    assert window.desk.job.note == "job's"
    while field.isUndoAvailable():
        QTest.keyClick(field, Qt.Key.Key_Z, CONTROL)
    QTest.keyClick(field, Qt.Key.Key_Z, CONTROL)
    qtbot.waitUntil(lambda: window.desk.job.note != "job's")


def test_different_fields_from_two_windows_merge_without_a_word(qtbot, opened, record):
    mine, theirs = opened(), opened(MANAGER)
    customer(theirs, "Theirs")
    written(qtbot, theirs)
    note(mine, "mine")
    written(qtbot, mine)
    assert (mine.desk.job.customer.name, mine.desk.job.note) == ("Theirs", "mine")
    assert question(mine) is None
    kept = open_draft(record, NUMBER).job
    assert (kept.customer.name, kept.note) == ("Theirs", "mine")


@pytest.mark.parametrize(("answer", "stands"), [(0, "theirs"), (1, "mine, twice")])
def test_the_same_field_asks_and_both_answers_hold(qtbot, opened, record, answer, stands):
    mine, theirs = opened(), opened(MANAGER)
    note(theirs, "theirs")
    written(qtbot, theirs)
    note(mine, "mine")
    note(mine, "mine, twice")  # rests on the edit that clashes
    for _clash in range(2 - answer):
        qtbot.waitUntil(lambda: question(mine) is not None)
        asked = question(mine)
        assert any("changed note to theirs" in one.text() for one in asked.findChildren(QLabel))
        asked.buttons[answer].click()
        qtbot.waitUntil(lambda one=asked: question(mine) is not one)
    written(qtbot, mine)
    qtbot.waitUntil(lambda: mine.desk.job.note == stands)
    assert open_draft(record, NUMBER).job.note == stands


def test_undo_of_what_somebody_else_did_meanwhile_is_not_done_blindly(qtbot, opened, record):
    mine, theirs = opened(), opened(MANAGER)
    note(mine, "mine")
    written(qtbot, mine)
    customer(theirs, "Theirs")
    written(qtbot, theirs)
    press(mine, Qt.Key.Key_Z)
    qtbot.waitUntil(lambda: "someone else" in mine.messages.text)
    qtbot.waitUntil(lambda: mine.desk.job.customer.name == "Theirs")
    assert open_draft(record, NUMBER).job.note == "mine"
    assert MANAGER in mine.undo_action.text()


@pytest.mark.parametrize(("pragma", "says"), [(FULL, "disk is full"), (READ_ONLY, "read-only")])
def test_what_cannot_be_written_is_kept_and_written_later(qtbot, opened, record, pragma, says):
    window = opened()
    settle(qtbot, window)
    long_words = "words " * 3000  # more than the pages that are there
    with spoilt(record, pragma):
        note(window, long_words)
        customer(window, "Later")
        qtbot.waitUntil(lambda: window.desk.queue.failed)
        assert window.messages.text.startswith("Not saved")
        assert says in window.messages.text
        assert "Ctrl+S" in window.key_line._saved.text()
        assert (window.desk.job.note, window.desk.job.customer.name) == (long_words, "Later")
        assert open_draft(record, NUMBER).job.customer.name != "Later"
    press(window, Qt.Key.Key_S)
    written(qtbot, window)
    kept = open_draft(record, NUMBER).job
    assert (kept.note, kept.customer.name) == (long_words, "Later")
    assert [step.edit.name for step in edits_of(record, NUMBER)] == ["note", "customer"]
    assert "Saved" in window.messages.text


def test_an_edit_that_cannot_be_written_can_be_undone_and_made_again(qtbot, opened, record):
    window = opened()
    before = window.desk.job.note
    note(window, "written")
    written(qtbot, window)
    with spoilt(record, READ_ONLY):
        note(window, "not written")
        qtbot.waitUntil(lambda: window.desk.queue.failed)
        press(window, Qt.Key.Key_Z)
        assert window.desk.job.note == "written"
        assert window.redo_action.text() == "Redo note"
        press(window, Qt.Key.Key_Y)
        assert window.desk.job.note == "not written"
        press(window, Qt.Key.Key_Z)  # while it is being tried again
        qtbot.waitUntil(lambda: not window.desk.unsaved)
        assert window.desk.job.note == "written"
    press(window, Qt.Key.Key_Z)
    qtbot.waitUntil(lambda: window.desk.job.note == before)


def test_closing_with_unsaved_edits_asks_first(qtbot, opened, record):
    window = opened()
    with spoilt(record, READ_ONLY):
        note(window, "typed last")
        window.close()
        assert window.isVisible()
        asked = question(window)
        assert asked is not None
        QTest.keyClick(asked, Qt.Key.Key_Escape)
        qtbot.waitUntil(lambda: question(window) is None)
        assert window.isVisible()
        window.close()
        question(window).buttons[1].click()
        qtbot.waitUntil(lambda: not window.isVisible())


def test_another_job_on_the_desk_loses_nothing_of_the_one_before(qtbot, opened, record, catalogue):
    from estimator.services.begin_job import begin_job

    window = opened()
    other = begin_job(record, catalogue, window.workshop.person, NOW)
    with spoilt(record, READ_ONLY):
        note(window, "not written")
        qtbot.waitUntil(lambda: window.desk.queue.failed)
        with qtbot.waitSignal(window.desk.opened, timeout=LONGEST):
            window.open_job(other, "enquiry")
        assert window.desk.unsaved == 1
        with qtbot.waitSignal(window.desk.opened, timeout=LONGEST):
            window.open_job(NUMBER, "enquiry")
        assert window.desk.job.note == "not written"
        with qtbot.waitSignal(window.desk.opened, timeout=LONGEST):
            window.open_job(other, "enquiry")
    press(window, Qt.Key.Key_S)
    written(qtbot, window)
    assert open_draft(record, NUMBER).job.note == "not written"
    assert window.desk.job.number == other


def test_edits_behind_one_that_finds_the_record_locked_keep_their_order(
    qtbot, opened, record, monkeypatch
):
    window = opened()
    real, refusals = Record.writing, [Busy("Another program is writing to the record.")]

    @contextmanager
    def locked_once(self):
        if refusals:
            raise refusals.pop()
        with real(self) as session:
            yield session

    monkeypatch.setattr(Record, "writing", locked_once)
    for words in ("one", "two", "three"):  # each rests on the one before
        note(window, words)
    qtbot.waitUntil(lambda: window.desk.queue.failed)
    window.desk.retry()
    written(qtbot, window)
    assert question(window) is None
    assert open_draft(record, NUMBER).job.note == "three"
    assert len(edits_of(record, NUMBER)) == 3


def test_a_defect_while_saving_does_not_claim_that_all_is_saved(
    qtbot, opened, record, monkeypatch, tmp_path
):
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    window = opened()
    settle(qtbot, window)

    def broken(*_args, **_kwargs):
        raise ZeroDivisionError

    monkeypatch.setattr(desk, "make_edit", broken)
    note(window, "kept")
    qtbot.waitUntil(lambda: window.desk.queue.failed)
    assert "Not saved" in window.messages.text
    assert "is saved" not in window.messages.text
    monkeypatch.setattr(desk, "make_edit", make_edit)
    window.desk.retry()
    written(qtbot, window)
    assert open_draft(record, NUMBER).job.note == "kept"


def test_an_issued_job_takes_no_edits(qtbot, opened, record):
    with record.writing() as session:
        session.execute(text("UPDATE job SET state = 'issued'"))
    window = opened()
    before = window.desk.job
    assert window.desk.locked
    note(window, "too late")
    window.desk.keep("note", "x", "y")
    assert window.desk.job is before
    assert not window.desk.unsaved
    assert not window.undo_action.isEnabled()


def test_a_person_who_may_not_edit_sees_the_record_again(qtbot, opened, record):
    from estimator.services.enrol_person import enrol_person, person_named

    enrol_person(record, "A. Rowe", "inspector", "a long enough one",
                 person_named(record, MANAGER), NOW)  # fmt: skip
    window = opened("A. Rowe")
    before = window.desk.job.note
    note(window, "not mine to write")
    qtbot.waitUntil(lambda: "may not" in window.messages.text)
    qtbot.waitUntil(lambda: window.desk.job.note == before)
    assert not window.desk.unsaved


def test_text_that_is_not_valid_yet_comes_back_with_its_reason(qtbot, opened, record):
    place = "machine/hours"
    window = opened()
    window.desk.keep(place, "about 9,000 <b>", "Not a number.")
    note(window, "an edit on its heels")
    written(qtbot, window)
    assert window.desk.kept[place] == "about 9,000 <b>"
    window.close()
    again = opened()
    assert again.desk.kept[place] == "about 9,000 <b>"
    assert again.desk.reasons[place] == "Not a number."
    again.desk.drop(place)
    written(qtbot, again)
    assert place not in open_draft(record, NUMBER).kept


def test_kept_text_waits_for_a_record_that_cannot_be_written(qtbot, opened, record):
    window = opened()
    settle(qtbot, window)
    with spoilt(record, READ_ONLY):
        window.desk.keep("machine/hours", "many", "Not a number.")
        qtbot.waitUntil(lambda: window.desk.queue.failed)
        assert window.desk.unsaved == 1
    press(window, Qt.Key.Key_S)
    written(qtbot, window)
    assert open_draft(record, NUMBER).kept == {"machine/hours": "many"}


def test_a_burst_of_edits_ends_with_the_figures_of_the_last(qtbot, opened):
    window = opened(reckon=True)
    reckoned = []
    window.desk.reckoned.connect(reckoned.append)
    start = window.desk.job.start
    for days in range(1, 31):
        window.desk.edit("start", replace(window.desk.job, start=start + timedelta(days=days)))
        QApplication.processEvents()
    settle(qtbot, window)
    assert window.desk.fresh
    assert window.desk.priced.job.start == start + timedelta(days=30)
    assert window.header._figures.fresh
    assert window.header._figures.start == start + timedelta(days=30)
    assert len(reckoned) < 5  # not each of them was reckoned through


def test_the_header_moves_while_one_types_and_goes_back(qtbot, opened):
    window = opened(reckon=True)
    settle(qtbot, window)
    before = window.header.price.figure.text()
    cheaper = replace(window.desk.job, terms=_cheaper(window.desk.job.terms))
    with qtbot.waitSignal(window.desk.worked, timeout=LONGEST):
        window.desk.try_out(cheaper)
    assert window.header.price.figure.text() != before
    window.desk.edit("", window.desk.job)  # as Esc does
    qtbot.waitUntil(lambda: window.header.price.figure.text() == before)
    assert window.header._figures.fresh
    assert not window.desk.waiting  # nothing has changed: nothing is reckoned anew
    assert not window.desk.unsaved


def test_a_reckoning_that_ends_late_does_not_turn_the_header_back(qtbot, opened):
    window = opened(reckon=True)
    settle(qtbot, window)
    old = window.desk.priced
    with qtbot.waitSignal(window.desk.worked, timeout=LONGEST):
        window.desk.edit("terms", replace(window.desk.job, terms=_cheaper(window.desk.job.terms)))
    newer = window.header.price.figure.text()
    window.desk.reckoned.emit(old)
    assert window.header.price.figure.text() == newer
    window.workshop.runner.stop_all(RECORD)


def _cheaper(terms):
    return replace(terms, discount_share=terms.discount_share + Decimal("0.05"))
