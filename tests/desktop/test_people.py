"""Who works here: enrolling, and taking the seat."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit

from estimator.desktop.questions import Question
from estimator.domain.people import INSPECTOR, ROLES
from estimator.services.enrol_person import know_person, list_people, person_named
from tests.desktop.accessible import nameless
from tests.desktop.conftest import HOLT, MANAGER, PASSPHRASE, plain_pages, settle, wait_for

CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture(scope="module")
def window(make_shared_window):
    return plain_pages(make_shared_window(MANAGER))


@pytest.fixture
def page(window, shared_record):
    window.workshop.take_person(person_named(shared_record, MANAGER))
    window.go("people")
    window.messages.clear()
    window.activateWindow()
    settle(None, window)
    for field in (window.page.name, window.page.secret, window.page.again):
        field.clear()
    return window.page


def enrol(window, page, name, secret, again=None, role=INSPECTOR):
    for field, text in ((page.name, name), (page.secret, secret), (page.again, again or secret)):
        field.setText(text)
    page.role.setCurrentIndex(ROLES.index(role))
    QTest.keyClick(page.again, Qt.Key.Key_Return, CONTROL)
    settle(None, window)


def take_seat(window, page, name, secret):
    assert page.grid.go_to(person_named(window.workshop.record, name).id)
    QTest.keyClick(page.grid, Qt.Key.Key_Return)
    asked = next(one for one in page.findChildren(Question) if one.isVisible())
    fields = asked.findChildren(QLineEdit)
    assert [one.text() for one in fields] == [name, ""]
    assert nameless(asked) == []
    QTest.keyClicks(fields[1], secret)
    QTest.keyClick(fields[1], Qt.Key.Key_Return)
    settle(None, window)


def test_a_manager_enrols_and_the_new_one_is_known(window, page, shared_record):
    name = 'A. Rowe <b>"&'
    enrol(window, page, name, "a passphrase of length")
    assert know_person(shared_record, name, "a passphrase of length").role == INSPECTOR
    assert page.name.text() == page.secret.text() == ""
    assert name in window.messages.text
    wait_for(lambda: page.model.rowCount() == 3)
    assert nameless(window) == []


@pytest.mark.parametrize(
    ("name", "secret", "again", "says"),
    [
        ("  ", "a passphrase of length", None, "Nobody is named"),
        ("B. New", "a passphrase of length", "another of length", "differ"),
        ("B. New", "short", None, "at least 10"),
        (HOLT, "a passphrase of length", None, "enrolled already"),
    ],
)
def test_what_is_wrong_is_said_and_nobody_is_enrolled(
    window, page, shared_record, name, secret, again, says
):
    before = list_people(shared_record)
    enrol(window, page, name, secret, again)
    assert says in window.messages.text + page._note.text()
    assert list_people(shared_record) == before
    assert page.name.text() == name  # what was typed stays


def test_who_may_not_enrol_is_told_so_and_can_do_nothing(window, page, shared_record):
    window.workshop.take_person(person_named(shared_record, HOLT))
    settle(None, window)
    before = list_people(shared_record)
    assert not page.name.isEnabled()
    assert "service manager" in page._note.text()
    page.name.setText("C. New")
    QTest.keyClick(window, Qt.Key.Key_Return, CONTROL)
    settle(None, window)
    assert list_people(shared_record) == before
    QTest.keyClick(page.grid, Qt.Key.Key_F6)  # to what can be reached: the list alone
    assert page.grid.hasFocus()


def test_a_wrong_passphrase_is_said_in_plain_words(window, page):
    take_seat(window, page, HOLT, "not this one at all")
    assert window.messages.text == "Name and passphrase do not belong together. Try again."
    assert window.workshop.person.name == MANAGER


def test_the_seat_is_taken_with_ones_own_passphrase(window, page):
    take_seat(window, page, HOLT, PASSPHRASE)
    assert window.workshop.person.name == HOLT
    assert HOLT in window.strip.person.text()
    assert not page.name.isEnabled()


def test_somebody_half_enrolled_is_asked_about_before_closing(window, page):
    page.name.setText("D. Half")
    assert "D. Half" in page.unfinished()
    page.name.clear()
    assert page.unfinished() == ""
