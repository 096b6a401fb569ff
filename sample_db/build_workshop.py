"""Builds the sample workshop: a record as three years of work leave it, through the services alone.

Everything comes from text (`workshop/`, the sample jobs) and from draws with seeds of their own, so
the same program gives the same jobs, figures and dates each time; only what must differ does (the
salts of passphrases, inner identities, and the hashes that rest on them).
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from pathlib import Path

from estimator.domain.people import Person
from estimator.installed import data_root
from estimator.services.enrol_person import enrol_person
from estimator.services.open_catalogue import open_catalogue
from estimator.services.open_record import Record, open_record
from estimator.services.open_sample import SAMPLE_PASSPHRASE
from estimator.services.open_workshop import open_workshop
from estimator.services.past_work import add_closed_jobs, add_outcomes

from .building.bench import Bench
from .building.closed_quotes import as_quoted, read_closed_quotes
from .building.contracts import keep_forecasts
from .building.past import CLOSED_JOBS, closed_job, strips, teardown_outcomes
from .building.scenario import (
    FIRST_CLOSED_NUMBER,
    FIRST_STRIP,
    LAST_STRIP,
    SEED,
    Plan,
    Scenario,
    read_scenario,
)
from .building.steps import JobSteps
from .building.wear_path import read_processes

Report = Callable[[str], None]
OPENED = datetime.datetime(2023, 12, 1, 8, 0, tzinfo=datetime.UTC)


def build(path: Path, now: datetime.datetime, report: Report, *, jobs: int | None = None) -> None:
    """Write the sample workshop's record to `path`, where there is no file yet.

    `jobs` builds the first so many jobs only; they are the very ones they are among all.
    `now` only stamps the opening of the file: the scenario has its own calendar. `report` is told
    in words how far it is; what it raises stops the work. Raises the services' errors.
    """
    folder = Path(__file__).parent
    scenario = read_scenario(folder / "workshop")
    with open_record(path, now) as record:
        report("People")
        bench = Bench(
            record=record,
            supplied=open_catalogue(),
            defaults=open_workshop(),
            processes=read_processes(folder / "workshop" / "wear_process.csv"),
            people=_enrol(record, scenario),
            folder=folder,
            fonts=data_root() / "resources" / "fonts",
        )
        report("Past work")
        _past_work(bench)
        bench.learn()
        _jobs(bench, scenario, scenario.plans[:jobs], report)


def _enrol(record: Record, scenario: Scenario) -> dict[str, Person]:
    """Everyone, with the one passphrase that is published."""
    people: dict[str, Person] = {}
    manager: Person | None = None
    for place, (name, role) in enumerate(scenario.people):
        when = OPENED + datetime.timedelta(minutes=5 * place)
        people[name] = enrol_person(record, name, role, SAMPLE_PASSPHRASE, manager, when)
        manager = manager or people[name]
    return people


def _past_work(bench: Bench) -> None:
    """What was known before the record: strips, and jobs that were over by then."""
    classes = {one: bench.cat(one) for one in bench.catalogue.classes}
    found = strips(classes, bench.processes, FIRST_STRIP, LAST_STRIP, SEED)
    when = OPENED + datetime.timedelta(hours=2)
    outcomes = [one for strip in found for one in teardown_outcomes(strip, bench.processes, SEED)]
    quotes = read_closed_quotes()
    closed = [
        as_quoted(closed_job(strip, f"Q-{FIRST_CLOSED_NUMBER + place}", SEED), quotes)
        for place, strip in enumerate(found[:CLOSED_JOBS])
    ]
    add_outcomes(bench.record, outcomes, bench.manager, when)
    add_closed_jobs(bench.record, closed, bench.manager, when + datetime.timedelta(minutes=20))


def _jobs(bench: Bench, scenario: Scenario, plans: tuple[Plan, ...], report: Report) -> None:
    """Every act of these jobs, in the order of the calendar."""
    acts = sorted(
        act
        for place, plan in enumerate(plans, start=1)
        for act in JobSteps(bench, scenario, plan, place).acts()
    )
    for act in acts:
        act.do(bench.time(act.at))
        report(f"Jobs: {len(bench.numbers)} of {len(plans)}, {act.at:%Y-%m}")
    keep_forecasts(bench)
