"""What everyone who works in the scenario has at hand, and when they act."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random

from estimator.domain.catalogue.catalogue import Catalogue, ClassCatalogue
from estimator.domain.job import Job
from estimator.domain.job_edit import edit_between
from estimator.domain.new_job import JobDefaults
from estimator.domain.people import Person
from estimator.services.edit_job import Draft, make_edit
from estimator.services.errors import Refused
from estimator.services.keep_job import recorded_job
from estimator.services.keep_standing import note_standing
from estimator.services.learn import learnt
from estimator.services.open_record import Record
from estimator.services.work_out import class_catalogue, faults_of
from estimator.services.work_out_contract import read_contract
from estimator.services.write_contract import Here

from .scenario import SEED
from .standing import priced_for_list
from .wear_path import PartProcess


@dataclass(frozen=True, slots=True)
class Bench:
    """The record, the catalogue, the people."""

    record: Record
    supplied: Catalogue
    defaults: JobDefaults
    processes: Mapping[str, PartProcess]
    people: Mapping[str, Person]
    folder: Path  # sample_db
    fonts: Path
    numbers: dict[int, str] = field(default_factory=dict)  # place of a plan -> number it was given
    times: list[datetime.datetime] = field(default_factory=list)  # when the last act was done
    known: dict[str, Job] = field(default_factory=dict)  # jobs as their last edit left them
    learnt: list[Catalogue] = field(default_factory=list)  # with what teardowns showed by now
    contracts: dict[str, Here] = field(default_factory=dict)  # as their last act left them

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue with what the record has learnt by now."""
        return self.learnt[0] if self.learnt else self.supplied

    def learn(self) -> None:
        """Take in what past work the record holds by now."""
        self.learnt[:] = [learnt(self.record, self.supplied)]

    @property
    def manager(self) -> Person:
        """Whoever releases."""
        return self.people["J. Tarn"]

    def cat(self, class_id: str, learnt_until: datetime.date | None = None) -> ClassCatalogue:
        """The catalogue as a class sees it, with what teardowns showed up to a day. Raises KeyError
        for a class it does not have."""
        found = class_catalogue(self.catalogue, class_id, learnt_until)
        if found is None:
            raise KeyError(class_id)
        return found

    def job(self, number: str) -> Job:
        """A job as it stands. Nobody else works in the scenario, so it is read but once."""
        if number not in self.known:
            self.known[number] = recorded_job(self.record, number)[0]
        return self.known[number]

    def contract(self, number: str) -> Here:
        """A contract as it stands, read but once as well."""
        if number not in self.contracts:
            self.contracts[number] = read_contract(self.record, number)
        return self.contracts[number]

    def keep_contract(self, here: Here) -> Here:
        """Know a contract as an act has left it."""
        self.contracts[here.job.number] = here
        return here

    def time(self, wanted: datetime.datetime) -> datetime.datetime:
        """The time wanted, or that of the last act where it is later: the log never goes back."""
        self.times[:] = [max(wanted, *self.times)] if self.times else [wanted]
        return self.times[0]

    def keep(self, draft: Draft) -> None:
        """Know a job as an act has left it."""
        self.known[draft.job.number] = draft.job

    def edit(
        self,
        number: str,
        name: str,
        change: Callable[[Job], Job],
        who: Person,
        at: datetime.datetime,
    ) -> None:
        """Make one edit. Raises Refused where the job would not fit the catalogue any more."""
        at = self.time(at)
        job = self.job(number)
        changed = change(job)
        if faults := faults_of(changed, self.catalogue):
            raise Refused(f"{changed.title} of the sample", faults)
        self.keep(make_edit(self.record, number, edit_between(job, changed, name), who, at))

    def note(self, number: str, at: datetime.datetime, area: str, waits_on: str = "") -> None:
        """Keep what the job comes to, for the list. Raises RuntimeError where the record holds
        another job than the scenario knows."""
        job = self.job(number)
        priced = priced_for_list(job, self.cat(job.machine.class_id, job.learnt_until))
        if not note_standing(self.record, priced, at, area=area, waits_on=waits_on):
            raise RuntimeError(f"{number} is not what the scenario made of it")


@dataclass(frozen=True, slots=True, order=True)
class Act:
    """Something done at a time; acts of one job stand in their order."""

    at: datetime.datetime
    place: int
    order: int
    do: Callable[[datetime.datetime], object] = field(compare=False)


def _minutes(place: int, order: int) -> int:
    """Jobs of one day begin in the order of their places."""
    return place % 60 if order == 0 else Random(f"{SEED}/clock {place} {order}").randrange(0, 50)


def at(day: datetime.date, hour: int, place: int, order: int) -> datetime.datetime:
    """A time of day in the scenario, UTC."""
    time = datetime.time(hour, _minutes(place, order), 10 + order, tzinfo=datetime.UTC)
    return datetime.datetime.combine(day, time)


def dated(job: Job, day: datetime.date, start: datetime.date, valid_days: int) -> Job:
    """The job with its date, how long it is valid, and the day on which the machine comes in."""
    terms = replace(job.terms, valid_days=valid_days)
    return replace(job, date=day, start=start, terms=terms)
