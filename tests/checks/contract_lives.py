"""Seeded lives of an accepted contract through the services: anything people may do, in an order
that chance gives. What is refused is refused; the life goes on."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal

from estimator.domain.contract.contract import Case
from estimator.domain.contract.remeasure import Wanted, priced_line, remeasured_line
from estimator.domain.contract.variation import (
    CONTRACT_SUM,
    MEASURED,
    OUTSIDE,
    REMEASURED,
    Remeasured,
    Variation,
    VariationLine,
)
from estimator.services.answer_variation import (
    Answer,
    answer_as_manager,
    record_customers_answer,
)
from estimator.services.errors import ServiceError
from estimator.services.open_record import Record
from estimator.services.record_teardown import Found, MeasuredAgain, Opening, open_component
from estimator.services.settle_contract import (
    ALL,
    hand_over,
    return_contingency,
    settle_exchange,
    stop_job,
)
from estimator.services.vary_contract import Move, move_variation, raise_variation, revise_variation
from estimator.services.work_out_contract import read_contract
from estimator.services.write_contract import Here
from tests.acts.contracts import FINANCE, FLEET, arrived, pounds
from tests.acts.workshop import ESTIMATOR, INSPECTOR, MANAGER, NOW


@dataclass
class RandomLife:
    """One life. `refused` counts what could not follow."""

    record: Record
    number: str
    seed: int
    refused: int = 0
    now: datetime = NOW

    def __post_init__(self) -> None:
        self.chance = random.Random(self.seed)

    def live(self, acts: int, end: str) -> None:
        """So many acts, and then the end: "hand over", "stop" or nothing."""
        choices = (
            *(self.open_part,) * 2, self.measure, *(self.price,) * 3, self.ask,
            self.measure_by_agreement, *(self.issue,) * 3, *(self.answer,) * 6, *(self.go_on,) * 2,
            self.give_back, self.exchange,
        )  # fmt: skip
        arrived(self.record, self.number, self.now)
        for _ in range(acts):
            self.now += timedelta(hours=self.chance.randrange(1, 30))
            try:
                self.chance.choice(choices)()
            except ServiceError:
                self.refused += 1
        self.now += timedelta(days=1)
        if end == "stop":
            stop_job(self.record, self.number, "reassembly", "Stop here.", FLEET, MANAGER, self.now)
        elif end == "hand over":
            self._answer_everything()
            hand_over(self.record, self.number, FLEET, "Received.", MANAGER, self.now, done=ALL)

    # Acts

    @property
    def here(self) -> Here:
        return read_contract(self.record, self.number)

    def open_part(self) -> None:
        here = self.here
        part = self.chance.choice(here.work.exposed)
        state = "worn" if self.chance.random() < 0.6 else "sound"
        opening = Opening(part.component, (Found(part.part, state, consequence="it fails"),))
        open_component(self.record, self.number, opening, INSPECTOR, self.now)

    def measure(self) -> None:
        line = self.chance.choice(self.here.work.provisional_lines)
        factor = Decimal(self.chance.randrange(70, 140)) / 100
        again = MeasuredAgain(line.id, factor, by_factor=True)
        component = line.line.row.component
        opening = Opening(component, measured=(again,))
        open_component(self.record, self.number, opening, INSPECTOR, self.now)

    def price(self) -> None:
        case = self._case("found", "draft", "declined", "deferred", "queried")
        lines = tuple(self._line() for _ in range(self.chance.randrange(1, 4)))
        if case.variation.end != REMEASURED:
            priced = replace(case.variation, lines=lines, range=None)
            revise_variation(self.record, self.number, priced, ESTIMATOR, self.now)

    def ask(self) -> None:
        self._raise(lines=(self._line(), self._line()), cause=OUTSIDE, end=CONTRACT_SUM)

    def measure_by_agreement(self) -> None:
        line = self.chance.choice(self.here.work.provisional_lines)
        factor = Decimal(self.chance.randrange(50, 200)) / 100
        again: Remeasured = remeasured_line(self.here.work, line.id, True, factor)
        self._raise(remeasured=(again,), cause=MEASURED, end=REMEASURED)

    def issue(self) -> None:
        self._move(self._case("draft"), "issue")

    def answer(self) -> None:
        case = self._case("issued", "draft")
        variation = case.variation
        act = "agree" if variation.end == REMEASURED else self.chance.choice(
            ("approve", "approve", "approve in part", "decline", "defer")
        )  # fmt: skip
        lines = (0,) if act == "approve in part" else ()
        answer = Answer(variation=variation.number, revision=variation.revision, act=act,
                        channel="e-mail", words="So be it.", lines=lines)  # fmt: skip
        if self.chance.random() < 0.4:
            answer_as_manager(self.record, self.number, [answer], MANAGER, self.now)
        else:
            by = self.chance.choice((FLEET, FINANCE))
            record_customers_answer(self.record, self.number, answer, by, ESTIMATOR, self.now)

    def go_on(self) -> None:
        case = self._case("approved", "part approved", "agreed", "released")
        self._move(case, "finish" if case.state == "released" else "release")

    def give_back(self) -> None:
        amount = pounds(self.chance.randrange(1, 3000))
        return_contingency(self.record, self.number, amount, MANAGER, self.now)

    def exchange(self) -> None:
        charge = pounds(self.chance.randrange(0, 300))
        counts = (Decimal(2), Decimal(1))
        settle_exchange(self.record, self.number, ("P-INJ",), counts, charge, MANAGER, self.now)

    # What they have in common

    def _answer_everything(self) -> None:
        for case in self.here.contract.cases.values():
            if case.is_open:
                self._move(case, "withdraw")

    def _case(self, *states: str) -> Case:
        cases = [case for case in self.here.contract.cases.values() if case.state in states]
        if not cases:
            raise ServiceError("nothing to do")
        return self.chance.choice(cases)

    def _move(self, case: Case, act: str) -> None:
        step = Move(variation=case.variation.number, act=act)
        move_variation(self.record, self.number, step, MANAGER, self.now)

    def _line(self) -> VariationLine:
        cost = Decimal(self.chance.randrange(50, 1800))
        wanted = Wanted(kind="parts", what="Parts", quantity=Decimal(1), unit_cost=cost, markup="A")
        return priced_line(self.here.work, wanted)

    def _raise(self, **changes: object) -> None:
        component = self.chance.choice(("C05B", "C08A", "C12A"))
        variation = Variation(
            number="", revision=0, found_at=self.now, finder=ESTIMATOR.name, component=component,
            location="rear frame", title="Found outside", consequence="it leaks",
            **{"cause": OUTSIDE, "end": CONTRACT_SUM, **changes},  # type: ignore[arg-type]
        )  # fmt: skip
        raise_variation(self.record, self.number, variation, ESTIMATOR, self.now)
