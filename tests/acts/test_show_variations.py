"""The ledger, the drawn-down bar, an opened case and what may be done with it: the worked job."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.contract.events import Raised, Revised
from estimator.domain.contract.following import contract_of
from estimator.domain.contract.variation import Range, WayOffered
from estimator.domain.priced_work import priced_work
from estimator.services import case_acts
from estimator.services.case_acts import acts_for, answers_for, main_act
from estimator.services.show_case import LEAVE, grounds_of, show_case, working_days
from estimator.services.show_variations import (
    CASE,
    MEASURED_AGAIN,
    NO_PRICE,
    NOT_CHARGED,
    NOT_TO_DO,
    SETTLED,
    WAITS,
    show_variations,
)
from estimator.services.try_answer import what_it_does
from estimator.services.work_out_contract import work_out_contract
from estimator.services.write_contract import Here
from tests.acts.contracts import pounds
from tests.acts.workshop import ESTIMATOR, FOREMAN, MANAGER, VIEWER
from tests.golden.golden_contract import FINANCE, FLEET, golden_events
from tests.golden.golden_job import golden_inputs

EVENING = datetime(2027, 1, 6, 12, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def work():
    job, cat = golden_inputs()
    return priced_work(job, cat)


@pytest.fixture(scope="module")
def at(work):
    """The worked job's contract after a line of its file, worked out."""
    kept = {}
    events = []
    for line, more in golden_events(work, pounds("31317")):
        events += [_placed(event, work) for event in more]
        kept[line] = tuple(events)

    def now(line, *more):
        contract = contract_of((*kept[line], *more))
        return work_out_contract(Here(work.job, "accepted", contract, work))

    return now


def ledger_rows():
    path = Path(__file__).parent.parent / "golden" / "expected" / "expected_ledger.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _placed(event, work):
    """With the component that the file leaves out, taken from the parts found worn."""
    if not isinstance(event, Raised | Revised) or not event.variation.parts:
        return event
    part = next(one for one in work.exposed if one.part == event.variation.parts[0])
    return replace(event, variation=replace(event.variation, component=part.component))


def test_every_line_of_the_file_ends_in_its_own_balances(at):
    """Settled rows run to what is agreed; it is the ledger's own left and current sum."""
    for want in ledger_rows():
        if want["event"] in ("E01", "E03", "E32", "E33"):
            continue
        view = show_variations(at(want["event"]))
        assert view.left.amount == Decimal(want["left_GBP"]), want["event"]
        assert view.current_sum.amount == Decimal(want["current_sum_GBP"]), want["event"]
        settled = [line for line in view.lines if line.standing == SETTLED]
        last = settled[-1]
        if not any(line.standing == WAITS for line in view.lines):
            assert (last.left, last.current_sum) == (view.left, view.current_sum)


def test_the_rows_at_e15(at):
    view = show_variations(at("E15"))
    rows = {line.number: line for line in view.lines if line.kind == CASE}
    assert [line.id for line in view.lines][:3] == ["acceptance", "V01", "V02"]
    assert rows["V01"].amount == pounds(1367)
    assert rows["V02"].standing == NOT_CHARGED
    assert rows["V02"].uncharged == pounds(309)
    assert rows["V03"].current_sum == pounds(279_256)
    assert [rows[n].amount for n in ("V04", "V05", "V06", "V07")] == [
        pounds(-3479), pounds(-1802), pounds(-5189), pounds(-1335),
    ]  # fmt: skip
    assert [rows[n].left for n in ("V04", "V05", "V06", "V07")] == [
        pounds(27_838), pounds(26_036), pounds(20_847), pounds(19_512),
    ]  # fmt: skip
    assert view.uncharged == pounds(309)


def test_what_waits_runs_on_if_agreed(at):
    """At E13 the crack (3,479) and the gears (5,189) wait; 28,180 is left."""
    rows = {line.number: line for line in show_variations(at("E13")).lines}
    assert [rows[n].standing for n in ("V04", "V06")] == [WAITS, WAITS]
    assert rows["V04"].left == pounds(28_180 - 3479)
    assert rows["V06"].left == pounds(28_180 - 3479 - 5189)
    assert rows["V07"].left == pounds(28_180)
    assert (rows["V06"].waits_on, rows["V06"].ask) == ("customer", "L. Marsh, finance controller")


def test_a_finding_without_a_price(at):
    view = show_variations(at("E09"))
    row = view.lines[-1]
    assert (row.standing, row.left, row.amount) == (NO_PRICE, None, None)
    assert (row.low, row.high) == (pounds(1400), pounds(5800))
    drawn = view.drawn
    assert drawn.mark == "no mark"
    (piece,) = drawn.unpriced
    assert piece.number == "V04"
    # a crack tells of a hard life: what is closed is dearer than the 31,317 held, even without it
    assert pounds(31_317) < drawn.exposed < pounds(36_079)
    assert drawn.spare == pounds(0)
    assert piece.runs_past


@pytest.mark.parametrize("line", ["E02", "E09", "E13", "E15", "E20", "E29", "E31", "E39"])
def test_the_bar_adds_up(at, line):
    now = at(line)
    drawn = show_variations(now).drawn
    assert sum(one.amount.minor for one in drawn.agreed) == drawn.agreed_sum.minor
    if now.row.mark != "closed":
        assert drawn.left == drawn.held - drawn.agreed_sum - drawn.returned
    assert sum(one.amount.minor for one in drawn.pending) == now.row.pending_contingency.minor
    assert drawn.short_by == now.row.short_by
    if not drawn.unpriced:
        assert drawn.exposed == now.row.exposed


@pytest.mark.parametrize("line", ["E02", "E13", "E20", "E31"])
def test_groups_tie_to_the_ledger_and_the_forecast(at, line):
    now = at(line)
    groups = show_variations(now).groups
    assert groups.held == pounds(31_317)
    assert groups.drawn == now.row.drawn
    assert groups.pending == now.row.pending_contingency
    assert groups.expected == now.row.mean
    causes = {number for one in groups.lines for number in one.causes}
    assert causes == {
        case.variation.name
        for case in now.here.contract.cases.values()
        if case.variation.end == "contingency" and case.state not in ("declined",)
    }


def test_an_opened_case(at):
    view = show_case(at("E13").here, "V06", EVENING)
    assert view.component == "Clutches, gears, shafts"
    (way, leave) = view.ways
    assert (way.key, way.amount, way.chosen) == ("A", pounds(5189), True)
    assert leave.key == LEAVE
    assert leave.note == "gear failure under load"
    asked = [one.name for one in view.approvers if one.asked]
    assert asked == [FINANCE]
    assert {one.name: one.may for one in view.approvers} == {
        "D. Wray": False, "J. Tarn": False, FLEET: False, FINANCE: True,
    }  # fmt: skip
    assert [one.state for one in view.states] == ["draft", "issued"]
    assert view.states[-1].now
    assert view.states[-1].hours == pytest.approx(15 * 24 + 1)
    crack = show_case(at("E13").here, "V04", EVENING)
    assert crack.ways[-1].key != LEAVE  # structural: cannot be declined
    assert [one.name for one in crack.earlier] == ["V04"]
    assert crack.earlier[0].high == pounds(5800)


def test_what_agreeing_does(at):
    now = at("E13")
    does = what_it_does(now, "V06", "A")
    assert does.left == (pounds(28_180), pounds(22_991))
    assert does.current_sum == (pounds(279_256), pounds(279_256))
    assert does.draws == pounds(5189)
    # the gears were opened when they were found: nothing more of them is exposed
    assert does.exposed[0] == does.exposed[1] == now.row.exposed
    assert does.finish == (date(2027, 3, 16), date(2027, 3, 16))
    left_out = what_it_does(now, "V06", LEAVE)
    assert left_out.left == (pounds(28_180), pounds(28_180))
    assert left_out.finish[1] <= left_out.finish[0]
    assert what_it_does(at("E15"), "V06", "A") is None  # answered
    assert what_it_does(at("E09"), "V04", "A") is None  # no price


def test_a_price_takes_the_range_out_of_what_is_exposed(at):
    now = at("E09")
    case = now.here.contract.case("V04")
    offered = replace(
        case.variation,
        ways=(
            _way("recondition", "Weld", 3479, 3), _way("replace", "New rail", 9000, 12),
        ),
    )  # fmt: skip
    contract = replace(now.here.contract, cases={"V04": replace(case, variation=offered)})
    now = work_out_contract(replace(now.here, contract=contract))
    weld, renew = what_it_does(now, "V04", "A"), what_it_does(now, "V04", "B")
    assert weld.left[1] == pounds(31_317 - 3479)
    assert renew.left[1] == pounds(31_317 - 9000)
    assert weld.exposed[1] < weld.exposed[0]
    assert weld.exposed == renew.exposed


def _way(way, what, amount, days):
    return WayOffered(way, what, pounds(amount), Decimal(days))


def test_may_you_names_each_limit(at):
    contract = at("E13").here.contract
    case = contract.case("V06")
    grounds = {one.code: one for one in grounds_of(contract, case, MANAGER.name)}
    assert not grounds["limit-each"].holds
    assert (grounds["limit-each"].amount, grounds["limit-each"].limit) == (
        pounds(5189), pounds(2500),
    )  # fmt: skip
    assert grounds["limit-total"].holds
    assert grounds["limit-total"].amount == pounds(3137 + 5189)
    assert grounds["left"].holds
    (none,) = grounds_of(contract, case, "Nobody")
    assert none.code == "no-authority"


def _why(now, number, person, day=date(2027, 1, 6)):
    return {row.act: row.why_not for row in acts_for(now.here, number, person, day)}


def test_what_may_be_done_and_why_not(at):
    now = at("E13")
    gears = _why(now, "V06", MANAGER)
    assert gears[case_acts.SIGN] == case_acts.LIMIT
    rows = acts_for(now.here, "V06", MANAGER, date(2027, 1, 6))
    assert next(r for r in rows if r.act == case_acts.SIGN).ask == "L. Marsh, finance controller"
    assert gears[case_acts.CUSTOMERS] == ""
    assert gears["release"] == case_acts.STATE
    assert gears["close"] == case_acts.CHARGED
    assert main_act(rows) == case_acts.CUSTOMERS
    assert _why(now, "V06", VIEWER)[case_acts.CUSTOMERS] == case_acts.ROLE
    assert _why(now, "V06", FOREMAN)["withdraw"] == ""
    assert _why(now, "V04", FOREMAN)[case_acts.MAKE_SAFE] == ""
    assert _why(now, "V06", FOREMAN)[case_acts.MAKE_SAFE] == case_acts.NO_SAFETY
    assert _why(now, "V05", FOREMAN)["release"] == ""
    assert _why(now, "V05", ESTIMATOR)["release"] == case_acts.ROLE
    unpriced = _why(at("E09"), "V04", ESTIMATOR)
    assert (unpriced["issue"], unpriced[case_acts.SIGN]) == (case_acts.NO_PRICE,) * 2
    assert unpriced[case_acts.WRITE] == ""
    assert set(_why(at("E39"), "V05", MANAGER).values()) == {case_acts.OVER}


def test_what_the_customer_may_answer(at):
    contract = at("E13").here.contract
    crack = {row.act: row.why_not for row in answers_for(contract.case("V04"))}
    assert crack["decline"] == crack["defer"] == case_acts.CANNOT
    assert crack["approve"] == crack["approve in part"] == crack["query"] == ""
    assert crack["agree"] == case_acts.NOT_REMEASURED


def test_the_declined_stays_listed_and_moves_nothing(at):
    view = show_variations(at("E29"))
    row = next(line for line in view.lines if line.number == "V17")
    assert row.standing == NOT_TO_DO
    assert row.left == view.left
    measured = [line for line in view.lines if line.kind == MEASURED_AGAIN]
    assert [line.amount.amount for line in measured] == [-304, -648, 680]


def test_waiting_costs_working_days_alone(at):
    # Christmas: 25 to 31 December the workshop is closed
    closed = (date(2026, 12, 25), *(date(2026, 12, day) for day in (28, 29, 30, 31)))
    assert working_days(date(2026, 12, 23), date(2027, 1, 6), closed) == 5
    assert working_days(date(2027, 1, 6), date(2027, 1, 6), ()) == 0
    assert working_days(date(2027, 1, 8), date(2027, 1, 6), ()) == 0
    now = at("E13")
    case = now.here.contract.case("V06")
    costing = replace(
        case.variation, waiting_from=date(2027, 1, 4), waiting_per_day=pounds(390),
        answer_by=date(2027, 1, 5),
    )  # fmt: skip
    contract = replace(now.here.contract, cases={"V06": replace(case, variation=costing)})
    waiting = show_case(replace(now.here, contract=contract), "V06", EVENING).waiting
    assert (waiting.days, waiting.cost, waiting.overdue) == (2, pounds(780), True)


def test_a_range_that_may_run_past_what_is_left(at):
    now = at("E28")
    case = now.here.contract.case("V17")
    wide = replace(
        case.variation, lines=(), range=Range(pounds(400), pounds(900), pounds(9000))
    )  # fmt: skip
    cases = {**now.here.contract.cases, "V17": replace(case, variation=wide, state="found")}
    now = work_out_contract(replace(now.here, contract=replace(now.here.contract, cases=cases)))
    drawn = show_variations(now).drawn
    assert drawn.unpriced[0].runs_past
    assert drawn.mark == "no mark"
