"""What becomes of jobs that were accepted: act by act, through the services, as far as they have
come. What a strip finds is what the machine's wear process says (`wear_path`)."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from random import Random

from estimator.domain.contract.acceptance import CUSTOMER, WORKSHOP, Authority
from estimator.domain.money import Money
from estimator.domain.people import Person
from estimator.domain.record import UNDER_CONTRACT
from estimator.services.accept_quote import Terms, accept_quote
from estimator.services.list_jobs import list_jobs
from estimator.services.record_teardown import receive_machine
from estimator.services.settle_contract import (
    close_account,
    hand_over,
    invoice_stage,
    record_tests,
    stop_job,
)
from estimator.services.work_out_contract import keep_forecast, work_out_contract

from .bench import Bench
from .inspection import Seen, see_machine
from .scenario import LAST_DAY, SEED, ContractPlan, Plan
from .strip import Strip

BATCHES = 3  # openings of a strip, some days apart
FROM_OPENING = (0, 3, 8)  # days
CONDITION = "Fuel one third, two keys, battery fitted; condition sheet signed."
RESULT = "Brakes, steering, pressures, cycle times, load test, leaks after 2 h: within limits."
LIMIT, DRAW_EACH, DRAW_IN_ALL = 5000, 2500, 15_000
Do = Callable[[datetime.datetime], object]


@dataclass(frozen=True, slots=True)
class ContractSteps:
    """The acts on one job's contract."""

    bench: Bench
    plan: Plan
    contract: ContractPlan
    place: int

    @property
    def number(self) -> str:
        """The job's number."""
        return self.contract.number

    def acts(self) -> Iterator[tuple[datetime.datetime, Do]]:
        """Every act with its time."""
        plan = self.contract
        yield _at(plan.accepted, 15), self._accept
        if plan.extent == "whole":
            yield _at(plan.accepted, 16), self._stage("S1")
        if plan.received is not None:
            yield _at(plan.received, 8), self._receive
        if plan.opened is not None:
            yield from self._strip(plan.opened)
        if plan.stopped is not None:
            yield _at(plan.stopped, 11), self._stop
        if plan.handed_over is not None:
            yield _at(plan.handed_over - datetime.timedelta(days=9), 15), self._stage("S3")
            yield _at(plan.handed_over - datetime.timedelta(days=1), 15), self._test
            yield _at(plan.handed_over, 11), self._hand_over
        if plan.closed is not None:
            yield _at(plan.closed, 9), self._close

    def _strip(self, opened: datetime.date) -> Iterator[tuple[datetime.datetime, Do]]:
        """Openings one after the other; each is priced, asked for and answered in the days after.
        What falls behind the scenario's last day still waits."""
        strip = Strip(self.bench, self.contract, self._seen, self._random("strip"))
        for batch, days in enumerate(FROM_OPENING):
            day = _weekday(opened + datetime.timedelta(days=days))
            steps = (
                (day, 11, strip.open(batch, BATCHES)),
                (_weekday(day + datetime.timedelta(days=1)), 10, strip.price()),
                (_weekday(day + datetime.timedelta(days=1)), 14, strip.answer_own()),
                (_weekday(day + datetime.timedelta(days=3)), 9, strip.answer_customer()),
                (_weekday(day + datetime.timedelta(days=4)), 8, strip.release()),
            )
            for when, hour, do in steps:
                if when <= LAST_DAY and (self.contract.stopped is None or batch == 0 or hour == 11):  # noqa: PLR2004
                    yield _at(when, hour), do
        if self.contract.handed_over is not None:
            done = _weekday(opened + datetime.timedelta(days=20))
            yield _at(done, 9), strip.ask_for_more()
            yield _at(done, 10), self._stage("S2")
            yield _at(self.contract.handed_over - datetime.timedelta(days=5), 9), strip.finish()

    def _seen(self) -> Seen:
        """The machine as its inspection saw it, drawn again from the same seed."""
        bench = self.bench
        cat = bench.cat(self.plan.machine_class)
        machine = bench.job(self.number).machine
        random = Random(f"{SEED}/inspection {self.place}")
        return see_machine(
            cat, bench.processes, float(machine.hours), float(machine.duty), machine.history, random
        )

    def _random(self, what: str) -> Random:
        return Random(f"{SEED}/{what} {self.place}")

    @property
    def _estimator(self) -> Person:
        return self.bench.people[self.plan.estimator]

    @property
    def _foreman(self) -> Person:
        return self.bench.people["K. Brand"]

    def _accept(self, now: datetime.datetime) -> None:
        plan, bench = self.contract, self.bench
        job = bench.job(self.number)
        currency = job.terms.currency
        manager = bench.manager
        terms = Terms(
            revision=job.revision,
            by=plan.by,
            capacity=plan.capacity,
            channel="signed paper",
            words=f"Accepted, order {plan.order}." if plan.order else "Strip and report only.",
            on=now,
            extent=plan.extent,
            unspent=plan.unspent,
            approvers=(
                Authority(plan.by, CUSTOMER, plan.capacity, Money(LIMIT * 100, currency)),
                Authority(plan.finance, CUSTOMER, "finance controller"),
            ),
            drawing=(
                Authority(
                    manager.name, WORKSHOP, manager.role, Money(DRAW_EACH * 100, currency),
                    Money(DRAW_IN_ALL * 100, currency), blanket=True,
                ),
            ),
            purchase_order=plan.order,
            custody_from=plan.received,
        )  # fmt: skip
        bench.keep_contract(accept_quote(bench.record, self.number, terms, self._estimator, now))

    def _stage(self, name: str) -> Do:
        share = Decimal("0.25")
        return lambda now: self.bench.keep_contract(
            invoice_stage(self.bench.record, self.number, name, share, self.bench.manager, now)
        )

    def _receive(self, now: datetime.datetime) -> None:
        done = receive_machine(self.bench.record, self.number, CONDITION, self._foreman, now)
        self.bench.keep_contract(done)

    def _stop(self, now: datetime.datetime) -> None:
        words = "Too much is worn. Box it, we collect it."
        self.bench.keep_contract(stop_job(
            self.bench.record, self.number, "boxed return", words, self.contract.by,
            self.bench.manager, now,
        ))  # fmt: skip

    def _test(self, now: datetime.datetime) -> None:
        who = self.bench.people[self.plan.inspector]
        done = record_tests(self.bench.record, self.number, RESULT, who, now)
        self.bench.keep_contract(done)

    def _hand_over(self, now: datetime.datetime) -> None:
        bench = self.bench
        by = self.contract.by
        bench.keep_contract(
            hand_over(bench.record, self.number, by, "Received.", bench.manager, now)
        )

    def _close(self, now: datetime.datetime) -> None:
        close_account(self.bench.record, self.number, self.bench.manager, now)
        self.bench.contracts.pop(self.number)
        self.bench.learn()


def _at(day: datetime.date, hour: int) -> datetime.datetime:
    return datetime.datetime.combine(day, datetime.time(hour, 5, tzinfo=datetime.UTC))


def _weekday(day: datetime.date) -> datetime.date:
    return day + datetime.timedelta(days=(7 - day.weekday()) % 7 if day.weekday() > 4 else 0)  # noqa: PLR2004


def keep_forecasts(bench: Bench) -> None:
    """Keep the forecast of every contract, for the lists."""
    for state in UNDER_CONTRACT:
        for job in list_jobs(bench.record, today=LAST_DAY, state=state):
            keep_forecast(bench.record, work_out_contract(bench.contract(job.number)))
