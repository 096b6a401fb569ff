"""Jobs in and out of the record: nothing lost, nothing overwritten, no gap in numbers."""

from __future__ import annotations

import itertools
import threading
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from estimator.domain.job import Job, ScopeChange
from estimator.domain.problem import Place
from estimator.storage import job_record
from estimator.storage.database import Database
from estimator.storage.job_list import Wanted, summaries
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


def listed(session: Session, words: str) -> list[str]:
    return [one.number for one in summaries(session, Wanted(NOW.date(), words))]


def test_a_job_comes_back_as_it_went_in(database: Database, job: Job) -> None:
    keep(database, job)
    found, state, version = load(database, job.number)
    assert found == without_places(job)
    assert (state, version) == ("draft", 1)


def test_decimals_keep_every_digit(database: Database, job: Job) -> None:
    exact = Decimal("12345678901234.5678")
    keep(database, replace(job, machine=replace(job.machine, hours=exact)))
    assert load(database, job.number)[0].machine.hours == exact


def test_components_of_a_repair_come_and_go(database: Database, job: Job) -> None:
    chosen = tuple(ScopeChange(code, "asked for", "P. Holt") for code in ("C08A", "C01D"))
    keep(database, replace(job, level="repair", repaired=chosen))
    found, _, version = load(database, job.number)
    assert found.repaired == chosen
    assert (found.added, found.removed, found.kept) == (job.added, job.removed, job.kept)
    with database.writing() as session:
        job_record.save_job(session, replace(found, repaired=chosen[1:]), "draft", version, NOW)
    assert load(database, job.number)[0].repaired == chosen[1:]


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


def versions(database: Database, table: str) -> dict[str, int]:
    key = {"finding": "code", "exchange_rate": "currency"}[table]
    with database.reading() as session:
        return dict(session.execute(text(f"select {key}, version from {table}")).all())


def test_only_rows_that_differ_are_written(database: Database, job: Job) -> None:
    keep(database, job)
    third = replace(job.findings[2], note="again")
    rows = (*job.findings[:2], third, *job.findings[4:], replace(job.findings[0], id="I99"))
    with database.writing() as session:
        assert job_record.save_job(session, replace(job, findings=rows), "draft", 1, NOW)
    found = versions(database, "finding")
    assert found.pop(third.id) == 2
    assert found.pop("I99") == 1
    assert {found[one.id] for one in job.findings[:2]} == {1}
    assert {found[one.id] for one in job.findings[4:]} == {2}  # each moved up by one
    assert job.findings[3].id not in found
    assert set(versions(database, "exchange_rate").values()) == {1}
    assert load(database, job.number)[0] == without_places(replace(job, findings=rows))


fresh = itertools.count(1)
row_ids = st.sampled_from(["O-1", "O-2", "O-3"])
changes = st.lists(st.builds(ScopeChange, row_ids, st.just("why"), st.just("P. Holt")), max_size=3)


@given(data=st.data())
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_any_job_is_written_over_any_other(
    database: Database, job: Job, data: st.DataObject
) -> None:
    """Rows come, go, change and change places, even two of one name."""

    def drawn(number: str) -> Job:
        rows = data.draw(st.permutations(job.findings[:6]))[: data.draw(st.integers(0, 6))]
        notes = data.draw(st.lists(st.sampled_from(["", "a", "b"]), min_size=6, max_size=6))
        return replace(
            job,
            number=number,
            findings=tuple(replace(f, note=n) for f, n in zip(rows, notes, strict=False)),
            added=tuple(data.draw(changes)),
            removed=tuple(data.draw(changes)),
            kept=tuple(data.draw(changes)),
            terms=replace(job.terms, stages=job.terms.stages[: data.draw(st.integers(0, 3))]),
            exchange_rates={} if data.draw(st.booleans()) else job.exchange_rates,
            ways=data.draw(st.dictionaries(row_ids, st.sampled_from(["replace", "exchange"]))),
            wanted_by=data.draw(st.none() | st.dates()),
        )

    number = f"Q-{next(fresh)}"
    first, second = drawn(number), drawn(number)
    keep(database, first)
    assert load(database, number)[0] == without_places(first)
    with database.writing() as session:
        assert job_record.save_job(session, second, "proposed", 1, NOW)
    assert load(database, number) == (without_places(second), "proposed", 2)
    with database.reading() as session:
        words = session.execute(
            text("select findings from job_text where number = :number"), {"number": number}
        ).scalar_one()
        assert [line.split("\t")[0] for line in words.splitlines()] == [
            one.id for one in second.findings
        ]
    with database.writing() as session:  # the index holds what the texts hold
        session.execute(
            text("insert into job_search(job_search, rank) values('integrity-check', 1)")
        )


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
        assert listed(session, "00417 OSTREY") == ["Q-2041"]
        assert listed(session, "% ours") == ["Q-9"]
        assert listed(session, "ours_") == ["Q-9"]
        assert listed(session, "nobody") == []


def test_one_look_sees_one_moment(database: Database, job: Job) -> None:
    keep(database, job)
    with database.reading() as looking:
        assert listed(looking, "") == [job.number]
        with database.writing() as session:
            changed = replace(job, revision="B", findings=())
            assert job_record.save_job(session, changed, "draft", 1, NOW)
        looking.expire_all()
        found = job_record.load_job(looking, job.number)
        assert found is not None
        assert (found[0].revision, len(found[0].findings)) == ("A", len(job.findings))
    assert load(database, job.number)[0].revision == "B"
