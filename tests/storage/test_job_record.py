"""Jobs in and out of the record: nothing lost, nothing overwritten, no gap in numbers."""

from __future__ import annotations

import threading
from dataclasses import replace
from decimal import Decimal

import pytest
from sqlalchemy.exc import IntegrityError

from estimator.domain.job import Job
from estimator.domain.problem import Place
from estimator.storage import job_record
from estimator.storage.database import Database
from tests.storage.conftest import NOW


def without_places(job: Job) -> Job:
    return replace(job, findings=tuple(replace(one, place=Place()) for one in job.findings))


def keep(database: Database, job: Job) -> None:
    with database.writing() as session:
        job_record.add_job(session, job, "draft", NOW)


def load(database: Database, number: str) -> tuple[Job, str, int]:
    with database.reading() as session:
        found = job_record.load_job(session, number)
    assert found is not None
    return found


def test_a_job_comes_back_as_it_went_in(database: Database, job: Job) -> None:
    keep(database, job)
    found, state, version = load(database, job.number)
    assert found == without_places(job)
    assert (state, version) == ("draft", 1)


def test_decimals_keep_every_digit(database: Database, job: Job) -> None:
    exact = Decimal("12345678901234.5678")
    keep(database, replace(job, machine=replace(job.machine, hours=exact)))
    assert load(database, job.number)[0].machine.hours == exact


def test_text_in_any_script_comes_back(database: Database, job: Job) -> None:
    name = "Żółw & Söhne <b>重機</b> '; drop table job; --"
    keep(database, replace(job, customer=replace(job.customer, name=name)))
    assert load(database, job.number)[0].customer.name == name


def test_saving_raises_the_version_and_replaces_the_parts(database: Database, job: Job) -> None:
    keep(database, job)
    shorter = replace(job, findings=job.findings[:3], level="driveline")
    with database.writing() as session:
        assert job_record.save_job(session, shorter, "draft", 1, NOW)
    found, _, version = load(database, job.number)
    assert found == without_places(shorter)
    assert version == 2


def test_the_second_of_two_editors_is_told(database: Database, job: Job) -> None:
    keep(database, job)
    mine, _, version = load(database, job.number)
    theirs = replace(mine, level="driveline")
    with database.writing() as session:
        assert job_record.save_job(session, theirs, "draft", version, NOW)
    with database.writing() as session:
        assert not job_record.save_job(session, mine, "draft", version, NOW)
    assert load(database, job.number)[0].level == "driveline"


def test_a_number_stands_once(database: Database, job: Job) -> None:
    keep(database, job)
    with pytest.raises(IntegrityError):
        keep(database, job)


def test_a_failed_act_leaves_nothing(database: Database, job: Job) -> None:
    class Changed(Exception):
        pass

    with pytest.raises(Changed), database.writing() as session:
        job_record.take_number(session, "job")
        job_record.add_job(session, job, "draft", NOW)
        raise Changed
    with database.reading() as session:
        assert job_record.load_job(session, job.number) is None
    with database.writing() as session:
        assert job_record.take_number(session, "job") == 1  # no gap


def test_numbers_have_neither_gap_nor_double_with_many_writers(database: Database) -> None:
    taken: list[int] = []
    lock = threading.Lock()

    def write() -> None:
        for _ in range(10):
            with database.writing() as session:
                number = job_record.take_number(session, "job")
            with lock:
                taken.append(number)

    threads = [threading.Thread(target=write) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(taken) == list(range(1, 41))


def test_finding_takes_words_in_any_order_and_case(database: Database, job: Job) -> None:
    keep(database, job)
    keep(database, replace(job, number="Q-9", customer=replace(job.customer, name="100% Ours_")))
    with database.reading() as session:
        assert [one.number for one in job_record.summaries(session, "00417 OSTREY")] == ["Q-2041"]
        assert [one.number for one in job_record.summaries(session, "%")] == ["Q-9"]
        assert [one.number for one in job_record.summaries(session, "ours_")] == ["Q-9"]
        assert job_record.summaries(session, "nobody") == []


def test_one_look_sees_one_moment(database: Database, job: Job) -> None:
    keep(database, job)
    with database.reading() as looking:
        assert [one.revision for one in job_record.summaries(looking)] == ["A"]
        with database.writing() as session:
            changed = replace(job, revision="B", findings=())
            assert job_record.save_job(session, changed, "draft", 1, NOW)
        looking.expire_all()
        found = job_record.load_job(looking, job.number)
        assert found is not None
        assert (found[0].revision, len(found[0].findings)) == ("A", len(job.findings))
    assert load(database, job.number)[0].revision == "B"
