"""The whole main job by keyboard alone: enquiry to issued quote, found again and revised.

It is one test, since each step stands on the one before; no page is called, no text is set.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from decimal import Decimal
from typing import Any

from estimator.domain.findings import Finding
from estimator.domain.job import Job
from estimator.services.adopt_values import adoptions
from estimator.services.compare_revisions import issued_revisions
from estimator.services.edit_job import open_draft
from estimator.services.open_record import Record
from estimator.services.verify_record import verify_record
from tests.desktop.conftest import HOLT, MANAGER, PASSPHRASE, wait_for
from tests.desktop.hands import Hands

CUSTOMER, SERIAL = "Kettleby Quarries", "KQ-7781"
READINGS = (
    # what is typed to find the measure, what is read
    ("blow-by", "98"),
    ("compression", "190"),
    ("oil pressure, hot", "2.1"),
    ("end-float at damper", "0.22"),
    ("turbocharger shaft, axial", "0.06"),
    ("turbocharger shaft, radial", "0.40"),
    ("radiator, pressure", "22"),
    ("universal joints", "0.33"),
    ("front left hub", "0.12"),
    ("front brake", "3.1"),
    ("main pump case", "17.5"),
)


def test_the_main_job_by_keyboard_alone(make_window: Callable[..., Any], record: Record) -> None:
    hands = Hands(make_window())
    number = begin(hands)
    enquire(hands, record, number)
    inspect(hands, record, number)
    undo_and_redo(hands, record, number)
    scope(hands, record, number)
    price(hands, record, number)
    expose(hands, record, number)
    schedule(hands, record, number)
    issue(hands, record, number)
    hands.window.close()
    again = Hands(make_window())
    find_again(again, number)
    everything_is_locked(again, record, number)
    revise(again, record, number)


def kept(record: Record, number: str) -> Job:
    return open_draft(record, number).job


def finding(record: Record, number: str, place: int) -> Finding:
    return kept(record, number).findings[place]


def begin(hands: Hands) -> str:
    window = hands.window
    assert window.page_key == "jobs"
    hands.press("Ctrl+N")
    wait_for(lambda: window.page_key == "enquiry")
    number: str = window.desk.job.number
    return number


def enquire(hands: Hands, record: Record, number: str) -> None:
    assert hands.place == "Customer"
    hands.type(CUSTOMER)
    hands.tab_to("Machine class")
    hands.press("Down")  # to the crawler excavator, and back: somebody reads the plate again
    hands.press("Up")
    hands.tab_to("Serial number")
    hands.type(SERIAL)
    hands.tab_to("Hour meter")
    hands.type("14,860")
    hands.area("Ctrl+2", "inspection")  # what is still in the field is taken
    hands.saved()
    draft = open_draft(record, number)
    assert (draft.job.customer.name, draft.job.machine.serial) == (CUSTOMER, SERIAL)
    assert (draft.job.machine.class_id, draft.job.machine.hours) == ("WL28", Decimal(14860))
    assert draft.kept == {}


def inspect(hands: Hands, record: Record, number: str) -> None:
    assert hands.place == "Findings"
    for words, read in READINGS:
        hands.press("Ins")
        hands.type(words)
        hands.press("Return")
        hands.type(read)
        hands.press("Return")
    hands.saved()
    assert [one.measured for one in kept(record, number).findings] == [
        Decimal(read) for _words, read in READINGS
    ]
    not_seen(hands, record, number)
    pasted(hands, record, number)
    mended(hands, record, number)
    overruled(hands, record, number)


def not_seen(hands: Hands, record: Record, number: str) -> None:
    """A reading nobody could take is a word, and the part stays open."""
    hands.press("Ins")
    hands.type("rear right hub")
    hands.press("Return")
    hands.type("not seen")
    hands.press("Return")
    hands.saved()
    assert finding(record, number, -1).kind == "not seen"


def pasted(hands: Hands, record: Record, number: str) -> None:
    """The fitter's own sheet comes over the first three readings."""
    hands.press("Ctrl+Home")
    hands.go_across_to("measured")
    hands.paste("104\n210\n1.9\n")
    hands.saved()
    assert [finding(record, number, place).measured for place in range(3)] == [
        Decimal("104"), Decimal("210"), Decimal("1.9"),
    ]  # fmt: skip


def mended(hands: Hands, record: Record, number: str) -> None:
    """What is no reading stays with its reason, until it is one."""
    hands.go_down_to(lambda row: row.id == "I04")
    hands.type("a hair")
    hands.press("Return")
    hands.press("Up")
    hands.saved()
    assert open_draft(record, number).kept == {"finding/I04/measured": "a hair"}
    note = hands.window.page.pane.note
    assert note.isVisible() and "Not a number" in note.text()
    hands.type("0.24")
    hands.press("Return")
    hands.saved()
    assert open_draft(record, number).kept == {}
    assert finding(record, number, 3).measured == Decimal("0.24")


def overruled(hands: Hands, record: Record, number: str) -> None:
    assert hands.focus.current_row().id == "I05"  # type: ignore[attr-defined]
    hands.press("Alt+4")
    hands.answer_why("the wheel has rubbed the housing")
    assert hands.place == "Findings"
    hands.saved()
    said = finding(record, number, 4)
    assert (said.override, said.override_reason, said.overridden_by) == (
        "replace", "the wheel has rubbed the housing", HOLT,
    )  # fmt: skip


def undo_and_redo(hands: Hands, record: Record, number: str) -> None:
    desk = hands.window.desk
    assert desk.undo_name == "what to do with I05"
    hands.press("Ctrl+Z")
    hands.saved()
    assert finding(record, number, 4).override == ""
    assert desk.redo_name == "what to do with I05"
    hands.press("Ctrl+Y")
    hands.saved()
    assert finding(record, number, 4).override == "replace"


def scope(hands: Hands, record: Record, number: str) -> None:
    page = hands.area("Ctrl+3", "scope")
    wait_for(lambda: page.grid.rows.rowCount() > 0)
    assert hands.place.startswith("Scope")
    hands.press("Ctrl+Home")
    hands.press("Down")
    work = hands.go_down_to(lambda row: getattr(row, "kind", "") == "work" and bool(row.lines))
    hands.press("Del")
    hands.answer_why("the customer does this himself")
    hands.saved()
    assert [(one.row_id, one.reason) for one in kept(record, number).removed] == [
        (work.lines[0], "the customer does this himself")
    ]
    # the options of a part lie one Enter away, and F6 leads back
    hands.press("Ctrl+F")
    hands.type("crankshaft")
    hands.press("Return")
    wait_for(lambda: page.grid.rows.rowCount() == 1)
    hands.press("Ctrl+Home")
    hands.go_down_to(lambda row: getattr(row, "id", "") == "P-CRK")
    wait_for(lambda: bool(page.side.ways.heads))
    hands.press("Return")
    assert page.side.isAncestorOf(hands.focus)


def price(hands: Hands, record: Record, number: str) -> None:
    page = hands.area("Ctrl+4", "price")
    wait_for(lambda: page.grid.rows.rowCount() > 0)
    header = hands.window.header.price.figure
    before = header.text()
    hands.press("Ctrl+Home")
    hands.press("Right")  # unfold the first group
    line = hands.go_down_to(lambda row: getattr(row, "kind", "") == "labour")
    hands.go_across_to("hours")
    hands.type("31.5")
    wait_for(lambda: header.text() != before)  # it moves while one types
    hands.press("Return")
    hands.answer_why("seized bolts")  # there is no room for the column that tells it
    hands.saved()
    (change,) = kept(record, number).changed
    assert (change.row_id, change.quantity, change.reason, change.by) == (
        line.id, Decimal("31.5"), "seized bolts", HOLT,
    )  # fmt: skip
    hands.press("Ins")
    hands.look_at_dialog()
    hands.tab_to("Work or part, as printed")
    hands.type("Fetch the machine from the quarry face")
    hands.tab_to("Quantity, likely")
    hands.type("6")
    hands.tab_to("Reason")
    hands.type("no road for the low loader")
    hands.press("Return")
    hands.look_at_window()
    hands.saved()
    (own,) = kept(record, number).own
    assert (own.name, own.quantity) == ("Fetch the machine from the quarry face", 6)


def expose(hands: Hands, record: Record, number: str) -> None:
    page = hands.area("Ctrl+5", "exposure")
    wait_for(lambda: page.parts.curve.isEnabled() and hands.window.desk.fresh)
    wait_for(lambda: page._view_of is hands.window.desk.priced and page._view is not None)
    before = kept(record, number).terms.confidence
    hands.press("PgUp")
    hands.saved()
    assert kept(record, number).terms.confidence == before + Decimal("0.05")


def schedule(hands: Hands, record: Record, number: str) -> None:
    hands.area("Ctrl+6", "programme")
    hands.press("Ctrl+Return")
    assert hands.place == "Machine comes in"
    hands.type("11 Jan 2027")
    hands.press("Return")
    hands.saved()
    assert kept(record, number).start == datetime.date(2027, 1, 11)


def issue(hands: Hands, record: Record, number: str) -> None:
    window = hands.window
    page = hands.area("Ctrl+7", "quote")
    hands.reckoned()
    preview = page.parts.preview
    wait_for(lambda: bool(preview.content) and preview._is_made())
    assert preview.content.startswith(b"%PDF")
    hands.press("Ctrl+Return")
    hands.look_at_dialog()
    assert hands.place == "Adopt them for this workshop"  # what it rests on, before anything else
    hands.press("Space")
    hands.press("Tab")
    assert hands.place == "Name"  # the releaser's is there already
    hands.press("Tab")
    assert hands.place == "Passphrase"
    hands.press("Shift+Tab")
    hands.type(MANAGER)
    hands.press("Tab")
    hands.type(PASSPHRASE)
    hands.press("Return")
    hands.look_at_window()
    wait_for(lambda: window.desk.issued and bool(page.issued))
    (issued,) = issued_revisions(record, number)
    wait_for(lambda: preview.content == issued.pdf)
    assert (issued.issued_by, issued.released_by) == (HOLT, MANAGER)
    assert {one.who for one in adoptions(record)} == {MANAGER}
    assert window.header.price.figure.text() == window.workshop.formats.money(issued.net)
    assert verify_record(record).faults == ()


def find_again(hands: Hands, number: str) -> None:
    window = hands.window
    hands.press("Ctrl+K")
    hands.type(SERIAL)
    hands.press("Return")
    wait_for(lambda: window.page_key == "enquiry")
    assert window.desk.job.number == number


def everything_is_locked(hands: Hands, record: Record, number: str) -> None:
    window = hands.window
    before = kept(record, number)
    assert window.desk.locked
    hands.tab_to("Customer")
    hands.type("x")
    hands.area("Ctrl+2", "inspection")
    hands.type("9")
    assert hands.place == "Findings", "no editor opens, no list"
    for keys in ("Ins", "Ctrl+Del", "Alt+4", "Ctrl+V", "Ctrl+Z"):
        hands.press(keys)
        assert hands.place == "Findings"
    page = hands.area("Ctrl+3", "scope")
    wait_for(lambda: page.grid.rows.rowCount() > 0)
    for keys in ("Del", "Ins", "Alt+4"):
        hands.press(keys)
        assert hands.place.startswith("Scope")
    page = hands.area("Ctrl+4", "price")
    wait_for(lambda: page.grid.rows.rowCount() > 0)
    for keys in ("Ins", "Del", "F2"):
        hands.press(keys)
        assert hands.place.startswith("Lines")
    hands.area("Ctrl+5", "exposure")
    hands.press("PgUp")
    hands.area("Ctrl+6", "programme")
    hands.press("Ctrl+Return")
    hands.type("1 Feb 2027")
    hands.press("Return")
    hands.saved()
    assert kept(record, number) == before == window.desk.job


def revise(hands: Hands, record: Record, number: str) -> None:
    window = hands.window
    page = hands.area("Ctrl+7", "quote")
    wait_for(lambda: bool(page.issued) and page.parts.revise.isVisible())
    assert page.parts.revise.text() == "Make rev B"
    hands.press("Ctrl+Return")
    wait_for(lambda: window.desk.job.revision == "B" and not window.desk.locked)
    hands.area("Ctrl+1", "enquiry")
    hands.tab_to("Discount")
    hands.type("2.5")
    hands.press("Tab")
    hands.saved()
    assert kept(record, number).terms.discount_share == Decimal("0.025")
    hands.area("Ctrl+7", "quote")
    hands.reckoned()
    model = page.parts.changes.rows
    wait_for(lambda: model.rowCount() > 0)
    assert page.parts.changes_title.whole_text == "What changed since rev A"
    hands.press("F6")
    while hands.place != "What changed":
        hands.press("F6")
    changed = hands.go_down_to(lambda row: "discount_share" in getattr(row, "id", ""))
    assert changed is not None
    (issued,) = issued_revisions(record, number)
    assert issued.revision == "A" and verify_record(record).faults == ()
