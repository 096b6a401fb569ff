"""The catalogue's page, by keyboard: found, changed, checked, kept, compared, taken back."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication, QLabel

from estimator.desktop.screens.catalogue.many import OurOwn
from estimator.domain.catalogue.changes import code_of, rows_of
from estimator.domain.catalogue.own_values import HOURS
from estimator.domain.money import round_half_up
from estimator.domain.people import VIEWER
from estimator.services.catalogue_editions import edition_changes, editions
from estimator.services.enrol_person import enrol_person, person_named
from estimator.services.keep_catalogue import keep_edition, working_catalogue
from tests.acts.catalogue_editions import change_of
from tests.desktop.conftest import MANAGER, NOW, PASSPHRASE, settle, wait_for
from tests.desktop.hands import Hands

SOUGHT, CODE = "function test before strip", "O0002"


@pytest.fixture(autouse=True)
def supplied(catalogue: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """The catalogue that comes with the program is read once."""
    for module in ("keep_catalogue", "catalogue_editions"):
        monkeypatch.setattr(
            f"estimator.services.{module}.open_catalogue", lambda _folder=None: catalogue
        )


def opened(window: Any) -> Any:
    """The page, gone to by its key."""
    hands = Hands(window)
    hands.press("Ctrl+Shift+K")
    wait_for(lambda: window.page_key == "catalogue" and window.page.editing.view is not None)
    settle(None, window)
    return window.page


def search(window: Any, words: str) -> None:
    hands, page = Hands(window), window.page
    hands.press("Ctrl+F")
    hands.press("Ctrl+A")
    hands.type(words)
    wait_for(lambda: not page.rows.tools._soon.isActive())
    settle(None, window)


def shown(page: Any) -> list[Any]:
    return list(page.rows.rows_model._sections[0].rows)


def type_into(hands: Hands, page: Any, column: str, text: str) -> None:
    """Tab to a field of the form, and type over what is in it."""
    field = page.rows.form.frames[column].field
    for _step in range(60):
        if hands.focus is field:
            break
        hands.press("Tab")
    assert hands.focus is field
    hands.press("Ctrl+A")
    hands.type(text)


def checked(window: Any) -> None:
    wait_for(lambda: not window.page.editing._soon.isActive())
    settle(None, window)


def reason(hands: Hands, words: str) -> None:
    hands.look_at_dialog()
    hands.type(words)
    hands.press("Tab", 2)
    hands.press("Return")
    wait_for(lambda: QApplication.activeModalWidget() is None)
    hands.look_at_window()


def into_form(window: Any) -> tuple[Hands, Any]:
    """Find the row, and go into it."""
    page = opened(window)
    search(window, SOUGHT)
    hands = Hands(window)
    hands.press("Return")  # into the rows
    assert page.rows.rows.current_row().code == CODE
    hands.press("Return")  # into the form
    return hands, page


def test_rows_are_found_as_one_types_over_all_tables_with_what_is_left(make_window: Any) -> None:
    window = make_window()
    page = opened(window)
    assert Hands(window).focus is page.rows.tools.text
    view = page.editing.view
    lines = page.rows.tables_model._sections[0].rows
    assert lines[0].rows == sum(one.rows for one in view.counts)
    assert lines[0].starting == sum(one.starting for one in view.counts) > 0
    search(window, SOUGHT)
    assert {one.code for one in shown(page) if one.table == "operations"} == {CODE}
    assert {one.table for one in shown(page)} >= {"operations", "names/de"}
    search(window, "no such words anywhere")
    assert shown(page) == []
    assert page.rows.title.whole_text == "No row is chosen."


def test_a_class_sees_its_own_rows_scaled_to_its_size(make_window: Any) -> None:
    window = make_window()
    page = opened(window)
    catalogue = page.editing.view.catalogue
    other = next(one for one in catalogue.classes if one != catalogue.settings.reference_class)
    page.rows.tables.go_to("operations")
    page.rows.tools.machine.setCurrentIndex(page.rows.tools.machine.findData(other))
    settle(None, window)
    scaled = [one for one in shown(page) if one.scaled]
    assert scaled
    column = page.rows.rows_model.columns[page.rows.rows_model.column_of("value")]
    assert "scaled" in column.text(scaled[0])
    page.rows.rows.go_to(scaled[0].id)
    field = page.rows.form.frames["hours"].field
    assert Decimal(field.text()) == scaled[0].row.hours  # what is edited is as it is written


def test_a_fault_is_said_at_its_field_and_mended(make_window: Any, record: Any) -> None:
    window = make_window()
    hands, page = into_form(window)
    type_into(hands, page, "hours", "-3")
    frame = page.rows.form.frames["hours"]
    assert "above 0" in frame.reason
    assert frame.field.accessibleDescription() == frame.reason
    assert "not kept yet" in page.unfinished()
    hands.press("Ctrl+Return")
    assert QApplication.activeModalWidget() is None
    assert editions(record) == ()
    hands.press("Ctrl+A")
    hands.type("9.5")
    checked(window)
    assert frame.reason == ""
    assert [one.code for one in shown(page) if one.state == "changed"] == [CODE]


def test_the_whole_catalogue_is_checked_while_one_goes_on(make_window: Any) -> None:
    window = make_window()
    hands, page = into_form(window)
    type_into(hands, page, "trade", "ZZ")
    checked(window)
    assert "'ZZ'" in page.rows.form.frames["trade"].reason
    assert "'ZZ'" in page.rows.faults.text()
    hands.press("Ctrl+A")
    hands.type("HF")
    checked(window)
    assert page.rows.form.frames["trade"].reason == ""
    assert not page.rows.faults.isVisible()


def test_an_edition_is_kept_its_difference_shown_and_its_effect_worked_out(
    make_window: Any, record: Any
) -> None:
    window = make_window()
    hands, page = into_form(window)
    type_into(hands, page, "hours", "9")
    checked(window)
    hands.press("Ctrl+Return")
    reason(hands, "measured on three jobs")
    wait_for(lambda: len(editions(record)) == 2 and not len(page.editing.draft))
    settle(None, window)
    newest = editions(record)[0]
    assert (newest.who, newest.why) == ("P. Holt", "measured on three jobs")
    assert window.workshop.catalogue.fingerprint == newest.fingerprint  # jobs are priced with it
    page.face_row.choose("editions")
    settle(None, window)
    (line,) = page.editions.difference_model._sections[0].rows
    assert (line.column, line.before, line.after) == ("hours", "8", "9")
    hands.press("Ctrl+Return")
    wait_for(lambda: page.editions.effect_model.rowCount() == 1)
    (effect,) = page.editions.effect_model._sections[0].rows
    assert [one.code for one in effect.lines] == [CODE]
    page.editions.back.click()
    reason(hands, "a slip")
    wait_for(lambda: len(editions(record)) == 3)
    settle(None, window)
    kept = next(one for one in rows_of(working_catalogue(record), "operations")
                if code_of(one) == CODE)  # fmt: skip
    assert kept.hours == 8  # type: ignore[attr-defined]


def test_a_row_like_another_is_put_in_and_one_taken_out(make_window: Any, record: Any) -> None:
    window = make_window()
    page = opened(window)
    page.rows.tables.go_to("closures")
    settle(None, window)
    hands = Hands(window)
    page.rows.rows.setFocus()
    first = shown(page)[0]
    hands.press("Del")
    settle(None, window)
    assert [one.state for one in shown(page)][0] == "taken out"
    hands.press("Down")
    hands.press("Ins")
    settle(None, window)
    added = shown(page)[0]
    assert added.state == "added"
    frame = page.rows.form.frames["date"]
    frame.field.setFocus()
    hands.press("Ctrl+A")
    hands.type("soon")
    assert frame.reason
    hands.press("Ctrl+A")
    hands.type("24 Dec 2027")
    checked(window)
    assert frame.reason == ""
    page.acts.keep_for("holidays")
    wait_for(lambda: len(editions(record)) == 2)
    changes = edition_changes(record, 2)
    days = {tuple(one and str(one.date) for one in (c.before, c.after)) for c in changes}  # type: ignore[attr-defined]
    assert days == {(str(first.row.date), None), (None, "2027-12-24")}


def test_another_changed_the_same_row_meanwhile(
    make_window: Any, record: Any, catalogue: Any
) -> None:
    window = make_window()
    told: list[Any] = []
    window.workshop.presenter.told.connect(told.append)
    hands, page = into_form(window)
    type_into(hands, page, "hours", "9")
    checked(window)
    other = person_named(record, MANAGER)
    change = change_of(catalogue, "operations", CODE, hours="12")
    keep_edition(record, [change], "theirs", other, NOW, catalogue.fingerprint)
    page.acts.keep_for("mine")
    wait_for(lambda: told)
    assert MANAGER in told[-1].text
    assert len(editions(record)) == 2
    assert len(page.editing.draft) == 1  # what was typed stays


def test_what_is_listed_is_made_our_own_and_looked_at_before_it_is_kept(
    make_window: Any, record: Any
) -> None:
    window = make_window()
    page = opened(window)
    page.rows.tables.go_to("operations")
    search(window, SOUGHT)
    page._make_our_own()
    hands = Hands(window)
    hands.look_at_dialog()
    question = QApplication.activeModalWidget()
    listed = len(shown(page))
    texts = [label.text() for label in question.findChildren(QLabel)]
    assert any(text.startswith((f"{listed} row is", f"{listed} rows are")) for text in texts)
    question.reject()
    wait_for(lambda: QApplication.activeModalWidget() is None)
    rows = tuple((one.table, one.row) for one in shown(page))
    page.acts.make_our_own(rows, OurOwn(HOURS, Decimal("1.1"), "slow rig"))
    checked(window)
    changes = page.editing.draft.changes
    assert len(changes) == listed
    for one in changes:
        assert one.after.hours == round_half_up(one.before.hours * Decimal("1.1"), Decimal("0.1"))  # type: ignore[union-attr]
    assert editions(record) == ()
    page.rows.drop.click()
    settle(None, window)
    assert len(page.editing.draft) == 0


def test_files_go_out_and_come_in_as_changes_to_look_at(
    make_window: Any, record: Any, tmp_path: Path
) -> None:
    window = make_window()
    told: list[Any] = []
    window.workshop.presenter.told.connect(told.append)
    page = opened(window)
    page.acts.export_to(tmp_path / "out")
    wait_for(lambda: told)
    path = tmp_path / "out" / "closures.csv"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace(",own,", ",supplier,", 1), encoding="utf-8")
    page.acts.import_from(path)
    wait_for(lambda: len(page.editing.draft) == 1)
    assert editions(record) == ()
    path.write_text("nonsense\n1\n", encoding="utf-8")
    told.clear()
    page.acts.import_from(path)
    wait_for(lambda: told)
    assert any("closures.csv" in fault for fault in told[-1].faults)


def test_who_may_only_look_sees_all_and_changes_nothing(make_window: Any, record: Any) -> None:
    enrol_person(record, "V. Reader", VIEWER, PASSPHRASE, person_named(record, MANAGER), NOW)
    window = make_window("V. Reader")
    page = opened(window)
    search(window, SOUGHT)
    assert "V. Reader may look" in page._why_not.text()
    hands = Hands(window)
    hands.press("Return")
    for keys in ("Return", "Ins", "Del", "Ctrl+Return"):
        hands.press(keys)
    settle(None, window)
    assert QApplication.activeModalWidget() is None
    assert len(page.editing.draft) == 0
    assert not any(frame.field.isEnabled() for frame in page.rows.form.frames.values())
    assert page.rows.form.frames["hours"].field.text() == "8"


def test_numbers_are_typed_as_the_locale_writes_them(make_window: Any) -> None:
    window = make_window(locale="de_DE")
    hands, page = into_form(window)
    type_into(hands, page, "hours", "9,5")
    checked(window)
    (change,) = page.editing.draft.changes
    assert change.after.hours == Decimal("9.5")  # type: ignore[union-attr]
    assert page.rows.form.frames["hours"].field.text() == "9,5"
