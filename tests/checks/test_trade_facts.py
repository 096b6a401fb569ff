"""Do the sample jobs come out as the trade expects? Common practice, no source, unless noted.

Every job folder of the sample is priced with the catalogue that is shipped, as a full rebuild and
as a driveline rebuild. What is asserted is wide enough for an honest change of a price, and narrow
enough to catch a slip of a decimal point, a lost group or a doubled operation.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import Catalogue, for_class
from estimator.domain.catalogue.rows import MachineClass
from estimator.domain.enquiry import enquiry_range
from estimator.domain.job_check import check_job
from estimator.domain.plausibility import SMALL_KG, unseen_job
from estimator.domain.priced_job import PricedJob, reckon
from estimator.domain.problem import errors_in
from estimator.intake.catalogue_files import read_catalogue
from estimator.intake.job_files import read_job
from estimator.services.open_workshop import open_workshop

ROOT = Path(__file__).parents[2]
SAMPLES = sorted(
    folder.name
    for folder in (ROOT / "sample_db").iterdir()
    if (folder / "job.toml").is_file() and (folder / "findings.csv").is_file()
)


@cache
def shipped() -> Catalogue:
    """The catalogue in catalog/."""
    catalogue, problems = read_catalogue(ROOT / "catalog")
    assert catalogue is not None, problems
    return catalogue


@cache
def priced(name: str, level: str) -> PricedJob:
    """A sample job at a rebuild level."""
    job, problems = read_job(ROOT / "sample_db" / name)
    assert job is not None, problems
    cat = for_class(shipped(), job.machine.class_id)
    assert errors_in(check_job(job, cat)) == []
    return reckon(replace(job, level=level), cat)


def weeks(one: PricedJob, day: date) -> float:
    """Calendar weeks from the machine coming in, both days counted."""
    return ((day - one.job.start).days + 1) / 7


def test_the_sample_jobs_are_of_several_classes():
    classes = {priced(name, "full").job.machine.class_id for name in SAMPLES}
    assert len(classes) >= 3
    assert classes <= {row.id for row in shipped().table("classes", MachineClass)}
    assert "wheel_loader" in SAMPLES


@pytest.mark.parametrize("row", shipped().table("classes", MachineClass), ids=lambda row: row.id)
def test_a_full_rebuild_of_every_class_at_15000_hours(row):
    """Unseen: 50 to 70 % of new from 30 t on. A smaller machine may come out above, since hours
    fall slower than prices; never below."""
    cat = for_class(shipped(), row.id)
    job = unseen_job(cat, "full", 15_000, open_workshop(ROOT / "catalog"), date(2026, 11, 26))
    share = enquiry_range(job, cat).likely.amount / row.new_price_likely
    assert share >= Decimal("0.50")
    if row.operating_mass_kg >= SMALL_KG:
        assert share <= Decimal("0.70")


def test_the_classes_are_of_many_families():
    rows = shipped().table("classes", MachineClass)
    assert len(rows) >= 18
    assert len({row.family for row in rows}) >= 9


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize(
    ("level", "low", "high"), [("full", 0.50, 0.70), ("driveline", 0.30, 0.45)]
)
def test_share_of_a_new_machine(name, level, low, high):
    # 50 to 70 % of new for a full rebuild, 30 to 45 % driveline only (memory; public cases of full
    # rebuilds, read: 42, 54, 69 and 71 to 77 %)
    one = priced(name, level)
    assert low <= one.share_of_new <= high
    row = one.cat.machine_class
    stated = (row.full_band_low, row.full_band_high)
    if level == "driveline":
        stated = (row.driveline_band_low, row.driveline_band_high)
    assert [float(share) for share in stated] == [low, high]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_driveline_rebuild_is_part_of_a_full_one(name):
    full, less = priced(name, "full"), priced(name, "driveline")
    assert less.price.net.minor < full.price.net.minor
    assert less.price.hours < full.price.hours
    assert less.programme.finish_day <= full.programme.finish_day
    amounts = {one.id: one.amount for one in full.lines}
    shared = [one for one in less.lines if one.id in amounts]
    assert len(shared) > 0.9 * len(less.lines)
    for one in shared:
        assert one.amount == amounts[one.id], one.id


@pytest.mark.parametrize("name", SAMPLES)
def test_contingency_lies_between_after_strip_and_budget(name):
    # common practice: 3 to 8 % of base after the strip, 15 to 25 % for a budget; an inspection on
    # the machine, not yet stripped, lies between
    price = priced(name, "full").price
    assert 0.03 <= price.contingency.minor / price.base.minor <= 0.25


@pytest.mark.parametrize("name", SAMPLES)
def test_a_rebuild_is_ready_before_a_new_machine(name):
    one = priced(name, "full")
    assert weeks(one, one.finish.days[0.8]) < float(one.cat.machine_class.new_lead_weeks)


@pytest.mark.parametrize("name", SAMPLES)
def test_man_hours_of_a_full_rebuild(name):
    # trade notes' starting catalogue, invented: 1,681 h tracked, 1,643 h wheeled, for 25 to 35 t;
    # a quarter either way, and a third more for a landfill compactor's wheels and guards
    hours = float(priced(name, "full").price.hours)
    assert 1250 <= hours <= 2200


def test_wheel_loader_as_worked_by_hand(golden):
    """The shipped catalogue holds other classes as well, but gives this one the same price."""
    sample = priced("wheel_loader", "full")
    assert sample.job.number == golden.job.number
    assert sample.price.totals == golden.price.totals
    assert sample.finish.days == golden.finish.days


def compactor() -> PricedJob:
    return next(
        one for one in (priced(name, "full") for name in SAMPLES)
        if "steel-wheels" in one.cat.machine_class.traits
    )  # fmt: skip


def test_weeks_of_a_landfill_compactor():
    # about 12 weeks in the shop, against some 22 weeks until a new one comes
    one = compactor()
    assert 10 <= one.programme.weeks <= 14.5
    assert 10 <= weeks(one, one.finish.days[0.5]) <= 14.5
    assert 20 <= one.cat.machine_class.new_lead_weeks <= 24


@pytest.mark.parametrize("name", SAMPLES)
def test_weeks_of_reassembly(name):
    # from the first step that puts the machine together again to hand-over: at most nine weeks
    one = priced(name, "full")
    begins = min(
        step.timing.start for step in one.programme.steps.values()
        if step.name.startswith(("Close joint", "Refit"))
    )  # fmt: skip
    hours_a_week = 5 * float(one.cat.settings.hours_per_day)
    assert 3 <= (one.programme.finish_hour - begins) / hours_a_week <= 9
