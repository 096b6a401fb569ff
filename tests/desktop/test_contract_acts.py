"""Acts on the whole contract, and what an act on a safety matter asks for, by keyboard."""

from __future__ import annotations

import shutil
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from estimator.desktop.screens.variations.job_acts import HAND_OVER, ORDER
from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.domain.contract.variation import CONTINGENCY, HIDDEN, Variation
from estimator.services.accept_quote import accept_quote
from estimator.services.answer_variation import Answer, answer_as_manager
from estimator.services.enrol_person import enrol_person, person_named
from estimator.services.issue_quote import issue_quote
from estimator.services.open_record import record_at
from estimator.services.vary_contract import raise_variation
from estimator.services.work_out_contract import read_contract
from tests.acts.contracts import FLEET, golden_terms, pounds
from tests.desktop.accessible import nameless
from tests.desktop.conftest import HOLT, MANAGER, NOW, PASSPHRASE, wait_for, windows_on
from tests.desktop.hands import Hands

NUMBER, FOREMAN = "Q-2041", "D. Wray"


@pytest.fixture(scope="module")
def accepted(template: Path, tmp_path_factory: pytest.TempPathFactory, catalogue: Any) -> Path:
    """The worked job accepted under an order of 276,000."""
    path = tmp_path_factory.mktemp("accepted") / "record.db"
    shutil.copyfile(template, path)
    record = record_at(path, NOW)
    holt, manager = person_named(record, HOLT), person_named(record, MANAGER)
    enrol_person(record, FOREMAN, "foreman", PASSPHRASE, manager, NOW)
    issue_quote(record, NUMBER, catalogue, holt, manager, NOW, adopt_why="for the test")
    terms = golden_terms(order_limit=pounds(276_000))
    accept_quote(record, NUMBER, terms, holt, NOW)
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
def make(qtbot: Any, record: Any, catalogue: Any) -> Any:
    with windows_on(record, catalogue) as made:
        yield made


def contract_of(record: Any) -> Any:
    return read_contract(record, NUMBER).contract


def raised(record: Any, cost: int = 1000, **changes: Any) -> str:
    """A finding that outwork puts right at 1,000, selling 1,150."""
    work = read_contract(record, NUMBER).work
    wanted = Wanted(
        kind="outwork", what="Grind", quantity=Decimal(1), unit_cost=Decimal(cost), markup="W"
    )
    plain = Variation(
        number="", revision=0, found_at=NOW, finder=FOREMAN, component="C12A",
        location="lift arm", title="Rod pitted", cause=HIDDEN, end=CONTINGENCY,
        consequence="the arm drifts", priced_by=HOLT, lines=(priced_line(work, wanted),),
    )  # fmt: skip
    holt = person_named(record, HOLT)
    after = raise_variation(record, NUMBER, replace(plain, **changes), holt, NOW)
    return list(after.contract.cases)[-1]


def drawn(record: Any, number: str) -> None:
    answer = Answer(variation=number, revision=0, act="approve")
    answer_as_manager(record, NUMBER, [answer], person_named(record, MANAGER), NOW)


def at_variations(window: Any) -> Hands:
    window.open_job(NUMBER, "price")
    wait_for(lambda: window.page_key == "price" and window.desk.contract.fresh)
    hands = Hands(window)
    hands.area("Ctrl+9", "variations")
    shown(window)
    return hands


def shown(window: Any) -> None:
    contract = window.desk.contract
    wait_for(
        lambda: (
            not contract.acting
            and contract.fresh
            and window.page._view_of is contract.now
            and not window.workshop.runner.busy
        )
    )


def begin(hands: Hands, act: str) -> Any:
    """Choose an act on the whole contract from the menu; its form."""
    menu = hands.window.page.parts.side.menu()
    begun = next(one for one in menu.actions() if one.text() in act_texts(act))
    assert begun.isEnabled()
    begun.trigger()
    hands.look_at_dialog()
    return hands.window.page.acting.question


def act_texts(act: str) -> tuple[str, ...]:
    return {ORDER: ("New order, or its limit",), HAND_OVER: ("Hand the machine over",)}[act]


def fill(hands: Hands, *fields: tuple[str, str]) -> None:
    for name, text in fields:
        hands.tab_to(name)
        hands.press("Ctrl+A")
        hands.type(text)
    hands.tab_to("Record it")
    hands.press("Space")


def test_a_raised_order_is_asked_for_and_kept(make, record):
    window = make(HOLT)
    hands = at_variations(window)
    form = begin(hands, ORDER)
    assert form.said("order") == "OA-77318"
    assert nameless(form) == []
    fill(hands, ("Its limit", "a lot"))
    assert form.isVisible()
    assert {key for key, frame in form.fields.frames.items() if frame.reason} == {
        "limit", "by", "capacity", "channel", "words",
    }  # fmt: skip
    fill(
        hands, ("Order", "OA-2"), ("Its limit", "280000"), ("Who gave it", "N. Sands"),
        ("In which capacity", "buyer"), ("How it came", "e-mail"),
        ("In which words", "To 280,000."),
    )  # fmt: skip
    hands.look_at_window()
    shown(window)
    contract = contract_of(record)
    assert (contract.purchase_order, contract.order_limit) == ("OA-2", pounds(280_000))
    assert (contract.events[-1].who, contract.events[-1].note) == (
        "N. Sands", f"recorded by {HOLT}",
    )  # fmt: skip


def test_an_order_below_what_is_agreed_to_is_refused(make, record):
    window = make(HOLT)
    hands = at_variations(window)
    begin(hands, ORDER)
    fill(
        hands, ("Its limit", "1000"), ("Who gave it", "N. Sands"), ("In which capacity", "buyer"),
        ("How it came", "e-mail"), ("In which words", "Less."),
    )  # fmt: skip
    hands.look_at_window()
    wait_for(lambda: "agreed to by now" in window.messages.text)
    assert contract_of(record).order_limit == pounds(276_000)


def test_a_hand_over_asks_whether_the_work_is_done(make, record):
    number = raised(record)
    drawn(record, number)
    window = make(MANAGER)
    hands = at_variations(window)
    form = begin(hands, HAND_OVER)
    assert nameless(form) == []
    assert form.said("by") == FLEET
    hands.tab_to("Record it")
    hands.press("Space")
    assert form.isVisible()
    assert form.fault.text().startswith(f"{number}: agreed to, and not said to be done.")
    hands.tab_to(f"{number} is done")
    hands.press("Space")
    fill(hands, ("In which words", "Received."))
    hands.look_at_window()
    wait_for(lambda: contract_of(record).handed_over)
    step = contract_of(record).case(number).steps[-1]
    assert (step.state, step.who) == ("done", MANAGER)
    shown(window)


def test_who_may_not_is_told_so_in_the_menu(make, record):
    window = make(FOREMAN)
    at_variations(window)
    said = [one.text() for one in window.page.parts.side.menu().actions() if not one.isEnabled()]
    assert any(one.startswith("New order, or its limit: for: ") for one in said)
    assert any(one.startswith("Hand the machine over: for: ") for one in said)


def test_a_safety_matter_is_taken_back_with_the_managers_passphrase(make, record):
    number = raised(record, safety=True)
    window = make(HOLT)
    hands = at_variations(window)
    window.page.do("withdraw")
    hands.answer_why("measured again: within limits")
    hands.look_at_dialog()
    hands.tab_to("Name")
    hands.type(MANAGER)
    hands.tab_to("Passphrase")
    hands.type(PASSPHRASE)
    hands.press("Return")
    hands.look_at_window()
    wait_for(lambda: contract_of(record).case(number).state == "withdrawn")
    step = contract_of(record).case(number).steps[-1]
    assert (step.who, step.reason) == (MANAGER, "measured again: within limits")
    shown(window)


def test_making_safe_asks_what_it_cost(make, record):
    number = raised(record, safety=True)
    window = make(FOREMAN)
    hands = at_variations(window)
    window.page.do("make safe")
    hands.look_at_dialog()
    form = window.page.acting.question
    fill(hands)
    assert form.fields.frames["cost"].reason == "Give a sum; 0 for none."
    fill(hands, ("Workshop's own cost", "160"))
    hands.look_at_window()
    wait_for(lambda: contract_of(record).case(number).made_safe)
    assert contract_of(record).case(number).made_safe_cost == pounds(160)
    shown(window)


def test_the_customer_calls_agreed_work_off(make, record):
    number = raised(record)
    drawn(record, number)
    window = make(HOLT)
    hands = at_variations(window)
    window.page.do("call off")
    hands.look_at_dialog()
    form = window.page.acting.question
    assert list(form.act_buttons) == ["call off"]
    assert form.consequence.text() == "Read it to them: the arm drifts"
    fill(hands, ("In which words", "Leave it, we sell her."))
    hands.look_at_window()
    wait_for(lambda: contract_of(record).case(number).state == "declined")
    assert contract_of(record).left == pounds(31_317)
    shown(window)


def test_a_second_half_on_one_component_asks_why_before_the_passphrase(make, record):
    first, second = raised(record, 1400), raised(record, 1400)  # 1,610 each
    drawn(record, first)
    window = make(MANAGER)
    hands = at_variations(window)
    window.page.go_to(second)
    window.page.do("sign")
    hands.answer_why("rod and barrel")
    hands.look_at_dialog()
    hands.tab_to("Passphrase")
    hands.type(PASSPHRASE)
    hands.press("Return")
    hands.look_at_window()
    wait_for(lambda: contract_of(record).case(second).state == "approved")
    case = contract_of(record).case(second)
    assert (case.together, case.steps[-1].reason) == (pounds(3220), "rod and barrel")
    shown(window)
