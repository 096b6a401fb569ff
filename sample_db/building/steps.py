"""How one job of the scenario goes, act by act, from the enquiry to where it stands."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from random import Random

from estimator.domain.job import Job, ScopeChange
from estimator.domain.people import Person
from estimator.services.begin_job import Enquiry, begin_job
from estimator.services.edit_job import keep_text, undo_edit
from estimator.services.issue_quote import issue_quote, revise_job
from estimator.services.keep_job import take_in_job
from estimator.services.open_sample import FIRST_SAMPLE
from estimator.services.photographs import add_photograph
from estimator.services.propose_release import propose

from .bench import Act, Bench, at, dated
from .changes import history_of, priced_changes
from .contracts import ContractSteps
from .inspection import Look, findings_of, see_machine
from .loader_contract import LoaderContract
from .pictures import photograph
from .scenario import LAST_DAY, SEED, Picture, Plan, Scenario, decimal
from .taking_in import from_the_old_book, sister_of, taken_in

DRAFTS = ("scope", "price", "exposure", "programme", "quote")  # drafts with a price
UNDER_CONTRACT = ("accepted", "teardown", "stopped", "handed over", "closed")
SENT = ("issued", "expired", "revised", "reissued", *UNDER_CONTRACT)
TRIM = "C12B"
WHY_ADOPTED = "Fits what we have seen on such machines; to be looked at again with more strips."
TYPED = "17 to 19"  # what somebody typed into a field for one number
Do = Callable[[datetime.datetime], None]


@dataclass(frozen=True, slots=True)
class JobSteps:
    """The acts of one job."""

    bench: Bench
    scenario: Scenario
    plan: Plan
    place: int

    def acts(self) -> Iterator[Act]:
        """Every act with its time, as far as the job has come."""
        order = 0
        for order, (day, hour, do) in enumerate(self._acts()):
            yield Act(at(day, hour, self.place, order), self.place, order, do)
        if self.plan.stage in UNDER_CONTRACT:
            for later, (when, do_it) in enumerate(self._contract_acts(), start=order + 1):
                yield Act(when, self.place, later, do_it)

    def _contract_acts(self) -> Iterator[tuple[datetime.datetime, Callable[..., object]]]:
        if self.plan.folder:
            folder = self.scenario.folder / "loader"
            return LoaderContract(self.bench, lambda: self.number, folder).acts()
        known = self.plan.number or self._known_number()
        contract = self.scenario.contracts[known]
        return ContractSteps(self.bench, self.plan, contract, self.place).acts()

    def _acts(self) -> Iterator[tuple[datetime.date, int, Do]]:
        plan = self.plan
        yield plan.enquired, 8, self._begin
        if plan.folder and plan.quoted is not None:
            yield plan.quoted, 13, self._propose
            yield plan.quoted, 14, self._issue
            return
        if plan.folder:
            yield from self._as_taken_in()
            return
        yield plan.enquired, 9, self._told_besides
        if plan.inspected is None:
            return
        yield plan.inspected, 10, self._inspect
        yield plan.inspected, 13, self._after_inspection
        if plan.quoted is None:
            return
        yield plan.quoted, 9, self._price
        yield from self._photograph_acts(plan.quoted, 10)
        yield plan.quoted, 11, self._stand
        if plan.stage in ("proposed", *SENT):
            yield plan.quoted, 13, self._propose
        if plan.stage in SENT:
            yield plan.quoted, 14, self._issue
        if plan.again is not None:
            yield plan.again, 9, self._revise
            yield plan.again, 11, self._issue if plan.stage == "reissued" else self._stand

    def _as_taken_in(self) -> Iterator[tuple[datetime.date, int, Do]]:
        first = self.plan.folder == FIRST_SAMPLE  # worked on last, and so first in the list
        yield from self._photograph_acts(LAST_DAY if first else self.plan.enquired, 14)
        if self.plan.stage == "scope":
            yield LAST_DAY, 12, self._half_typed
        yield LAST_DAY, 15, self._stand

    @property
    def number(self) -> str:
        """The job's number, once it is begun."""
        return self.bench.numbers[self.place]

    @property
    def estimator(self) -> Person:
        """Who prices it."""
        return self.bench.people[self.plan.estimator]

    def _random(self, what: str) -> Random:
        return Random(f"{SEED}/{what} {self.place}")

    # Enquiry

    def _begin(self, now: datetime.datetime) -> None:
        plan, bench = self.plan, self.bench
        customer = self.scenario.customers[plan.customer]
        if plan.folder and plan.quoted is not None:
            number = taken_in(bench, sister_of(bench, plan, customer), self.estimator, now)
        elif plan.folder:
            folder = bench.folder / plan.folder
            number = take_in_job(bench.record, folder, bench.catalogue, self.estimator, now)
        elif plan.number:
            job = from_the_old_book(bench, plan, self._enquiry(), self.estimator.name, now.date())
            number = taken_in(bench, job, self.estimator, now)
        else:
            number = begin_job(
                bench.record, bench.catalogue, self.estimator, now, self._enquiry(), bench.defaults
            )
        bench.numbers[self.place] = number

    def _enquiry(self) -> Enquiry:
        plan = self.plan
        return Enquiry(
            class_id=plan.machine_class,
            customer=self.scenario.customers[plan.customer],
            serial=plan.serial,
            hours=decimal(plan.hours),
            duty=decimal(plan.duty),
            life_wanted=decimal(plan.life_wanted),
            level=plan.level,
            note=plan.note,
        )

    def _told_besides(self, now: datetime.datetime) -> None:
        """What the customer said when asked: an overhaul, when the machine is wanted back."""
        plan = self.plan
        cat = self.bench.cat(plan.machine_class)
        history = history_of(cat, Decimal(plan.hours), self._random("history"))
        wanted = None
        if plan.wanted_weeks:
            wanted = plan.enquired + datetime.timedelta(weeks=int(plan.wanted_weeks))
        if history or wanted:
            self._edit(now, "what the customer told besides", lambda job: replace(
                job, machine=replace(job.machine, history=history), wanted_by=wanted,
            ))  # fmt: skip

    def _edit(self, now: datetime.datetime, name: str, change: Callable[[Job], Job]) -> None:
        self.bench.edit(self.number, name, change, self.estimator, now)

    # Inspection

    def _inspect(self, now: datetime.datetime) -> None:
        bench, plan = self.bench, self.plan
        job, random = bench.job(self.number), self._random("inspection")
        machine = job.machine
        cat = bench.cat(machine.class_id)
        seen = see_machine(
            cat, bench.processes, float(machine.hours), float(machine.duty), machine.history, random
        )
        look = Look(plan.depth, plan.inspector, now.date())
        found = findings_of(seen, look, random)
        who = bench.people[plan.inspector]
        name = f"{len(found)} findings"
        bench.edit(self.number, name, lambda one: replace(one, findings=found), who, now)

    def _after_inspection(self, now: datetime.datetime) -> None:
        self._edit(now, "day of the inspection", lambda job: replace(job, inspected=now.date()))
        if self.plan.stage == "inspection":
            self.bench.note(self.number, now, "inspection", "the rest of the inspection")

    # Price

    def _price(self, now: datetime.datetime) -> None:
        plan, random = self.plan, self._random("price")
        cat = self.bench.cat(plan.machine_class)
        job = self.bench.job(self.number)
        start = _weekday(now.date() + datetime.timedelta(days=random.randint(21, 60)))
        valid = int(plan.valid_days)
        changes = [
            ("dates of the quote", lambda one: dated(one, now.date(), start, valid)),
            *priced_changes(job, cat, plan.estimator, now.date(), random),
        ]
        for minutes, (name, change) in enumerate(changes):
            self._edit(now + datetime.timedelta(minutes=7 * minutes), name, change)
        if plan.stage in ("price", "programme") and len(changes) > 1:
            when = self.bench.time(now + datetime.timedelta(minutes=7 * len(changes)))
            self.bench.keep(undo_edit(self.bench.record, self.number, self.estimator, when))

    def _stand(self, now: datetime.datetime) -> None:
        """Figures for the list. What is issued at once needs none: issuing keeps its own."""
        stage = self.plan.stage
        if stage in DRAFTS:
            waits = {"price": "prices of two suppliers"} if not self.plan.folder else {}
            self.bench.note(self.number, now, stage, waits.get(stage, ""))
        elif stage == "revised" and now.date() == self.plan.again:
            self.bench.note(self.number, now, "price")

    def _propose(self, now: datetime.datetime) -> None:
        propose(self.bench.record, self.number, self.estimator, now)
        if self.plan.stage == "proposed":
            self.bench.note(self.number, now + datetime.timedelta(minutes=1), "quote")

    def _issue(self, now: datetime.datetime) -> None:
        bench = self.bench
        issue_quote(
            bench.record, self.number, bench.catalogue, self.estimator, bench.manager, now,
            adopt_why=WHY_ADOPTED,
        )  # fmt: skip

    def _revise(self, now: datetime.datetime) -> None:
        self.bench.known[self.number] = revise_job(
            self.bench.record, self.number, self.estimator, now
        )
        random = self._random("revision")
        start = _weekday(now.date() + datetime.timedelta(days=random.randint(30, 60)))
        cat = self.bench.cat(self.plan.machine_class)
        trim = next(row.id for row in cat.operations.values() if row.component == TRIM)
        out = ScopeChange(trim, "the customer sees to the cab", self.plan.estimator)
        later = now + datetime.timedelta(minutes=12)
        self._edit(later, "start of the work", lambda job: replace(job, start=start))
        self._edit(
            later + datetime.timedelta(minutes=5),
            "cab trim taken out",
            lambda job: replace(job, removed=(*job.removed, out)),
        )

    # Beside the work

    def _photograph_acts(
        self, day: datetime.date, hour: int
    ) -> Iterator[tuple[datetime.date, int, Do]]:
        for picture in self.scenario.pictures:
            if picture.number == self.plan.number or picture.number == self._known_number():
                yield day, hour, self._photograph(picture)

    def _known_number(self) -> str:
        """The number the job will have: jobs are numbered without a gap from the first."""
        first = int(self.scenario.plans[0].number.removeprefix("Q-"))
        return f"Q-{first + self.place - 1}"

    def _photograph(self, picture: Picture) -> Do:
        def put(now: datetime.datetime) -> None:
            bench, plan = self.bench, self.plan
            seed = f"{picture.number} {picture.finding}"
            data = photograph(picture.motif, picture.caption, picture.taken, seed, bench.fonts)
            who = bench.people[plan.inspector]
            name = f"{picture.caption}.jpg"
            bench.keep(
                add_photograph(bench.record, self.number, picture.finding, name, data, who, now)
            )

        return put

    def _half_typed(self, now: datetime.datetime) -> None:
        """A draft as it is left in the evening: an edit taken back, and a text that is no number
        yet."""
        self._edit(now, "wanted by", lambda job: replace(job, wanted_by=datetime.date(2027, 3, 26)))
        later = now + datetime.timedelta(minutes=2)
        self._edit(later, "confidence 9 in 10", lambda job: replace(
            job, terms=replace(job.terms, confidence=Decimal("0.9"))))  # fmt: skip
        self.bench.keep(undo_edit(self.bench.record, self.number, self.estimator, later))
        keep_text(
            self.bench.record, self.number, "finding/I38/measured", TYPED,
            "is not one number; write the worse of the two.", self.estimator,
            self.bench.time(later + datetime.timedelta(minutes=2)),
        )  # fmt: skip


def _weekday(day: datetime.date) -> datetime.date:
    return day + datetime.timedelta(days=(7 - day.weekday()) % 7 if day.weekday() > 4 else 0)  # noqa: PLR2004
