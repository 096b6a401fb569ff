"""Two desks at one contract at once: one wins, the other is told why, and nothing is half done."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from threading import Barrier

import pytest

from estimator.domain.contract.contract import Contract
from estimator.domain.contract.events import Decided, Opened
from estimator.domain.contract.remeasure import Wanted, priced_line
from estimator.services.answer_variation import Answer, record_customers_answer
from estimator.services.errors import Conflict, ServiceError
from estimator.services.open_record import Record, examine_record, open_record
from estimator.services.record_teardown import Found, Opening, open_component
from estimator.services.vary_contract import Move, move_variation, raise_variation, revise_variation
from estimator.services.verify_record import verify_record
from estimator.services.work_out_contract import read_contract
from estimator.storage import contract_record
from tests.acts.accepted import accepted_at
from tests.acts.contracts import FINANCE, arrived, pounds
from tests.acts.test_contract import request as asked_for
from tests.acts.workshop import ESTIMATOR, INSPECTOR, LATER, MANAGER, NOW

ROUNDS = 50
OPENED = 20  # parts that both open; the golden job has 45 exposed
ROOT = Path(__file__).parent.parent.parent
SCRIPT = Path(__file__).with_name("act_until_killed.py")
Act = Callable[[Record], object]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "shop" / "record.db"


@pytest.fixture
def desks(path: Path) -> Iterator[tuple[str, Callable[[Act, Act], list[object]]]]:
    """The accepted golden job, and a way to let both desks act at the same moment."""
    number = accepted_at(path)
    with (
        open_record(path, NOW) as first, open_record(path, NOW) as second,
        ThreadPoolExecutor(2) as pool,
    ):  # fmt: skip
        arrived(first, number)

        def both(one: Act, other: Act) -> list[object]:
            start = Barrier(2)

            def run(record: Record, act: Act) -> object:
                start.wait()
                try:
                    return act(record)
                except ServiceError as error:
                    return error

            tasks = [pool.submit(run, first, one), pool.submit(run, second, other)]
            return [task.result() for task in tasks]

        yield number, both


def contract_at(path: Path, number: str) -> Contract:
    with open_record(path, LATER) as record:
        assert verify_record(record).faults == ()
        assert examine_record(record) == ()
        return read_contract(record, number).contract


def told(results: list[object]) -> Conflict:
    """The one that was refused, the other having gone through."""
    errors = [one for one in results if isinstance(one, ServiceError)]
    (error,) = errors
    assert isinstance(error, Conflict)
    assert error.remedy
    return error


def test_raised_answered_and_opened_at_once(path, desks):
    number, both = desks
    with open_record(path, NOW) as record:
        work = read_contract(record, number).work
    hour = Wanted(kind="labour", what="Fit", quantity=Decimal(1), trade="EL")
    variation = asked_for(lines=(priced_line(work, hour),))
    exposed = work.exposed[:OPENED]
    winners = {"approve": 0, "decline": 0}

    for turn in range(ROUNDS):
        # Raised at once: both are kept, under two numbers that follow each other.
        raised = both(
            lambda one: raise_variation(one, number, variation, ESTIMATOR, NOW),
            lambda one: raise_variation(one, number, variation, MANAGER, NOW),
        )
        assert not [one for one in raised if isinstance(one, ServiceError)]
        name = f"V{2 * turn + 1 + min(turn, OPENED):02d}"
        step = Move(variation=name, act="issue")
        both_issue = both(
            lambda one, step=step: move_variation(one, number, step, ESTIMATOR, NOW),
            lambda one, step=step: move_variation(one, number, step, ESTIMATOR, NOW),
        )
        assert "what is issued cannot issue" in told(both_issue).message
        # Answered at once, one way and the other: one stands, the other hears whose it was.
        yes = Answer(variation=name, revision=0, act="approve", channel="e-mail", words="Yes.")
        no = replace(yes, act="decline", words="No.")
        answered = both(
            lambda one, yes=yes: record_customers_answer(one, number, yes, FINANCE, ESTIMATOR, NOW),
            lambda one, no=no: record_customers_answer(one, number, no, FINANCE, MANAGER, NOW),
        )
        error = told(answered)
        assert f"by {FINANCE} since" in error.remedy
        winners["decline" if isinstance(answered[0], ServiceError) else "approve"] += 1
        # Opened at once: one part is found worn by both, and carried by one variation.
        if turn < OPENED:
            part = exposed[turn]
            opening = Opening(part.component, (Found(part.part, "worn"),))
            opened = both(
                lambda one, opening=opening: open_component(one, number, opening, INSPECTOR, NOW),
                lambda one, opening=opening: open_component(one, number, opening, MANAGER, NOW),
            )
            assert f"{part.part} has a variation already" in told(opened).message

    contract = contract_at(path, number)
    numbers = list(contract.cases)
    assert numbers == [f"V{place:02d}" for place in range(1, 2 * ROUNDS + OPENED + 1)]
    decided = [event for event in contract.events if isinstance(event, Decided)]
    assert len(decided) == ROUNDS
    assert sum(winners.values()) == ROUNDS
    approved = [event for event in decided if event.act == "approve"]
    assert len(approved) == winners["approve"]
    assert contract.current_sum == pounds(275_946) + pounds(82 * len(approved))
    opened = [event for event in contract.events if isinstance(event, Opened)]
    assert len(opened) == OPENED
    assert len(contract.events) == 2 + 4 * ROUNDS + 2 * OPENED


def test_revised_at_once_the_second_looks_again(path, desks):
    number, both = desks
    with open_record(path, NOW) as record:
        work = read_contract(record, number).work
        hour = Wanted(kind="labour", what="Fit", quantity=Decimal(1), trade="EL")
        variation = asked_for(lines=(priced_line(work, hour),))
        raise_variation(record, number, variation, ESTIMATOR, NOW)
    for turn in range(10):
        seen = replace(variation, number="V01", revision=turn, title=f"turn {turn}")
        results = both(
            lambda one, seen=seen: revise_variation(one, number, seen, ESTIMATOR, NOW),
            lambda one, seen=seen: revise_variation(one, number, seen, MANAGER, NOW),
        )
        assert f"is followed by rev {turn + 2}" in told(results).message
    case = contract_at(path, number).case("V01")
    assert case.variation.revision == 10
    assert [one.revision for one in case.earlier] == list(range(10))


@pytest.mark.skipif(sys.platform == "win32", reason="a kill there is another thing")
def test_a_process_killed_amid_its_acts_loses_nothing_confirmed(path):
    draw = random.Random(417)
    number, done = accepted_at(path), 0
    for _attempt in range(3):
        confirmed = run_and_kill(path, number, done, draw)
        assert confirmed == list(range(done, done + len(confirmed)))
        contract = contract_at(path, number)
        kept = len(contract.events) - 1
        # all that was confirmed; and at most the one that was under way
        assert kept - (confirmed[-1] + 1) in (0, 1)
        approved = kept // 3
        assert contract.current_sum == pounds(275_946) + pounds(82 * approved)
        assert len(contract.cases) == (kept + 2) // 3
        with open_record(path, LATER) as record, record.reading() as session:
            rows = {row["number"]: row["state"] for row in contract_record.waiting_rows(session)}
        states = {name: case.state for name, case in contract.cases.items()}
        assert rows == states  # the lists say the same: approved ones wait on the foreman
        done = kept
    assert done > 30


def run_and_kill(path: Path, number: str, first: int, draw: random.Random) -> list[int]:
    """Acts the process confirmed, from `first` on, before it was killed at a random moment."""
    command = [sys.executable, str(SCRIPT), str(path), number, str(first)]
    confirmed = []
    stop_after = draw.randint(10, 30)
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, cwd=ROOT, env={"PYTHONPATH": str(ROOT)}
    ) as process:
        assert process.stdout is not None
        for line in process.stdout:
            confirmed.append(int(line))
            if len(confirmed) == stop_after:
                time.sleep(draw.uniform(0, 0.03))  # anywhere within the acts that follow
                process.kill()
    return confirmed
