"""What waits on whom: counts, working days, the cost of each job once; and what an answer has
before it."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from estimator.domain.contract.acceptance import CUSTOMER, WORKSHOP, Authority
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
from estimator.services.answer_variation import Answer, answer_as_manager
from estimator.services.errors import Conflict, NotAllowed, NotFound
from estimator.services.open_record import open_record
from estimator.services.propose_release import propose
from estimator.services.show_approval import in_part, main_act, show_approval
from estimator.services.show_desk import (
    ANSWER,
    RELEASE,
    VARIATION,
    desk_groups,
    show_desk,
    waits_on_you,
)
from estimator.services.vary_contract import Move, move_variation, raise_variation
from estimator.services.work_out_contract import read_contract
from tests.acts.contracts import FLEET, accept_golden, golden_terms, issue_golden, pounds
from tests.acts.workshop import ESTIMATOR, FOREMAN, MANAGER, NOW, keep_golden

WEDNESDAY = NOW  # 25 November 2026
MONDAY = datetime(2026, 11, 30, 9, 0, tzinfo=UTC)
CLOSED = date(2026, 11, 27)  # the Friday between


@pytest.fixture(scope="module")
def accepted(tmp_path_factory, catalogue):
    """The worked job issued and accepted, once for all tests here."""
    path = tmp_path_factory.mktemp("accepted") / "record.db"
    with open_record(path, NOW) as made:
        accept_golden(made, catalogue, on=NOW)
    return path


@pytest.fixture
def record(accepted, tmp_path):
    path = tmp_path / "record.db"
    shutil.copyfile(accepted, path)
    with open_record(path, NOW) as opened:
        yield opened


@pytest.fixture
def empty(tmp_path):
    with open_record(tmp_path / "empty.db", NOW) as opened:
        yield opened


@pytest.fixture
def number():
    return "Q-2041"


def raised(record, number, cost=1000, now=NOW, **changes) -> str:
    """A finding that outwork puts right, cost 1,000, selling 1,150; a range where it has none."""
    here = read_contract(record, number)
    wanted = Wanted(
        kind="outwork", what="Grind", quantity=Decimal(1), unit_cost=Decimal(cost or 1), markup="W"
    )
    plain = Variation(
        number="", revision=0, found_at=now, finder="D. Wray", component="C12A",
        location="lift arm", title="Rod pitted", cause=HIDDEN, end=CONTINGENCY,
        consequence="the arm drifts", priced_by=ESTIMATOR.name,
        lines=(priced_line(here.work, wanted),) if cost else (),
        range=None if cost else Range(pounds(1000), pounds(3000), pounds(6150)),
    )  # fmt: skip
    after = raise_variation(record, number, replace(plain, **changes), ESTIMATOR, now)
    return list(after.contract.cases)[-1]


def issued(record, number, cost=1000, now=NOW, **changes) -> str:
    name = raised(record, number, cost, now, **changes)
    move_variation(record, number, Move(variation=name, act="issue"), ESTIMATOR, now)
    return name


def approve(*names: str) -> list[Answer]:
    return [Answer(variation=name, revision=0, act="approve") for name in names]


def test_each_thing_stands_under_whoever_is_waited_for(record, number):
    within, above = issued(record, number), issued(record, number, 4000)
    no_price, draft = raised(record, number, 0), raised(record, number)
    asked = issued(record, number, cause=REQUEST, end=CONTRACT_SUM)
    back = issued(record, number)
    move_variation(record, number, Move(variation=back, act="query", reason="which?"), MANAGER, NOW)
    agreed, released = issued(record, number), issued(record, number)
    answer_as_manager(record, number, approve(agreed, released), MANAGER, NOW)
    move_variation(record, number, Move(variation=released, act="release"), FOREMAN, NOW)
    proposed = keep_golden(record, number="Q-9001")
    propose(record, proposed, ESTIMATOR, NOW)
    rows = show_desk(record, NOW).rows
    groups = {one.key: {row.id for row in one.rows} for one in desk_groups(rows, MANAGER)}
    assert groups == {
        # a draft within the drawing right waits on whoever holds it, not on the estimator
        "you": {
            *(f"{number}/{VARIATION}/{name}" for name in (within, draft)),
            f"{proposed}/{RELEASE}/A",
        },
        "estimator": {f"{number}/{VARIATION}/{name}" for name in (no_price, back)},
        "customer": {f"{number}/{VARIATION}/{name}" for name in (above, asked)},
        "foreman": {f"{number}/{VARIATION}/{agreed}"},
    }
    assert waits_on_you(rows, MANAGER).count == 3
    assert waits_on_you(rows, ESTIMATOR).count == 2
    estimators = {one.key: len(one.rows) for one in desk_groups(rows, ESTIMATOR)}
    assert estimators["service manager"] == 3


def test_a_quote_that_is_out_waits_on_the_customer_until_it_expires(empty, catalogue):
    record, number = empty, issue_golden(empty, catalogue)
    (row,) = show_desk(record, NOW + timedelta(days=5)).rows
    assert (row.kind, row.job, row.waits_on, row.overdue) == (ANSWER, number, "customer", False)
    assert row.amount == pounds(275_946)
    assert row.answer_by is not None
    late = datetime.combine(row.answer_by + timedelta(days=1), NOW.timetz())
    (row,) = show_desk(record, late).rows
    assert (row.waits_on, row.state, row.overdue) == ("estimator", "expired", True)


def test_days_are_working_days_over_a_weekend_and_a_closed_day(record, number):
    issued(record, number)
    (row,) = show_desk(record, MONDAY).rows
    assert row.days == 3  # Wednesday, Thursday, Friday
    (row,) = show_desk(record, MONDAY, [CLOSED, date(2026, 11, 29)]).rows
    assert row.days == 2
    (row,) = show_desk(record, NOW).rows
    assert row.days == 0


def test_days_are_those_of_the_workshops_own_zone(record, number):
    from datetime import timezone

    late = datetime(2026, 11, 25, 23, 30, tzinfo=UTC)
    issued(record, number, now=late)  # past midnight, east of Greenwich
    (row,) = show_desk(record, late + timedelta(days=1)).rows
    assert row.days == 1
    east = timezone(timedelta(hours=1))
    (row,) = show_desk(record, (late + timedelta(minutes=40)).astimezone(east)).rows
    assert row.days == 0


def test_each_job_is_once_in_the_cost(record, number):
    """Two waits of one bay: 390 a day from Wednesday, 410 from Monday. By Tuesday the bay has
    stood four days: three at 390, one at 410."""
    early = {"waiting_from": WEDNESDAY.date(), "waiting_per_day": pounds(390)}
    late = {"waiting_from": MONDAY.date(), "waiting_per_day": pounds(410)}
    issued(record, number, **early)
    issued(record, number, **late)
    view = show_desk(record, MONDAY + timedelta(days=1))
    assert view.per_day == (pounds(410),)
    assert view.so_far == (pounds(3 * 390 + 410),)
    assert view.stopped == (number,)
    costs = {row.number: row.cost for row in view.rows}
    assert costs == {"V01": pounds(4 * 390), "V02": pounds(410)}


def test_what_does_not_cost_yet_is_not_in_the_cost(record, number):
    issued(record, number, waiting_from=date(2026, 12, 7), waiting_per_day=pounds(390))
    view = show_desk(record, MONDAY)
    assert (view.per_day, view.so_far, view.stopped) == ((), (), ())
    assert not view.rows[0].cost
    view = show_desk(record, datetime(2026, 12, 7, 9, tzinfo=UTC))  # from this day on it does
    assert view.per_day == (pounds(390),)
    assert view.so_far == (pounds(0),)
    answer_as_manager(record, number, approve("V01"), MANAGER, NOW)
    assert show_desk(record, MONDAY + timedelta(days=30)).per_day == ()  # it waits no longer


def test_an_approval_has_its_grounds_and_what_is_left_after_it(record, number):
    one, two = issued(record, number), issued(record, number, 1200)
    raised(record, number, 0)
    view = show_approval(record, number, [one], MANAGER)
    assert view.amount == pounds(1150)
    assert view.after.left_before == pounds(31_317)
    assert view.after.left_after == pounds(31_317 - 1150)
    assert view.after.pending == pounds(1380)
    assert view.after.unpriced == ("V03",)
    assert view.after.exposed is None
    assert all(row.holds for row in view.grounds)
    assert [row.act for row in view.acts if row.may] == [
        "approve", "query", "decline", "pass on",
    ]  # fmt: skip
    assert view.act("approve in part").why_not == "one line"
    assert (view.limits.limit_each, view.agreed) == (pounds(2500), pounds(0))
    assert view.above == f"{FLEET}, fleet manager"
    assert main_act(view) == "approve"
    assert two == "V02"


def test_above_the_limit_it_names_who_is_asked(record, number):
    name = issued(record, number, 4000)  # 4,600
    view = show_approval(record, number, [name], MANAGER)
    row = view.act("approve")
    assert (row.why_not, row.ask) == ("limit", f"{FLEET}, fleet manager")
    assert [ground.code for ground in view.grounds if not ground.holds] == ["limit-each"]
    assert view.act("pass on").why_not == "asked already"
    request = issued(record, number, cause=REQUEST, end=CONTRACT_SUM)
    assert show_approval(record, number, [request], MANAGER).act("approve").why_not == "customer's"
    assert show_approval(record, number, [name], FOREMAN).act("approve").why_not == "role"


def test_several_are_held_against_the_limit_in_all(empty, catalogue):
    record, number = empty, issue_golden(empty, catalogue)
    drawing = Authority(
        MANAGER.name, WORKSHOP, "service manager", pounds(2500), pounds(3000), blanket=True
    )
    accept_quote(record, number, golden_terms(on=NOW, drawing=(drawing,)), ESTIMATOR, NOW)
    names = [issued(record, number), issued(record, number), issued(record, number)]
    two = show_approval(record, number, names[:2], MANAGER)
    assert two.amount == pounds(2300)
    assert two.after.left_after == pounds(31_317 - 2300)
    assert two.act("approve").may
    total = next(row for row in two.grounds if row.code == "limit-total")
    assert (total.holds, total.amount, total.limit) == (True, pounds(2300), pounds(3000))
    three = show_approval(record, number, names, MANAGER)
    assert three.act("approve").why_not == "limit"
    total = next(row for row in three.grounds if row.code == "limit-total")
    assert (total.holds, total.amount) == (False, pounds(3450))
    with pytest.raises(Conflict, match="above"):
        answer_as_manager(record, number, approve(*names), MANAGER, NOW)
    assert read_contract(record, number).contract.left == pounds(31_317)
    answer_as_manager(record, number, approve(*names[:2]), MANAGER, NOW)
    assert read_contract(record, number).contract.left == pounds(31_317 - 2300)


def test_part_of_it_may_be_within_the_limit(record, number):
    here = read_contract(record, number)
    lines = tuple(
        priced_line(
            here.work,
            Wanted(kind="outwork", what=what, quantity=Decimal(1), unit_cost=Decimal(cost),
                   markup="W"),
        )
        for what, cost in (("Grind", 1000), ("Line bore", 3000))
    )  # fmt: skip
    name = issued(record, number, lines=lines)
    view = show_approval(record, number, [name], MANAGER)
    assert view.act("approve").why_not == "limit"
    assert view.act("approve in part").may
    amount, left, grounds = in_part(view, MANAGER.name, (0,))
    assert (amount, left) == (pounds(1150), pounds(31_317 - 1150))
    assert all(row.holds for row in grounds)
    assert not all(row.holds for row in in_part(view, MANAGER.name, (1,))[2])


def test_passing_it_on_asks_the_next_who_may(record, number):
    name = issued(record, number)
    case = read_contract(record, number).contract.case(name)
    with pytest.raises(Conflict, match="does not wait on P. Holt"):
        move_variation(record, number, Move(variation=name, act="pass on"), ESTIMATOR, NOW)
    move_variation(record, number, Move(variation=name, act="pass on"), MANAGER, NOW)
    (row,) = show_desk(record, NOW).rows
    assert (row.waits_on, row.ask) == (CUSTOMER, f"{FLEET}, fleet manager")
    after = read_contract(record, number).contract.case(name)
    assert (after.state, after.passed) == (case.state, (MANAGER.name,))
    assert show_approval(record, number, [name], MANAGER).act("pass on").why_not == "asked already"
    with pytest.raises(Conflict, match="does not wait on J. Tarn"):
        move_variation(record, number, Move(variation=name, act="pass on"), MANAGER, NOW)


def test_an_answer_to_what_is_not_there_is_refused(record, number):
    with pytest.raises(NotFound, match="no variation V07"):
        show_approval(record, number, ["V07"], MANAGER)
    with pytest.raises(NotAllowed):
        move_variation(record, number, Move(variation="V01", act="pass on"), FOREMAN, NOW)
