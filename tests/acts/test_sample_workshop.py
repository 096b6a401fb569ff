"""The sample workshop: built once, through the services, the same each time."""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest

from estimator.domain.people import ROLES
from estimator.domain.record import STATES, JobSummary
from estimator.services.edit_job import edits_of, open_draft
from estimator.services.enrol_person import know_person, list_people
from estimator.services.errors import NotWritten
from estimator.services.keep_job import recorded_job
from estimator.services.list_jobs import find_anywhere, list_jobs
from estimator.services.open_record import Record, examine_record, open_record
from estimator.services.open_sample import (
    SAMPLE_ESTIMATOR,
    SAMPLE_PASSPHRASE,
    build_sample_workshop,
    sample_record,
)
from estimator.services.past_work import closed_jobs, outcomes
from estimator.services.photographs import photographs_of, picture_of
from estimator.services.print_contract import STRIP, Print, paper_bytes
from estimator.services.show_calibration import show_calibration
from estimator.services.show_desk import show_desk
from estimator.services.show_jobs import AREAS, BEFORE_ACCEPTANCE, listed
from estimator.services.verify_record import job_history, verify_record
from estimator.services.work_out_contract import read_contract
from sample_db.building.closed_quotes import read_closed_quotes

NOW = datetime(2027, 2, 1, 9, 0, tzinfo=UTC)  # any day: the scenario has its own calendar
TODAY = date(2026, 11, 25)  # its last day
RICH = ("Q-2041", "Q-2044", "Q-2045", "Q-2047")
FIRST_JOBS = 6  # the sixth is closed
LEARNT_SINCE = date(2024, 1, 1)  # by jobs of the record itself
ROOT = Path(__file__).parent.parent.parent
ONLY_THE_FIRST = """
import sys
from datetime import datetime, UTC
from pathlib import Path
from sample_db.build_workshop import build
build(Path(sys.argv[1]), datetime.now(UTC), lambda _: None, jobs=int(sys.argv[2]))
"""


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sample") / "user data" / "sample.db"
    said: list[str] = []
    build_sample_workshop(path, NOW, said.append)
    assert said[0] == "People"
    assert said[-1] == "Jobs: 60 of 60, 2026-11"
    return path


@pytest.fixture(scope="module")
def sample(built: Path) -> Iterator[Record]:
    with open_record(built, NOW) as record:
        yield record


@pytest.fixture(scope="module")
def jobs(sample: Record) -> list[JobSummary]:
    return list_jobs(sample, today=TODAY)


def test_nothing_is_left_beside_the_record(built: Path) -> None:
    left = {path.name for path in built.parent.iterdir()} - {"sample.db-wal", "sample.db-shm"}
    assert left == {"sample.db"}


def test_the_record_is_sound(sample: Record) -> None:
    assert verify_record(sample).faults == ()
    assert examine_record(sample) == ()


def test_sixty_jobs_over_three_years_numbered_without_a_gap(jobs: list[JobSummary]) -> None:
    assert sorted(job.number for job in jobs) == [f"Q-{number}" for number in range(1988, 2048)]
    assert min(job.created_at for job in jobs).date() < date(2024, 1, 1)
    assert max(job.changed_at for job in jobs).date() == TODAY
    by_begin = sorted(jobs, key=lambda job: job.created_at)
    assert [job.number for job in by_begin] == sorted(job.number for job in jobs)
    assert len({job.serial for job in jobs}) == 60


def test_every_state_and_area_is_there(sample: Record, jobs: list[JobSummary]) -> None:
    states = Counter(job.state for job in jobs)
    assert set(states) == set(STATES)
    assert min(states[one] for one in ("draft", "proposed", "issued", "expired")) >= 4
    manager = next(one for one in list_people(sample) if one.role == "service manager")
    drafts = [one for one in listed(jobs, {}, manager, TODAY) if one.summary.state == "draft"]
    assert {AREAS[one.area] for one in drafts} == set(BEFORE_ACCEPTANCE)
    revised = {(job.state, job.revision) for job in jobs if job.revision != "A"}
    assert revised == {("draft", "B"), ("issued", "B"), ("expired", "B")}
    assert Counter(job.class_id for job in jobs).keys() == {"WL28", "CE36", "LC36"}


def test_the_golden_job_comes_first_with_its_figures(
    sample: Record, jobs: list[JobSummary]
) -> None:
    golden = jobs[0]
    assert (golden.number, golden.customer) == ("Q-2041", "Ostrey Aggregates")
    assert golden.standing is not None
    assert str(golden.standing.net) == "275,946.00 GBP"
    assert str(golden.standing.contingency) == "31,317.00 GBP"
    assert golden.standing.job_version == golden.version
    assert len(recorded_job(sample, "Q-2041")[0].findings) == 84


def test_the_rich_jobs_have_photographs_on_findings(sample: Record) -> None:
    shown = {number: photographs_of(sample, number) for number in RICH}
    assert 10 <= sum(map(len, shown.values())) <= 20
    for number, photographs in shown.items():
        assert len(photographs) >= 4, number
        for one in photographs:
            assert one.taken_on is not None
            assert one.taken_on.year == 2026
            assert one.caption.startswith(one.finding)
            assert 3000 < len(one.thumbnail) < 40_000
    pictures = {one.sha256 for some in shown.values() for one in some}
    assert len(pictures) == sum(map(len, shown.values()))
    first = shown["Q-2041"][0]
    assert hashlib.sha256(picture_of(sample, first)).hexdigest() == first.sha256


def test_figures_of_the_list_are_those_of_what_was_issued(
    sample: Record, jobs: list[JobSummary]
) -> None:
    out = [job for job in jobs if job.state in ("issued", "expired")]
    for job in out:
        assert job.standing is not None
        assert job.standing.net == job.net
    drafts = [job for job in jobs if job.state in ("draft", "proposed") and job.standing]
    assert len(drafts) >= 25
    for job in drafts:
        assert job.standing is not None
        assert job.standing.job_version == job.version, job.number
    values = [job.standing.net.amount for job in jobs if job.standing]
    assert min(values) > 80_000
    assert max(values) < 500_000


def test_drafts_hold_what_was_undone_and_what_is_no_number_yet(sample: Record) -> None:
    draft = open_draft(sample, "Q-2044")
    assert draft.kept == {"finding/I38/measured": "17 to 19"}
    assert draft.redo.startswith("confidence 9 in 10")
    assert draft.undo.startswith("wanted by")
    assert [step.undone for step in edits_of(sample, "Q-2044")][-1] is True
    issued = next(one for one in list_jobs(sample, today=TODAY, state="issued"))
    assert open_draft(sample, issued.number).undo == ""


def test_people_of_each_role_share_the_published_passphrase(sample: Record) -> None:
    assert {person.role for person in list_people(sample)} == set(ROLES)
    person = know_person(sample, SAMPLE_ESTIMATOR, SAMPLE_PASSPHRASE)
    assert person.role == "estimator"


def test_acts_stand_in_the_order_of_the_calendar(sample: Record, jobs: list[JobSummary]) -> None:
    history = job_history(sample, "Q-2014")
    assert [entry.act for entry in history if entry.act in ("begun", "issued", "revised")] == [
        "begun", "issued", "revised", "issued",
    ]  # fmt: skip
    everything = [e for job in jobs for e in job_history(sample, job.number)]
    everything.sort(key=lambda entry: entry.number)
    assert [entry.at for entry in everything] == sorted(entry.at for entry in everything)


def test_contracts_stand_at_every_later_state(sample: Record, jobs: list[JobSummary]) -> None:
    under = {job.number: job for job in jobs if job.contract is not None}
    states = Counter(job.state for job in under.values())
    assert states == {"accepted": 4, "stopped": 1, "handed over": 1, "closed": 2}
    for job in under.values():
        assert job.contract is not None
        assert not job.contract.behind, job.number
    assert under["Q-2019"].waits_for == "foreman"
    assert under["Q-2030"].waits_for == "customer"
    assert under["Q-1993"].waits_for == ""


def test_a_teardown_alone_stands_after_its_strip(sample: Record, jobs: list[JobSummary]) -> None:
    """Everything is opened, the report can be printed, and no revision follows yet."""
    here = read_contract(sample, "Q-2026")
    contract = here.contract
    assert contract.acceptance.teardown_only
    assert contract.stopped is None
    asked = {part.part for part in here.work.exposed}
    assert len(asked) > 20
    assert asked <= set(contract.found)
    assert 0 < sum(state == "worn" for state in contract.found.values()) < len(asked)
    assert contract.cases == {}  # what was found is priced in the revision to come
    assert paper_bytes(sample, "Q-2026", Print(kind=STRIP, day=TODAY)).startswith(b"%PDF")
    (job,) = (one for one in jobs if one.number == "Q-2026")
    assert (job.state, job.revision) == ("accepted", "A")


def test_the_second_loader_waits_on_everybody(sample: Record) -> None:
    contract = read_contract(sample, "Q-2030").contract
    assert str(contract.acceptance.contract_sum) == "275,946.00 GBP"
    drawn = {name: case.funding for name, case in contract.cases.items() if case.funding}
    assert {name: int(one.from_contingency.amount) for name, one in drawn.items()} == {
        "V03": 0, "V04": 3479, "V05": 1802, "V07": 1335, "V08": 1077, "V10": 0,
    }  # fmt: skip
    assert [case.variation.number for case in contract.unpriced()] == ["V13"]
    now = datetime(2026, 11, 25, 16, 0, tzinfo=UTC)
    rows = {one.number: one for one in show_desk(sample, now).rows if one.job == "Q-2030"}
    waits = {number: one.waits_on for number, one in rows.items() if one.waits_on != "foreman"}
    assert waits == {
        "V06": "customer", "V09": "service manager", "V11": "customer", "V12": "service manager",
        "V13": "estimator",
    }  # fmt: skip
    gears = rows["V06"]
    assert (gears.ask, gears.overdue) == ("V. Sallis, finance controller", True)
    assert str(gears.cost) == "3,040.00 GBP"  # eight working days at 380


def test_names_can_be_searched(sample: Record) -> None:
    assert {job.customer for job in list_jobs(sample, "aellef", today=TODAY)} == set()
    found = list_jobs(sample, "ællef", today=TODAY)
    assert {job.customer for job in found} == {"Ællefjæld Grus & Sten"}
    assert any(hit.number == "Q-2041" for hit in find_anywhere(sample, "endoscope"))


def test_past_work_is_plausible(sample: Record) -> None:
    rows = [kept.row for kept in outcomes(sample)]
    assert 300 <= len(rows) <= 600
    hubs = [row.worn for row in rows if row.pool == "hub bearing seat"]
    assert 0.1 < sum(hubs) / len(hubs) < 0.5
    closed = [kept.row for kept in closed_jobs(sample)]
    learnt = {row.number for row in closed if row.closed_on >= LEARNT_SINCE}
    assert learnt == {"Q-1993", "Q-2002"}
    assert len(closed) - len(learnt) == 40
    held = [
        row.final_less_requests <= row.quoted_base + row.quoted_contingency
        for row in closed
        if row.number not in learnt
    ]
    assert 22 <= sum(held) <= 38  # a rule of thumb: most, never all
    assert all(Decimal(6000) <= row.hours <= Decimal(22000) for row in closed)
    shown = show_calibration(sample)
    assert (shown.calibration.jobs, shown.flat_quotes) == (24 + len(learnt), 16)
    with_distribution = {row.number for row in closed if row.has_distribution}
    assert with_distribution - learnt == set(read_closed_quotes())
    assert min(with_distribution) > max(row.number for row in closed if not row.has_distribution)


def _digest(record: Record, numbers: list[str]) -> dict[str, object]:
    """Everything of some jobs but identities and what rests on them."""
    found: dict[str, object] = {}
    for job in list_jobs(record, today=TODAY):
        if job.number in numbers:
            kept = (job.state, job.created_at, job.changed_at, job.valid_until, job.net)
            acts = [(e.at, e.who, e.act, e.before) for e in job_history(record, job.number)]
            events = read_contract(record, job.number).contract.events if job.contract else ()
            found[job.number] = (
                kept, job.standing, recorded_job(record, job.number), acts, events, job.contract,
            )  # fmt: skip
    until = date(2025, 1, 1)  # later ones are of other jobs
    found["outcomes"] = sorted(
        repr(kept.row) for kept in outcomes(record) if kept.row.found_on < until
    )
    found["closed"] = sorted(
        repr(kept.row) for kept in closed_jobs(record) if kept.row.closed_on < until
    )
    return found


def test_it_is_the_same_each_time(sample: Record, jobs: list[JobSummary], tmp_path: Path) -> None:
    """Its first jobs built once more, by another process with other hashes of texts."""
    path = tmp_path / "again.db"
    here = os.pathsep.join([str(ROOT), *filter(None, [os.environ.get("PYTHONPATH")])])
    subprocess.run(
        [sys.executable, "-c", ONLY_THE_FIRST, str(path), str(FIRST_JOBS)],
        env={**os.environ, "PYTHONHASHSEED": "4", "PYTHONPATH": here},
        check=True,
    )
    numbers = sorted(job.number for job in jobs)[:FIRST_JOBS]
    with open_record(path, NOW) as again:
        one, two = _digest(sample, numbers), _digest(again, numbers)
    assert one.keys() == two.keys() == {*numbers, "outcomes", "closed"}
    for name in one:
        assert one[name] == two[name], name


def test_what_stops_the_building_leaves_nothing(tmp_path: Path) -> None:
    def stop(_: str) -> None:
        raise KeyboardInterrupt

    path = tmp_path / "sample.db"
    with pytest.raises(KeyboardInterrupt):
        build_sample_workshop(path, NOW, stop)
    assert list(tmp_path.iterdir()) == []


def test_a_record_that_is_there_is_never_written_over(built: Path) -> None:
    before = built.stat().st_size
    with pytest.raises(NotWritten, match="there already"):
        build_sample_workshop(built, NOW, lambda _: None)
    assert built.stat().st_size == before


def test_the_users_data_folder_is_respected(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert sample_record() == tmp_path / "shimwright" / "sample-workshop.db"
    monkeypatch.setenv("XDG_DATA_HOME", "not/absolute")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert sample_record().is_relative_to(tmp_path / ".local" / "share")
    monkeypatch.setattr(sys, "platform", "darwin")
    assert sample_record().is_relative_to(tmp_path / "Library" / "Application Support")
