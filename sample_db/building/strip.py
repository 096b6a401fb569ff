"""The strip of a machine of the sample workshop: what is opened, what it costs, who says what."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from math import ceil
from random import Random

from estimator.domain.contract.contract import Case
from estimator.domain.contract.remeasure import Wanted, charge_rate_of, priced_line
from estimator.domain.contract.states import (
    APPROVED,
    DECLINE,
    DRAFT,
    FINISH,
    FOUND,
    ISSUE,
    ISSUED,
    QUERY,
    RELEASE,
    RELEASED,
)
from estimator.domain.contract.variation import (
    CONTRACT_SUM,
    REQUEST,
    SOUND,
    WORN,
    Variation,
    VariationLine,
)
from estimator.domain.exposure.cost_when_worn import ExposedPart
from estimator.domain.money import Money
from estimator.domain.people import Person
from estimator.domain.pricing import PricedLine
from estimator.services.answer_variation import (
    Answer,
    answer_as_manager,
    record_customers_answer,
)
from estimator.services.record_teardown import Found, MeasuredAgain, Opening, open_components
from estimator.services.vary_contract import (
    Move,
    move_variation,
    raise_variation,
    revise_variation,
)
from estimator.services.write_contract import Here

from .bench import Bench
from .inspection import Seen
from .scenario import LAST_DAY, ContractPlan
from .true_cost import drawn
from .wear_path import is_worn

CHANNEL = "e-mail"
LABOUR_SHARE = 0.3  # of a worn part's price
DRAWN_BY_MANAGER, OF_FIRST_APPROVER = 2500, 5000
ANSWER_DAYS, BAY_A_DAY = 4, 380
SAFETY = {"G06": "brakes are a safety part", "G07": "steering is a safety part"}
WORDS = {WORN: "worn past its limit", SOUND: "as it should be"}
SEPARATE = "each part was found and measured by itself"
Do = Callable[[datetime.datetime], None]


@dataclass(frozen=True, slots=True)
class Strip:
    """The strip of one machine, in batches of components."""

    bench: Bench
    contract: ContractPlan
    see: Callable[[], Seen]  # the machine as it truly is
    random: Random

    @property
    def number(self) -> str:
        """The job's number."""
        return self.contract.number

    @property
    def _estimator(self) -> Person:
        return self.bench.people["P. Holt"]

    def _here(self) -> Here:
        return self.bench.contract(self.number)

    def open(self, batch: int, of: int) -> Do:
        """Open one batch of the components that hold open parts or lines to be measured."""

        def do(now: datetime.datetime) -> None:
            here = self._here()
            groups: dict[str, list[ExposedPart]] = {}
            for part in here.work.exposed:
                groups.setdefault(part.component, []).append(part)
            lines: dict[str, list[PricedLine]] = {}
            # Where the strip alone was accepted, the rebuild's lines are not measured on its price.
            rebuilt = not here.contract.acceptance.teardown_only
            for line in here.work.provisional_lines if rebuilt else ():
                lines.setdefault(line.line.row.component, []).append(line)
            names = sorted({*groups, *lines})
            size = ceil(len(names) / of)
            seen = self.see()
            openings = [
                self._opening(name, seen, groups.get(name, []), lines.get(name, []))
                for name in names[batch * size : (batch + 1) * size]
            ]
            who = self.bench.people["K. Brand"]
            keep = self.bench.keep_contract
            keep(open_components(self.bench.record, self.number, openings, who, now))

        return do

    def _opening(
        self, component: str, seen: Seen, parts: list[ExposedPart], lines: list[PricedLine]
    ) -> Opening:
        found = tuple(self._found(part, is_worn(seen.wear[part.part])) for part in parts)
        measured = tuple(self._measured(line) for line in lines)
        return Opening(component, found, measured)

    def _found(self, part: ExposedPart, worn: bool) -> Found:
        state, why = (WORN if worn else SOUND), SAFETY.get(part.group, "")
        return Found(
            part.part, state, measured=WORDS[state],
            consequence=f"{part.name.lower()} fails under load and takes its neighbours with it",
            cannot_be_declined=why if worn else "", way=part.way if worn else "",
        )  # fmt: skip

    def _measured(self, line: PricedLine) -> MeasuredAgain:
        low, likely, high = (float(one.amount) for one in (line.low, line.amount, line.high))
        came_to = drawn(low, likely, high, self.random) if high > low > 0 else likely
        came_to = min(max(came_to, low), high)  # beyond its range it would be a variation
        factor = Decimal(str(round(came_to / likely, 5))) if likely else Decimal(1)
        return MeasuredAgain(line.id, factor, by_factor=True)

    def price(self) -> Do:
        """Price what has none yet, and issue what is above the manager's drawing right. The last
        one on the scenario's last days waits for its price."""

        def do(now: datetime.datetime) -> None:
            here = self._here()
            waiting = [case for case in here.contract.cases.values() if case.state == FOUND]
            late = (LAST_DAY - now.date()).days <= 1
            for at, case in enumerate(waiting[:-1] if late else waiting):
                when = self.bench.time(now + datetime.timedelta(minutes=6 * at))
                priced = self._priced(case, here, now.date())
                self.bench.keep_contract(revise_variation(
                    self.bench.record, self.number, priced, self._estimator, when
                ))  # fmt: skip
                if priced.amount(here.contract.currency).amount > DRAWN_BY_MANAGER:
                    later = self.bench.time(when + datetime.timedelta(minutes=2))
                    self._move(case.variation.number, ISSUE, self._estimator, later)

        return do

    def _priced(self, case: Case, here: Here, today: datetime.date) -> Variation:
        known = {part.part: part for part in here.work.exposed}
        part = known[case.variation.parts[0]]
        answer_by = today + datetime.timedelta(days=ANSWER_DAYS)
        currency = here.contract.currency
        return replace(
            case.variation, range=None, lines=tuple(self._lines(part, here)), chosen=part.way,
            answer_by=answer_by, waiting_from=answer_by + datetime.timedelta(days=1),
            waiting_per_day=Money(BAY_A_DAY * 100, currency), activity=part.activity,
            days=Decimal(str(part.added_days)),
        )  # fmt: skip

    def _lines(self, part: ExposedPart, here: Here) -> Iterator[VariationLine]:
        """Labour and material that come to about the likely cost."""
        work = here.work
        cost = drawn(part.cost.low, part.ways[0].cost.likely, part.cost.high, self.random)
        rate = float(charge_rate_of(work, "HF"))
        hours = max(round(2 * cost * LABOUR_SHARE / rate) / 2, 0.5)
        markup = next(iter(work.cat.markups.values()))
        unit = max(cost - hours * rate, 20.0) / float(1 + markup.share)
        yield priced_line(work, Wanted(
            kind="parts", what=f"{part.name}, {part.way}", quantity=Decimal(1),
            unit_cost=Decimal(10 * max(round(unit / 10), 1)), markup=markup.id, part=part.part,
        ))  # fmt: skip
        yield priced_line(work, Wanted(
            kind="labour", what="Take out, fit, set", quantity=Decimal(str(hours)), trade="HF",
            part=part.part,
        ))  # fmt: skip

    def answer_own(self) -> Do:
        """The service manager draws for what lies within the drawing right."""

        def do(now: datetime.datetime) -> None:
            here = self._here()
            mine = [case for case in here.contract.cases.values() if case.state == DRAFT]
            for case in mine:
                answer = Answer(
                    variation=case.variation.number, revision=case.variation.revision,
                    act="approve", words="Drawn.", reason=SEPARATE,
                )  # fmt: skip
                amount = case.variation.amount(here.contract.currency)
                if amount <= self._here().contract.left:
                    self.bench.keep_contract(answer_as_manager(
                        self.bench.record, self.number, [answer], self.bench.manager, now
                    ))  # fmt: skip
                else:
                    self._move(case.variation.number, ISSUE, self._estimator, now)

        return do

    def answer_customer(self) -> Do:
        """The customer answers; in a strip that is still going on the last question comes back."""

        def do(now: datetime.datetime) -> None:
            here = self._here()
            asked = [case for case in here.contract.cases.values() if case.state == ISSUED]
            going_on = self.contract.handed_over is None
            for at, case in enumerate(asked):
                when = self.bench.time(now + datetime.timedelta(minutes=10 * at))
                if going_on and at == len(asked) - 1:
                    self._move(case.variation.number, QUERY, self._estimator, when)
                else:
                    self._answered(case, here, when)

        return do

    def _answered(self, case: Case, here: Here, when: datetime.datetime) -> None:
        """Yes, by whoever may; no to what can be declined and is dear for what it does."""
        variation, plan = case.variation, self.contract
        amount = variation.amount(here.contract.currency).amount
        no = not variation.cannot_be_declined and self.random.random() < 0.15  # noqa: PLR2004
        by = plan.by if amount <= OF_FIRST_APPROVER else plan.finance
        answer = Answer(
            variation=variation.number, revision=variation.revision,
            act=DECLINE if no else "approve", channel=CHANNEL,
            words="Not now, we run it as it is." if no else "Go on.",
            reason="not this year" if no else "",
        )  # fmt: skip
        self.bench.keep_contract(record_customers_answer(
            self.bench.record, self.number, answer, by, self._estimator, when
        ))  # fmt: skip

    def release(self) -> Do:
        """The foreman has the work done that was agreed to."""
        return lambda now: self._all(APPROVED, RELEASE, now)

    def finish(self) -> Do:
        """What was released is done."""

        def do(now: datetime.datetime) -> None:
            self._all(APPROVED, RELEASE, now)
            self._all(RELEASED, FINISH, now + datetime.timedelta(hours=1))

        return do

    def _all(self, state: str, act: str, now: datetime.datetime) -> None:
        foreman = self.bench.people["K. Brand"]
        for number, case in self._here().contract.cases.items():
            if case.state == state:
                self._move(number, act, foreman, self.bench.time(now))

    def ask_for_more(self) -> Do:
        """The customer asks for work lights."""

        def do(now: datetime.datetime) -> None:
            here = self._here()
            lines = (
                Wanted(kind="parts", what="Work lights", quantity=Decimal(6),
                       unit_cost=Decimal(145), markup=next(iter(here.work.cat.markups))),
                Wanted(kind="labour", what="Fit and wire", quantity=Decimal(12), trade="EL"),
            )  # fmt: skip
            variation = Variation(
                number="", revision=0, found_at=now, finder=self.contract.by, component="",
                location="cab roof", title="Customer asks for brighter work lights",
                cause=REQUEST, end=CONTRACT_SUM, consequence="the lights stay as they are",
                lines=tuple(priced_line(here.work, one) for one in lines),
                priced_by=self._estimator.name,
            )  # fmt: skip
            record = self.bench.record
            after = raise_variation(record, self.number, variation, self._estimator, now)
            self.bench.keep_contract(after)
            number = list(after.contract.cases)[-1]
            self._move(number, ISSUE, self._estimator, now)
            answer = Answer(
                variation=number, revision=0, act="approve", channel=CHANNEL, words="Please add."
            )
            self.bench.keep_contract(record_customers_answer(
                record, self.number, answer, self.contract.by, self._estimator, now
            ))  # fmt: skip

        return do

    def _move(self, number: str, act: str, who: Person, now: datetime.datetime) -> None:
        step = Move(variation=number, act=act)
        done = move_variation(self.bench.record, self.number, step, who, now)
        self.bench.keep_contract(done)
