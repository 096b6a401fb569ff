"""The ledger statement, read back: every column added again from the paper alone."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from estimator.documents.contract.ledger_statement import ledger_pdf
from estimator.domain.contract.acceptance import SHARED_HALF, TO_WORKSHOP
from estimator.domain.contract.events import Decided
from estimator.domain.contract.forms import NOT_TO_EXCEED
from estimator.domain.money import Money
from estimator.services.ledger_paper import ledger_statement
from tests.documents.contract_sources import (
    FIGURE,
    events_until,
    expected,
    figure,
    sources_at,
    sources_of,
)
from tests.documents.read_back import read_back


@pytest.mark.parametrize("line", ["E02", "E09", "E15", "E20", "E31", "E36", "E39"])
def test_the_ledger_adds_up_from_the_paper_alone(line):
    want = expected(line)
    paper = read_back(ledger_pdf(ledger_statement(sources_at(line))))
    lines = paper.lines
    assert_moves(lines, Decimal(want["current_sum_GBP"]), Decimal(want["left_GBP"]))
    rows = lines[lines.index("How the sum comes about") : lines.index("The contingency")]
    *parts, total = [figure(one) for one in rows if FIGURE.fullmatch(one.replace("£", ""))]
    assert sum(parts) == total == Decimal(want["current_sum_GBP"])
    end = lines.index("Left", lines.index("The contingency"))
    rows = lines[lines.index("The contingency") : end + 2]
    *parts, left = [figure(one) for one in rows if FIGURE.fullmatch(one.replace("£", ""))]
    assert sum(parts) == left == Decimal(want["left_GBP"])
    assert parts[0] == Decimal(want["contingency_held_GBP"])
    assert_groups(lines)


def assert_moves(lines, current, left):
    """Each row's sums are those above and what it moves; the last are those of today."""
    rows = [figure(one) for one in lines[lines.index("What happened, in order") :]
            if FIGURE.fullmatch(one)]  # fmt: skip
    sum_ = rest = Decimal(0)
    for at in range(0, len(rows) - len(rows) % 4, 4):
        moves, now, draws, still = rows[at : at + 4]
        if rest and now != sum_ + moves:
            break  # the table has ended: what waits follows
        sum_, rest = sum_ + moves, rest + draws
        assert (sum_, rest) == (now, still)
    assert (sum_, rest) == (current, left)


def assert_groups(lines):
    """Columns of the groups add up to what stands below them."""
    start, end = lines.index("By component group"), lines.index("What happened, in order")
    shown = [figure(one) for one in lines[start:end] if FIGURE.fullmatch(one)]
    assert len(shown) % 3 == 0
    rows = [shown[at : at + 3] for at in range(0, len(shown), 3)]
    assert [sum(column) for column in zip(*rows[:-1], strict=True)] == rows[-1]


@pytest.mark.parametrize("line", ["E09", "E15", "E20"])
def test_what_is_held_for_the_closed_is_the_ledgers(line):
    want, paper = expected(line), ledger_statement(sources_at(line))
    assert abs(paper.closed.amount - Decimal(want["exposed_at_80_percent_GBP"])) <= 2
    assert sum(one.closed.amount for one in paper.groups) == paper.closed.amount
    assert paper.waiting_contingency.amount == Decimal(want["pending_contingency_GBP"])


def test_no_statement_while_a_finding_has_no_price():
    text = read_back(ledger_pdf(ledger_statement(sources_at("E09")))).text
    assert "A finding has no price yet, so nobody can say whether what is left is enough." in text
    assert "no price yet: £1,400 to £5,800, likely £2,500" in text
    assert "Still closed or without a price, held for" in text
    assert "covered" not in text.casefold()


@pytest.mark.parametrize("unspent", [TO_WORKSHOP, SHARED_HALF])
def test_what_the_terms_leave_to_the_workshop_is_told(unspent):
    events = [one for one in events_until("E38", unspent=unspent)
              if type(one).__name__ != "ContingencyReturned"]  # fmt: skip
    paper = ledger_statement(sources_of(events, date(2027, 3, 10)))
    assert paper.held == paper.drawn + paper.given_back + paper.to_workshop
    assert not paper.left
    assert paper.to_workshop.amount == {TO_WORKSHOP: 4242, SHARED_HALF: 2121}[unspent]
    assert_groups(read_back(ledger_pdf(paper)).lines)


def test_a_price_not_to_be_exceeded_ties_with_what_was_measured():
    sources = sources_at("E30", commercial_form=NOT_TO_EXCEED)
    paper = ledger_statement(sources)
    assert paper.drawn.amount == 27075 + 338
    assert sum(one.drawn.amount for one in paper.groups) == paper.drawn.amount
    lines = read_back(ledger_pdf(paper)).lines
    assert_groups(lines)
    rows = lines[lines.index("How the sum comes about") : lines.index("The contingency")]
    *parts, total = [figure(one) for one in rows if FIGURE.fullmatch(one.replace("£", ""))]
    assert sum(parts) == total == paper.current.net.amount


def test_a_deposit_stands_below_the_sum_and_moves_none():
    paid = ledger_statement(sources_at("E05", deposit=Money(10_000_000, "GBP")))
    plain = ledger_statement(sources_at("E05"))
    assert paid.current == plain.current
    assert "Deposit paid, tax in it: £100,000.00." in read_back(ledger_pdf(paid)).text
    assert "Deposit" not in read_back(ledger_pdf(plain)).text


def test_work_called_off_is_told():
    events = events_until("E18")
    off = Decided(
        at=events[-1].at, who="R. Ostrey", side="customer", channel="e-mail", words="Leave it.",
        number="V05", revision=0, act="call off",
    )  # fmt: skip
    paper = ledger_statement(sources_of([*events, off], date(2027, 1, 8)))
    text = read_back(ledger_pdf(paper)).text
    assert "Called off: V05" in text.replace("\n", " ")
    assert_moves(read_back(ledger_pdf(paper)).lines, paper.current.net.amount, paper.left.amount)
