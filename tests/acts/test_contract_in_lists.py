"""Jobs under contract in the lists: their state, what they come to, who is waited for."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.domain.people import Person
from estimator.domain.record import JobSummary
from estimator.services.list_jobs import count_jobs, list_jobs
from estimator.services.record_teardown import Found, Opening, open_component
from estimator.services.settle_contract import close_account, hand_over
from estimator.services.show_jobs import AREAS, listed, waiting_in, waits_on
from estimator.services.vary_contract import Move, move_variation, revise_variation
from estimator.services.work_out_contract import keep_forecast, read_contract, work_out_contract
from tests.acts.contracts import FLEET, accept_golden, arrived, pounds
from tests.acts.workshop import ESTIMATOR, FOREMAN, INSPECTOR, MANAGER, NOW, VIEWER

TODAY = NOW.date()
LATER = NOW + timedelta(days=2)


@pytest.fixture
def number(record, catalogue):
    return accept_golden(record, catalogue)


def only(record, state: str) -> JobSummary:
    (job,) = list_jobs(record, today=TODAY, state=state)
    assert count_jobs(record, today=TODAY, state=state) == 1
    return job


def area(job: JobSummary) -> str:
    return AREAS[listed([job], {}, MANAGER, TODAY)[0].area]


def price(record, number, cost: int) -> None:
    here = read_contract(record, number)
    wanted = Wanted(kind="outwork", what="Build up", quantity=Decimal(1), markup="W",
                    unit_cost=Decimal(cost))  # fmt: skip
    line = priced_line(here.work, wanted)
    known = here.contract.case("V01").variation
    priced = replace(known, lines=(line,), range=None)
    revise_variation(record, number, priced, ESTIMATOR, LATER)


def test_accepted_and_nothing_waits_but_the_work(record, number):
    job = only(record, "accepted")
    assert job.contract is not None
    assert (job.value, job.waits_for, job.since) == (pounds(275_946), "foreman", NOW)
    assert job.next_date[0] == "ready"
    assert area(job) == "teardown"
    assert not list_jobs(record, today=TODAY, state="issued")
    assert not list_jobs(record, today=TODAY, state="expired")


def test_a_variation_that_waits_goes_before_the_work(record, number):
    arrived(record, number)
    opening = Opening("C05C", (Found("P-HB1", "worn"),))
    open_component(record, number, opening, INSPECTOR, NOW + timedelta(days=1))
    job = only(record, "accepted")
    assert (job.waits_for, area(job)) == ("estimator", "variations")
    assert job.waits_since == NOW + timedelta(days=1)
    assert job.changed_at == NOW + timedelta(days=1)
    assert [waits_on(job, one) for one in (ESTIMATOR, MANAGER, FOREMAN, VIEWER)] == [
        "you", "you", "others", "others",
    ]  # fmt: skip
    price(record, number, 2400)  # 2,760: above the manager's drawing right
    move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, LATER)
    assert only(record, "accepted").waits_for == "customer"
    price(record, number, 500)
    move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, LATER)
    job = only(record, "accepted")
    assert (job.waits_for, waits_on(job, MANAGER), waits_on(job, ESTIMATOR)) == (
        "service manager", "you", "service manager",
    )  # fmt: skip


def counted(record, who: Person) -> tuple[int, int]:
    came_to = waiting_in(record, who, TODAY)
    return came_to.on_you, came_to.on_manager


def test_to_the_end_and_nobody_waits(record, number):
    assert counted(record, FOREMAN) == (1, 0)
    assert counted(record, MANAGER) == (0, 0)
    hand_over(record, number, FLEET, "Received.", MANAGER, LATER)
    job = only(record, "handed over")
    assert (job.waits_for, job.next_date) == ("service manager", ("handed over", LATER.date()))
    assert counted(record, MANAGER) == (1, 1)
    assert counted(record, FOREMAN) == (0, 1)
    close_account(record, number, MANAGER, LATER)
    job = only(record, "closed")
    assert (job.waits_for, waits_on(job, MANAGER)) == ("", "nobody")
    assert listed([job], {}, MANAGER, LATER.date() + timedelta(days=99))[0].due == ""
    assert counted(record, MANAGER) == (0, 0)


def test_the_forecast_is_kept_until_something_happens(record, number):
    arrived(record, number)
    now = work_out_contract(read_contract(record, number))
    assert keep_forecast(record, now)
    kept = only(record, "accepted").contract
    assert kept is not None
    assert (kept.behind, kept.mark) == (False, now.row.mark)
    assert only(record, "accepted").next_date == ("ready", now.finish_covered)
    open_component(record, number, Opening("C05C"), INSPECTOR, NOW)
    kept = only(record, "accepted").contract
    assert kept is not None
    assert kept.behind
