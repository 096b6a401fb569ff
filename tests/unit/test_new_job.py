"""A job as it begins: sound, priced from class and hours alone, on the workshop's own terms."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from estimator.domain.enquiry import enquiry_range, estimate_class_of
from estimator.domain.job import Party
from estimator.domain.job_check import check_job
from estimator.domain.new_job import JobDefaults, new_job, new_job_faults, new_machine

TODAY = date(2026, 11, 20)
CUSTOMER = Party("Ostrey Aggregates", ("Plant department",))


@pytest.fixture(scope="module")
def defaults(job) -> JobDefaults:
    return JobDefaults(
        party=job.workshop,
        terms=job.terms,
        exchange_rates=job.exchange_rates,
        releaser="J. Tarn",
        duty=Decimal(1),
        life_wanted=Decimal(8000),
        start_days=42,
    )


def made(defaults, hours="9500", serial="WL28-1", **more):
    machine = new_machine("WL28", serial, Decimal(hours), defaults)
    given = {"number": "Q-2101", "machine": machine, "customer": CUSTOMER,
             "estimator": "P. Holt", "today": TODAY, "defaults": defaults}  # fmt: skip
    return new_job(**given | more)


def test_it_fits_the_catalogue_and_can_be_given_a_range(defaults, cat):
    job = made(defaults, note="wants it before the spring")
    assert check_job(job, cat) == []
    assert list(new_job_faults(job)) == []
    assert estimate_class_of(job, cat) == 5
    got = enquiry_range(job, cat)
    assert got.low.minor < got.high.minor
    assert (job.title, job.findings, job.note) == (
        "Q-2101 rev A", (), "wants it before the spring"
    )  # fmt: skip


def test_it_takes_a_copy_of_the_workshop_s_terms(defaults):
    job = made(defaults)
    assert (job.terms, job.workshop, job.releaser) == (defaults.terms, defaults.party, "J. Tarn")
    assert job.exchange_rates == defaults.exchange_rates
    assert job.exchange_rates is not defaults.exchange_rates
    assert (job.machine.duty, job.machine.life_wanted) == (1, 8000)


def test_duty_and_life_wanted_may_be_said_otherwise(defaults):
    machine = new_machine("WL28", "", Decimal(9500), defaults, Decimal("1.4"), Decimal(5000))
    assert (machine.duty, machine.life_wanted) == (Decimal("1.4"), 5000)


def test_the_machine_comes_in_on_a_weekday(defaults):
    friday = made(defaults)
    assert friday.start == date(2027, 1, 1)
    for day in range(1, 4):  # Saturday, Sunday, Monday after
        later = made(replace(defaults, start_days=42 + day))
        assert later.start == date(2027, 1, 4)


def test_an_unknown_serial_number_says_so_and_is_the_job_s_own(defaults):
    one, two = made(defaults, serial=" "), made(defaults, serial="", number="Q-2102")
    assert one.machine.serial == "not known (Q-2101)"
    assert one.machine.serial != two.machine.serial


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"number": " "}, "number"),
        ({"customer": Party("")}, "[customer] name"),
        ({"estimator": ""}, "estimator"),
        ({"level": "half"}, "level"),
    ],
)
def test_what_an_enquiry_lacks_is_named(defaults, changes, field):
    with pytest.raises(ValueError, match=field.replace("[", r"\[").replace("]", r"\]")):
        made(defaults, **changes)


@pytest.mark.parametrize(
    ("entry", "value"),
    [("hours", "0"), ("hours", "-5"), ("hours", "200001"), ("hours", "NaN"), ("hours", "Infinity"),
     ("duty", "0.1"), ("duty", "5.1"), ("life_wanted", "0"), ("life_wanted", "100001")],
)  # fmt: skip
def test_a_machine_beyond_all_measure_is_named(defaults, entry, value):
    job = made(defaults)
    changed = replace(job, machine=replace(job.machine, **{entry: Decimal(value)}))
    assert [one.place.column for one in new_job_faults(changed)] == [f"[machine] {entry}"]
