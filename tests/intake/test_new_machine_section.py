"""What a rebuild is compared with, from a job's file: read, left out, and every slip named."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.job_data import job_as_data
from estimator.domain.new_machine import CUSTOMER, STANDS, TYPED, Input
from estimator.intake.job_files import job_of_data, read_job
from tests.golden.golden_job import golden_inputs
from tests.intake.folders import named, sound_job
from tests.new_machines import FULL

GIVEN = """
[new_machine]
currency = "GBP"

[new_machine.new_price]
low = 430000
likely = 455000
high = 480000
origin = "supplier"
source = "quotation"
dated = 2026-11-12

[new_machine.hire_week]
likely = 2150
origin = "customer"

[new_machine.fuel_factor]
value = 2.6972
gas = "CO2"
edition = "January 2025"
source = "US EPA"
"""


def put(folder, text):
    path = folder / "job.toml"
    path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")


def test_it_is_read(job_folder):
    put(job_folder, GIVEN)
    found = sound_job(job_folder).new_machine
    assert (found.currency, found.meanwhile, found.interest) == ("GBP", STANDS, None)
    assert found.new_price == Input(Decimal(430_000), Decimal(455_000), Decimal(480_000),
                                    "supplier", "quotation", date(2026, 11, 12))  # fmt: skip
    assert found.hire_week == Input(Decimal(2150), Decimal(2150), Decimal(2150), CUSTOMER)
    assert found.fuel_factor.value == Decimal("2.6972")


def test_a_job_without_it_has_none_and_says_nothing_of_it(job_folder):
    job = sound_job(job_folder)
    assert job.new_machine is None
    assert "new_machine" not in job_as_data(job)  # what was issued before keeps its fingerprint


def test_what_leaves_the_record_can_be_read_again():
    job = replace(golden_inputs()[0], new_machine=FULL)
    data = json.loads(json.dumps(job_as_data(job)))
    again, problems = job_of_data(data, [], "job.json")
    assert problems == []
    assert again.new_machine == FULL


def test_whose_it_is_may_be_left_out(job_folder):
    put(job_folder, GIVEN.replace('origin = "customer"\n', ""))
    assert sound_job(job_folder).new_machine.hire_week.origin == TYPED


@pytest.mark.parametrize(
    ("old", "new", "entry"),
    [
        ('currency = "GBP"\n\n[new', 'currency = "XXX"\n\n[new', "[new_machine] currency"),
        ('currency = "GBP"\n\n[new', "\n\n[new", "[new_machine] currency"),
        ('currency = "GBP"\n\n[new', 'currency = "GBP"\nmeanwhile = "rests"\n\n[new',
         "[new_machine] meanwhile"),
        ('currency = "GBP"\n\n[new', 'currency = "GBP"\ncolour = "red"\n\n[new',
         "[new_machine] colour"),
        ("likely = 455000", "likely = 0", "[new_machine.new_price] likely"),
        ("likely = 455000", "likely = 490000", "[new_machine.new_price] likely"),
        ("likely = 455000", 'likely = "many"', "[new_machine.new_price] likely"),
        ("likely = 455000", "likly = 455000", "[new_machine.new_price] likly"),
        ("dated = 2026-11-12", 'dated = "soon"', "[new_machine.new_price] dated"),
        ('origin = "supplier"', 'origin = "rumour"', "[new_machine.new_price] origin"),
        ("likely = 2150", "likely = 2150\nhigh = 2300", "[new_machine.hire_week] likely"),
        ("likely = 2150", "likely = -1", "[new_machine.hire_week] likely"),
        ('gas = "CO2"', 'gas = "CO2e"', "[new_machine.fuel_factor] gwp"),
        ('gas = "CO2"', 'gas = "smoke"', "[new_machine.fuel_factor] gas"),
        ('edition = "January 2025"\n', "", "[new_machine.fuel_factor] edition"),
        ("[new_machine.hire_week]", "[new_machine.hire_weak]", "[new_machine] hire_weak"),
    ],
)  # fmt: skip
def test_a_slip_is_answered_at_its_place(job_folder, old, new, entry):
    assert old in GIVEN
    put(job_folder, GIVEN.replace(old, new))
    job, problems = read_job(job_folder)
    assert job is None
    named(problems, "job.toml", None, entry)


def test_something_else_in_its_place_is_answered(job_folder):
    put(job_folder, "")
    path = job_folder / "job.toml"
    path.write_text("new_machine = 5\n" + path.read_text(encoding="utf-8"), encoding="utf-8")
    job, problems = read_job(job_folder)
    assert job is None
    assert any(one.place.column == "new_machine" for one in problems)
