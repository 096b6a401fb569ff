"""The page House style: typed, shown as paper at once, kept by a service manager alone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from estimator.domain.house_style import PLAIN
from estimator.services.enrol_person import person_named
from estimator.services.house_style import house_style, keep_house_style
from tests.desktop.accessible import nameless
from tests.desktop.conftest import HOLT, MANAGER, NOW, settle, wait_for
from tests.documents.house import LOGO, full_style

CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture(scope="module")
def window(make_shared_window):
    return make_shared_window(MANAGER)


@pytest.fixture
def page(window, shared_record):
    manager = person_named(shared_record, MANAGER)
    window.workshop.take_person(manager)
    kept = house_style(shared_record)
    if kept.style != PLAIN:
        keep_house_style(shared_record, PLAIN, manager, NOW, kept.version)
    window.go("house style")
    window.activateWindow()
    settle(None, window)
    window.page.form.show_style(PLAIN)
    window.page._kept, window.page._version = PLAIN, house_style(shared_record).version
    settle(None, window)
    return window.page


def test_typed_kept_and_there_again(window, page, shared_record):
    form = page.form
    form.phone.setFocus()
    QTest.keyClicks(form.phone, "+44 1632 960123")
    form.footer.setPlainText("One\n\n Two ")
    assert page.unfinished()
    QTest.keyClick(form.phone, Qt.Key.Key_Return, CONTROL)
    settle(None, window)
    kept = house_style(shared_record).style
    assert (kept.phone, kept.footer) == ("+44 1632 960123", ("One", "Two"))
    assert page.unfinished() == ""


def test_contrast_is_told_at_once_and_a_pale_colour_cannot_be_kept(window, page, shared_record):
    form = page.form
    words = form.faults["head_colour"]
    assert words.text().startswith("Contrast on white paper 16.")
    form.head_colour.setText("#999999")
    assert "2.84 to 1" in words.text()
    assert words.property("tone") == "attention"
    assert not page.keep.isEnabled()
    version = house_style(shared_record).version
    page.main_action()
    settle(None, window)
    assert house_style(shared_record).version == version
    form.head_colour.setText("#5B1720")
    assert page.keep.isEnabled()


def test_the_paper_follows_what_is_typed(window, page):
    wait_for(lambda: page.pages.page_count == 1)
    before = page.pages._content
    page.form.web.setText("www.tarnbeck.example")
    wait_for(lambda: page.pages._content != before)


def test_a_logo_is_taken_and_one_that_is_none_is_told(window, page, tmp_path):
    good, bad = tmp_path / "logo.svg", tmp_path / "words.svg"
    good.write_bytes(LOGO)
    bad.write_bytes(b"words")
    page.read_drawing(good, page.form._take_logo)
    settle(None, window)
    assert page.form.style_typed.logo is not None
    assert page.form.logo_words.text() == "SVG 240 \u00d7 80"
    page.read_drawing(bad, page.form._take_logo)
    settle(None, window)
    assert "words.svg" in window.messages.text
    assert page.form.style_typed.logo is not None
    page.form.drop_logo.click()
    assert page.form.style_typed.logo is None
    window.messages.clear()


def test_others_look_and_change_nothing(window, page, shared_record):
    window.workshop.take_person(person_named(shared_record, HOLT))
    assert page.form.phone.isReadOnly()
    assert not page.form.choose_logo.isEnabled()
    assert not page.keep.isEnabled()
    assert page.unfinished() == ""


def test_everything_has_a_name_and_is_reached_from_the_menu(window, page):
    assert nameless(page) == []
    menu = window.acts.menu()
    assert "House style" in [one.text() for one in menu.actions()]
    menu.deleteLater()


def test_a_full_style_comes_back_into_the_fields(page):
    style = full_style(terms="First.\n\nSecond.")
    page.form.show_style(style)
    assert page.form.style_typed == style
    page.form.signatures.setCurrentRow(0)
    page.form.drop_signature.click()
    assert page.form.style_typed.signatures == ()
    page.form.show_style(PLAIN)
