"""The Jobs list: found as one types, grouped, sorted, opened, all by keyboard."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from estimator.desktop.screens.jobs import page as jobs_page
from estimator.desktop.widgets.side_button import STEP
from estimator.domain.job_edit import edit_between
from estimator.domain.money import Money
from estimator.domain.record import EXPIRED, ISSUED, JobSummary, Standing
from estimator.services.begin_job import begin_job
from estimator.services.edit_job import make_edit, open_draft
from estimator.services.enrol_person import person_named
from estimator.services.list_jobs import list_jobs
from tests.desktop.accessible import nameless
from tests.desktop.conftest import HOLT, NOW, plain_pages, settle, wait_for

HOSTILE = '<b>Bold</b> & "Sons" % _ OR NEAR(*)'
TODAY = NOW.date()


@pytest.fixture(scope="module")
def window(make_shared_window, shared_record, catalogue):
    """A window over four jobs: the sample, two of them begun for others, one for a hostile name."""
    holt = person_named(shared_record, HOLT)
    for name in ("Pebblemoor Ltd", "Zinnober Bau", HOSTILE):
        number = begin_job(shared_record, catalogue, holt, NOW)
        job = open_draft(shared_record, number).job
        after = replace(job, customer=replace(job.customer, name=name))
        make_edit(shared_record, number, edit_between(job, after, "customer"), holt, NOW)
    made = plain_pages(make_shared_window())
    made.resize(1440, 900)
    made.activateWindow()
    return made


@pytest.fixture
def page(window):
    """The Jobs list as it is at first."""
    window.go("jobs")
    page = window.page
    page.side._buttons["all"].click()
    page.group_by.choose("who waits")
    page.order.choose("newest")
    page.search.clear()
    page.search.setFocus()
    settled(window)
    page._current = ""
    return page


def settled(window):
    wait_for(lambda: not window.page._soon.isActive())
    settle(None, window)


def shown(page):
    """Customers from top to bottom."""
    model, found = page.model, []
    for head in range(model.rowCount()):
        under = model.index(head, 0)
        for row in range(model.rowCount(under)):
            found.append(model.row_at(model.index(row, 0, under)).summary.customer)
    return found


def heads(page):
    return [page.model.row_at(page.model.index(n, 0)).key for n in range(page.model.rowCount())]


def type_in(window, words):
    window.page.search.setText(words)
    settled(window)
    return shown(window.page)


def test_every_widget_of_the_list_and_the_frame_says_its_name(window, page):
    assert nameless(window) == []


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("pebb", ["Pebblemoor Ltd"]),
        ("PEBBLEMOOR l", ["Pebblemoor Ltd"]),
        ("q-2041", ["Ostrey Aggregates"]),
        ('"', None),
        ("%", None),
        ("%%", None),
        ("NEAR(", None),
        ("zzq OR xxq", []),
        ("Pebblemoor*", None),
        ("pebblemoor\0ltd", None),
        ("'; DROP TABLE job;--", None),
        ("(((", None),
        ("-pebblemoor", None),
        ("customer:pebblemoor", None),
        ("\ud800", None),
        ("x" * 5000, []),
    ],
)
def test_whatever_is_typed_is_looked_for_as_words(window, page, words, found):
    told = window.messages.text
    was = type_in(window, words)
    assert window.messages.text == told == ""
    if found is not None:
        assert was == found
    assert len(type_in(window, "")) == 4  # and the list is whole again


def test_a_hostile_name_is_shown_and_found_as_it_is(window, page):
    assert type_in(window, "bold sons") == [HOSTILE]
    index = page.model.index_of(page.model.row_at(page.model.index(0, 0, page.model.index(0, 0)))
                                .number, page.model.column_of("customer"))  # fmt: skip
    assert HOSTILE in str(index.data(Qt.ItemDataRole.DisplayRole))
    assert "<b>" not in index.data(Qt.ItemDataRole.ToolTipRole)  # Qt would make markup of it


def test_only_the_newest_of_many_keys_is_looked_for(window, page, monkeypatch):
    looked = []

    def look(record, text, **wanted):
        looked.append(text)
        return list_jobs(record, text, **wanted)

    monkeypatch.setattr(jobs_page, "list_jobs", look)
    QTest.keyClicks(page.search, "pebble")
    settled(window)
    assert looked[-1] == "pebble"
    assert len(looked) <= 2
    assert shown(page) == ["Pebblemoor Ltd"]


def test_down_goes_into_the_list_and_enter_opens_the_job(window, page):
    QTest.keyClicks(page.search, "zinn")
    QTest.keyClick(page.search, Qt.Key.Key_Down)  # before anything was found
    wait_for(lambda: page.grid.hasFocus() and page.place())
    assert page.grid.current_row().summary.customer == "Zinnober Bau"
    QTest.keyClick(page.grid, Qt.Key.Key_Return)
    wait_for(lambda: window.page_key == "enquiry")
    assert window.desk.job.customer.name == "Zinnober Bau"
    QTest.keyClick(window, Qt.Key.Key_Left, Qt.KeyboardModifier.AltModifier)
    wait_for(lambda: window.page_key == "jobs")
    assert page.grid.hasFocus()
    assert page.grid.current_row().summary.customer == "Zinnober Bau"


def test_enter_in_the_search_goes_to_the_first_of_what_was_found(window, page):
    QTest.keyClicks(page.search, "pebble")
    QTest.keyClick(page.search, Qt.Key.Key_Return)
    wait_for(page.grid.hasFocus)
    assert page.grid.current_row().summary.customer == "Pebblemoor Ltd"


def test_esc_empties_the_search_and_ctrl_f_comes_back_to_it(window, page):
    type_in(window, "pebble")
    QTest.keyClick(page.search, Qt.Key.Key_Escape)
    settled(window)
    assert len(shown(page)) == 4
    page.grid.setFocus()
    QTest.keyClick(window, Qt.Key.Key_F, Qt.KeyboardModifier.ControlModifier)
    assert page.search.hasFocus()


def test_a_list_without_jobs_says_what_to_do(window, page):
    assert type_in(window, "nobody of that name") == []
    assert "Nothing found" in page._more.text()
    QTest.keyClick(page.search, Qt.Key.Key_Down)
    assert not page.grid.hasFocus()
    type_in(window, "")
    page.side._buttons[EXPIRED].click()
    settled(window)
    assert page._more.text() == "No job here. Ctrl+N begins one."


def test_groups_and_sorting(window, page):
    page.group_by.choose("customer")
    assert len(heads(page)) == 4
    page.group_by.choose("who waits")
    assert heads(page) == ["Waits on you   4"]
    column = page.model.column_of("customer")
    page._sort(column)
    assert shown(page) == sorted(shown(page), key=str.casefold)
    page._sort(column)
    assert shown(page) == sorted(shown(page), key=str.casefold, reverse=True)
    page.order.choose("value")  # the choice counts again, not the column's head
    settled(window)
    assert page.model.sorted_by is None
    wanted = [one.customer for one in list_jobs(window.workshop.record, today=TODAY, order="value")]
    assert shown(page) == wanted


def test_the_side_counts_and_narrows(window, page):
    counts = {key: button.count for key, button in page.side._buttons.items()}
    assert counts["all"] == counts["draft"] == "4"
    assert counts[ISSUED] == "0"
    type_in(window, "pebble")
    assert page.side._buttons["all"].count == "4"  # of the record, whatever is searched for
    assert "4 jobs wait on you." in page.head.words.whole_text


def test_classes_with_jobs_are_offered_the_most_first_and_have_room(window, page):
    side, say = page.side, window.workshop.formats
    classes = [f"class {one}" for one in window.workshop.catalogue.classes]
    shown_now = [key for key in classes if side._buttons[key].isVisible()]
    assert shown_now == ["class WL28"]
    try:
        side.set_counts({key: number for number, key in enumerate(classes)}, say)
        QApplication.processEvents()
        buttons = [side._buttons[key] for key in classes]
        assert not buttons[0].isVisible()
        heights = {button.height() for button in buttons[1:]}
        tops = [side._buttons[key].y() for key in reversed(classes[1:])]
        assert heights == {STEP} and tops == [STEP * n for n in range(len(tops))]
        last = buttons[1]
        last.setFocus()
        QApplication.processEvents()
        at = last.mapTo(side._scroll, last.rect().bottomLeft()).y()
        assert 0 < at <= side._scroll.height()
        last.click()
        settled(window)
        assert shown(page) == [] and last.isVisible()  # what is chosen stays in sight
    finally:
        side._buttons["all"].click()
        settled(window)
    assert not last.isVisible()


def test_two_thousand_jobs_are_set_once_and_repainted_after(window, page, monkeypatch):
    resets = []
    many = [_summary(number) for number in range(2000)]
    monkeypatch.setattr(jobs_page, "list_jobs", lambda *_args, **_wanted: list(many))
    page.model.modelReset.connect(lambda: resets.append(1))
    page.refresh()
    settled(window)
    assert len(resets) == 1
    assert len(shown(page)) == 2000
    page.grid.go_to("Q-3500")
    many[3] = replace(many[3], customer="Changed meanwhile")
    for _time in range(5):
        page.refresh()
    settled(window)
    assert len(resets) == 1
    assert page.place() == "Q-3500"
    assert "Changed meanwhile" in shown(page)
    page._sort(page.model.column_of("price"))
    prices = [page.model.row_at(page.model.index(n, 0, page.model.index(0, 0))).summary.value
              for n in range(2000)]  # fmt: skip
    assert prices == sorted(prices, key=lambda one: one.minor, reverse=True)
    assert page.place() == "Q-3500"
    assert len(resets) == 1
    page.model.sort(-1)


def test_an_edit_elsewhere_is_counted(window, page, shared_record, catalogue):
    before = page.side._buttons["all"].count
    begin_job(shared_record, catalogue, window.workshop.person, NOW)
    window.workshop.changed("jobs")
    settled(window)
    assert page.side._buttons["all"].count == str(int(before) + 1)
    assert "5 jobs wait on you." in page.head.words.whole_text


def _summary(number):
    def money(amount):
        return Money(amount * 100, "GBP")

    firm = 100_000 + (number * 7919) % 50_000
    day = TODAY + datetime.timedelta(days=number % 90)
    standing = Standing(1, Decimal(10), money(firm), money(9000), money(5000), money(firm + 14_000),
                        Decimal("0.8"), day, day, "price", "", "", NOW)  # fmt: skip
    return JobSummary(
        str(number), f"Q-{number + 3000}", "A", "draft", f"Customer {number}", "wheel-loader",
        f"S{number}", "9000", 1, NOW, NOW, NOW, day, None, None, None, standing,
    )  # fmt: skip
