"""Events, contingency ledger and final account of the golden job.

Expected files: every row worked by a separate program from the events alone; sums exact, what rests
on the distribution to within 2, dates equal over six seeds.
"""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

import pytest

from estimator.domain.contract.acceptance import SHARED_HALF, TO_CUSTOMER, TO_WORKSHOP
from estimator.domain.contract.account import account
from estimator.domain.contract.dates import finish_now
from estimator.domain.contract.following import contract_of, follow
from estimator.domain.contract.ledger import ledger_row
from estimator.domain.contract.remaining import remaining
from estimator.domain.priced_work import priced_work
from estimator.domain.programme.programme import build_programme
from tests.golden.golden_contract import golden_events

EXACT = {
    "contract_sum_GBP": "contract_sum",
    "remeasured_GBP": "remeasured",
    "authorised_GBP": "authorised",
    "exchange_units_GBP": "exchange",
    "contingency_returned_GBP": "returned",
    "current_sum_GBP": "current_sum",
    "pending_contract_sum_GBP": "pending_contract_sum",
    "pending_contingency_GBP": "pending_contingency",
    "contingency_held_GBP": "held",
    "drawn_GBP": "drawn",
    "left_GBP": "left",
    "workshop_cost_GBP": "workshop_cost",
}
COUNTS = {
    "findings_without_price": "unpriced",
    "exposed_parts_closed_not_yet_opened": "closed_parts",
    "provisional_lines_not_yet_measured": "unmeasured_lines",
}
WITHIN_TWO = {
    "exposed_at_80_percent_GBP": "exposed",
    "exposed_mean_GBP": "mean",
    "forecast_low_GBP": "forecast_low",
    "forecast_likely_GBP": "forecast_likely",
    "forecast_high_GBP": "forecast_high",
}
MARKS = {"covered": "covered", "short": "short", "no": "no mark", "closed": "closed"}


@pytest.fixture(scope="module")
def work(golden):
    return priced_work(golden.job, golden.cat)


@pytest.fixture(scope="module")
def rows(work, golden):
    """Ledger rows by line of the events file."""
    found, contract = {}, None
    for line, events in golden_events(work, golden.contingency.amount):
        for event in events:
            contract = follow(contract, event)
        found[line] = ledger_row(contract, remaining(contract, work)), contract
    return found


def test_every_sum_of_the_ledger(rows, expected):
    for want in expected("ledger"):
        if want["event"] == "E01":
            continue
        row, _ = rows[want["event"]]
        got = {name: getattr(row, field).amount for name, field in EXACT.items()}
        assert got == {name: Decimal(want[name]) for name in EXACT}, want["event"]
        counts = {name: getattr(row, field) for name, field in COUNTS.items()}
        assert counts == {name: int(want[name]) for name in COUNTS}, want["event"]


def test_what_is_still_exposed_and_the_forecast(rows, expected):
    for want in expected("ledger"):
        if want["event"] == "E01":
            continue
        row, _ = rows[want["event"]]
        for name, field in WITHIN_TWO.items():
            assert abs(getattr(row, field).amount - Decimal(want[name])) <= 2, (want, name)


def test_the_dates_of_the_finish(rows, work, expected):
    plan = build_programme(work.job, work.cat, work.scope)
    for want in expected("ledger"):
        if want["event"] == "E01":
            continue
        _, contract = rows[want["event"]]
        finish = finish_now(contract, work, remaining(contract, work), plan)
        days = [finish.days[share].isoformat() for share in (0.5, 0.8)]
        assert days == [want["finish_P50"], want["finish_P80"]], want["event"]


def test_the_mark_is_what_the_sums_say(rows, expected):
    for want in expected("ledger"):
        if want["event"] == "E01":
            continue
        row, _ = rows[want["event"]]
        word, *rest = want["mark"].split(" ")
        assert row.mark == MARKS[word], want["event"]
        if word == "short":
            assert abs(row.short_by.amount - int(rest[-1])) <= 2


@pytest.mark.parametrize(
    ("unspent", "column"),
    [
        (TO_CUSTOMER, "unspent_to_customer_GBP"),
        (TO_WORKSHOP, "unspent_to_workshop_GBP"),
        (SHARED_HALF, "unspent_shared_half_GBP"),
    ],
)
def test_the_final_account_to_the_penny(work, golden, expected, unspent, column):
    events = [
        event
        for line, events in golden_events(work, golden.contingency.amount, unspent)
        for event in events
        if line != "E31" or unspent == TO_CUSTOMER  # early return is the customer's alone
    ]
    contract = contract_of(events)
    tax = golden.cat.tax[golden.job.terms.tax_category]
    final = account(contract, tax.code, tax.rate_percent)
    want = {row["id"]: Decimal(row[column]) for row in expected("account")}
    got = {
        "NET": final.net, "TAX": final.tax, "GROSS": final.gross,
        "BAL-N": final.balance_net, "BAL-T": final.balance_tax, "BAL-G": final.balance_gross,
        "WORK": final.workshop_cost,
    }  # fmt: skip
    assert {name: sum_.amount for name, sum_ in got.items()} == {name: want[name] for name in got}
    lines = {line.id: line.amount.amount for line in final.lines}
    for name, amount in lines.items():
        assert amount == want[name if name != "EXCH" else "EXCH"], name
    counted = sum(line.amount.amount for line in final.lines if line.counts)
    assert counted == want["NET"]
    for stage in final.stages:
        assert stage.net.amount == want[stage.name]


def test_who_was_asked_above_the_limit(rows):
    _, contract = rows["E15"]
    case = contract.case("V06")
    assert case.agreed_by == "L. Marsh"
    assert [step.state for step in case.steps] == ["draft", "issued", "approved"]
    assert case.times(datetime.fromisoformat("2027-01-06T11:45+00:00"))["issued"] == pytest.approx(
        (datetime(2027, 1, 5, 11, 45) - datetime(2026, 12, 22, 11, 0)).total_seconds() / 3600
    )


def test_what_is_listed_for_hand_over(rows):
    _, contract = rows["E39"]
    assert [case.variation.number for case in contract.not_done()] == ["V17"]
