"""Jobs learn from the teardowns in the record, up to a day of their own."""

from __future__ import annotations

import datetime
from dataclasses import replace
from decimal import Decimal

import pytest

from estimator.domain.catalogue.catalogue import Catalogue
from estimator.domain.past_work import TeardownOutcome
from estimator.services.begin_job import Enquiry, begin_job
from estimator.services.edit_job import make_edit, open_draft, undo_edit
from estimator.services.issue_quote import issue_quote
from estimator.services.keep_job import export_job
from estimator.services.learn import later_cases, learnt, with_later_cases
from estimator.services.open_record import Record
from estimator.services.past_work import add_outcomes
from estimator.services.price_job import price_job
from estimator.services.work_out import class_catalogue, work_out
from tests.acts.workshop import ESTIMATOR, LATER, MANAGER, NOW, edited, golden_job, keep_golden

TODAY = NOW.date()
WEEK = datetime.timedelta(weeks=1)


def outcome(place: int, found_on: datetime.date) -> TeardownOutcome:
    return TeardownOutcome(
        pool="turbocharger", machine_class="WL28", component="P-TGR",
        hours=Decimal(9000 + 100 * place), life_basis="since new", disposition="replace", worn=True,
        found_on=found_on,
    )  # fmt: skip


@pytest.fixture
def rows(record: Record) -> None:
    """Five turbochargers found worn before the job began, three on later days."""
    early = [outcome(n, TODAY - WEEK) for n in range(5)]
    add_outcomes(record, early, MANAGER, NOW)


def chance(job: object, catalogue: Catalogue) -> object:
    return work_out(job, catalogue).known.chances["P-TGR"]  # type: ignore[arg-type]


def test_a_job_learns_up_to_the_day_it_began_and_takes_later_cases_in(
    record: Record, catalogue: Catalogue, rows: None
) -> None:
    enquiry = Enquiry(class_id="WL28", hours=Decimal(14860), duty=Decimal("1.15"))
    number = begin_job(record, catalogue, ESTIMATOR, NOW, enquiry)
    job = open_draft(record, number).job
    assert job.learnt_until == TODAY
    before = chance(job, learnt(record, catalogue))
    assert before.own_cases == 5
    # what is found later counts only once it is taken in, by an edit that can be undone
    late = NOW + 2 * WEEK
    add_outcomes(record, [outcome(n, TODAY + WEEK) for n in range(3)], MANAGER, late)
    grown = learnt(record, catalogue)
    assert chance(job, grown) == before
    assert later_cases(job, grown, late.date()) == 3
    edit = edited(record, number, "3 later cases", lambda one: with_later_cases(one, late.date()))
    taken = make_edit(record, number, edit, ESTIMATOR, late).job
    assert chance(taken, grown).own_cases == 8
    assert later_cases(taken, grown, late.date()) == 0
    assert chance(undo_edit(record, number, ESTIMATOR, late).job, grown) == before


def test_the_worked_job_learns_nothing_and_stays_as_it_is(
    record: Record, catalogue: Catalogue, rows: None
) -> None:
    job = golden_job()
    assert job.learnt_until is None
    assert chance(job, learnt(record, catalogue)) == chance(job, catalogue)


def test_what_goes_out_has_learnt_whatever_catalogue_is_handed_in(
    record: Record, catalogue: Catalogue, rows: None
) -> None:
    number = keep_golden(record, learnt_until=TODAY)
    issued = issue_quote(record, number, catalogue, ESTIMATOR, MANAGER, LATER, adopt_why="they fit")
    assert '"after 5 own cases"' in issued.figures
    assert f"teardowns up to {TODAY.isoformat()}" in issued.figures


def test_a_catalogue_seen_again_is_the_same_one_until_outcomes_change(
    record: Record, catalogue: Catalogue, rows: None
) -> None:
    known = learnt(record, catalogue)
    first = class_catalogue(known, "WL28", TODAY)
    assert class_catalogue(known, "WL28", TODAY) is first
    assert class_catalogue(known, "WL28") is not first
    add_outcomes(record, [outcome(9, TODAY)], MANAGER, NOW)
    again = class_catalogue(learnt(record, catalogue), "WL28", TODAY)
    assert again is not None and first is not None
    assert len(again.own_cases["P-TGR"]) == len(first.own_cases["P-TGR"]) + 1


def test_meter_doubt_and_day_survive_record_and_folder(
    record: Record, catalogue: Catalogue, tmp_path
) -> None:
    job = golden_job()
    machine = replace(job.machine, meter="replaced", hours_doubt=Decimal("0.15"))
    number = keep_golden(record, machine=machine, learnt_until=TODAY)
    kept = open_draft(record, number).job
    assert (kept.machine.meter, kept.machine.hours_doubt) == ("replaced", Decimal("0.15"))
    assert kept.learnt_until == TODAY
    folder = tmp_path / "out"
    export_job(record, number, folder)
    again = price_job(folder, catalogue)
    assert again.job.machine == machine
    assert again.job.learnt_until == TODAY
    figure = again.reasons.get("chance/P-TGR")
    said = dict(figure.numbers)
    assert said["hours may lie off by"].startswith("15%")
    assert "averaged over the doubt" in said["at the meter's hours"]
