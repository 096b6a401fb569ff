"""workshop.toml: what every new job begins with, each slip answered at its name."""

from __future__ import annotations

import shutil
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.catalogue.catalogue import for_class
from estimator.domain.catalogue.rows import MachineClass
from estimator.domain.job import Party
from estimator.domain.job_check import check_job
from estimator.domain.new_job import new_job, new_machine
from estimator.intake.catalogue_files import fingerprint, read_catalogue
from estimator.intake.workshop_file import read_workshop
from tests.intake.folders import edited, named

SUPPLIED = Path(__file__).parents[2] / "catalog"


@pytest.fixture
def folder(tmp_path):
    shutil.copy(SUPPLIED / "workshop.toml", tmp_path)
    return tmp_path


def test_the_one_supplied_begins_a_sound_job_of_every_class():
    defaults, problems = read_workshop(SUPPLIED)
    assert problems == []
    catalogue, _ = read_catalogue(SUPPLIED)
    classes = catalogue.table("classes", MachineClass)
    assert classes
    for row in classes:
        machine = new_machine(row.id, "", Decimal(9500), defaults)
        job = new_job("Q-1", machine, Party("Customer"), "P. Holt", date(2026, 11, 20), defaults)
        assert check_job(job, for_class(catalogue, row.id)) == []


def test_entries_are_read_as_they_stand(folder):
    defaults, problems = read_workshop(folder)
    assert problems == []
    assert defaults.party.name == "Tarnbeck Plant Rebuilds"
    assert defaults.terms.confidence == Decimal("0.8")
    assert [one.when for one in defaults.terms.stages][:2] == ["order", "strip report"]
    assert defaults.exchange_rates["EUR"].rate == Decimal("0.86")
    assert (defaults.duty, defaults.life_wanted, defaults.start_days) == (1, 8000, 42)


SLIPS = [
    ("format = 1", "format = 2", "format"),
    ("format = 1", "", "format"),
    ('name = "Tarnbeck Plant Rebuilds"', 'name = ""', "[workshop_party] name"),
    ('name = "Tarnbeck Plant Rebuilds"', 'naem = "T"', "[workshop_party] naem"),
    ("[workshop_party]", "[workshop]", "workshop"),
    ("confidence = 0.80", "confidence = 80", "[terms] confidence"),
    ("valid_days = 30", "valid_days = 0", "[terms] valid_days"),
    ("share = 0.25", "share = 0.75", "[terms] stage"),
    ('when = "order"', "when = 5", "[terms.stage 1] when"),
    ('releaser = "J. Tarn, service manager"', "", "[new_job] releaser"),
    ("life_wanted = 8000", "life_wanted = 0", "[new_job] life_wanted"),
    ("start_days = 42", "start_days = 1.5", "[new_job] start_days"),
    ("start_days = 42", "start_days = 9999", "[new_job] start_days"),
    ("start_days = 42", "strat_days = 42", "[new_job] strat_days"),
    ("rate = 0.86", "rate = 0", "[exchange_rate 1] rate"),
    ('currency = "EUR"', 'currency = "GBP"', "exchange_rate"),
]


@pytest.mark.parametrize(("old", "new", "entry"), SLIPS)
def test_a_slip_in_an_entry_is_answered_at_its_name(folder, old, new, entry):
    edited(folder / "workshop.toml", old, new)
    defaults, problems = read_workshop(folder)
    assert defaults is None
    named(problems, "workshop.toml", None, entry)


def test_a_duty_beyond_all_measure(folder):
    edited(folder / "workshop.toml", "duty = 1 ", "duty = 50 ")
    named(read_workshop(folder)[1], "workshop.toml", None, "[new_job] duty")


def test_a_folder_without_the_file_says_so(tmp_path):
    defaults, problems = read_workshop(tmp_path)
    assert defaults is None
    assert [(one.code, one.place.file) for one in problems] == [("file-missing", "workshop.toml")]


def test_a_file_that_is_no_toml_says_so(folder):
    (folder / "workshop.toml").write_text("name = \n", encoding="utf-8")
    assert [one.code for one in read_workshop(folder)[1]] == ["bad-file"]


def test_a_catalogue_needs_none_but_one_with_a_fault_is_a_fault_of_it(catalogue_folder):
    assert read_catalogue(catalogue_folder)[1] == []
    before = fingerprint(catalogue_folder)
    shutil.copy(SUPPLIED / "workshop.toml", catalogue_folder)
    catalogue, problems = read_catalogue(catalogue_folder)
    assert problems == []
    assert catalogue is not None
    assert fingerprint(catalogue_folder) == before  # it makes no figure of a job that is there
    edited(catalogue_folder / "workshop.toml", "confidence = 0.80", "confidence = 80")
    catalogue, problems = read_catalogue(catalogue_folder)
    assert catalogue is None
    named(problems, "workshop.toml", None, "[terms] confidence")
