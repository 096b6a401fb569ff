"""What a closed contract teaches: opened parts at known hours, and whether the quote held."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.contract.following import contract_of
from estimator.domain.past_work import outcome_problems
from estimator.domain.priced_work import priced_work
from estimator.domain.record import ACCEPTED
from estimator.services.accept_quote import accept_quote
from estimator.services.answer_variation import Answer, record_customers_answer
from estimator.services.contract_from_files import price_from_file
from estimator.services.learn import learnt
from estimator.services.learn_from_contract import (
    closed_job_of,
    learn_from_contract,
    outcomes_of,
)
from estimator.services.past_work import add_closed_jobs, closed_jobs, outcomes
from estimator.services.record_teardown import Found, Opening, open_component
from estimator.services.settle_contract import ALL, close_account, hand_over, stop_job
from estimator.services.vary_contract import Move, move_variation
from estimator.services.verify_record import verify_record
from estimator.services.work_out_contract import read_contract
from estimator.services.write_contract import Here
from estimator.storage.change_log import entries
from tests.acts.contracts import FLEET, accept_golden, arrived, golden_terms, issue_golden
from tests.acts.workshop import ESTIMATOR, INSPECTOR, MANAGER, NOW
from tests.golden.golden_contract import golden_events
from tests.golden.golden_job import golden_priced

DAY = timedelta(days=1)
LOADER = Path(__file__).parent.parent.parent / "sample_db" / "workshop" / "loader"


@pytest.fixture(scope="module")
def golden() -> Here:
    """The worked job at its end, without a record."""
    priced = golden_priced()
    work = priced_work(priced.job, priced.cat)
    events = [
        event for _, events in golden_events(work, priced.contingency.amount) for event in events
    ]
    return Here(priced.job, ACCEPTED, contract_of(events), work)


def test_the_worked_job_came_to_what_its_account_says(golden):
    day = golden.contract.events[-1].at.date()
    closed = closed_job_of(golden, day)
    assert closed is not None
    assert (closed.quoted_base, closed.quoted_contingency) == (244_629, 31_317)
    assert closed.final_less_requests == 276_923 - 2_668  # less the lights that were asked for
    assert (closed.p80, closed.mean) == (244_629 + 31_317, 244_629 + 22_735)
    assert closed.p10 < closed.p50 < closed.p80 < closed.p90


def test_what_was_needed_is_the_same_whoever_keeps_the_rest(golden):
    day = golden.contract.events[-1].at.date()
    terms = replace(golden.contract.acceptance, unspent="to the workshop")
    kept = replace(golden, contract=replace(golden.contract, acceptance=terms))
    assert kept.contract.current_sum != golden.contract.current_sum
    assert closed_job_of(kept, day) == closed_job_of(golden, day)


def test_every_opened_part_is_an_outcome_at_its_hours(golden):
    found = {one.component: one for one in outcomes_of(golden)}
    assert set(found) == {part for part in golden.contract.resolved if part in golden.work.cat.wear}
    today = golden.contract.events[-1].at.date()
    assert not [fault for one in found.values() for fault in outcome_problems(one, today)]
    gears = found["P-TGR"]
    assert (gears.worn, gears.hours, gears.duty) == (True, 14_860, Decimal("1.15"))
    assert (gears.cost, gears.currency, gears.life_basis) == (5189, "GBP", "since new")
    assert gears.found_on.isoformat() == "2026-12-22"
    head = found["P-HED"]  # renewed at 8,200 h
    assert (head.worn, head.hours, head.life_basis) == (False, 6_660, "since renewal")
    assert (head.disposition, head.cost) == ("reuse", None)
    planets = found["P-PLR"]  # one of three on its variation: its own lines
    assert planets.cost == 2_822
    compressor = found["P-ACC"]  # declined: worn, and fitted again
    assert (compressor.worn, compressor.disposition, compressor.cost) == (True, "reuse", None)


def test_hours_that_are_doubted_teach_nothing_of_age(golden):
    machine = replace(golden.job.machine, hours_doubt=Decimal("0.1"))
    doubted = replace(golden, job=replace(golden.job, machine=machine))
    assert {one.life_basis for one in outcomes_of(doubted)} == {"not known"}


def _at_the_end(record, number):
    arrived(record, number)
    found = (Found("P-CWR", "sound"), Found("P-PLR", "worn"))
    open_component(record, number, Opening("C05C", found), INSPECTOR, NOW)
    price_from_file(record, number, "V01", LOADER / "planets_price.csv", ESTIMATOR, NOW)
    move_variation(record, number, Move(variation="V01", act="issue"), ESTIMATOR, NOW)
    answer = Answer(variation="V01", revision=1, act="approve", channel="e-mail", words="Yes.")
    record_customers_answer(record, number, answer, FLEET, ESTIMATOR, NOW)
    hand_over(record, number, FLEET, "Received.", MANAGER, NOW, done=ALL)


def test_closing_adds_it_once_and_logs_it(record, catalogue):
    number = accept_golden(record, catalogue)
    _at_the_end(record, number)
    assert not outcomes(record)
    close_account(record, number, MANAGER, NOW)
    assert {(kept.row.component, kept.row.worn) for kept in outcomes(record)} == {
        ("P-CWR", False), ("P-PLR", True),
    }  # fmt: skip
    (closed,) = closed_jobs(record)
    assert (closed.row.number, closed.row.p80) == (number, 275_946)
    here = read_contract(record, number)
    with record.writing() as session:
        again = learn_from_contract(session, here, MANAGER, NOW + DAY)
    assert (again.outcomes, again.closed) == (0, 0)
    assert len(outcomes(record)) == 2
    with record.reading() as session:
        acts = [one.act for one in entries(session, "teardown outcomes")]
    assert acts == [f"learnt from {number}"]
    assert not verify_record(record).faults
    assert learnt(record, catalogue).outcomes


def test_what_was_entered_by_hand_stands(record, catalogue):
    number = accept_golden(record, catalogue)
    _at_the_end(record, number)
    by_hand = replace(
        closed_job_of(read_contract(record, number), NOW.date()), final_less_requests=Decimal(1)
    )
    add_closed_jobs(record, [by_hand], MANAGER, NOW)
    close_account(record, number, MANAGER, NOW)
    (closed,) = closed_jobs(record)
    assert closed.row.final_less_requests == 1


def test_a_job_that_was_not_done_shows_no_final_sum(record, catalogue):
    number = issue_golden(record, catalogue)
    accept_quote(record, number, golden_terms(extent="teardown only"), ESTIMATOR, NOW)
    arrived(record, number)
    open_component(record, number, Opening("C05C", (Found("P-CWR", "sound"),)), INSPECTOR, NOW)
    stop_job(record, number, "reassembly", "Put it back.", FLEET, MANAGER, NOW)
    close_account(record, number, MANAGER, NOW)
    assert not closed_jobs(record)
    assert [kept.row.component for kept in outcomes(record)] == ["P-CWR"]
