"""Price lists in the window: a file looked at, changes taken and left by keyboard, all of it
undone, items searched and linked."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from PySide6.QtCore import QMimeData, QPointF, Qt, QUrl
from PySide6.QtGui import QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton

from estimator.desktop.screens.price_lists.new_list import COLUMNS
from estimator.domain.people import VIEWER
from estimator.domain.price_list.linked import PartLink
from estimator.services.enrol_person import enrol_person, person_named
from estimator.services.keep_catalogue import working_catalogue
from estimator.services.link_parts import find_items, link_part, part_links, part_row
from estimator.services.take_price_list import price_lists
from tests.desktop.accessible import nameless
from tests.desktop.clipped import clipped, outside
from tests.desktop.conftest import HOLT, MANAGER, NOW, PASSPHRASE, plain_pages, settle, wait_for
from tests.desktop.hands import Hands

HEAD = "Part number;Description;Price;Currency;Unit;Lead weeks;Superseded by"
FIRST = [
    "001-17;Water pump;400,00;GBP;EA;1;",
    "002-20;Seal ring;12,50;GBP;EA;1;",
    "003-30;Gasket set;90,00;GBP;SET;2;",
    "004-40;Hose;35,10;GBP;EA;1;",
    "005-50;Bearing;210,00;GBP;EA;3;",
    "006-60;Plate;18,40;GBP;EA;1;",
]
SECOND = [
    "001-17;Water pump;412,00;GBP;EA;1;",
    "002-20;Seal ring;12,88;GBP;EA;1;",
    "003-30;Gasket set;92,70;GBP;SET;2;",
    "004-40;Hose;351,00;GBP;EA;1;",
    "005-50;Bearing;640,00;GBP;EA;3;",
    "007-70;Filter;22,00;GBP;EA;1;",
]


def written(path, rows, head=HEAD):
    path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
    return path


@pytest.fixture
def window(make_window):
    made = plain_pages(make_window())
    made.resize(1440, 900)
    return made


@pytest.fixture
def page(window):
    window.go("price lists")
    settle(None, window)
    return window.page


def look(window, page, path):
    page.new.read_file(path)
    settle(None, window)


def taken(window, page, path):
    look(window, page, path)
    page.main_action()
    settle(None, window)


def kinds(page):
    model = page.new.preview.model
    rows = [model.row_at(model.index(n, 0)) for n in range(model.rowCount())]
    return {row.change.item.cells.number: row.change.kind for row in rows}


def test_a_list_is_taken_and_undone_by_keyboard(window, page, record, tmp_path):
    hands = Hands(window)
    look(window, page, written(tmp_path / "first.csv", FIRST))
    assert page.new.preview.kind.itemText(0) == "All changes: 6"
    hands.press("Ctrl+Return")
    settle(None, window)
    assert [one.counts["new"] for one in price_lists(record)] == [6]
    assert "is taken in as list 1" in window.messages.text
    page.view.choose("new list")
    look(window, page, written(tmp_path / "second.csv", SECOND))
    assert kinds(page) == {
        "004-40": "unit", "005-50": "outlier", "006-60": "gone", "007-70": "new",
        "001-17": "changed", "002-20": "changed", "003-30": "changed",
    }  # fmt: skip
    grid = page.new.preview.grid
    assert grid.hasFocus()
    grid.go_to("00550", "take")
    hands.press("Return")  # the outlier is right: take it
    grid.go_to("00117", "take")
    hands.press("Return")  # this one is left
    hands.press("Ctrl+Return")
    settle(None, window)
    prices = {one.item.cells.number: one.item.minor for one in find_items(record, "")}
    assert prices == {"001-17": 40000, "002-20": 1288, "003-30": 9270, "004-40": 3510,
                      "005-50": 64000, "007-70": 2200}  # fmt: skip
    page.lists.grid.go_to("2", "number")
    page.lists.grid.setFocus()
    hands.press("Del")
    hands.look_at_dialog()
    hands.press("Tab")
    hands.press("Space")
    settle(None, window)
    wait_for(lambda: not price_lists(record)[0].stands)
    prices = {one.item.cells.number: one.item.minor for one in find_items(record, "")}
    assert prices == {"001-17": 40000, "002-20": 1250, "003-30": 9000, "004-40": 3510,
                      "005-50": 21000, "006-60": 1840}  # fmt: skip


def test_an_item_is_searched_and_linked_and_the_next_list_moves_the_part(
    window, page, record, tmp_path
):
    hands = Hands(window)
    taken(window, page, written(tmp_path / "first.csv", FIRST))
    page.view.choose("items")
    settle(None, window)
    hands.press("Ctrl+F")
    hands.type("pump 1-17")
    wait_for(lambda: page.items.model.rowCount() == 1)
    page.items.grid.setFocus()
    page.items.grid.go_to("S1/00117", "number")
    page.items.part.setFocus()
    hands.type("P-WPM")
    hands.press("Ctrl+Return")
    settle(None, window)
    assert [(one.code, one.key) for one in part_links(record)] == [("P-WPM", "00117")]
    assert part_row(working_catalogue(record), "P-WPM").unit_cost == Decimal(400)
    assert part_row(window.workshop.edition, "P-WPM").origin == "supplier"
    page.view.choose("new list")
    look(window, page, written(tmp_path / "second.csv", SECOND))
    assert "The cost of 1 part follows" in page.new.preview.effect.text()
    assert page.new.preview.cost_model.rowCount() == 1
    page.main_action()
    settle(None, window)
    assert part_row(working_catalogue(record), "P-WPM").unit_cost == Decimal(412)


def test_columns_are_chosen_where_the_heads_say_nothing(window, page, record, tmp_path):
    rows = [row.replace(";GBP", "") for row in FIRST]
    look(window, page, written(tmp_path / "odd.csv", rows, "One;Two;Three;Four;Five;Six"))
    form = page.new.form
    assert form.isVisible() and "Choose which column holds it" in form.why.text()
    form.fields["number"].setCurrentIndex(form.fields["number"].findData(0))
    form.fields["price"].setCurrentIndex(form.fields["price"].findData(2))
    settle(None, window)
    assert form.isVisible() and "currency" in form.why.text()
    form.currency.setText("GBP")
    form.currency.editingFinished.emit()
    settle(None, window)
    assert page.new.preview.isVisible() and page.new.preview.model.rowCount() == 6
    page.main_action()
    settle(None, window)
    assert price_lists(record)[0].counts["new"] == 6
    page.view.choose("new list")
    look(window, page, written(tmp_path / "again.csv", rows, "One;Two;Three;Four;Five;Six"))
    assert "Read as this supplier's lists were before" in page.new.preview.summary.text()


def test_the_day_of_the_prices_is_typed_or_taken_from_the_list(window, page, record, tmp_path):
    tools = page.new.tools
    look(window, page, written(tmp_path / "first.csv", FIRST))
    assert tools.day_field.placeholderText() == window.workshop.formats.day(NOW.date())
    tools.day_field.setFocus()
    QTest.keyClicks(tools.day_field, "no day")
    QTest.keyClick(tools.day_field, Qt.Key.Key_Return)
    assert "Not a date" in tools.why.text()
    tools.day_field.selectAll()
    QTest.keyClicks(tools.day_field, "2026-10-01")
    QTest.keyClick(tools.day_field, Qt.Key.Key_Return)
    settle(None, window)
    assert not tools.why.isVisible() and "1 Oct 2026" in page.new.preview.summary.text()
    page.main_action()
    settle(None, window)
    assert price_lists(record)[0].price_date == date(2026, 10, 1)
    page.view.choose("new list")
    dated = [row + ";2026-09-15" for row in SECOND]
    look(window, page, written(tmp_path / "second.csv", dated, HEAD + ";Valid from"))
    assert tools.day_field.text() == ""  # another list has a day of its own
    assert "15 Sept 2026" in page.new.preview.summary.text()


def test_percentages_of_discount_groups_are_typed_and_remembered(window, page, record, tmp_path):
    groups = ("A", "A", "B", "", "B", "C")
    rows = [f"{row};{group}" for row, group in zip(FIRST, groups, strict=True)]
    head = HEAD + ";Discount group"
    look(window, page, written(tmp_path / "first.csv", rows, head))
    form = page.new.form
    page.new.show_columns()
    settle(None, window)
    shares = form.shares
    assert [one.group for one in shares._shares] == ["A", "B", "C"]
    hands = Hands(window)
    shares.grid.setFocus()
    shares.grid.go_to("A", "percent")
    for typed in ("30", "120"):
        hands.type(typed)
        hands.press("Return")
    settle(None, window)
    assert "B: Must be 99.99 or less." in shares.why.text()
    assert page.new.step == COLUMNS  # typing goes on until one asks for the changes
    page.main_action()
    settle(None, window)
    assert price_lists(record) == () and page.new.preview.isVisible()  # first seen, then taken
    page.main_action()
    settle(None, window)
    found = {one.item.cells.number: one.item.cells.discount for one in find_items(record, "")}
    assert found == {"001-17": "30", "002-20": "30", "003-30": "", "004-40": "", "005-50": "",
                     "006-60": ""}  # fmt: skip
    page.view.choose("new list")
    look(window, page, written(tmp_path / "again.csv", rows[2:], head))
    page.new.show_columns()
    assert not form.has_new_shares
    assert dict(form.mapping.discounts) == {"A": Decimal(30)}  # though this list names no A


def test_no_groups_are_asked_for_where_no_column_holds_them(window, page, tmp_path):
    look(window, page, written(tmp_path / "first.csv", FIRST))
    page.new.show_columns()
    settle(None, window)
    assert page.new.form.grid.isVisible() and not page.new.form.shares.isVisible()


def test_open_jobs_and_the_catalogue_follow_a_list_and_its_undoing(make_window, record, tmp_path):
    window = plain_pages(make_window())
    desk = window.desk
    window.open_job("Q-2041", "price")
    wait_for(lambda: desk.work is not None)

    def prices_at(cost):
        settle(None, window)
        wait_for(lambda: desk.work.cat.parts["P-WPM"].unit_cost == cost)
        return part_row(window.workshop.edition, "P-WPM").unit_cost == cost

    window.go("price lists")
    settle(None, window)
    page = window.page
    taken(window, page, written(tmp_path / "first.csv", FIRST))
    who = window.workshop.person
    link_part(record, PartLink("P-WPM", (), "S1", "00117", Decimal(1)), who, NOW)
    window.workshop.changed("catalogue")
    assert prices_at(400)
    page.view.choose("new list")
    taken(window, page, written(tmp_path / "second.csv", SECOND))
    assert prices_at(412)
    page.lists.grid.go_to("2", "number")
    page.lists._undo(page.lists.grid.current_row())
    assert prices_at(400)
    window.go("catalogue")
    wait_for(lambda: window.page.editing.view is not None)
    settle(None, window)
    assert window.page.editing.view.catalogue is window.workshop.edition


def test_a_picture_is_told_and_nothing_can_be_taken(window, page, record, tmp_path):
    path = tmp_path / "list.xlsx"
    path.write_bytes(b"%PDF-1.7 scanned list")
    look(window, page, path)
    assert "a PDF" in window.messages.text
    assert not page.new.tools.take.isEnabled()
    assert price_lists(record) == ()


def test_a_dropped_file_is_looked_at(window, page, tmp_path):
    path = written(tmp_path / "first.csv", FIRST)
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path))])
    page.dropEvent(QDropEvent(
        QPointF(10, 10), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    ))  # fmt: skip
    settle(None, window)
    assert page.new.preview.model.rowCount() == 6
    assert "first.csv" in page.unfinished()


def test_who_may_only_look_takes_nothing(window, page, record, tmp_path):
    manager = person_named(record, MANAGER)
    enrol_person(record, "V. Reader", VIEWER, PASSPHRASE, manager, NOW)
    window.workshop.take_person(person_named(record, "V. Reader"))
    look(window, page, written(tmp_path / "first.csv", FIRST))
    assert not page.new.tools.take.isEnabled()
    page.main_action()
    settle(None, window)
    assert price_lists(record) == ()
    window.workshop.take_person(person_named(record, HOLT))
    assert page.new.tools.take.isEnabled()


@pytest.mark.parametrize("locale", ["en_GB", "de_DE", "fr_FR"])
@pytest.mark.parametrize("size", [(1280, 720), (1440, 900)])
def test_everything_has_a_name_and_room(make_window, tmp_path, locale, size):
    window = plain_pages(make_window(locale=locale))
    window.resize(*size)
    window.go("price lists")
    settle(None, window)
    page = window.page
    look(window, page, written(tmp_path / "first.csv", FIRST))
    for show in (
        page.new.show_columns,
        page.new.show_columns,
        lambda: page.view.choose("lists"),
        lambda: page.view.choose("items"),
    ):
        show()
        settle(None, window)
        QApplication.processEvents()  # a label that says more is laid out anew
        assert nameless(window) == []
        assert clipped(window) == []
        assert outside(window) == []
    assert all(button.text() for button in page.findChildren(QPushButton))
