"""The enquiry by keyboard: fields, what is refused, the lists, and a range instead of a figure."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from estimator.desktop.screens.enquiry import range_card
from estimator.desktop.screens.enquiry.class_choice import class_found, in_order
from estimator.services.edit_job import open_draft
from estimator.services.open_record import Record
from tests.desktop.conftest import LONGEST, open_at

Key = Qt.Key
CONTROL = Qt.KeyboardModifier.ControlModifier


@pytest.fixture
def page(qtbot: Any, make_window: Callable[..., Any], monkeypatch: pytest.MonkeyPatch) -> Any:
    """The enquiry of Q-2041; its range, which takes a second, waits until a test asks for it."""
    monkeypatch.setattr(range_card, "WAIT", 24 * 3_600_000)
    window = make_window()
    page = open_at(qtbot, window, "enquiry")
    qtbot.waitUntil(lambda: page.desk.work is not None, timeout=LONGEST)
    in_front(qtbot, window)
    return page


def in_front(qtbot: Any, window: Any) -> None:
    """Without a screen nobody brings a window to the front again when a question closes."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow, timeout=LONGEST)


def written(qtbot: Any, window: Any) -> None:
    """Wait until the record holds every edit; the figures may still be on their way."""
    desk, runner = window.desk, window.workshop.runner
    qtbot.waitUntil(lambda: not desk.unsaved and "record" not in runner.lanes_busy, timeout=LONGEST)


def type_over(qtbot: Any, page: Any, place: str, text: str) -> Any:
    """Type over a field and leave it by Tab."""
    field = page.fields[place].field
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Key.Key_Tab)
    return page.fields[place]


def test_work_begins_in_the_customer_and_tab_goes_on(qtbot: Any, page: Any) -> None:
    customer = page.fields["customer/name"].field
    assert QApplication.focusWidget() is customer
    qtbot.keyClick(customer, Key.Key_Tab)
    assert QApplication.focusWidget() is page.fields["customer/contact"].field


def test_each_field_is_one_edit(qtbot: Any, page: Any, record: Record) -> None:
    type_over(qtbot, page, "customer/name", "Kettleby Quarries")
    type_over(qtbot, page, "customer/address", "The Office")
    type_over(qtbot, page, "machine/hours", "15,120")
    type_over(qtbot, page, "wanted_by", "2027-05-01")
    type_over(qtbot, page, "terms/discount_share", "3.5")
    written(qtbot, page.window())
    job = open_draft(record, "Q-2041").job
    assert (job.customer.name, job.customer.address) == ("Kettleby Quarries", ("The Office",))
    assert (job.machine.hours, job.wanted_by) == (Decimal(15120), date(2027, 5, 1))
    assert job.terms.discount_share == Decimal("0.035")
    assert page.desk.undo_name == "discount"
    for _step in range(5):
        page.desk.undo()
        written(qtbot, page.window())
    assert open_draft(record, "Q-2041").job.customer.name == "Ostrey Aggregates"
    assert page.fields["machine/hours"].field.text() == "14,860"


def test_what_cannot_stand_stays_with_its_reason(qtbot: Any, page: Any, record: Record) -> None:
    before = open_draft(record, "Q-2041").job
    wrong = {
        "machine/hours": ("8,000", "history"),
        "machine/duty": ("9", "or less"),
        "machine/hours_doubt": ("61", "or less"),
        "machine/life_wanted": ("lots", "Not a number"),
        "start": ("2026-01-05", "before the date of the quote"),
        "terms/valid_days": ("0", "or more"),
        "terms/quoting_unit": ("7", "divides 100"),
    }
    for place, (typed, said) in wrong.items():
        field = type_over(qtbot, page, place, typed)
        assert field.field.text() == typed and said in field.reason
    written(qtbot, page.window())
    draft = open_draft(record, "Q-2041")
    assert draft.job == before
    assert draft.kept == {place: typed for place, (typed, _said) in wrong.items()}
    page.refresh()
    for place, (typed, said) in wrong.items():
        field = page.fields[place]
        assert field.field.text() == typed and said in field.reason


def test_escape_leaves_a_field_as_it_was(qtbot: Any, page: Any) -> None:
    field = page.fields["machine/hours"].field
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, "99")
    qtbot.keyClick(field, Key.Key_Escape)
    assert field.text() == "14,860"
    written(qtbot, page.window())
    assert page.desk.undo_name == ""


def test_the_kind_of_meter_brings_its_usual_doubt(qtbot: Any, page: Any, record: Record) -> None:
    """One edit for both, undone together; the doubt may be typed over."""
    meter = page.fields["machine/meter"].field
    meter.setFocus()
    qtbot.keyClick(meter, Key.Key_Down)
    written(qtbot, page.window())
    machine = open_draft(record, "Q-2041").job.machine
    assert (machine.meter, machine.hours_doubt) == ("replaced", Decimal("0.10"))
    type_over(qtbot, page, "machine/hours_doubt", "25")
    written(qtbot, page.window())
    assert open_draft(record, "Q-2041").job.machine.hours_doubt == Decimal("0.25")
    for _step in range(2):
        page.desk.undo()
        written(qtbot, page.window())
    machine = open_draft(record, "Q-2041").job.machine
    assert (machine.meter, machine.hours_doubt) == ("original", 0)


def test_a_choice_is_an_edit(qtbot: Any, page: Any, record: Record) -> None:
    level = page.fields["level"].field
    level.setFocus()
    qtbot.keyClick(level, Key.Key_Down)
    written(qtbot, page.window())
    assert open_draft(record, "Q-2041").job.level == "driveline"
    assert page.desk.undo_name == "level of rebuild"


def test_rows_are_added_changed_and_taken_out(qtbot: Any, page: Any, record: Record) -> None:
    stages = page.lists["stages"].grid
    stages.setFocus()
    qtbot.keyClick(stages, Key.Key_Insert)
    editor = QApplication.focusWidget()
    qtbot.keyClicks(editor, "90")
    qtbot.keyClick(editor, Key.Key_Return)
    assert "more than the whole price" in page.lists["stages"].trouble.text()
    stages.go_to("3", "share")
    stages.edit_at("3", "share")
    editor = QApplication.focusWidget()
    editor.selectAll()
    qtbot.keyClicks(editor, "10")
    qtbot.keyClick(editor, Key.Key_Return)
    written(qtbot, page.window())
    draft = open_draft(record, "Q-2041")
    assert [one.share for one in draft.job.terms.stages][-1] == Decimal("0.1")
    assert draft.kept == {}
    stages.go_to("0", "when")
    qtbot.keyClick(stages, Key.Key_Delete, CONTROL)
    written(qtbot, page.window())
    left = open_draft(record, "Q-2041").job.terms.stages
    assert [one.when for one in left][:2] == ["strip report", "engine and transmission fitted"]


def test_history_takes_names_and_codes(qtbot: Any, page: Any, record: Record) -> None:
    history = page.lists["history"].grid
    history.setFocus()
    history.edit_at("0", "components")
    editor = QApplication.focusWidget()
    editor.selectAll()
    components = page.workshop.catalogue.tables["components"]
    name = next(one.name for one in components if one.id == "C01A")
    qtbot.keyClicks(editor, f"c01b; {name}")
    qtbot.keyClick(editor, Key.Key_Return)
    written(qtbot, page.window())
    event = open_draft(record, "Q-2041").job.machine.history[0]
    assert event.components == ("C01B", "C01A")


def test_a_repair_names_its_components(qtbot: Any, page: Any, record: Record) -> None:
    repaired = page.lists["repaired"]
    assert repaired.isHidden()
    page.desk.edit("level of rebuild", replace(page.desk.job, level="repair"))
    written(qtbot, page.window())
    assert not repaired.isHidden()
    repaired.grid.setFocus()
    for typed in ("valve bank and pilot valves", "C08A", "c08a"):
        qtbot.keyClick(repaired.grid, Key.Key_Insert)
        editor = QApplication.focusWidget()
        qtbot.keyClicks(editor, typed)
        qtbot.keyClick(editor, Key.Key_Return)
    assert "is there already" in repaired.trouble.text()
    written(qtbot, page.window())
    job = open_draft(record, "Q-2041").job
    assert [one.row_id for one in job.repaired] == ["C08B", "C08A"]
    assert page.desk.undo_name == "components of the repair"
    repaired.grid.go_to("0", "row_id")
    qtbot.keyClick(repaired.grid, Key.Key_Delete, CONTROL)
    written(qtbot, page.window())
    assert [one.row_id for one in open_draft(record, "Q-2041").job.repaired] == ["C08A"]


def test_there_is_a_range_and_never_one_figure(qtbot: Any, page: Any) -> None:
    assert "Working out" in page.range.band.text() and not page.range.low.isVisible()
    page.range._soon.start(0)
    qtbot.waitUntil(lambda: page.range.found is not None, timeout=LONGEST)
    found = page.range.found
    assert found.estimate_class == 5 and found.low < found.likely < found.high
    low, high = page.range.low.text(), page.range.high.text()
    assert low != high and low.startswith("\u00a3")
    said = " ".join((page.range.band.text(), page.range.rests.text(), page.range.warning.text()))
    assert "class 5 of 5" in said and "not a quote" in said and "20" in said
    likely = page.workshop.formats.money(found.likely)
    assert likely not in said and likely not in (low, high)
    page.range.low.setFocus()
    qtbot.keyClick(page.range.low, Key.Key_Space)
    assert page.window().why.figure == "enquiry/low"


def test_every_field_has_a_name(page: Any) -> None:
    for place, field in page.fields.items():
        assert field.field.accessibleName(), place
    assert all(one.grid.accessibleName() for one in page.lists.values())


def test_what_is_issued_is_shown_and_does_not_change(qtbot: Any, page: Any) -> None:
    page.desk.state = "issued"
    page.refresh()
    assert "Make rev B" in page.note.text() and not page.note.isHidden()
    field = page.fields["customer/name"].field
    qtbot.keyClicks(field, "x")
    assert field.text() == "Ostrey Aggregates"
    assert not page.fields["level"].field.isEnabled()
    assert page.lists["stages"].model.rowCount() == len(page.desk.job.terms.stages)


def test_a_class_is_found_by_words_or_mass_and_taken_by_enter(
    qtbot: Any, page: Any, record: Record
) -> None:
    choice = page.fields["machine/class_id"].field
    choice.setFocus()
    qtbot.keyClicks(choice, "d")
    view = choice.view()
    qtbot.waitUntil(view.isVisible, timeout=LONGEST)
    qtbot.keyClicks(view, "ozer 30 t")
    assert choice.itemData(view.currentIndex().row()) == "CD32"
    qtbot.keyClicks(view, "\u00a7")  # with which nothing is found: it is not taken
    assert choice.typed == "dozer 30 t"
    assert choice.currentData() == "WL28"  # nothing is chosen before Enter
    qtbot.keyClick(view, Key.Key_Backspace)
    assert choice.typed == "dozer 30 "
    qtbot.keyClick(view, Key.Key_Return)
    written(qtbot, page.window())
    assert open_draft(record, "Q-2041").job.machine.class_id == "CD32"
    assert page.desk.undo_name == "machine class"


def test_esc_leaves_the_class_as_it_was(qtbot: Any, page: Any) -> None:
    choice = page.fields["machine/class_id"].field
    choice.setFocus()
    qtbot.keyClicks(choice, "2")
    qtbot.waitUntil(choice.view().isVisible, timeout=LONGEST)
    qtbot.keyClick(choice.view(), Key.Key_Escape)
    assert not choice.view().isVisible()
    assert choice.currentData() == "WL28" and not page.desk.undo_name


def test_classes_stand_by_family_and_mass_and_each_is_found(page: Any, catalogue: Any) -> None:
    say, classes = page.workshop.formats, list(catalogue.classes.values())
    families = [one.family for one in in_order(classes)]
    assert families == sorted(families)
    loaders = [one.id for one in in_order(classes) if one.family == "loader"]
    assert loaders == ["WL11", "WL18", "WL28", "WL50"]
    for one in classes:
        assert class_found(classes, one.id.lower(), say) == one.id
        mass = f"{one.type} {say.number(one.operating_mass_kg / 1000)} t"
        assert class_found(classes, mass, say) == one.id
    assert class_found(classes, "grad", say) == "GR17"
    assert class_found(classes, "loader 500 t", say) == "WL50"
    assert class_found(classes, "submarine", say) == class_found(classes, " ", say) == ""
