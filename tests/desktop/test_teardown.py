"""From acceptance to the strip, by keyboard: the form, the machine's arrival, components opened,
and the figures of the worked job."""

from __future__ import annotations

import io
import shutil
from collections.abc import Iterator
from contextlib import ExitStack, closing
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from PySide6.QtWidgets import QApplication, QCheckBox

from estimator.desktop import language
from estimator.desktop.formats import Formats
from estimator.desktop.screens.quote.accepting import moment_of
from estimator.desktop.screens.quote.approvers import NotGiven, read_money
from estimator.desktop.screens.teardown.rows import LINE, MEASURE, PART, BenchRow, read_typed
from estimator.desktop.widgets.columns import NotValid
from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import TO_CUSTOMER
from estimator.domain.money import Money
from estimator.domain.people import ESTIMATOR, SERVICE_MANAGER, VIEWER
from estimator.services.accept_quote import accept_quote
from estimator.services.bench_notes import read_bench
from estimator.services.enrol_person import enrol_person
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import Record, open_record, record_at
from estimator.services.plan_opening import Answers
from estimator.services.record_teardown import MeasuredAgain
from estimator.services.show_bench import LineRow, MeasureRow
from estimator.services.teardown_photographs import teardown_photographs
from estimator.services.work_out_contract import ContractNow, read_contract
from estimator.services.write_contract import act_on
from tests.acts import workshop as people
from tests.acts.contracts import golden_terms, issue_golden, written_before
from tests.desktop.accessible import nameless
from tests.desktop.clipped import clipped, outside
from tests.desktop.conftest import (
    HOLT,
    MANAGER,
    NOW,
    PASSPHRASE,
    open_at,
    settle,
    wait_for,
    windows_on,
)
from tests.desktop.hands import Hands
from tests.golden.golden_contract import golden_events
from tests.golden.golden_job import expected_rows

NUMBER, READER = "Q-2041", "V. Reader"
GOLDEN = Path(__file__).parent.parent / "golden" / "catalogue"
ACCEPTED_ON = datetime(2026, 11, 30, 15, 20, tzinfo=UTC)
OPENED_ON = datetime(2026, 12, 21, 15, 0, tzinfo=UTC)
SIZES = ((1280, 720), (1440, 900))
BEFORE_THE_ENGINE = ("E03", "E04", "E05", "E06", "E07", "E08", "E09")


def pounds(amount: str | int) -> Money:
    return Money(int(Decimal(amount) * 100), "GBP")


@pytest.fixture(scope="module")
def golden_catalogue() -> Any:
    return open_catalogue(GOLDEN)


@pytest.fixture(scope="module")
def issued_file(tmp_path_factory: pytest.TempPathFactory, golden_catalogue: Any) -> Path:
    """A record with the worked job issued by its own catalogue."""
    path = tmp_path_factory.mktemp("issued") / "record.db"
    with open_record(path, NOW) as record:
        _enrol(record)
        issue_golden(record, golden_catalogue)
    return path


@pytest.fixture(scope="module")
def opened_file(tmp_path_factory: pytest.TempPathFactory, issued_file: Path) -> Path:
    """The same accepted, the machine here, and all that happened before the engine was opened."""
    path = tmp_path_factory.mktemp("accepted") / "record.db"
    shutil.copyfile(issued_file, path)
    with closing(record_at(path, NOW)) as record:
        accept_quote(record, NUMBER, golden_terms(), people.ESTIMATOR, NOW)
        for line, events in engine_events(record, NUMBER):
            if line in BEFORE_THE_ENGINE:
                written_before(record, NUMBER, events, NOW)
    return path


def _enrol(record: Record) -> None:
    manager = enrol_person(record, MANAGER, SERVICE_MANAGER, PASSPHRASE, None, NOW)
    enrol_person(record, HOLT, ESTIMATOR, PASSPHRASE, manager, NOW)
    enrol_person(record, READER, VIEWER, PASSPHRASE, manager, NOW)


def engine_events(record: Record, number: str) -> Any:
    """The worked job's events, line by line, after its acceptance."""
    work = read_contract(record, number).work
    return [one for one in golden_events(work, pounds(31_317)) if one[0] not in ("E01", "E02")]


@pytest.fixture
def on(tmp_path: Path, catalogue: Any) -> Iterator[Any]:
    """Composes a window on a copy of a record: `on(file, now, name, locale)`."""
    with ExitStack() as left:

        def make(file: Path, now: datetime, name: str = HOLT, locale: str = "en_GB") -> Any:
            path = tmp_path / "record.db"
            shutil.copyfile(file, path)
            record = left.enter_context(closing(record_at(path, now)))
            window = left.enter_context(windows_on(record, catalogue))(name, locale)
            window.workshop.now = lambda: now
            return window

        yield make


def worked_out(window: Any) -> None:
    """Wait until the forecast is of the contract as it is, and nothing is on its way."""
    wait_for(lambda: window.desk.contract.fresh and not window.desk.contract.acting)
    settle(None, window)
    QApplication.processEvents()


def page_of(qtbot: Any, window: Any, place: str = "") -> Any:
    page = open_at(qtbot, window, "teardown", place=place)
    worked_out(window)
    return page


def bench_to(hands: Hands, page: Any, row_id: str) -> None:
    """Down in the bench to a row, from its top."""
    page.parts.bench.setFocus()
    hands.press("Home")
    hands.press("Ctrl+Home")
    hands.go_down_to(lambda row: row.id == row_id)
    hands.go_across_to("typed")


# Acceptance


def test_a_quote_is_accepted_and_the_machine_comes_in(qtbot, on, issued_file):
    window = on(issued_file, ACCEPTED_ON)
    open_at(qtbot, window, "quote")
    settle(qtbot, window)
    hands = Hands(window)
    hands.press("Ctrl+8")  # nothing is accepted yet
    assert window.page_key == "quote"
    assert "Nothing was accepted yet" in window.messages.text
    assert not window.path.buttons["teardown"].isVisible()
    _fill_in(hands, window)
    wait_for(lambda: window.desk.under_contract)
    hands.look_at_window()
    worked_out(window)
    accepted = window.desk.contract.here.contract.acceptance
    assert (accepted.contract_sum, accepted.unspent) == (pounds(275_946), TO_CUSTOMER)
    assert [(one.name, one.side, one.limit_each) for one in accepted.authorities] == [
        ("R. Ostrey", "customer", pounds(5000)),
        ("L. Marsh", "customer", None),
        (MANAGER, "workshop", pounds(2500)),
    ]
    _as_it_was_issued(window)
    _comes_in(hands, window)


def _fill_in(hands: Hands, window: Any) -> None:
    hands.press("Ctrl+Shift+A")
    wait_for(lambda: window.page.accepting.form is not None)
    hands.look_at_dialog()
    form = window.page.accepting.form
    assert hands.place == "Accepted by"
    hands.press("Ctrl+Return")
    assert form.frames["who"].reason == "Say who accepted."
    hands.type("R. Ostrey")
    hands.tab_to("Their words")
    hands.type("Accepted as quoted, order OA-77318.")
    hands.tab_to("Purchase order")
    hands.type("OA-77318")
    hands.tab_to("Approver 1: limit for one")
    hands.type("five thousand")
    hands.press("Ctrl+Return")
    assert form.approvers.trouble.isVisible()
    assert hands.place == "Approver 1: limit for one"
    hands.press("Ctrl+A")
    hands.type("5,000")
    hands.tab_to("Approver 2: name")
    hands.type("L. Marsh")
    hands.tab_to("Approver 2: capacity")
    hands.type("finance controller")
    hands.tab_to("The workshop may draw: limit for one")
    hands.type("2500")
    hands.press("Ctrl+Return")


def _as_it_was_issued(window: Any) -> None:
    """Every page before stays as it was, and says what changes now."""
    wait_for(lambda: window.desk.fresh)
    assert window.desk.priced.price.net == pounds(275_946)
    assert window.desk.why_not() == "Accepted. What changes now is a variation."
    assert not window.page.parts.revise.isVisible()
    assert window.header.price.figure.text() == "\u00a3275,946"
    assert window.path.buttons["teardown"].note == "not here yet"


def _comes_in(hands: Hands, window: Any) -> None:
    """The first act of the teardown."""
    page = hands.area("Ctrl+8", "teardown")
    assert hands.place == "Condition as it came"
    hands.press("Ctrl+Return")
    assert page.parts.receiving.fields[0].reason
    hands.type("as inspected")
    hands.tab_to("Keys")
    hands.type("two")
    hands.press("Ctrl+Return")
    wait_for(lambda: window.desk.contract.here.contract.received)
    worked_out(window)
    assert page.view.received == "condition: as inspected; keys: two"
    assert window.path.buttons["teardown"].note == "0 of 45 open"
    assert read_contract(window.workshop.record, NUMBER).contract.received


def test_a_price_past_its_day_is_held_by_the_service_manager_alone(qtbot, on, issued_file):
    late = datetime(2027, 1, 10, 12, 0, tzinfo=UTC)
    window = on(issued_file, late)
    open_at(qtbot, window, "quote")
    settle(qtbot, window)
    hands = Hands(window)
    hands.press("Ctrl+Shift+A")
    wait_for(lambda: "was valid until" in window.messages.text)
    assert window.page.accepting.form is None
    window.workshop.take_person(replace(window.workshop.person, role=SERVICE_MANAGER))
    hands.press("Ctrl+Shift+A")
    wait_for(lambda: window.page.accepting.form is not None)
    hands.look_at_dialog()
    form = window.page.accepting.form
    hands.type("R. Ostrey")
    hands.press("Ctrl+Return")
    assert "hold its price" in form.trouble.text()
    hands.press("Space")
    assert form.hold.isChecked()
    hands.press("Ctrl+Return")
    wait_for(lambda: window.desk.under_contract)


# Opening


def test_the_engine_is_opened_and_comes_to_the_worked_jobs_figures(qtbot, on, opened_file):
    window = on(opened_file, OPENED_ON)
    page = page_of(qtbot, window)
    hands, contract = Hands(window), window.desk.contract
    assert page.view.closed == 44  # the frame was found cracked before
    assert page.view.next.id == page.place()  # the one that is least certain lies on the bench
    page.parts.components.setFocus()
    hands.press("Home")
    assert page.place() == "C01A"
    hands.press("Return")
    hands.press("Alt+1")  # opening waits for its ticks
    assert window.messages.text.startswith("Opening waits for its tick: Stored energy")
    for _box in page.parts.cautions.boxes:
        assert isinstance(hands.focus, QCheckBox)
        hands.press("Space")
        page.parts.cautions.focus_first()
    assert hands.focus is page.parts.bench
    for part in ("P-BLK", "P-CRK", "P-TGS"):
        bench_to(hands, page, f"{PART}/{part}")
        hands.press("Alt+1")
    wait_for(lambda: contract.trial is not None and len(contract.trial.rest.closed) == 41)
    assert contract.head_tried.exposed < contract.head.exposed
    assert page.moves.exposed == contract.head_tried.exposed
    assert len(read_contract(window.workshop.record, NUMBER).contract.resolved) == 1  # not written
    hands.press("Ctrl+Return")
    worked_out(window)
    _open_the_rest(hands, page)
    case = contract.here.contract.case("V05")
    assert (case.variation.measured, case.variation.chosen) == ("lift 0.4 mm under new", "replace")
    figures = page.parts.moves.figures
    assert figures["range/V05"]
    assert "V04, V05 have no price" in figures["attention"]
    _price_and_approve(window)
    _as_worked_by_hand(contract.now)
    assert page.parts.moves.figures["left"] == "29,515"
    assert window.header.contingency.figure.text() == "\u00a329,515"


def _open_the_rest(hands: Hands, page: Any) -> None:
    """The head and the valve gear, then the turbocharger measured as priced."""
    window = hands.window
    page.go_to("C01B")
    bench_to(hands, page, f"{PART}/P-HED")
    hands.press("Alt+1")
    bench_to(hands, page, f"{PART}/P-CMS")
    hands.type("lift 0.4 mm under new")
    hands.press("Return")
    bench_to(hands, page, f"{PART}/P-CMS")
    hands.press("Alt+4")
    hands.press("Ctrl+Return")
    worked_out(window)
    assert "Raised: V05" in window.messages.text
    page.go_to("C01D")
    bench_to(hands, page, f"{LINE}/P-TUR")
    hands.type("100 %")
    hands.press("Return")
    hands.press("Ctrl+Return")
    worked_out(window)


def _as_worked_by_hand(now: ContractNow) -> None:
    """As line E10 of the worked job: sums exact, what rests on the distribution within 2."""
    row, (want,) = now.row, [r for r in expected_rows("ledger") if r["event"] == "E10"]
    assert row.current_sum == pounds(want["current_sum_GBP"])
    assert row.left == pounds(want["left_GBP"])
    assert row.closed_parts == int(want["exposed_parts_closed_not_yet_opened"])
    for field, column in (
        ("exposed", "exposed_at_80_percent_GBP"),
        ("forecast_low", "forecast_low_GBP"),
        ("forecast_likely", "forecast_likely_GBP"),
        ("forecast_high", "forecast_high_GBP"),
    ):
        assert abs(getattr(row, field).amount - Decimal(want[column])) <= 2, field
    assert now.finish_covered.isoformat() == want["finish_P80"]


def _price_and_approve(window: Any) -> None:
    """The camshaft at the price of the worked job, approved; and the window reads it again."""
    record = window.workshop.record
    (events,) = [made for line, made in engine_events(record, NUMBER) if line == "E10"]
    raised = next(one for one in events if isinstance(one, happened.Raised))
    decided = next(one for one in events if isinstance(one, happened.Decided))
    here = read_contract(record, NUMBER).contract.case("V05").variation
    priced = replace(raised.variation, revision=1, component=here.component, parts=here.parts)
    at = OPENED_ON
    act_on(record, NUMBER, "tested", lambda _here: [
        happened.Revised(at=at, who="P. Holt", variation=priced),
        replace(decided, at=at, revision=1),
    ], at)  # fmt: skip
    window.desk.reread()
    wait_for(lambda: window.desk.contract.here.contract.case("V05").state == "approved")
    worked_out(window)


def test_readings_are_recorded_before_the_ticks_and_a_bad_one_stays(qtbot, on, opened_file):
    window = on(opened_file, OPENED_ON)
    page = page_of(qtbot, window, "C05D")
    hands = Hands(window)
    assert page.place() == "C05D"
    bench_to(hands, page, f"{MEASURE}/M0503")
    hands.type("o.12")
    hands.press("Return")
    assert page.parts.bench.rows._kept  # kept, with its reason
    hands.press("Ctrl+Return")
    settle(qtbot, window)
    assert not page.bench.measures[0].reading
    bench_to(hands, page, f"{MEASURE}/M0503")
    hands.press("F2")
    hands.press("Ctrl+A")
    hands.type("0.12")
    hands.press("Return")
    assert page.unfinished() == "Not recorded yet: Rear hubs and finals."
    hands.press("Ctrl+Return")
    worked_out(window)
    assert page.unfinished() == ""
    readings = page.bench.measures
    assert (readings[0].reading.measured, readings[0].by) == (Decimal("0.12"), HOLT)
    assert page.view.closed == 44


def test_what_stands_on_the_bench_outlives_the_window(qtbot, on, opened_file):
    window = on(opened_file, OPENED_ON)
    page = page_of(qtbot, window, "C05D")
    hands = Hands(window)
    page.parts.cautions.focus_first()
    hands.press("Space")
    bench_to(hands, page, f"{MEASURE}/M0503")
    hands.type("0.12")
    hands.press("Return")
    record, person = window.workshop.record, window.workshop.person
    wait_for(lambda: read_bench(record, NUMBER, person).get("C05D", Answers()).readings)
    chosen = page.answering.of("C05D")
    assert chosen.ticked
    assert chosen.readings == {"M0503": Decimal("0.12")}
    page.answering.forget()  # as when the job is opened by another window
    assert page.answering.of("C05D") == Answers()
    wait_for(lambda: page.answering.of("C05D") == chosen)


def test_a_photograph_goes_with_what_is_found_worn(qtbot, on, opened_file):
    window = on(opened_file, OPENED_ON)
    page = page_of(qtbot, window, "P-PLR")
    hands = Hands(window)
    assert page.place() == "C05D"
    content = io.BytesIO()
    Image.new("RGB", (64, 48), "grey").save(content, "JPEG")
    page.parts.photos.give([("planet flank.jpg", content.getvalue()), ("no.jpg", b"no")])
    wait_for(lambda: "no.jpg was not taken" in window.messages.text)
    settle(qtbot, window)
    (photo,) = teardown_photographs(window.workshop.record, NUMBER)
    assert page.parts.photos.strip.chosen == photo.name == "C05D-1"
    page.parts.cautions.focus_first()
    hands.press("Space")
    bench_to(hands, page, f"{PART}/P-PLR")
    hands.press("Alt+3")
    hands.press("Ctrl+Return")
    worked_out(window)
    assert window.desk.contract.here.contract.case("V05").variation.photographs == ("C05D-1",)
    assert window.desk.contract.trial is None


def test_whoever_may_only_look_changes_nothing(qtbot, on, opened_file):
    window = on(opened_file, OPENED_ON, READER)
    page = page_of(qtbot, window, "C05D")
    hands = Hands(window)
    assert page.parts.bench.rows.locked
    assert not any(box.isEnabled() for box in page.parts.cautions.boxes.values())
    for keys in ("Alt+4", "F8", "Ctrl+Return"):
        hands.press(keys)
    settle(qtbot, window)
    assert len(window.desk.contract.here.contract.cases) == 4


@pytest.mark.parametrize("locale", ["en_GB", "de_DE"])
def test_no_words_are_cut_and_everything_has_a_name(qtbot, on, opened_file, locale):
    language.use(locale)
    try:
        window = on(opened_file, OPENED_ON, HOLT, locale)
        page = page_of(qtbot, window, "C01A")
        assert nameless(window) == []
        for size in SIZES:
            assert cut_at(window, size) == []
        for box in page.parts.cautions.boxes.values():
            box.click()
        page.go_to("P-CRK")
        page.dispose("replace")
        wait_for(lambda: window.desk.contract.trial is not None)
        for size in SIZES:
            assert cut_at(window, size) == []
    finally:
        language.use("en")


def cut_at(window: Any, size: tuple[int, int]) -> list[str]:
    """What is cut in a window of a size, or ends outside it."""
    window.resize(*size)
    for _time in range(3):
        QApplication.processEvents()
    return clipped(window) + outside(window)


# What is typed

SAY = Formats("en_GB")
FLOAT = MeasureRow("M1", "End-float", "measure", "mm", None, "", None, "")


def bench_row(kind: str, row: Any) -> BenchRow:
    return BenchRow(f"{kind}/X", kind, "x", "", "ink3", "", row=row)


def test_what_can_be_typed_into_the_bench():
    limits = replace(FLOAT, limits=object())  # type: ignore[arg-type]
    assert read_typed(bench_row(MEASURE, limits), "0.12", SAY) == Decimal("0.12")
    assert read_typed(bench_row(MEASURE, limits), "0.2 in", SAY) == Decimal("5.08")
    assert read_typed(bench_row(MEASURE, FLOAT), " pitted  on two ", SAY) == "pitted on two"
    assert read_typed(bench_row(PART, None), "", SAY) is None
    with pytest.raises(NotValid, match="Write the reading in mm"):
        read_typed(bench_row(MEASURE, limits), "3 bar", SAY)
    line = LineRow(
        "P-HOS", "Hoses", "each", Decimal(46), Decimal(40), Decimal(55), pounds(1), None, False
    )
    assert read_typed(bench_row(LINE, line), "56 %", SAY) == MeasuredAgain(
        "P-HOS", Decimal("0.56"), by_factor=True
    )
    assert read_typed(bench_row(LINE, line), "51", SAY) == MeasuredAgain("P-HOS", Decimal(51))
    with pytest.raises(NotValid, match="below nought"):
        read_typed(bench_row(LINE, line), "-1", SAY)


def test_sums_and_days_of_an_acceptance():
    assert read_money(" ", SAY, "GBP") is None
    assert read_money("2,500.50", SAY, "GBP") == pounds("2500.50")
    for text in ("-1", "2.005", "two"):
        with pytest.raises(NotGiven):
            read_money(text, SAY, "GBP")
    now = datetime(2026, 11, 30, 15, 20, tzinfo=UTC)
    issued = datetime(2026, 11, 25, 18, 0, tzinfo=UTC)
    assert moment_of(issued.date(), now, issued) == issued
    assert moment_of(now.date(), now, issued) == now
