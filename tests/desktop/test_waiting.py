"""What waits on whom, by keyboard: approved within the limit, refused above it, sent back,
declined, passed on, several at once."""

from __future__ import annotations

import shutil
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication, QComboBox

from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.domain.contract.variation import (
    CONTINGENCY,
    CONTRACT_SUM,
    HIDDEN,
    REQUEST,
    Range,
    Variation,
)
from estimator.services.accept_quote import accept_quote
from estimator.services.enrol_person import enrol_person, person_named
from estimator.services.issue_quote import issue_quote
from estimator.services.open_record import record_at
from estimator.services.vary_contract import Move, move_variation, raise_variation
from estimator.services.work_out_contract import read_contract
from tests.acts.contracts import FLEET, golden_terms, pounds
from tests.desktop.accessible import nameless
from tests.desktop.clipped import clipped
from tests.desktop.conftest import HOLT, MANAGER, NOW, PASSPHRASE, settle, wait_for, windows_on
from tests.desktop.hands import Hands

NUMBER = "Q-2041"
ROD, GEARS, PINS, LIGHTS, CRACK, TANK = (f"V{place:02d}" for place in range(1, 7))


@pytest.fixture(scope="module")
def accepted(template: Path, tmp_path_factory: pytest.TempPathFactory, catalogue: Any) -> Path:
    """The worked job accepted, with six variations: a rod (two lines, 2,070), gears above the
    manager's limit, pins (805), lights on the contract sum, a crack without a price, and a tank
    that is still a draft."""
    path = tmp_path_factory.mktemp("waiting") / "record.db"
    shutil.copyfile(template, path)
    record = record_at(path, NOW)
    holt, manager = person_named(record, HOLT), person_named(record, MANAGER)
    enrol_person(record, "D. Wray", "foreman", PASSPHRASE, manager, NOW)
    issue_quote(record, NUMBER, catalogue, holt, manager, NOW, adopt_why="for the test")
    accept_quote(record, NUMBER, golden_terms(on=NOW), holt, NOW)
    work = read_contract(record, NUMBER).work

    def variation(title: str, *costs: int, **changes: Any) -> None:
        lines = tuple(
            priced_line(work, Wanted(kind="outwork", what=f"{title}, {place}", quantity=Decimal(1),
                                     unit_cost=Decimal(cost), markup="W"))
            for place, cost in enumerate(costs, start=1)
        )  # fmt: skip
        plain = Variation(
            number="", revision=0, found_at=NOW, finder="D. Wray", component="C12A",
            location="lift arm", title=title, cause=HIDDEN, end=CONTINGENCY, lines=lines,
            consequence="the arm drifts", priced_by=HOLT, measured="0.12 mm, limit 0.10",
            range=None if costs else Range(pounds(1000), pounds(3000), pounds(6150)),
        )  # fmt: skip
        raise_variation(record, NUMBER, replace(plain, **changes), holt, NOW)

    variation("Rod pitted", 1300, 500, safety=True)
    variation("Gear train worn", 4000)
    variation("Pins loose", 700)
    variation("Work lights", 900, end=CONTRACT_SUM, cause=REQUEST)
    variation("Rear frame cracked")
    variation("Tank baffle loose", 600)
    for name in (ROD, GEARS, PINS, LIGHTS):
        move_variation(record, NUMBER, Move(variation=name, act="issue"), holt, NOW)
    record.close()
    return path


@pytest.fixture
def record(accepted: Path, tmp_path: Path) -> Any:
    path = tmp_path / "record.db"
    shutil.copyfile(accepted, path)
    opened = record_at(path, NOW)
    yield opened
    opened.close()


@pytest.fixture
def window(qtbot: Any, record: Any, catalogue: Any) -> Any:
    with windows_on(record, catalogue) as make:
        made = make(MANAGER)
        yield made
        settle(None, made)


@pytest.fixture
def hands(window: Any) -> Hands:
    """The manager at the keyboard, on the page by its key from the Jobs list."""
    hands = Hands(window)
    hands.press("Ctrl+Shift+W")
    wait_for(lambda: window.page_key == "waiting" and window.page.view is not None)
    settle(None, window)
    return hands


def look_at(hands: Hands, name: str) -> Any:
    """Go to a variation by Down and wait until its approval is there; the right side."""
    page = hands.window.page
    hands.press("Home")
    hands.go_down_to(lambda line: getattr(getattr(line, "row", None), "number", "") == name)
    return approval(page, [name])


def approval(page: Any, names: list[str]) -> Any:
    def there() -> bool:
        view = page.panel.view
        return view is not None and [c.variation.number for c in view.cases] == names

    wait_for(there)
    return page.panel


def answered(hands: Hands) -> None:
    page = hands.window.page
    wait_for(lambda: not page.answering.busy)
    settle(None, hands.window)


def case_of(record: Any, name: str) -> Any:
    return read_contract(record, NUMBER).contract.case(name)


def told(hands: Hands) -> str:
    return str(hands.window.messages.text)


def shown(page: Any) -> list[str]:
    """Numbers of the variations in the list, from top to bottom."""
    return [
        line.row.number for head in range(page.model.rowCount()) for line in page._rows_under(head)
    ]


def test_who_waits_is_counted_and_every_widget_says_its_name(window, hands):
    page = window.page
    counts = {key: button.count for key, button in page.side.buttons.items()}
    assert counts == {
        "everyone": "6", "you": "3", "estimator": "1", "customer": "2", "foreman": "0",
        "service manager": "0",
    }  # fmt: skip
    # the draft within the drawing right is the manager's too: nobody else need be asked
    assert page.head.on_you.figure.whole_text == "3"
    look_at(hands, ROD)
    assert nameless(window) == []
    assert page.panel.pane.grounds.texts == [
        "£2,070 within £2,500 for one",
        "£2,070 within £15,000 in all on this job",
        "£2,070 within the £31,317 left of the contingency",
        f"priced by {HOLT}, not by you",
    ]
    assert "£31,317 → £29,247 left" in page.panel.pane.after.text()
    assert page.side._values["each"].whole_text == "£2,500"


def test_approving_within_the_limit_asks_for_the_passphrase(window, hands, record):
    panel = look_at(hands, ROD)
    hands.press("Ctrl+Return")
    assert panel.secret.hasFocus()
    assert "own passphrase" in panel.field.reason
    hands.type("something else entirely")
    hands.press("Ctrl+Return")
    answered(hands)
    assert "do not belong together" in panel.field.reason
    assert case_of(record, ROD).state == "issued"
    hands.type(PASSPHRASE)  # over what was wrong
    hands.press("Ctrl+Return")
    answered(hands)
    case = case_of(record, ROD)
    assert (case.state, case.agreed_by) == ("approved", MANAGER)
    assert read_contract(record, NUMBER).contract.left == pounds(31_317 - 2070)
    assert ROD in told(hands)
    assert panel.secret.text() == ""
    page = window.page
    assert page.grid.hasFocus()
    assert page.place().endswith(PINS)  # the next that waits on you
    assert page.side.buttons["you"].count == "2"
    assert page.side.buttons["foreman"].count == "1"


def test_above_the_limit_it_is_refused_and_says_who_is_asked(window, hands, record):
    panel = look_at(hands, GEARS)
    assert not panel.do_main.isEnabled()
    hands.press("Ctrl+Return")
    assert f"ask {FLEET}, fleet manager" in told(hands)
    assert "£4,600 above £2,500 for one" in panel.pane.grounds.texts
    assert case_of(record, GEARS).state == "issued"


def test_declining_is_the_customers_and_needs_a_reason(window, hands, record):
    look_at(hands, GEARS)
    hands.tab_to("Decline")
    hands.press("Space")
    hands.look_at_dialog()
    dialog = QApplication.activeModalWidget()
    assert not window.page.answering.question.buttons[1].isEnabled()
    hands.type("We sell the machine in the spring.")
    who = next(one for one in dialog.findChildren(QComboBox) if not one.isEditable())
    assert who.currentText() == FLEET
    hands.tab_to("Record it")
    hands.press("Space")
    hands.look_at_window()
    answered(hands)
    case = case_of(record, GEARS)
    assert (case.state, case.agreed_by) == ("declined", FLEET)
    assert case.steps[-1].words == "We sell the machine in the spring."
    assert GEARS not in shown(window.page)


def test_sent_back_it_waits_on_the_estimator_with_the_question(window, hands, record):
    look_at(hands, PINS)
    hands.tab_to("Send back")
    hands.press("Space")
    hands.answer_why("Which pins?")
    answered(hands)
    case = case_of(record, PINS)
    assert (case.state, case.steps[-1].reason) == ("queried", "Which pins?")
    assert window.page.side.buttons["estimator"].count == "2"


def test_part_of_it_is_approved_by_its_lines(window, hands, record):
    panel = look_at(hands, ROD)
    hands.tab_to("Rod pitted, 2")
    hands.press("Space")
    assert panel.do_main.text() == "Approve in part"
    assert panel.pane.grounds.texts[0] == "£1,495 within £2,500 for one"
    hands.tab_to("Your passphrase")
    hands.type(PASSPHRASE)
    hands.press("Return")
    hands.answer_why("The seal kit is on the shelf.")
    answered(hands)
    case = case_of(record, ROD)
    assert (case.state, case.agreed_lines) == ("part approved", (0,))
    assert read_contract(record, NUMBER).contract.left == pounds(31_317 - 1495)


def test_passed_on_it_waits_on_the_next_and_a_draft_is_issued(window, hands, record):
    look_at(hands, PINS)
    hands.tab_to("Pass on")
    hands.press("Space")
    answered(hands)
    assert f"asked is {FLEET}" in told(hands)
    assert case_of(record, PINS).passed == (MANAGER,)
    assert window.page.side.buttons["customer"].count == "3"
    look_at(hands, TANK)
    hands.tab_to("Pass on")
    hands.press("Space")
    answered(hands)
    assert case_of(record, TANK).state == "issued"


def test_several_of_one_job_are_approved_at_once(window, hands, record):
    page = window.page
    for name in (ROD, PINS, TANK):
        look_at_row(hands, name)
        hands.press("Space")
    panel = approval(page, [ROD, PINS, TANK])
    assert panel.do_main.text() == "Approve 3"
    assert "£3,565 within £15,000 in all on this job" in panel.pane.grounds.texts
    hands.tab_to("Your passphrase")
    hands.type(PASSPHRASE)
    hands.press("Ctrl+Return")
    # each within 2,500, all on one component: it asks why they are separate findings
    hands.answer_why("A rod, pins and a baffle.")
    answered(hands)
    assert [case_of(record, name).state for name in (ROD, PINS, TANK)] == ["approved"] * 3
    assert case_of(record, TANK).together == pounds(3565)
    assert case_of(record, TANK).steps[-1].reason == "A rod, pins and a baffle."
    assert read_contract(record, NUMBER).contract.left == pounds(31_317 - 3565)
    assert page._marked == ()


def look_at_row(hands: Hands, name: str) -> None:
    hands.press("Home")
    hands.go_down_to(lambda line: getattr(getattr(line, "row", None), "number", "") == name)


def test_one_above_the_limit_among_several_stops_all(window, hands, record):
    for name in (PINS, GEARS):
        look_at_row(hands, name)
        hands.press("Space")
    panel = approval(window.page, [GEARS, PINS])
    assert not panel.do_main.isEnabled()
    hands.press("Ctrl+Return")
    assert f"ask {FLEET}" in told(hands)
    assert [case_of(record, name).state for name in (PINS, GEARS)] == ["issued"] * 2
    hands.press("Space")  # the mark of the one under the cursor goes
    panel = approval(window.page, [PINS])
    assert panel.do_main.isEnabled()


def test_enter_opens_it_on_its_variations_page_and_the_crumb_leads_back(window, hands):
    look_at(hands, GEARS)
    hands.press("Return")
    wait_for(lambda: window.page_key == "variations")
    wait_for(lambda: window.page.place() == GEARS)
    assert window.strip._waiting.isVisible()
    window.strip._waiting.click()
    wait_for(lambda: window.page_key == "waiting")
    assert window.page.place().endswith(GEARS)


def test_what_is_answered_elsewhere_is_told_and_gone(window, hands, record):
    """Another desk sends it back while this one is looking at it."""
    panel = look_at(hands, PINS)
    holt = person_named(record, HOLT)
    move = Move(variation=PINS, act="query", reason="which?")
    move_variation(record, NUMBER, move, holt, NOW)
    hands.tab_to("Your passphrase")
    hands.type(PASSPHRASE)
    hands.press("Ctrl+Return")
    answered(hands)
    assert "what is queried cannot approve" in told(hands)
    assert case_of(record, PINS).state == "queried"
    wait_for(lambda: not panel.do_main.isEnabled())  # what is shown is read anew
    assert panel.main == "approve"


@pytest.mark.parametrize("size", [(1280, 720), (1440, 900)])
def test_nothing_is_cut(window, hands, size):
    window.resize(*size)
    look_at(hands, ROD)
    settle(None, window)
    assert clipped(window) == []
