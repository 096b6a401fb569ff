"""The Variations page, by keyboard: raise, price, issue, answer, approve, and what is refused.

What comes of it is what the worked job's file has at its lines E05 to E15.
"""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtGui import QDesktopServices, QGuiApplication, QImage
from PySide6.QtWidgets import QApplication, QLineEdit

from estimator.desktop.screens.variations.words import line_state, verdict
from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.domain.contract.variation import CONTINGENCY, HIDDEN, Range, Variation
from estimator.services.accept_quote import accept_quote
from estimator.services.enrol_person import enrol_person, person_named
from estimator.services.issue_quote import issue_quote
from estimator.services.issued_papers import order_as_issued
from estimator.services.open_record import record_at
from estimator.services.record_teardown import Found, Opening, open_component, receive_machine
from estimator.services.vary_contract import raise_variation
from estimator.services.work_out_contract import read_contract
from tests.acts.contracts import FINANCE, FLEET, golden_terms, pounds
from tests.desktop.accessible import nameless
from tests.desktop.clipped import clipped
from tests.desktop.conftest import HOLT, MANAGER, NOW, PASSPHRASE, wait_for, windows_on
from tests.desktop.hands import Hands

NUMBER, FOREMAN = "Q-2041", "D. Wray"


@pytest.fixture(scope="module")
def accepted(template: Path, tmp_path_factory: pytest.TempPathFactory, catalogue: Any) -> Path:
    """The worked job accepted, at a time before the window's own."""
    path = tmp_path_factory.mktemp("accepted") / "record.db"
    shutil.copyfile(template, path)
    record = record_at(path, NOW)
    holt, manager = person_named(record, HOLT), person_named(record, MANAGER)
    enrol_person(record, FOREMAN, "foreman", PASSPHRASE, manager, NOW)
    issue_quote(record, NUMBER, catalogue, holt, manager, NOW, adopt_why="for the test")
    accept_quote(record, NUMBER, golden_terms(), holt, NOW)
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


def at_variations(window: Any) -> Hands:
    """Somebody at the keyboard, on the page, with the forecast there."""
    window.open_job(NUMBER, "price")
    wait_for(lambda: window.page_key == "price" and window.desk.contract.fresh)
    hands = Hands(window)
    hands.area("Ctrl+9", "variations")
    shown(window)
    return hands


def shown(window: Any) -> None:
    """Wait until the page shows the contract as it is now."""
    contract = window.desk.contract
    wait_for(
        lambda: (
            not contract.acting
            and contract.fresh
            and window.page._view_of is contract.now
            and not window.workshop.runner.busy
        )
    )


def contract_of(record: Any) -> Any:
    return read_contract(record, NUMBER).contract


def found(record: Any, part: str, component: str, **more: Any) -> None:
    """The bench finds a part worn: a variation with the quote's own range."""
    foreman = person_named(record, FOREMAN)
    if not contract_of(record).received:
        receive_machine(record, NUMBER, "two keys", foreman, NOW)
    opening = Opening(component, (Found(part, "worn", **more),))
    open_component(record, NUMBER, opening, foreman, NOW)


CHOSEN = ("kind", "trade", "currency", "markup")


def write_rows(hands: Hands, rows: Sequence[dict[str, str]]) -> None:
    """Write price lines: words to pick are pasted into their cells, the rest is typed."""
    hands.press("Ins", len(rows) - 1)
    for place, cells in enumerate(rows, start=1):
        for key, text in cells.items():
            step_to_row(hands, place)
            hands.go_across_to(key)
            if key in CHOSEN:
                hands.paste(text)
                continue
            hands.press("F2")
            hands.type(text)
            hands.press("Return")


def step_to_row(hands: Hands, place: int) -> None:
    """Up or down to a row, from wherever the last cell left off."""
    grid: Any = hands.focus
    while (here := int(grid.current_row().id)) != place:
        hands.press("Down" if here < place else "Up")


def raise_by_keys(hands: Hands, fields: dict[str, str], rows: Sequence[dict[str, str]]) -> Any:
    """Ctrl+N, the fields by Tab, the price lines, and up to raising it; the form."""
    hands.press("Ctrl+N")
    hands.look_at_dialog()
    for name, text in fields.items():
        hands.tab_to(name)
        hands.type(text)
    hands.tab_to("Price lines")
    write_rows(hands, rows)
    return hands.window.page.acting.question


def take(hands: Hands, name: str) -> None:
    """Press the button that takes the form, and come back to the window."""
    hands.tab_to(name)
    hands.press("Space")
    hands.look_at_window()
    shown(hands.window)


def test_a_request_raised_priced_issued_and_approved(make, record):
    """The tank floor of E07 and E08: 12 h, plate, gas-free certificate, 1,943 on the sum."""
    window = make(HOLT)
    hands = at_variations(window)
    fields = {
        "What was found": "Diesel tank floor corroded through",
        "Where on the machine": "rear frame, right",
        "Cause": "outs",  # outside scope, which the contract sum funds
        "Reading against limit": "1.1 mm of 4.0",
    }
    rows = (
        {"kind": "Labour", "what": "Cut out and weld", "quantity": "12",
         "trade": trade_name(window, "BW")},
        {"what": "Plate, primer", "cost": "310", "markup": "C"},
        {"kind": "Outwork", "what": "Clean, gas-free", "cost": "480", "markup": "W"},
    )  # fmt: skip
    form = raise_by_keys(hands, fields, rows)
    assert form.fields.chosen("end") == "contract sum"
    assert form.lines.sum.text() == "\u00a31,943"
    hands.tab_to("What declining means")
    hands.type("leak and fire risk")
    take(hands, "Raise it")
    amounts = [line.amount for line in contract_of(record).case("V01").variation.lines]
    assert amounts == [pounds(972), pounds(419), pounds(552)]
    issue(hands)
    row = next(line for line in window.page.view.lines if line.number == "V01")
    assert line_state(row)[1] == "Customer"
    assert row.current_sum == pounds(277_889)
    answer(hands, FLEET, "Approved, add to order, 1,943.")
    assert contract_of(record).current_sum == pounds(277_889)
    assert contract_of(record).case("V01").steps[-1].words == "Approved, add to order, 1,943."
    assert window.page.parts.ledger_total._texts["sum"] == "277,889"


def issue(hands: Hands) -> None:
    """The page's main action issues what is priced."""
    hands.press("Ctrl+Return")
    number = hands.window.page.place()
    contract = hands.window.desk.contract
    wait_for(lambda: contract.here.contract.case(number).state == "issued")
    shown(hands.window)


def trade_name(window: Any, code: str) -> str:
    return window.desk.contract.here.work.cat.trades[code].name


def answer(hands: Hands, by: str, words: str) -> None:
    """Ctrl+Enter: record that `by` approves, in these words."""
    hands.press("Ctrl+Return")
    hands.look_at_dialog()
    assert hands.place.startswith("Who answered")
    hands.type(by[:2])
    hands.tab_to("In which words")
    hands.type(words)
    take(hands, "Record it")


def test_gears_above_the_limit_go_to_the_higher_approver(make, record):
    """E11 and E15: 5,189 is above the manager's 2,500 and the fleet manager's 5,000."""
    found(record, "P-TGR", "C03A", location="second gear", consequence="gear failure under load")
    window = make(HOLT)
    hands = at_variations(window)
    said = verdict(window.page.view.drawn, window.workshop.formats)[1]
    assert said.startswith("Cannot yet say whether the contingency is enough: V01 has no price")
    hands.press("F2")  # the form begins with its price lines
    hands.look_at_dialog()
    gears = (
        {"what": "Gear train", "cost": "4100", "currency": "EUR", "markup": "B"},
        {"kind": "Labour", "what": "Fit, shim", "quantity": "10",
         "trade": trade_name(window, "HF")},
        {"kind": "Outwork", "what": "Crack test", "cost": "80", "markup": "W"},
    )  # fmt: skip
    write_rows(hands, gears)
    assert window.page.acting.question.lines.sum.text() == "\u00a35,189"
    take(hands, "Write it anew")
    assert contract_of(record).case("V01").variation.revision == 1
    issue(hands)
    refused_to(hands, record)
    answer(hands, FINANCE, "Approved, 5,189 from contingency.")
    contract = contract_of(record)
    assert contract.case("V01").agreed_by == FINANCE
    assert contract.left == pounds(31_317 - 5189)
    assert contract.current_sum == pounds(275_946)


def refused_to(hands: Hands, record: Any) -> None:
    """Neither the workshop nor the fleet manager may; nothing is recorded, and it is said who is
    asked."""
    window = hands.window
    window.page.do("sign")
    assert f"ask {FINANCE}, finance controller" in window.messages.text
    hands.press("Ctrl+Return")
    hands.look_at_dialog()
    form = window.page.acting.question
    assert form.fault.text() == f"{FLEET} may not. Ask {FINANCE}, finance controller."
    hands.tab_to("In which words")
    hands.type("Approved.")
    hands.tab_to("Record it")
    hands.press("Space")
    assert form.isVisible()
    assert contract_of(record).case("V01").state == "issued"
    hands.press("Esc")
    hands.look_at_window()
    wait_for(lambda: window.page.acting.question is None)


def test_the_manager_approves_with_their_own_passphrase(make, record, monkeypatch):
    """E12: two bores and a solenoid, 1,335, within the drawing right: nobody else is asked."""
    holt = person_named(record, HOLT)
    raise_variation(record, NUMBER, valve(record), holt, NOW)
    window = make(HOLT)
    hands = at_variations(window)
    side = window.page.parts.side
    assert side.main == "sign"
    wait_for(lambda: "What A does" in side.body.effect.head.text())
    hands.press("Ctrl+Return")
    secret = passphrase(hands, "not the right one")
    assert secret is not None
    wait_for(lambda: "do not belong together" in window.messages.text)
    shown(window)
    assert contract_of(record).case("V01").state == "draft"
    hands.press("Ctrl+Return")
    passphrase(hands, PASSPHRASE)
    wait_for(lambda: contract_of(record).case("V01").state == "approved")
    shown(window)
    case = contract_of(record).case("V01")
    assert case.agreed_by == MANAGER
    assert contract_of(record).left == pounds(31_317 - 1335)
    # Ctrl+P prints it for the customer, and a draft goes with the paper
    opened: list[str] = []
    monkeypatch.setattr(QDesktopServices, "openUrl", lambda url: opened.append(url.toLocalFile()))
    hands.press("Ctrl+P")
    window.page.make_paper("e-mail")
    wait_for(lambda: len(opened) == 2)
    assert Path(opened[0]).read_bytes().startswith(b"%PDF")
    assert b"application/pdf" in Path(opened[1]).read_bytes()
    # releasing work is the foreman's: greyed, with its reason
    assert side.main == ""
    assert "foreman" in side.why_not("release")


def passphrase(hands: Hands, text: str) -> QLineEdit:
    hands.look_at_dialog()
    name, secret = QApplication.activeModalWidget().findChildren(QLineEdit)
    assert name.text() == MANAGER
    assert hands.focus is secret
    hands.type(text)
    hands.press("Return")
    hands.look_at_window()
    return secret


def valve(record: Any) -> Variation:
    work = read_contract(record, NUMBER).work
    lines = (
        priced_line(work, Wanted(kind="parts", what="Control valve", quantity=Decimal(1),
                                 unit_cost=Decimal(980), currency="EUR", markup="A")),
        priced_line(work, Wanted(kind="labour", what="Fit, bench check", quantity=Decimal(3),
                                 trade="HF")),
    )  # fmt: skip
    return Variation(
        number="", revision=0, found_at=NOW, finder=FOREMAN, component="C03B",
        location="control valve", title="Control valve: two bores scored", cause=HIDDEN,
        end=CONTINGENCY, lines=lines, consequence="third clutch slips", priced_by=HOLT,
        parts=("P-TVB",), days=Decimal(1), activity="A15", answer_by=date(2026, 12, 1),
    )  # fmt: skip


def test_a_part_of_it_declined_and_what_cannot_be(make, record, monkeypatch):
    holt = person_named(record, HOLT)
    raise_variation(record, NUMBER, valve(record), holt, NOW)
    window = make(HOLT)
    hands = at_variations(window)
    window.page.do("issue")
    wait_for(lambda: contract_of(record).case("V01").state == "issued")
    shown(window)
    # Ctrl+P shows what went out, byte for byte; it is made anew only where that is asked for
    opened: list[bytes] = []

    def shows(url: Any) -> bool:
        opened.append(Path(url.toLocalFile()).read_bytes())
        return True

    monkeypatch.setattr(QDesktopServices, "openUrl", shows)
    hands.press("Ctrl+P")
    wait_for(lambda: len(opened) == 1)
    issued = order_as_issued(record, NUMBER, "V01")
    assert issued is not None
    assert opened == [issued.pdf]
    day = window.workshop.formats.day(NOW.date())
    assert window.messages.text == f"V01: as issued on {day}"
    window.page.make_paper("as it stands")
    wait_for(lambda: len(opened) == 2)
    assert opened[1] != issued.pdf
    window.page.do("customer's answer")
    hands.look_at_dialog()
    form = window.page.acting.question
    assert not form.act_buttons["agree"].isEnabled()
    assert "only for lines measured again" in form.act_buttons["agree"].text()
    form.act_buttons["approve in part"].setFocus()
    hands.press("Space")
    hands.tab_to("Fit, bench check")
    hands.press("Space")
    hands.tab_to("In which words")
    hands.type("The valve, not the fitting.")
    take(hands, "Record it")
    case = contract_of(record).case("V01")
    assert case.agreed_lines == (0,)
    assert contract_of(record).left == pounds(31_317 - 1096)
    assert [case.variation.number for case in contract_of(record).not_done()] == ["V01"]


def test_what_is_wrong_stays_typed_and_is_marked(make, record):
    window = make(HOLT)
    hands = at_variations(window)
    hands.press("Ins")
    hands.look_at_dialog()
    form = window.page.acting.question
    hands.tab_to("Working days it adds")
    hands.type("soon")
    hands.tab_to("Answer wanted by")
    hands.type("31 February 2027")
    hands.tab_to("Raise it")
    hands.press("Space")
    reasons = {key: frame.reason for key, frame in form.fields.frames.items() if frame.reason}
    assert set(reasons) >= {"days", "answer_by"}
    assert form.fields.text("days") == "soon"
    assert form.money_fault.text().startswith("Give a line with its price")
    assert contract_of(record).cases == {}
    assert nameless(form) == []
    hands.press("Esc")
    hands.look_at_window()


def test_a_range_for_a_part_with_a_photograph_then_withdrawn(make, record):
    """A finding without a price takes its part out of what is exposed; withdrawn, it stays."""
    window = make(HOLT)
    hands = at_variations(window)
    hands.press("Ctrl+N")
    hands.look_at_dialog()
    form = window.page.acting.question
    hands.type("Rear frame cracked")
    hands.tab_to("Part found worn")
    while form.fields.chosen("part") != "P-RFC":
        hands.press("Down")
    assert form.fields.chosen("component") != ""
    hands.tab_to("Where on the machine")
    hands.type("left rail, 380 mm ahead of the trunnion")
    hands.tab_to("Photographs")
    picture = QImage(64, 48, QImage.Format.Format_RGB32)
    picture.fill(0x808080)
    QGuiApplication.clipboard().setImage(picture)
    hands.press("Ctrl+V")
    wait_for(lambda: len(form.photos.names) == 1)
    hands.tab_to("A price")
    hands.press("Right")
    hands.press("Space")
    for name, text in (("Low", "1400"), ("Likely", "2500"), ("High", "5800")):
        hands.tab_to(name)
        hands.type(text)
    take(hands, "Raise it")
    case = contract_of(record).case("V01")
    assert case.state == "found"
    assert case.variation.range == Range(pounds(1400), pounds(2500), pounds(5800))
    assert contract_of(record).resolved == {"P-RFC": "worn"}
    side = window.page.parts.side
    wait_for(lambda: len(side.photos._photos) == 1)
    assert side.main == "write anew"
    window.page.do("withdraw")
    hands.answer_why("found again under another name")
    shown(window)
    assert contract_of(record).case("V01").state == "withdrawn"
    assert contract_of(record).case("V01").steps[-1].reason == "found again under another name"
    assert window.page.view.drawn.mark == "covered"
    # by component group: what was held for each ties to the ledger
    window.page.parts.views.choose("groups")
    assert window.page.parts.groups_total._texts["held"] == "31,317"


def test_a_viewer_and_a_foreman_may_not(make, record):
    manager = person_named(record, MANAGER)
    enrol_person(record, "V. Reader", "viewer", PASSPHRASE, manager, NOW)
    raise_variation(record, NUMBER, valve(record), person_named(record, HOLT), NOW)
    window = make("V. Reader")
    hands = at_variations(window)
    hands.press("Ctrl+N")
    assert "may look" in window.messages.text
    assert window.page.acting.question is None
    side = window.page.parts.side
    assert "estimator" in side.why_not("issue")
    menu = side.menu()
    texts = {action.data(): (action.isEnabled(), action.text()) for action in menu.actions()}
    menu.deleteLater()
    assert texts["issue"] == (False, f"Issue: {side.why_not('issue')}")
    # the approver gives their own name and passphrase on any desk
    assert texts["sign"][0]


@pytest.mark.parametrize("locale", ["en_GB", "de_DE"])
def test_the_page_is_named_and_nothing_is_cut(make, record, locale):
    found(record, "P-TGR", "C03A", location="second gear", measured="pitted, " * 12)
    holt = person_named(record, HOLT)
    wide = Variation(
        number="", revision=0, found_at=NOW, finder=HOLT, component="C12A",
        location="cab " * 20, title="<b>Sp\u00e4nebehandlung</b> & " * 6, cause=HIDDEN,
        end=CONTINGENCY, range=Range(pounds(100), pounds(900), pounds(40_000)), safety=True,
        consequence="=1+1 " * 20,
    )  # fmt: skip
    raise_variation(record, NUMBER, wide, holt, NOW)
    window = make(HOLT, locale)
    at_variations(window)
    page = window.page
    assert nameless(page) == []
    for size in ((1280, 720), (1440, 900)):
        window.resize(*size)
        page.go_to("V02")
        QApplication.processEvents()
        shown(window)
        for _time in range(3):
            QApplication.processEvents()
        assert clipped(page) == []
    assert page.view.drawn.unpriced[1].runs_past
    # F9 swaps the opened variation with why, of the row one is on
    Hands(window).press("F9")
    assert not page.parts.side.isVisible()
    assert window.why.isVisible()
    assert "V02" in window.why._figure().title
