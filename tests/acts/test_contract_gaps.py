"""Rules of a contract that close what could slip through: work agreed to and not done, an order's
limit, findings in halves, deposits, making safe, safety taken back, days to answer."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest

from estimator.domain.contract import events as happened
from estimator.domain.contract.acceptance import WORKSHOP, Authority
from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.domain.contract.variation import (
    CONTINGENCY,
    CONTRACT_SUM,
    HIDDEN,
    OUTSIDE,
    Variation,
)
from estimator.services.accept_quote import accept_quote
from estimator.services.answer_variation import (
    Answer,
    answer_as_manager,
    record_customers_answer,
)
from estimator.services.errors import Conflict, NotAllowed, Refused
from estimator.services.history import read_history
from estimator.services.record_teardown import Found, Opening, open_component
from estimator.services.settle_contract import (
    ALL,
    Order,
    change_order,
    hand_over,
    invoice_stage,
    read_account,
)
from estimator.services.show_approval import show_approval
from estimator.services.show_desk import show_desk
from estimator.services.vary_contract import (
    Move,
    answer_day,
    make_safe,
    move_variation,
    raise_variation,
    take_back_safety,
)
from estimator.services.verify_record import verify_record
from estimator.services.work_out_contract import read_contract
from estimator.storage.contract_codec import decoded, encoded
from tests.acts.contracts import (
    FINANCE,
    FLEET,
    accept_golden,
    add,
    arrived,
    golden_terms,
    issue_golden,
    pounds,
)
from tests.acts.workshop import ESTIMATOR, FOREMAN, INSPECTOR, MANAGER, NOW

DAY = timedelta(days=1)


@pytest.fixture
def number(record, catalogue):
    return arrived(record, accept_golden(record, catalogue))


def raised(record, number, cost=1000, **changes) -> str:
    """A finding that outwork puts right at cost 1,000, selling 1,150."""
    here = read_contract(record, number)
    wanted = Wanted(
        kind="outwork", what="Grind", quantity=Decimal(1), unit_cost=Decimal(cost), markup="W"
    )
    plain = Variation(
        number="", revision=0, found_at=NOW, finder="D. Wray", component="C12A",
        location="lift arm", title="Rod pitted", cause=HIDDEN, end=CONTINGENCY,
        consequence="the arm drifts", priced_by=ESTIMATOR.name,
        lines=(priced_line(here.work, wanted),),
    )  # fmt: skip
    after = raise_variation(record, number, replace(plain, **changes), ESTIMATOR, NOW)
    return list(after.contract.cases)[-1]


def issued(record, number, cost=1000, **changes) -> str:
    name = raised(record, number, cost, **changes)
    move(record, number, name, "issue", ESTIMATOR)
    return name


def move(record, number, name, act, who=MANAGER, now=NOW, **more):
    return move_variation(record, number, Move(variation=name, act=act, **more), who, now)


def yes(record, number, name, by=FLEET, act="approve", **more):
    answer = Answer(variation=name, revision=0, act=act, channel="e-mail", words="Go on.", **more)
    return record_customers_answer(record, number, answer, by, ESTIMATOR, NOW)


def drawn(record, number, *names, reason=""):
    answers = [Answer(variation=n, revision=0, act="approve", reason=reason) for n in names]
    return answer_as_manager(record, number, answers, MANAGER, NOW)


def case(record, number, name):
    return read_contract(record, number).contract.case(name)


# 1: whom a draft waits on


def test_a_draft_above_the_drawing_right_waits_on_the_estimator(record, number):
    within, above = raised(record, number), raised(record, number, 4000)
    request = raised(record, number, cause=OUTSIDE, end=CONTRACT_SUM)
    rows = {row.number: (row.waits_on, row.ask) for row in show_desk(record, NOW).rows}
    assert rows == {
        within: ("service manager", f"{MANAGER.name}, service manager"),
        above: ("estimator", ""),
        request: ("estimator", ""),
    }


def test_drawing_what_is_left_hands_other_drafts_back(record, catalogue):
    number = issue_golden(record, catalogue)
    small = Authority(
        MANAGER.name, WORKSHOP, "service manager", pounds(2500), pounds(2000), blanket=True
    )
    accept_quote(record, number, golden_terms(drawing=(small,)), ESTIMATOR, NOW)
    one, two = raised(record, number), raised(record, number, component="C05B")
    assert {row.waits_on for row in show_desk(record, NOW).rows} == {"service manager"}
    drawn(record, number, one)  # 1,150 of 2,000 in all: the other is above what remains
    rows = {row.number: row.waits_on for row in show_desk(record, NOW).rows}
    assert rows == {one: "foreman", two: "estimator"}
    assert not verify_record(record).faults


# 2: hand-over asks whether what was agreed to was done


def test_a_hand_over_asks_for_work_that_was_agreed_to(record, number):
    done, begun, agreed = (issued(record, number) for _ in range(3))
    for name in (done, begun, agreed):
        yes(record, number, name)
    for name in (done, begun):
        move(record, number, name, "release", FOREMAN)
    move(record, number, done, "finish", FOREMAN)
    with pytest.raises(Conflict, match=r"V02 \(released\), V03 \(approved\)") as refused:
        hand_over(record, number, FLEET, "Received.", MANAGER, NOW)
    assert "called off" in refused.value.remedy
    with pytest.raises(Conflict, match=r"as done: V03 \(approved\)"):
        hand_over(record, number, FLEET, "Received.", MANAGER, NOW, done=[begun])
    with pytest.raises(Conflict, match="V01 waits for no work"):
        hand_over(record, number, FLEET, "", MANAGER, NOW, done=[done, begun, agreed])
    hand_over(record, number, FLEET, "Received.", MANAGER, NOW, done=ALL)
    contract = read_contract(record, number).contract
    assert {one.state for one in contract.cases.values()} == {"done"}
    step = contract.case(agreed).steps[-1]
    assert (step.who, step.reason) == (
        MANAGER.name, f"said to be done at hand-over by {MANAGER.name}",
    )  # fmt: skip
    assert contract.case(done).steps[-1].reason == ""
    assert not verify_record(record).faults


def test_what_was_not_done_is_called_off_with_the_customers_word(record, number):
    name = issued(record, number)
    yes(record, number, name)
    left = read_contract(record, number).contract.left
    after = yes(record, number, name, act="call off", reason="not needed after all")
    assert after.contract.case(name).state == "declined"
    assert after.contract.left == left + pounds(1150)
    assert [one.variation.number for one in after.contract.not_done()] == [name]
    hand_over(record, number, FLEET, "Received.", MANAGER, NOW)
    assert not verify_record(record).faults


def test_what_cannot_be_declined_is_not_called_off_either(record, number):
    name = issued(record, number, cannot_be_declined="brakes")
    yes(record, number, name)
    with pytest.raises(Conflict, match="cannot be declined"):
        yes(record, number, name, act="call off", reason="leave it")


def test_a_hand_over_recorded_before_it_was_asked_is_still_read():
    kept = encoded(happened.HandedOver(at=NOW, who=FLEET, side="customer"))
    old = kept.replace('"done": {"row": []}, ', "").replace('"said_done_by": "", ', "")
    assert '"done"' not in old
    assert decoded(old).done == ()


# 3: the order's limit


def order(**changes) -> Order:
    plain = Order(
        purchase_order="OA-77318/2", limit=pounds(280_000), by="N. Sands", capacity="buyer",
        channel="e-mail", words="Raised to 280,000.",
    )  # fmt: skip
    return replace(plain, **changes)


def test_a_raised_limit_lets_more_be_agreed_to(record, catalogue):
    number = issue_golden(record, catalogue)
    accept_quote(record, number, golden_terms(order_limit=pounds(276_000)), ESTIMATOR, NOW)
    name = issued(record, number, cause=OUTSIDE, end=CONTRACT_SUM)
    with pytest.raises(NotAllowed, match=r"277,096.00 GBP is above the order's 276,000.00 GBP"):
        yes(record, number, name)
    after = change_order(record, number, order(), ESTIMATOR, NOW)
    assert (after.contract.purchase_order, after.contract.order_limit) == (
        "OA-77318/2", pounds(280_000),
    )  # fmt: skip
    assert yes(record, number, name).contract.current_sum == pounds(277_096)
    with pytest.raises(Conflict, match="below the 277,096.00 GBP agreed to by now"):
        change_order(record, number, order(limit=pounds(277_000)), ESTIMATOR, NOW)
    told = next(one for one in read_history(record, number) if one.kind == "OrderChanged")
    assert (told.who, told.capacity, told.channel, told.words) == (
        "N. Sands", "buyer", "e-mail", "Raised to 280,000.",
    )  # fmt: skip
    changes = {one.what: (one.before, one.after) for one in told.changes}
    assert changes == {
        "purchase order": ("OA-77318", "OA-77318/2"),
        "limit of the order": ("276,000.00 GBP", "280,000.00 GBP"),
    }
    assert not verify_record(record).faults


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"words": " "}, "what was said"),
        ({"by": "", "capacity": ""}, "who gave it, in which capacity"),
        ({"purchase_order": ""}, "an order has a number"),
        ({"limit": pounds(1)}, "below the 275,946.00 GBP"),
        ({"limit": replace(pounds(300_000), currency="EUR")}, "the contract in GBP"),
    ],
)
def test_orders_that_are_refused(record, number, changes, words):
    with pytest.raises(Conflict, match=words):
        change_order(record, number, order(**changes), ESTIMATOR, NOW)
    with pytest.raises(NotAllowed):
        change_order(record, number, order(), FOREMAN, NOW)


# 4: one finding in two halves


def test_halves_of_one_component_need_a_reason_and_stay_recorded(record, number):
    first, second = issued(record, number, 1400), issued(record, number, 1400)  # 1,610 each
    other = issued(record, number, 1400, component="C05B")
    drawn(record, number, first)
    view = show_approval(record, number, [second], MANAGER)
    assert view.act("approve").may  # told, not refused
    (before,) = view.together
    assert (before.amount, before.limit, before.numbers) == (
        pounds(3220), pounds(2500), (first,),
    )  # fmt: skip
    with pytest.raises(Conflict, match="with V01 on the same component 3,220.00 GBP") as refused:
        drawn(record, number, second)
    assert "separate findings" in refused.value.remedy
    drawn(record, number, other)  # another component
    drawn(record, number, second, reason="rod and barrel, found a week apart")
    decided = case(record, number, second)
    assert (decided.together, decided.together_with) == (pounds(3220), (first,))
    told = read_history(record, number, second)[-1]
    changes = {one.what: one.after for one in told.changes}
    assert changes["V02 together on its component"] == "3,220.00 GBP with V01"
    assert told.reason == "rod and barrel, found a week apart"


def test_halves_answered_in_one_go_count_too(record, number):
    one, two = issued(record, number, 1400), issued(record, number, 1400)
    assert len(show_approval(record, number, [one, two], MANAGER).together) == 1
    with pytest.raises(Conflict, match="V02: with V01 on the same component"):
        drawn(record, number, one, two)
    assert case(record, number, one).state == "issued"


def test_the_customers_halves_stand_with_their_words(record, number):
    one, two = issued(record, number, 3000), issued(record, number, 3000)  # 3,450 each
    yes(record, number, one)
    yes(record, number, two)
    assert case(record, number, two).together == pounds(6900)  # above 5,000 for one
    assert case(record, number, one).together is None


# 5: deposit and options


def test_a_deposit_lessens_the_first_invoice_then_the_next(record, catalogue):
    number = issue_golden(record, catalogue)
    accept_quote(record, number, golden_terms(deposit=pounds(100_000)), ESTIMATOR, NOW)
    plain = read_account(record, number)
    assert (plain.balance_gross, plain.to_pay) == (
        pounds("331135.20"), pounds("231135.20"),
    )  # fmt: skip
    for name in ("S1", "S2"):
        invoice_stage(record, number, name, Decimal("0.25"), MANAGER, NOW)
    found = read_account(record, number)
    gross = pounds("82783.80")  # 68,986.50 and a fifth
    assert [(one.gross, one.deposit, one.to_pay) for one in found.stages] == [
        (gross, gross, pounds(0)), (gross, pounds("17216.20"), pounds("65567.60")),
    ]  # fmt: skip
    assert found.deposit_left == pounds(0)
    paid = sum((one.to_pay.minor for one in found.stages), found.to_pay.minor)
    assert paid + found.deposit.minor == found.gross.minor
    accepted = next(one for one in read_history(record, number) if one.kind == "Accepted")
    changes = {one.what: one.after for one in accepted.changes}
    assert changes["deposit"] == "100,000.00 GBP"


def test_a_deposit_that_is_more_than_all_of_it_is_paid_back(record, catalogue):
    number = issue_golden(record, catalogue)
    accept_quote(record, number, golden_terms(deposit=pounds(400_000)), ESTIMATOR, NOW)
    assert read_account(record, number).to_pay == pounds("-68864.80")


def test_without_a_deposit_nothing_changes(record, number):
    invoice_stage(record, number, "S1", Decimal("0.25"), MANAGER, NOW)
    found = read_account(record, number)
    assert not found.deposit
    assert found.to_pay == found.balance_gross
    assert found.stages[0].to_pay == found.stages[0].gross


@pytest.mark.parametrize(
    ("option", "words"),
    [("driveline", "issue that revision"), ("Driveline only", "issue that revision"),
     ("fog lights", "issue a revision")],
)  # fmt: skip
def test_another_option_than_was_issued_is_not_accepted(record, catalogue, option, words):
    number = issue_golden(record, catalogue)
    with pytest.raises(Conflict) as refused:
        accept_quote(record, number, golden_terms(options=(option,)), ESTIMATOR, NOW)
    assert words in refused.value.remedy


@pytest.mark.parametrize("option", ["full", "Full rebuild"])
def test_the_level_that_was_issued_is(record, catalogue, option):
    number = issue_golden(record, catalogue)
    after = accept_quote(record, number, golden_terms(options=(option,)), ESTIMATOR, NOW)
    assert after.contract.acceptance.options == (option,)


# 6: who bears what made it safe


def test_making_safe_is_the_workshops_where_the_customer_agrees_to_nothing(record, number):
    wanted, not_wanted = (issued(record, number, safety=True) for _ in range(2))
    for name in (wanted, not_wanted):
        make_safe(record, number, name, pounds(80), FOREMAN, NOW)
    contract = read_contract(record, number).contract
    assert contract.workshop_cost == pounds(0)  # nobody has answered yet
    yes(record, number, wanted)
    yes(record, number, not_wanted, act="decline", reason="we run it as it is")
    assert read_contract(record, number).contract.workshop_cost == pounds(80)
    assert read_account(record, number).workshop_cost == pounds(80)
    told = read_history(record, number, not_wanted)
    assert {one.what: one.after for one in told[-1].changes}["workshop cost"] == "80.00 GBP"


def test_making_safe_says_what_it_cost(record, number):
    name = issued(record, number, safety=True)
    with pytest.raises(Conflict, match="cannot cost"):
        make_safe(record, number, name, pounds(-1), FOREMAN, NOW)
    with pytest.raises(Conflict, match="nobody said what making V01 safe cost"):
        add(record, number, happened.MadeSafe(at=NOW, who="x", number=name))
    kept = encoded(happened.MadeSafe(at=NOW, who="x", number=name))
    assert decoded(kept.replace('"cost": null, ', "")).cost is None


# 7 and 8: at the bench


def test_nothing_is_opened_before_the_machine_is_here(record, catalogue):
    number = accept_golden(record, catalogue)
    opening = Opening("C05C", (Found("P-CWR", "sound"),))
    with pytest.raises(Conflict, match="not here yet") as refused:
        open_component(record, number, opening, INSPECTOR, NOW)
    assert refused.value.remedy == "Record that it came in first."
    open_component(record, arrived(record, number), opening, INSPECTOR, NOW)


def test_an_exposed_part_is_never_as_priced(record, number):
    opening = Opening("C05C", (Found("P-CWR", "as priced"),))
    with pytest.raises(Refused) as refused:
        open_component(record, number, opening, INSPECTOR, NOW)
    (problem,) = refused.value.problems
    assert problem.place.column == "P-CWR"
    assert "Say worn or sound" in problem.remedy
    firm = Opening("C02A", (Found("P-MPR", "as priced"),))  # priced as firm scope by its chance
    assert "P-MPR" in open_component(record, number, firm, INSPECTOR, NOW).contract.as_priced


# 9: a safety matter taken back


def test_a_safety_matter_is_taken_back_by_the_service_manager_alone(record, number):
    name = raised(record, number, safety=True)
    step = Move(variation=name, act="withdraw", reason="measured again: within limits")
    for who in (ESTIMATOR, MANAGER):  # without a passphrase nobody does
        with pytest.raises(NotAllowed, match="is a safety matter"):
            move_variation(record, number, step, who, NOW)
    with pytest.raises(NotAllowed):
        take_back_safety(record, number, step, ESTIMATOR, NOW)
    with pytest.raises(Conflict, match="without a reason"):
        take_back_safety(record, number, replace(step, reason=" "), MANAGER, NOW)
    forged = happened.Moved(
        at=NOW, who=ESTIMATOR.name, capacity="estimator", number=name, revision=0,
        act="withdraw", reason="x", proved=True,
    )  # fmt: skip
    with pytest.raises(Conflict, match="is a safety matter"):
        add(record, number, forged)
    after = take_back_safety(record, number, step, MANAGER, NOW)
    assert after.contract.case(name).state == "withdrawn"
    plain = raised(record, number)
    move(record, number, plain, "withdraw", ESTIMATOR)


# 10: a day to answer by


def test_what_is_issued_without_a_day_gets_that_of_the_terms(record, number):
    name = issued(record, number)
    here = read_contract(record, number)
    assert here.work.job.terms.answer_days == 5
    by = case(record, number, name).variation.answer_by
    assert by == date(2026, 12, 2)  # five working days after Wednesday 25 November
    assert by == answer_day(here, NOW.date())
    (row,) = show_desk(record, NOW).rows
    assert (row.answer_by, row.overdue) == (by, False)
    with pytest.raises(Conflict, match="may be answered until 2026-12-02"):
        move(record, number, name, "lapse", now=NOW + 7 * DAY)
    move(record, number, name, "lapse", now=NOW + 8 * DAY)
    assert case(record, number, name).state == "lapsed"


def test_a_day_that_was_given_stands_and_one_that_is_over_does_not(record, number):
    late = raised(record, number, answer_by=date(2026, 12, 18))
    over = raised(record, number, answer_by=date(2026, 11, 20))
    for name in (late, over):
        move(record, number, name, "issue", ESTIMATOR)
    assert case(record, number, late).variation.answer_by == date(2026, 12, 18)
    assert case(record, number, over).variation.answer_by == date(2026, 12, 2)


def test_the_quotes_closed_days_are_none_to_answer_on(record, number):
    here = read_contract(record, number)
    # 25 December to 1 January is closed: the 24th, then Monday 4 to Thursday 7 January
    assert answer_day(here, date(2026, 12, 23)) == date(2027, 1, 7)


def test_what_was_issued_before_days_were_asked_for_lapses_after_them(record, number):
    name = issued(record, number)
    old = encoded(happened.Moved(at=NOW, who="x", number=name, revision=0, act="issue"))
    assert decoded(old.replace('"answer_by": null, ', "").replace(', "proved": false', "")) == (
        happened.Moved(at=NOW, who="x", number=name, revision=0, act="issue")
    )
    with pytest.raises(Conflict, match="names no day to answer by"):
        again = issued_without_a_day(record, number)
        add(record, number, replace(again, act="issue"))


def issued_without_a_day(record, number) -> happened.Moved:
    name = raised(record, number)
    return happened.Moved(
        at=NOW, who=ESTIMATOR.name, capacity="estimator", number=name, revision=0, act="issue"
    )


def test_new_fields_come_back_as_they_were_kept():
    plain = {"at": NOW, "who": "x"}
    for event in (
        happened.OrderChanged(**plain, purchase_order="A", limit=pounds(1)),
        happened.OrderChanged(**plain, purchase_order="A", limit=None),
        happened.Moved(**plain, number="V01", revision=0, act="issue",
                       answer_by=date(2026, 12, 2), proved=True),
        happened.MadeSafe(**plain, number="V01", cost=pounds(80)),
        happened.Decided(**plain, number="V01", revision=0, act="approve", together=pounds(9),
                         together_with=("V02",)),
        happened.HandedOver(**plain, done=("V01",), said_done_by="J. Tarn"),
    ):  # fmt: skip
        assert decoded(encoded(event)) == event


def test_the_finance_controller_has_no_limit_to_slip_under(record, number):
    for _ in range(2):
        yes(record, number, issued(record, number, 9000), by=FINANCE)
    assert case(record, number, "V02").together is None
